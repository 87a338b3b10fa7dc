package web

import (
	"cmp"
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/server/access"
)

// newLink makes a join link for a person, in place of the older ones; only a
// producer may.
func (a *App) newLink(c echo.Context) error {
	v, err := a.producer(c)
	if err != nil {
		return err
	}
	var ask AskLink
	if err := body(c, &ask); err != nil {
		return err
	}
	who, err := v.runner.Member(c.Request().Context(), ask.Person)
	if err != nil {
		return err
	}
	address, err := a.Invite(a.baseOf(c.Request()), access.Link{Shoot: v.runner.Shoot, Person: who.ID, Epoch: who.Epoch, By: v.ID})
	if err != nil {
		return err
	}
	image, err := QRImage(address)
	if err != nil {
		return fail(codeFault, err)
	}
	return c.JSON(http.StatusCreated, Link{URL: address, QR: string(image), Name: who.Name, Until: a.now() + when.Instant(linkLife.Milliseconds())})
}

// links lists the join links that work; only a producer sees them.
func (a *App) links(c echo.Context) error {
	v, err := a.producer(c)
	if err != nil {
		return err
	}
	return a.answerLinks(c, v)
}

// cancelLink cancels a join link; only a producer may.
func (a *App) cancelLink(c echo.Context) error {
	v, err := a.producer(c)
	if err != nil {
		return err
	}
	var ask AskCancel
	if err := body(c, &ask); err != nil {
		return err
	}
	h, ok := access.HashNamed(ask.ID)
	l, err := a.Store.Link(h)
	if !ok || err == nil && l.Shoot != v.runner.Shoot {
		err = access.ErrUnknownLink
	}
	if err != nil {
		return err
	}
	if err := a.Store.CancelLink(h); err != nil {
		return err
	}
	return a.answerLinks(c, v)
}

func (a *App) answerLinks(c echo.Context, v visitor) error {
	all, err := a.Store.Links(v.runner.Shoot)
	if err != nil {
		return err
	}
	out := Links{Links: []OpenLink{}}
	err = v.runner.Ask(c.Request().Context(), func(s *shoot.State) error {
		for h, l := range all {
			who, ok := s.Floor.People[l.Person]
			if !ok || l.Code() || l.Usable(a.now()) != nil || who.Revoked || who.Epoch != l.Epoch {
				continue
			}
			out.Links = append(out.Links, OpenLink{ID: h.Name(), Person: l.Person, Name: who.Name, RoleLabel: who.Role.Label(), Made: l.Made, Until: l.Until,
				Say: "Made " + span(a.now()-l.Made) + " ago, works for " + span(l.Until-a.now()) + "."})
		}
		return nil
	})
	slices.SortFunc(out.Links, func(x, y OpenLink) int { return cmp.Or(cmp.Compare(x.Name, y.Name), cmp.Compare(x.ID, y.ID)) })
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, out)
}

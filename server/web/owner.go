package web

import (
	"cmp"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"fairday/domain/shoot"
	"fairday/server/access"
	"fairday/server/house"
)

// ownerCookie is beside the cookie of a shoot: an owner may also be somebody on one.
const ownerCookie = "fairday-owner"

// mostName is how many characters the name of a person may have.
const mostName = 80

// owner is an owner whose session a request comes with.
type owner struct {
	house.Owner
	hash access.Hash
}

// owner finds which owner a request comes from; the error is a problem, no_owner for
// anybody else.
func (a *App) owner(c echo.Context) (owner, error) {
	h, s, err := a.session(c, ownerCookie)
	if err != nil {
		if problemOf(err).Code == CodeNoSession {
			err = fail(codeNoOwner, nil)
		}
		return owner{}, err
	}
	all, err := a.Store.Owners()
	if err != nil {
		return owner{}, fail(codeFault, err)
	}
	who := all[house.OwnerID(s.Person)]
	if s.Shoot != access.House || !who.Admits(s.Epoch) {
		return owner{}, fail(codeNoOwner, nil)
	}
	return owner{who, h}, nil
}

// NewOwner makes an owner who has not come in yet.
func (a *App) NewOwner(name string) (house.Owner, error) {
	id, err := a.Shoots.NewID()
	if err != nil {
		return house.Owner{}, err
	}
	o := house.Owner{ID: house.OwnerID(id), Name: name, Made: a.now()}
	return o, a.Store.ChangeOwner(o.ID, func(row *house.Owner) error { *row = o; return nil })
}

// FirstOwner is the owner whom the server prints a link for: nobody once somebody has
// come in as an owner.
func (a *App) FirstOwner() (o house.Owner, wanted bool, err error) {
	all, err := a.Store.Owners()
	if err != nil {
		return o, false, err
	}
	for _, one := range house.InOrder(all) {
		switch {
		case one.Ended:
		case one.Joined != 0:
			return o, false, nil
		default:
			o = one
		}
	}
	if o.ID == "" {
		o, err = a.NewOwner("")
	}
	return o, true, err
}

// InviteOwner makes a link for an owner, in place of the older ones.
func (a *App) InviteOwner(base string, o house.Owner) (string, error) {
	return a.Invite(base, access.Link{Shoot: access.House, Person: o.Pass(), Epoch: o.Epoch, By: shoot.Desk})
}

// forOwner tells whether a join link is an owner's.
func (a *App) forOwner(c echo.Context) bool {
	l, err := a.Store.Link(access.HashOf(tokenOf(c.Param("token"))))
	return err == nil && l.Shoot == access.House
}

// ownerLink looks at an owner's link, without using it: whom it is for, and whether
// this browser is theirs already.
func (a *App) ownerLink(c echo.Context) (h access.Hash, o house.Owner, same bool, err error) {
	h = access.HashOf(tokenOf(c.Param("token")))
	l, err := a.Store.Link(h)
	if err != nil {
		return h, o, false, err
	}
	all, err := a.Store.Owners()
	if err != nil {
		return h, o, false, fail(codeFault, err)
	}
	o = all[house.OwnerID(l.Person)]
	if now, err := a.owner(c); err == nil && now.ID == o.ID {
		return h, o, true, nil
	}
	if err := l.Usable(a.now()); err != nil {
		return h, o, false, err
	}
	if !o.Admits(l.Epoch) {
		return h, o, false, fail(codeLinkVoid, nil)
	}
	return h, o, false, nil
}

type ownerJoinPage struct {
	frame
	Name, Say string
	Ask       bool // they have not said their name yet
	Inside    bool
}

func (a *App) showOwnerJoin(c echo.Context) error { return a.askOwner(c, http.StatusOK, "", "") }

// askOwner draws the page behind an owner's link, with what was wrong with the name.
func (a *App) askOwner(c echo.Context, status int, name, say string) error {
	_, o, same, err := a.ownerLink(c)
	if err != nil {
		return err
	}
	if same {
		return c.Redirect(http.StatusSeeOther, "/shoots")
	}
	return page(c, status, "owner.html", ownerJoinPage{frame: frame{Title: "Welcome"}, Name: cmp.Or(o.Name, name), Say: say, Ask: o.Name == "",
		Inside: insideAnother(c.Request().UserAgent())})
}

// joinOwner uses an owner's link.
func (a *App) joinOwner(c echo.Context) error {
	h, o, same, err := a.ownerLink(c)
	if err != nil {
		return err
	}
	if same {
		return c.Redirect(http.StatusSeeOther, "/shoots")
	}
	name := o.Name
	if name == "" {
		name = strings.TrimSpace(c.FormValue("name"))
		say := house.Wrong("name", name, mostName)
		if name == "" {
			say = "Write your name: people see who started their shoot."
		}
		if say != "" {
			return a.askOwner(c, http.StatusUnprocessableEntity, name, say)
		}
	}
	if _, err := a.enter(c, ownerCookie, h); err != nil {
		return err
	}
	a.Log.Info("an owner came in", "owner", o.ID)
	err = a.Store.ChangeOwner(o.ID, func(row *house.Owner) error {
		row.Name = cmp.Or(row.Name, name)
		row.Joined = cmp.Or(row.Joined, a.now())
		return nil
	})
	if err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, "/shoots")
}

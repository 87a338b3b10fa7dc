package web

import (
	"cmp"
	"encoding/json"
	"errors"
	"net/http"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"fairday/domain/shoot"
	"fairday/server/access"
	"fairday/server/house"
)

// A shoot as its owners and producers see it from outside: who produces it, and what can be done with
// it as a whole.
type shootPage struct {
	frame
	Shoot     Summary
	Stage     Stage
	Me        string // who the owner is on it, "" for nobody
	MyRole    string
	Producers []producerRow
	Made      *madeLink
	Say       string // what was wrong with an invitation
	Typed     string
}

type producerRow struct {
	ID        shoot.PersonID
	Name, Say string
}

// ownedShoot is the shoot that an owner's request is about.
func (a *App) ownedShoot(c echo.Context) (me owner, id string, s *shoot.State, err error) {
	if me, err = a.owner(c); err != nil {
		return me, "", nil, err
	}
	id = c.Param("id")
	s, err = a.stateOf(c.Request().Context(), id)
	return me, id, s, err
}

func (a *App) showShoot(c echo.Context) error { return a.drawShoot(c, http.StatusOK, shootPage{}) }

func (a *App) drawShoot(c echo.Context, status int, p shootPage) error {
	k, err := a.keeper(c)
	if err != nil {
		return err
	}
	me, id, s := k.me, k.shoot, k.state
	rows, err := a.Store.Shelf()
	if err != nil {
		return fail(codeFault, err)
	}
	p.Shoot = summarise(id, s)
	p.Shoot.Row = rows[id]
	p.Stage = p.Shoot.Stage(a.Now())
	p.frame = frame{Title: p.Shoot.Title, Owner: k.owner()}
	own, err := a.ownOn(id, me, s)
	if err != nil {
		return err
	}
	if own != "" {
		who := s.Floor.People[own]
		p.Me, p.MyRole = who.Name, strings.ToLower(who.Role.Label())
	}
	joined, err := a.Store.Sessions(id, a.now())
	if err != nil {
		return fail(codeFault, err)
	}
	for _, who := range s.Floor.People {
		if who.Role != shoot.Producer || who.Revoked {
			continue
		}
		row := producerRow{who.ID, who.Name, "Has not joined yet."}
		for _, k := range joined {
			if k.Person == who.ID && k.Epoch == who.Epoch {
				row.Say = "Has joined."
			}
		}
		p.Producers = append(p.Producers, row)
	}
	slices.SortFunc(p.Producers, func(x, y producerRow) int { return cmp.Or(cmp.Compare(x.Name, y.Name), cmp.Compare(x.ID, y.ID)) })
	return page(c, status, "shoot.html", p)
}

// enterShoot makes this browser the owner's own person on a shoot, whom it puts on it
// as a producer where they are not yet.
func (a *App) enterShoot(c echo.Context) error {
	me, id, s, err := a.ownedShoot(c)
	if err != nil {
		return err
	}
	if err := a.open(id); err != nil {
		return err
	}
	own, err := a.ownOn(id, me, s)
	if err != nil {
		return err
	}
	if own == "" {
		if own, err = a.putOn(c, id, me.Name); err != nil {
			return err
		}
		err := a.Store.ChangeShelved(id, func(row *house.Shelved) error {
			if row.Known == nil {
				row.Known = map[house.OwnerID]shoot.PersonID{}
			}
			row.Known[me.ID] = own
			return nil
		})
		if err != nil {
			return err
		}
	}
	address, err := a.Invite("", access.Link{Shoot: id, Person: own, Epoch: s.Floor.People[own].Epoch, By: shoot.Desk})
	if err != nil {
		return err
	}
	if _, err := a.enter(c, cookieName, access.HashOf(strings.TrimPrefix(address, "/join/"))); err != nil {
		return err
	}
	if len(s.Floor.Shots) == 0 { // there is nothing to look at yet, and much to enter
		return c.Redirect(http.StatusSeeOther, "/#plan")
	}
	return c.Redirect(http.StatusSeeOther, "/")
}

// putOn puts a producer on a shoot. The error may be a *shoot.Refusal.
func (a *App) putOn(c echo.Context, id, name string) (shoot.PersonID, error) {
	person, err := a.Shoots.NewID()
	if err != nil {
		return "", fail(codeFault, err)
	}
	in, err := a.intent("person.set", map[string]any{"id": person, "name": name, "role": shoot.Producer, "department": "", "job": "", "phone": ""})
	if err != nil {
		return "", err
	}
	return shoot.PersonID(person), a.Shoots.Record(c.Request().Context(), id, []shoot.Intent{in})
}

// intent makes an intent of the server's own.
func (a *App) intent(name string, args any) (shoot.Intent, error) {
	id, err := a.Shoots.NewID()
	if err != nil {
		return shoot.Intent{}, fail(codeFault, err)
	}
	raw, err := json.Marshal(args)
	if err != nil {
		return shoot.Intent{}, fail(codeFault, err)
	}
	return shoot.Intent{ID: shoot.IntentID(id), Name: name, Version: shoot.Version(name), Args: raw, Actor: shoot.Desk, Happened: a.now(), Received: a.now()}, nil
}

// inviteProducer makes a join link for a producer of a shoot, or for a new one.
func (a *App) inviteProducer(c echo.Context) error {
	k, err := a.keeper(c)
	if err != nil {
		return err
	}
	id, s := k.shoot, k.state
	if err := a.open(id); err != nil {
		return err
	}
	person := shoot.PersonID(c.FormValue("person"))
	if person == "" {
		name := strings.TrimSpace(c.FormValue("name"))
		say := house.Wrong("name", name, mostName)
		if say == "" {
			var refusal *shoot.Refusal
			switch person, err = a.putOn(c, id, name); {
			case errors.As(err, &refusal):
				say = refusal.Say
			case err != nil:
				return err
			}
		}
		if say != "" {
			return a.drawShoot(c, http.StatusUnprocessableEntity, shootPage{Say: say, Typed: name})
		}
		if s, err = a.stateOf(c.Request().Context(), id); err != nil {
			return err
		}
	}
	who, ok := s.Floor.People[person]
	if !ok || who.Revoked || who.Role != shoot.Producer { // whom else to let in is for the producer to say
		return fail(codeNoPerson, nil)
	}
	address, err := a.Invite(a.baseOf(c.Request()), access.Link{Shoot: id, Person: who.ID, Epoch: who.Epoch, By: shoot.Desk})
	if err != nil {
		return err
	}
	link, err := made(who.Name, address)
	if err != nil {
		return err
	}
	return a.drawShoot(c, http.StatusOK, shootPage{Made: link})
}

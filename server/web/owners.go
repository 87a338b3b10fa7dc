package web

import (
	"html/template"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"fairday/server/access"
	"fairday/server/house"
)

// The list of owners, who let each other in.

// leaveHouse signs an owner out of this browser.
func (a *App) leaveHouse(c echo.Context) error {
	o, err := a.owner(c)
	if err != nil {
		return err
	}
	if err := a.signOut(o.hash); err != nil {
		return err
	}
	a.dropCookie(c, ownerCookie)
	return page(c, http.StatusOK, "problem.html", problemPage{frame{Title: "You are signed out"}, "To come back, ask another owner for a link, or run “fairday owner” on the server.", false})
}

// An owner as the list of owners shows them.
type ownerRow struct {
	house.Owner
	Me   bool
	Say  string
	Last bool // the only one, who has to stay
}

type ownersPage struct {
	frame
	Owners []ownerRow
	Made   *madeLink
	Say    string
	Typed  string
}

// owners lists the owners.
func (a *App) owners(c echo.Context) error { return a.showOwners(c, http.StatusOK, ownersPage{}) }

func (a *App) showOwners(c echo.Context, status int, p ownersPage) error {
	me, err := a.owner(c)
	if err != nil {
		return err
	}
	all, err := a.Store.Owners()
	if err != nil {
		return fail(codeFault, err)
	}
	in := 0
	for _, o := range all {
		if !o.Ended && o.Joined != 0 {
			in++
		}
	}
	for _, o := range house.InOrder(all) {
		if o.Ended {
			continue
		}
		row := ownerRow{Owner: o, Me: o.ID == me.ID, Say: "Has not come in yet.", Last: o.Joined != 0 && in == 1}
		if o.Joined != 0 {
			row.Say = "Since " + o.Joined.Time().Format("2 January 2006") + "."
		}
		p.Owners = append(p.Owners, row)
	}
	p.frame = frame{Title: "Owners", Owner: true}
	return page(c, status, "owners.html", p)
}

// inviteOwner makes a link for a new owner, or a new one for an owner.
func (a *App) inviteOwner(c echo.Context) error {
	if _, err := a.owner(c); err != nil {
		return err
	}
	o, err := a.ownerNamed(c)
	if err != nil {
		return err
	}
	if o.ID == "" {
		name := strings.TrimSpace(c.FormValue("name"))
		say := house.Wrong("name", name, mostName)
		if name == "" {
			say = "Write the name of the new owner."
		}
		if say != "" {
			return a.showOwners(c, http.StatusUnprocessableEntity, ownersPage{Say: say, Typed: name})
		}
		if o, err = a.NewOwner(name); err != nil {
			return err
		}
	}
	address, err := a.InviteOwner(a.baseOf(c.Request()), o)
	if err != nil {
		return err
	}
	link, err := made(o.Name, address)
	if err != nil {
		return err
	}
	return a.showOwners(c, http.StatusOK, ownersPage{Made: link})
}

// ownerNamed is the owner that a form is about, empty where it names none.
func (a *App) ownerNamed(c echo.Context) (house.Owner, error) {
	id := house.OwnerID(c.FormValue("owner"))
	if id == "" {
		return house.Owner{}, nil
	}
	all, err := a.Store.Owners()
	if err != nil {
		return house.Owner{}, fail(codeFault, err)
	}
	o, ok := all[id]
	if !ok || o.Ended {
		return o, fail(codeNoPerson, nil)
	}
	return o, nil
}

// madeLink is a link that was just made, as a page shows it.
type madeLink struct {
	Name, URL string
	Picture   template.HTML
}

// made dresses an address that was made for somebody.
func made(name, address string) (*madeLink, error) {
	image, err := QRImage(address)
	if err != nil {
		return nil, fail(codeFault, err)
	}
	return &madeLink{name, address, image}, nil
}

// endOwner ends another owner's access.
func (a *App) endOwner(c echo.Context) error {
	me, err := a.owner(c)
	if err != nil {
		return err
	}
	o, err := a.ownerNamed(c)
	if err != nil {
		return err
	}
	if o.ID == "" || o.ID == me.ID { // whoever is left can always let others in
		return fail(codeLastOwner, nil)
	}
	if err := a.Store.ChangeOwner(o.ID, func(row *house.Owner) error { row.Epoch++; row.Ended = true; return nil }); err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, "/shoots/owners")
}

// signOutOwner ends the sessions that an owner has in other browsers.
func (a *App) signOutOwner(c echo.Context) error {
	me, err := a.owner(c)
	if err != nil {
		return err
	}
	o, err := a.ownerNamed(c)
	if err != nil {
		return err
	}
	all, err := a.Store.Sessions(access.House, a.now())
	if err != nil {
		return fail(codeFault, err)
	}
	var ended []access.Hash
	for h, s := range all {
		if s.Person == o.Pass() && h != me.hash {
			ended = append(ended, h)
		}
	}
	if err := a.signOut(ended...); err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, "/shoots/owners")
}

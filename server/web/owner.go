package web

import (
	"cmp"
	"html/template"
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

package web

import (
	"cmp"
	"context"
	"net/http"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"fairday/domain/shoot"
	"fairday/domain/view/office"
	"fairday/server/house"
)

// The people whom a house would work with again. Owners and producers see them, with
// what they worked for last and a note; nobody else does. What they eat is not kept:
// they are asked anew.

// trusting is who may see them: an owner, or a producer, of whose shoot people can be
// remembered and put on.
type trusting struct {
	owner  bool
	member *visitor // nil where this browser is no producer's
}

func (a *App) trusting(c echo.Context) (t trusting, err error) {
	_, err = a.owner(c)
	t.owner = err == nil
	if v, vErr := a.producer(c); vErr == nil {
		t.member, err = &v, nil
	} else if !t.owner && problemOf(vErr).Code == codeNotAllowed {
		err = vErr
	}
	return t, err
}

// A person as the list shows them.
type personRow struct {
	house.Person
	Does, Pay string
	On        bool // is on the producer's shoot
}

type peoplePage struct {
	frame
	Rows   []personRow
	Shoot  string         // title of the producer's shoot, "" where it is nobody's
	Others []shoot.Person // who are on it and not on the list
	Wrong  string
	About  shoot.PersonID // whom that is about
	Typed  string
	Said   []string // what was done
}

// people lists them.
func (a *App) people(c echo.Context) error { return a.drawPeople(c, http.StatusOK, peoplePage{}) }

func (a *App) drawPeople(c echo.Context, status int, p peoplePage) error {
	t, err := a.trusting(c)
	if err != nil {
		return err
	}
	known, err := a.knownPeople()
	if err != nil {
		return err
	}
	var on []shoot.Person
	if t.member != nil {
		p.Shoot = t.member.Title
		if on, err = peopleOf(c.Request().Context(), t.member); err != nil {
			return err
		}
	}
	for _, one := range known {
		row := personRow{Person: one, Does: cmp.Or(one.Job, one.Role.Label())}
		if one.Terms != nil {
			row.Pay = office.Rate(one.Terms.Terms)
		}
		row.On = slices.ContainsFunc(on, func(who shoot.Person) bool { return one.Same(who.Name, who.Phone) })
		p.Rows = append(p.Rows, row)
	}
	for _, who := range on {
		if !slices.ContainsFunc(known, func(one house.Person) bool { return one.Same(who.Name, who.Phone) }) {
			p.Others = append(p.Others, who)
		}
	}
	p.frame = frame{Title: "People", Owner: t.owner}
	return page(c, status, "people.html", p)
}

// knownPeople lists who is remembered, by name.
func (a *App) knownPeople() ([]house.Person, error) {
	all, err := a.Store.People()
	if err != nil {
		return nil, fail(codeFault, err)
	}
	var out []house.Person
	for _, p := range all {
		out = append(out, p)
	}
	slices.SortFunc(out, func(x, y house.Person) int { return cmp.Or(cmp.Compare(x.Name, y.Name), cmp.Compare(x.ID, y.ID)) })
	return out, nil
}

// peopleOf lists who is on a producer's shoot.
func peopleOf(ctx context.Context, v *visitor) (out []shoot.Person, err error) {
	err = v.runner.Ask(ctx, func(s *shoot.State) error {
		for _, p := range s.Floor.People {
			if !p.Revoked {
				out = append(out, p)
			}
		}
		return nil
	})
	slices.SortFunc(out, func(x, y shoot.Person) int { return cmp.Or(cmp.Compare(x.Name, y.Name), cmp.Compare(x.ID, y.ID)) })
	return out, err
}

// chosen are the people that a form names.
func chosen(c echo.Context) (out []shoot.PersonID, err error) {
	form, err := c.FormParams()
	if err != nil {
		return nil, fail(CodeMalformed, err)
	}
	for _, id := range form["person"] {
		out = append(out, shoot.PersonID(id))
	}
	return out, nil
}

// rememberPeople remembers people of the producer's shoot, with their terms; who is
// remembered already is brought up to date, and keeps the note.
func (a *App) rememberPeople(c echo.Context) error {
	t, err := a.trusting(c)
	if err != nil {
		return err
	}
	if t.member == nil {
		return fail(codeNotAllowed, nil)
	}
	ids, err := chosen(c)
	if err != nil {
		return err
	}
	known, err := a.knownPeople()
	if err != nil {
		return err
	}
	var rows []house.Person
	err = t.member.runner.Ask(c.Request().Context(), func(s *shoot.State) error {
		for _, id := range ids {
			who, ok := s.Floor.People[id]
			if !ok || who.Revoked {
				continue
			}
			row := house.Person{ID: id, Name: who.Name, Role: who.Role, Department: who.Department, Job: who.Job, Phone: who.Phone,
				Last: s.Floor.Shoot.Title, Since: a.now()}
			if terms, ok := s.Money.Terms[id]; ok {
				terms.Employee.NoRest = nil // days of that shoot
				row.Terms = &terms
			}
			rows = append(rows, row)
		}
		return nil
	})
	if err != nil {
		return err
	}
	for _, row := range rows {
		for _, one := range known {
			if one.Same(row.Name, row.Phone) {
				row.ID = one.ID
			}
		}
		err := a.Store.ChangePerson(row.ID, func(was *house.Person) error {
			row.Note, row.Phone = was.Note, cmp.Or(row.Phone, was.Phone)
			if row.Terms == nil {
				row.Terms = was.Terms
			}
			*was = row
			return nil
		})
		if err != nil {
			return err
		}
	}
	return c.Redirect(http.StatusSeeOther, "/shoots/people")
}

// notePerson writes the note about somebody.
func (a *App) notePerson(c echo.Context) error {
	if _, err := a.trusting(c); err != nil {
		return err
	}
	id, note := shoot.PersonID(c.FormValue("person")), strings.TrimSpace(strings.ReplaceAll(c.FormValue("note"), "\r\n", "\n"))
	if say := house.Wrong("note", note, house.MostNote); say != "" {
		return a.drawPeople(c, http.StatusUnprocessableEntity, peoplePage{Wrong: say, About: id, Typed: note})
	}
	err := a.Store.ChangePerson(id, func(row *house.Person) error {
		if row.ID == "" {
			return fail(codeNoPerson, nil)
		}
		row.Note = note
		return nil
	})
	if err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, "/shoots/people")
}

// forgetPerson takes somebody off the list.
func (a *App) forgetPerson(c echo.Context) error {
	if _, err := a.trusting(c); err != nil {
		return err
	}
	if err := a.Store.ForgetPerson(shoot.PersonID(c.FormValue("person"))); err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, "/shoots/people")
}

package office

import (
	"errors"

	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/view/day"
	"fairday/domain/view/viewtest"
)

// The shoot of package viewtest, by short names.
const (
	date1 = viewtest.Date1
)

type (
	obj   = viewtest.Obj
	stage = viewtest.Stage
)

var (
	actions  = viewtest.Actions
	barn     = viewtest.Barn
	clock    = viewtest.Clock
	contains = viewtest.Contains
	day1     = viewtest.Day1
	find     = viewtest.Find
	id       = viewtest.ID
	lamp     = viewtest.Lamp
	lunch    = viewtest.Lunch
	person   = viewtest.Person
	same     = viewtest.Same
	shot1    = viewtest.Shot1
	shot3    = viewtest.Shot3
	shot4    = viewtest.Shot4
	newStage = viewtest.NewStage
)

// shown makes a screen as one role sees it.
func shown[M any](st *stage, r shoot.Role, at string, screen view.Screen, of ...string) *M {
	st.T.Helper()
	c := Context{Context: view.Context{Me: person(r), Now: clock(at)}}
	for _, id := range of {
		c.Of = id
	}
	s := st.State.For(shoot.Audience{Person: c.Me, Role: r})
	v, err := Make(string(screen), s, c)
	if err != nil {
		v, err = day.Make(string(screen), s, day.Context{Context: c.Context})
	}
	if err != nil {
		st.T.Fatal(err)
	}
	m, ok := v.(*M)
	if !ok {
		st.T.Fatalf("%s is a %T", screen, v)
	}
	return m
}

// refused makes sure that a screen is made for nobody of a role.
func refused(st *stage, r shoot.Role, screen view.Screen) {
	st.T.Helper()
	c := Context{Context: view.Context{Me: person(r), Now: clock("09:00")}, Of: string(person(shoot.Crew))}
	v, err := Make(string(screen), st.State.For(shoot.Audience{Person: c.Me, Role: r, Desk: true}), c)
	var e *view.Error
	if v != nil || !errors.As(err, &e) || e.Code != view.CodeRole || e.Text == "" {
		st.T.Errorf("%s for a %s: %+v, %v", screen, r, v, err)
	}
}

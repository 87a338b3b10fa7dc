package day

import (
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/view/viewtest"
)

// The shoot of package viewtest, by short names.
const (
	date1 = viewtest.Date1
	zone  = viewtest.Zone
)

type (
	obj   = viewtest.Obj
	stage = viewtest.Stage
)

var (
	actions    = viewtest.Actions
	barn       = viewtest.Barn
	callIsNull = viewtest.CallIsNull
	clock      = viewtest.Clock
	contains   = viewtest.Contains
	day1       = viewtest.Day1
	day2       = viewtest.Day2
	find       = viewtest.Find
	has        = viewtest.Has
	id         = viewtest.ID
	lamp       = viewtest.Lamp
	lunch      = viewtest.Lunch
	person     = viewtest.Person
	readLamp   = viewtest.ReadLamp
	same       = viewtest.Same
	shot1      = viewtest.Shot1
	shot2      = viewtest.Shot2
	shot3      = viewtest.Shot3
	shot4      = viewtest.Shot4
	soup       = viewtest.Soup
)

// newStage is a stage whose actions that are left for later open.
func newStage(t testing.TB) *stage {
	st := viewtest.NewStage(t)
	st.Open = func(s *shoot.State, who shoot.PersonID, at string, a view.Action) view.Action {
		return Open(a, s, looks(who, at))
	}
	return st
}

// populate is a stage with something on every screen.
func populate(t testing.TB) *stage {
	st := newStage(t)
	viewtest.Populate(st)
	return st
}

// looks is somebody who looks at a time of the first day.
func looks(who shoot.PersonID, at string) Context {
	return Context{Context: view.Context{Me: who, Now: clock(at)}}
}

// show makes a screen as one role's phone would, from what that role sees.
func show[M any](st *stage, r shoot.Role, at string, screen view.Screen, change ...func(*Context)) *M {
	st.T.Helper()
	c := looks(person(r), at)
	for _, f := range change {
		f(&c)
	}
	v, err := Make(string(screen), st.State.For(shoot.Audience{Person: c.Me, Role: r}), c)
	if err != nil {
		st.T.Fatal(err)
	}
	m, ok := v.(*M)
	if !ok {
		st.T.Fatalf("%s is a %T", screen, v)
	}
	return m
}

// shotOf finds a shot's card.
func shotOf(t testing.TB, v *Shots, number string) Shot {
	t.Helper()
	for _, g := range v.Groups {
		for _, s := range g.Shots {
			if s.Number == number {
				return s
			}
		}
	}
	t.Fatalf("no shot %s", number)
	return Shot{}
}

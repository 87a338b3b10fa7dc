package view

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/when"
)

// A small shoot of two days, built by the same Decide and Apply as any other.
const (
	date1 = when.Date("2026-11-25")
	date2 = when.Date("2026-11-26")
	zone  = when.Zone("America/New_York")
)

func id(n int) string { return shoot.NewID(when.Instant(1795600000000+n), [10]byte{9: byte(n)}) }

var (
	day1, day2                 = id(1), id(2)
	lamp, soup                 = id(31), id(32)
	shot1, shot2, shot3, shot4 = id(41), id(42), id(43), id(44)
	lunch                      = id(51)
	barn                       = id(61)
)

// person is the id of the one person who has a role.
func person(r shoot.Role) shoot.PersonID {
	for i, other := range shoot.Roles() {
		if other == r {
			return shoot.PersonID(id(11 + i))
		}
	}
	panic(r)
}

// clock is a time on the first day.
func clock(s string) when.Instant {
	c, err := when.ParseClock(s)
	if err != nil {
		panic(err)
	}
	at, err := zone.At(date1, c)
	if err != nil {
		panic(err)
	}
	return at
}

// obj is short for arguments.
type obj = map[string]any

// stage runs intents against the whole state.
type stage struct {
	t testing.TB
	s *shoot.State
	n int
}

// late runs an intent that happened earlier than it was received.
func (st *stage) late(who shoot.PersonID, happened, received when.Instant, name string, args any) (*shoot.Flag, *shoot.Refusal) {
	st.t.Helper()
	raw, err := json.Marshal(args)
	if err != nil {
		st.t.Fatal(err)
	}
	st.n++
	dec, err := shoot.Decide(st.s, shoot.Intent{ID: shoot.IntentID(id(1000 + st.n)), Name: name, Version: shoot.Version(name), Args: raw,
		Actor: who, Happened: happened, Received: received})
	var r *shoot.Refusal
	if errors.As(err, &r) {
		return nil, r
	}
	for _, e := range dec.Events {
		shoot.Apply(st.s, e)
	}
	return dec.Flag, nil
}

// do runs an intent that has to be taken, with a flag or without.
func (st *stage) do(who shoot.PersonID, at, name string, args any) {
	st.t.Helper()
	if _, r := st.late(who, clock(at), clock(at), name, args); r != nil {
		st.t.Fatalf("%s: %v", name, r)
	}
}

// press runs an action as a page would, with what is entered into its form.
func (st *stage) press(who shoot.PersonID, at string, a Action, entered map[string][]string) {
	st.t.Helper()
	a = st.open(who, at, a)
	if !a.Enabled {
		st.t.Fatalf("%q is off: %s", a.Label, a.Why)
	}
	args, err := Fill(a, entered, id(4000+st.n))
	if err != nil {
		st.t.Fatalf("%q: %v", a.Label, err)
	}
	st.do(who, at, a.Name, args)
}

// open gives an action as it is pressed.
func (st *stage) open(who shoot.PersonID, at string, a Action) Action {
	if a.Later {
		return Open(a, st.s, Context{Me: who, Now: clock(at)})
	}
	return a
}

func newStage(t testing.TB) *stage {
	st := &stage{t: t, s: shoot.New()}
	desk := func(name string, args any) { t.Helper(); st.do(shoot.Desk, "05:00", name, args) }
	desk("shoot.set", obj{"title": "Winter table", "client": "Halden & Rook", "base": 0})
	desk("day.set", obj{"id": day1, "name": "Day 1", "date": date1, "zone": zone, "base": 0})
	desk("day.set", obj{"id": day2, "name": "Day 2", "date": date2, "zone": zone, "base": 0})
	for _, r := range shoot.Roles() {
		desk("person.set", obj{"id": person(r), "name": "Pat " + r.Label(), "role": r, "department": department(r), "job": "", "phone": "555-0100", "base": 0})
	}
	desk("setup.set", obj{"id": id(21), "name": "Window table", "minutes": 20, "base": 0})
	desk("setup.set", obj{"id": id(22), "name": "Barn wall", "minutes": 0, "base": 0})
	desk("hero.set", obj{"id": lamp, "name": "Lamp", "plate": obj{"designation": "LX-20", "finish": "Brass", "size": "", "serial": ""},
		"checklist": []string{"Glass is clean"}, "needs": 2, "food": false, "holdMinutes": 0, "base": 0})
	desk("hero.set", obj{"id": soup, "name": "Soup", "plate": obj{"designation": "", "finish": "", "size": "", "serial": "B7"},
		"checklist": []string{}, "needs": 1, "food": true, "holdMinutes": 30, "base": 0})
	shot := func(id, number, setup, fallback string, heroes ...string) {
		desk("shot.set", obj{"id": id, "day": day1, "number": number, "title": "Picture " + number, "setup": setup, "minutes": 30, "priority": "must",
			"crop": "4:5", "heroes": append([]string{}, heroes...), "talent": []shoot.PersonID{person(shoot.Talent)}, "fallback": fallback, "notes": "", "base": 0})
	}
	shot(shot1, "1", id(21), "", lamp)
	shot(shot2, "2", id(21), "the soup cold", soup)
	shot(shot3, "3", id(22), "")
	shot(shot4, "10", id(21), "")
	desk("meal.set", obj{"id": lunch, "day": day1, "name": "Lunch", "at": "13:00", "minutes": 60, "margin": 2, "base": 0})
	desk("diet.set", obj{"person": person(shoot.Crew), "kind": "vegan", "allergens": []string{"milk", "celery"}, "note": "no onions"})
	desk("sheet.set", obj{"day": day1, "place": obj{"name": "The Mill", "address": "1 Water Lane"}, "generalCall": "08:00", "plannedWrap": "18:00",
		"emergency": "St Aldhelm, 12 min", "safety": "Hot lights", "notes": "", "base": 0})
	for _, r := range shoot.Roles() {
		desk("call.set", obj{"day": day1, "person": person(r), "call": "08:00", "was": nil})
	}
	desk("sheet.publish", obj{"day": day1, "number": 1})
	desk("currency.set", obj{"currency": "USD"})
	tenHours := overtime.Terms{Basis: overtime.Day, Rate: money.Of(600_00, "USD"), Included: 600, Step: 60,
		Bands: []overtime.Band{{After: 600, Times: money.Ratio{Num: 3, Den: 2}}}}
	desk("terms.set", obj{"person": person(shoot.Photographer), "terms": tenHours, "base": 0})
	nineHours := tenHours
	nineHours.Rate, nineHours.Included, nineHours.Bands = money.Of(450_00, "USD"), 540, []overtime.Band{{After: 540, Times: money.Whole(2)}}
	desk("terms.set", obj{"person": person(shoot.Crew), "terms": nineHours, "base": 0})
	desk("hire.set", obj{"id": barn, "day": day1, "name": "The barn", "from": "07:00", "terms": overtime.Terms{Basis: overtime.Hire,
		Rate: money.Of(1100_00, "USD"), Included: 660, Step: 60, Bands: []overtime.Band{{After: 660, Times: money.Ratio{Num: 3, Den: 2}}}}, "base": 0})
	return st
}

func department(r shoot.Role) string {
	switch r {
	case shoot.Photographer, shoot.Digitech:
		return "Camera"
	case shoot.PropStylist, shoot.FoodStylist:
		return "Styling"
	}
	return ""
}

// show makes a screen as one role's phone would, from what that role sees.
func show[M any](st *stage, r shoot.Role, at string, screen Screen, change ...func(*Context)) *M {
	st.t.Helper()
	c := Context{Me: person(r), Now: clock(at)}
	for _, f := range change {
		f(&c)
	}
	v, err := Make(string(screen), st.s.For(shoot.Audience{Person: c.Me, Role: r}), c)
	if err != nil {
		st.t.Fatal(err)
	}
	m, ok := v.(*M)
	if !ok {
		st.t.Fatalf("%s is a %T", screen, v)
	}
	return m
}

// named finds an action by what it is called.
func find(t testing.TB, list []Action, label string) Action {
	t.Helper()
	var have []string
	for _, a := range list {
		if a.Label == label {
			return a
		}
		have = append(have, a.Label)
	}
	t.Fatalf("no action %q in %q", label, have)
	return Action{}
}

func has(list []Action, label string) bool {
	for _, a := range list {
		if a.Label == label {
			return true
		}
	}
	return false
}

// breaking makes usual spaces of those that no line breaks at, so that tests read as
// people do; TestLinesBreakBetweenFigures tells them apart.
func breaking(s string) string { return strings.ReplaceAll(s, "\u00a0", " ") }

func same(t testing.TB, what string, got, want any) {
	t.Helper()
	g, w := breaking(fmt.Sprintf("%+v", got)), fmt.Sprintf("%+v", want)
	if g != w {
		t.Errorf("%s is\n%s\nwant\n%s", what, g, w)
	}
}

func contains(t testing.TB, what, got, want string) {
	t.Helper()
	if !strings.Contains(breaking(got), want) {
		t.Errorf("%s is %q, want %q in it", what, got, want)
	}
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

var readLamp = map[string][]string{"plate.designation": {"lx-20"}, "plate.finish": {"brass"}, "checked": {"Glass is clean"}}

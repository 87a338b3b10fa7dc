// Package viewtest is a small shoot for the tests of screens, near and far, with
// what they all press, find and compare.
package viewtest

import (
	"encoding/json"
	"errors"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/when"
)

// A small shoot of two days, built by the same Decide and Apply as any other.
const (
	Date1 = when.Date("2026-11-25")
	date2 = when.Date("2026-11-26")
	Zone  = when.Zone("America/New_York")
)

// ID makes an id of a number.
func ID(n int) string { return shoot.NewID(when.Instant(1795600000000+n), [10]byte{9: byte(n)}) }

var (
	Day1, Day2                 = ID(1), ID(2)
	Lamp, Soup                 = ID(31), ID(32)
	Shot1, Shot2, Shot3, Shot4 = ID(41), ID(42), ID(43), ID(44)
	Lunch                      = ID(51)
	Barn                       = ID(61)
)

// Person is the id of the one person who has a role.
func Person(r shoot.Role) shoot.PersonID {
	for i, other := range shoot.Roles() {
		if other == r {
			return shoot.PersonID(ID(11 + i))
		}
	}
	panic(r)
}

// Clock is a time on the first day.
func Clock(s string) when.Instant {
	c, err := when.ParseClock(s)
	if err != nil {
		panic(err)
	}
	at, err := Zone.At(Date1, c)
	if err != nil {
		panic(err)
	}
	return at
}

// Obj is short for arguments.
type Obj = map[string]any

// Stage runs intents against the whole state.
type Stage struct {
	T     testing.TB
	State *shoot.State
	N     int                                                                            // intents so far, for ids
	Open  func(s *shoot.State, who shoot.PersonID, at string, a view.Action) view.Action // what was left for later; nil where nothing is
}

// Late runs an intent that happened earlier than it was received.
func (st *Stage) Late(who shoot.PersonID, happened, received when.Instant, name string, args any) (*shoot.Flag, *shoot.Refusal) {
	st.T.Helper()
	raw, err := json.Marshal(args)
	if err != nil {
		st.T.Fatal(err)
	}
	st.N++
	dec, err := shoot.Decide(st.State, shoot.Intent{ID: shoot.IntentID(ID(1000 + st.N)), Name: name, Version: shoot.Version(name), Args: raw,
		Actor: who, Happened: happened, Received: received})
	var r *shoot.Refusal
	if errors.As(err, &r) {
		return nil, r
	}
	for _, e := range dec.Events {
		shoot.Apply(st.State, e)
	}
	return dec.Flag, nil
}

// Do runs an intent that has to be taken, with a flag or without.
func (st *Stage) Do(who shoot.PersonID, at, name string, args any) {
	st.T.Helper()
	if _, r := st.Late(who, Clock(at), Clock(at), name, args); r != nil {
		st.T.Fatalf("%s: %v", name, r)
	}
}

// Press runs an action as a page would, with what is entered into its form.
func (st *Stage) Press(who shoot.PersonID, at string, a view.Action, entered map[string][]string) {
	st.T.Helper()
	a = st.Opened(who, at, a)
	if !a.Enabled {
		st.T.Fatalf("%q is off: %s", a.Label, a.Why)
	}
	args, err := view.Fill(a, entered, ID(4000+st.N))
	if err != nil {
		st.T.Fatalf("%q: %v", a.Label, err)
	}
	st.Do(who, at, a.Name, args)
}

// Opened gives an action as it is pressed.
func (st *Stage) Opened(who shoot.PersonID, at string, a view.Action) view.Action {
	if a.Later {
		return st.Open(st.State, who, at, a)
	}
	return a
}

// NewStage is the shoot as it was planned.
func NewStage(t testing.TB) *Stage {
	st := &Stage{T: t, State: shoot.New()}
	desk := func(name string, args any) { t.Helper(); st.Do(shoot.Desk, "05:00", name, args) }
	desk("shoot.set", Obj{"title": "Winter table", "client": "Halden & Rook", "base": 0})
	desk("day.set", Obj{"id": Day1, "name": "Day 1", "date": Date1, "zone": Zone, "base": 0})
	desk("day.set", Obj{"id": Day2, "name": "Day 2", "date": date2, "zone": Zone, "base": 0})
	for _, r := range shoot.Roles() {
		desk("person.set", Obj{"id": Person(r), "name": "Pat " + r.Label(), "role": r, "department": department(r), "job": "", "phone": "555-0100", "base": 0})
	}
	desk("setup.set", Obj{"id": ID(21), "name": "Window table", "minutes": 20, "base": 0})
	desk("setup.set", Obj{"id": ID(22), "name": "Barn wall", "minutes": 0, "base": 0})
	desk("hero.set", Obj{"id": Lamp, "name": "Lamp", "plate": Obj{"designation": "LX-20", "finish": "Brass", "size": "", "serial": ""},
		"checklist": []string{"Glass is clean"}, "needs": 2, "food": false, "holdMinutes": 0, "base": 0})
	desk("hero.set", Obj{"id": Soup, "name": "Soup", "plate": Obj{"designation": "", "finish": "", "size": "", "serial": "B7"},
		"checklist": []string{}, "needs": 1, "food": true, "holdMinutes": 30, "base": 0})
	shot := func(id, number, setup, fallback string, heroes ...string) {
		desk("shot.set", Obj{"id": id, "day": Day1, "number": number, "title": "Picture " + number, "setup": setup, "minutes": 30, "priority": "must",
			"crop": "4:5", "heroes": append([]string{}, heroes...), "talent": []shoot.PersonID{Person(shoot.Talent)}, "fallback": fallback, "notes": "", "base": 0})
	}
	shot(Shot1, "1", ID(21), "", Lamp)
	shot(Shot2, "2", ID(21), "the soup cold", Soup)
	shot(Shot3, "3", ID(22), "")
	shot(Shot4, "10", ID(21), "")
	desk("meal.set", Obj{"id": Lunch, "day": Day1, "name": "Lunch", "at": "13:00", "minutes": 60, "margin": 2, "base": 0})
	desk("diet.set", Obj{"person": Person(shoot.Crew), "kinds": []string{"vegan"}, "allergens": []string{"milk", "celery"}, "note": "no onions"})
	desk("sheet.set", Obj{"day": Day1, "place": Obj{"name": "The Mill", "address": "1 Water Lane"}, "generalCall": "08:00", "plannedWrap": "18:00",
		"emergency": "St Aldhelm, 12 min", "safety": "Hot lights", "notes": "", "base": 0})
	for _, r := range shoot.Roles() {
		desk("call.set", Obj{"day": Day1, "person": Person(r), "call": "08:00", "was": nil})
	}
	desk("sheet.publish", Obj{"day": Day1, "number": 1})
	desk("currency.set", Obj{"currency": "USD"})
	tenHours := overtime.Terms{Basis: overtime.Day, Rate: money.Of(600_00, "USD"), Included: 600, Step: 60,
		Bands: []overtime.Band{{After: 600, Times: money.Ratio{Num: 3, Den: 2}}}}
	desk("terms.set", Obj{"person": Person(shoot.Photographer), "terms": tenHours, "base": 0})
	nineHours := tenHours
	nineHours.Rate, nineHours.Included, nineHours.Bands = money.Of(450_00, "USD"), 540, []overtime.Band{{After: 540, Times: money.Whole(2)}}
	desk("terms.set", Obj{"person": Person(shoot.Crew), "terms": nineHours, "base": 0})
	desk("hire.set", Obj{"id": Barn, "day": Day1, "name": "The barn", "from": "07:00", "terms": overtime.Terms{Basis: overtime.Hire,
		Rate: money.Of(1100_00, "USD"), Included: 660, Step: 60, Bands: []overtime.Band{{After: 660, Times: money.Ratio{Num: 3, Den: 2}}}}, "base": 0})
	st.Gather("05:00")
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

// Find finds an action by what it is called.
func Find(t testing.TB, list []view.Action, label string) view.Action {
	t.Helper()
	var have []string
	for _, a := range list {
		if a.Label == label {
			return a
		}
		have = append(have, a.Label)
	}
	t.Fatalf("no action %q in %q", label, have)
	return view.Action{}
}

// Has tells whether an action is called so.
func Has(list []view.Action, label string) bool {
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

// Same compares what two things look like in print.
func Same(t testing.TB, what string, got, want any) {
	t.Helper()
	g, w := breaking(fmt.Sprintf("%+v", got)), fmt.Sprintf("%+v", want)
	if g != w {
		t.Errorf("%s is\n%s\nwant\n%s", what, g, w)
	}
}

// Contains looks for a text within another.
func Contains(t testing.TB, what, got, want string) {
	t.Helper()
	if !strings.Contains(breaking(got), want) {
		t.Errorf("%s is %q, want %q in it", what, got, want)
	}
}

// ReadLamp is what is entered of the lamp's plate.
var ReadLamp = map[string][]string{"plate.designation": {"lx-20"}, "plate.finish": {"brass"}, "checked": {"Glass is clean"}}

// CallIsNull is the null that is meant: not called, and nobody who has to go.
var CallIsNull = regexp.MustCompile(`"(was|call|until)":null`)

// Gather has the desk count the covers, as it does each quarter of an hour.
func (st *Stage) Gather(at string) {
	st.T.Helper()
	if st.State.CoversDue(Clock(at), false) {
		st.Do(shoot.Desk, at, "covers.count", Obj{"first": false})
	}
}

// Populate puts something on every screen.
func Populate(st *Stage) {
	ada, art, cam, crew := Person(shoot.Producer), Person(shoot.ArtDirector), Person(shoot.Photographer), Person(shoot.Crew)
	st.Do(ada, "08:00", "punch", Obj{"day": Day1, "people": []shoot.PersonID{ada, art, cam, crew}, "kind": "in"})
	st.Do(crew, "08:01", "sheet.seen", Obj{"day": Day1, "number": 1})
	st.Do(art, "09:00", "shot.open", Obj{"shot": Shot3})
	st.Do(cam, "09:30", "shot.capture", Obj{"shot": Shot3, "frames": "A001-A040"})
	st.Do(cam, "09:40", "shot.capture", Obj{"shot": Shot1, "frames": ""})
	st.Do(crew, "10:00", "punch", Obj{"day": Day1, "people": []shoot.PersonID{crew}, "kind": "in"})
	st.Do(Person(shoot.FoodStylist), "12:50", "hero.read", Obj{"hero": Soup, "plate": Obj{"serial": "B8"}, "checked": []string{}})
	st.Do(Person(shoot.Caterer), "12:00", "meal.count", Obj{"meal": Lunch})
	st.Do(Person(shoot.Caterer), "13:00", "meal.start", Obj{"meal": Lunch})
	st.Do(ada, "14:00", "overtime.approve", Obj{"id": ID(901), "day": Day1, "until": Clock("19:00"), "amount": Obj{"minor": 77700, "currency": "USD"}, "note": "twice 777"})
}

// Actions finds every action in a model.
func Actions(t testing.TB, raw json.RawMessage) (out []view.Action) {
	var a view.Action
	var obj map[string]json.RawMessage
	var list []json.RawMessage
	if json.Unmarshal(raw, &obj) == nil {
		if _, is := obj["enabled"]; is {
			if err := json.Unmarshal(raw, &a); err != nil {
				t.Fatal(err)
			}
			return []view.Action{a}
		}
		for _, v := range obj {
			out = append(out, Actions(t, v)...)
		}
	} else if json.Unmarshal(raw, &list) == nil {
		for _, v := range list {
			out = append(out, Actions(t, v)...)
		}
	}
	return out
}

// Punched signs somebody in and out on the first day.
func (st *Stage) Punched(p shoot.PersonID, in, out string) {
	st.Do(p, in, "punch", Obj{"day": Day1, "people": []shoot.PersonID{p}, "kind": "in"})
	st.Do(p, out, "punch", Obj{"day": Day1, "people": []shoot.PersonID{p}, "kind": "out"})
}

// Employ sets a person's terms and the law they are employed under.
func (st *Stage) Employ(r shoot.Role, terms overtime.Terms, e shoot.Employee) {
	st.Do(Person(shoot.Producer), "05:30", "terms.set", Obj{"person": Person(r), "terms": terms, "employee": e, "base": st.State.Money.Terms[Person(r)].Version})
}

// DayTwo calls the crew for the second day.
func (st *Stage) DayTwo(call, wrap string) { st.calledOn(Day2, call, wrap) }

// calledOn calls the crew for a day.
func (st *Stage) calledOn(day, call, wrap string) {
	ada := Person(shoot.Producer)
	st.Do(ada, "05:40", "sheet.set", Obj{"day": day, "place": Obj{"name": "The Mill", "address": "1 Water Lane"}, "generalCall": call, "plannedWrap": wrap,
		"emergency": "", "safety": "", "notes": "", "base": 0})
	st.Do(ada, "05:40", "call.set", Obj{"day": day, "person": Person(shoot.Crew), "call": call, "was": nil})
	st.Do(ada, "05:40", "sheet.publish", Obj{"day": day, "number": 1})
}

// Week calls the crew on days of the week that the first day, a Wednesday, is
// in: from Monday on, "" for a day off.
func (st *Stage) Week(hours ...[2]string) {
	days := []string{ID(3), ID(4), Day1, Day2, ID(5), ID(6), ID(7)}
	for i, h := range hours {
		date := Date1.Add(i - 2)
		if days[i] != Day1 && days[i] != Day2 {
			st.Do(shoot.Desk, "05:00", "day.set", Obj{"id": days[i], "name": date.Weekday(), "date": date, "zone": Zone, "base": 0})
		}
		if h[0] != "" && days[i] != Day1 {
			st.calledOn(days[i], h[0], h[1])
		}
	}
}

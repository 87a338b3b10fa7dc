package view

import (
	"encoding/json"
	"errors"
	"regexp"
	"strings"
	"testing"

	"fairday/domain/shoot"
)

// callIsNull is the null that is meant: not called, and nobody who has to go.
var callIsNull = regexp.MustCompile(`"(was|call|until)":null`)

var screens = []Screen{ScreenShell, ScreenCallSheet, ScreenShots, ScreenHeroes, ScreenCatering, ScreenOvertime, ScreenSettle, ScreenHours, ScreenDay, ScreenPlan}

// populate puts something on every screen.
func populate(t testing.TB) *stage {
	st := newStage(t)
	ada, art, cam, crew := person(shoot.Producer), person(shoot.ArtDirector), person(shoot.Photographer), person(shoot.Crew)
	st.do(ada, "08:00", "punch", obj{"day": day1, "people": []shoot.PersonID{ada, art, cam, crew}, "kind": "in"})
	st.do(crew, "08:01", "sheet.seen", obj{"day": day1, "number": 1})
	st.do(art, "09:00", "shot.open", obj{"shot": shot3})
	st.do(cam, "09:30", "shot.capture", obj{"shot": shot3, "frames": "A001-A040"})
	st.do(cam, "09:40", "shot.capture", obj{"shot": shot1, "frames": ""})
	st.do(crew, "10:00", "punch", obj{"day": day1, "people": []shoot.PersonID{crew}, "kind": "in"})
	st.do(person(shoot.FoodStylist), "12:50", "hero.read", obj{"hero": soup, "plate": obj{"serial": "B8"}, "checked": []string{}})
	st.do(person(shoot.Caterer), "12:00", "meal.count", obj{"meal": lunch})
	st.do(person(shoot.Caterer), "13:00", "meal.start", obj{"meal": lunch})
	st.do(ada, "14:00", "overtime.approve", obj{"id": id(901), "day": day1, "until": clock("19:00"), "amount": obj{"minor": 77700, "currency": "USD"}, "note": "twice 777"})
	return st
}

// No amount reaches anybody but the producer, whatever is on the screen; and no
// list is null.
func TestNoAmountForAnybodyElse(t *testing.T) {
	st := populate(t)
	amount := regexp.MustCompile(`[$€£]|USD|\b\d+[.]\d\d\b|77700|60000|45000|110000|777|10000|9000\b|15000`)
	stuck := func(c *Context) {
		c.Stuck = []Stuck{{Seq: 1, Name: "shot.open", Args: json.RawMessage(`{"shot":"` + shot1 + `"}`), Made: clock("09:00"), Code: shoot.CodeHeld, Say: "Held."}}
	}
	idsOf := regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f-]{22}|17\d{11}`) // ids and instants hold any digits
	for _, r := range shoot.Roles() {
		for i, screen := range append(screens, ScreenShell) {
			c := Context{Me: person(r), Now: clock("19:30")}
			warned := i == len(screens)
			if warned {
				c.Now = clock("19:40") // of a step at 20:01
			}
			stuck(&c)
			v, err := Make(string(screen), st.s.For(shoot.Audience{Person: c.Me, Role: r}), c)
			if err != nil {
				t.Fatal(err)
			}
			b, err := json.Marshal(v)
			if err != nil {
				t.Fatal(err)
			}
			text := callIsNull.ReplaceAllString(string(b), "")
			if strings.Contains(text, "null") {
				t.Errorf("%s for %s says null", screen, r)
			}
			text = regexp.MustCompile(`took \d+[.]\d\d times`).ReplaceAllString(text, "") // the pace
			found := amount.FindString(idsOf.ReplaceAllString(text, ""))
			if wanted := r == shoot.Producer && (screen == ScreenOvertime || screen == ScreenDay || warned); (found != "") != wanted {
				t.Errorf("%s for %s: amount %q", screen, r, found)
			}
			again, _ := Make(string(screen), st.s.For(shoot.Audience{Person: c.Me, Role: r}), c)
			if twice, _ := json.Marshal(again); string(twice) != string(b) {
				t.Errorf("%s for %s is not the same twice", screen, r)
			}
		}
	}
}

// Whatever is on can be pressed: the rules refuse no button that is shown as
// available and needs no form.
func TestEnabledActionsAreTaken(t *testing.T) {
	st := populate(t)
	for _, r := range shoot.Roles() {
		for _, screen := range screens {
			c := Context{Me: person(r), Now: clock("13:20")}
			v, err := Make(string(screen), st.s.For(shoot.Audience{Person: c.Me, Role: r}), c)
			if err != nil {
				t.Fatal(err)
			}
			b, _ := json.Marshal(v)
			for _, a := range actions(t, b) {
				if (a.Why == "") != a.Enabled {
					t.Errorf("%s for %s: %q is on=%v, why %q", screen, r, a.Label, a.Enabled, a.Why)
				}
				if a.Enabled && a.Later {
					a = Open(a, st.s, c)
				}
				if !a.Enabled || a.Form != nil {
					continue
				}
				_, err := shoot.Decide(st.s, shoot.Intent{ID: "x", Name: a.Name, Version: shoot.Version(a.Name), Args: a.Args, Actor: c.Me, Happened: c.Now, Received: c.Now})
				if err != nil {
					t.Errorf("%s for %s: %q is on and refused: %v", screen, r, a.Label, err)
				}
			}
		}
	}
}

// actions finds every action in a model.
func actions(t testing.TB, raw json.RawMessage) (out []Action) {
	var a Action
	var obj map[string]json.RawMessage
	var list []json.RawMessage
	if json.Unmarshal(raw, &obj) == nil {
		if _, is := obj["enabled"]; is {
			if err := json.Unmarshal(raw, &a); err != nil {
				t.Fatal(err)
			}
			return []Action{a}
		}
		for _, v := range obj {
			out = append(out, actions(t, v)...)
		}
	} else if json.Unmarshal(raw, &list) == nil {
		for _, v := range list {
			out = append(out, actions(t, v)...)
		}
	}
	return out
}

func TestMakeRefusals(t *testing.T) {
	st := newStage(t)
	for _, c := range []struct {
		screen string
		me     shoot.PersonID
		code   string
	}{{"nonsense", person(shoot.Crew), CodeScreen}, {"shots", "nobody", CodePerson}, {"", person(shoot.Crew), CodeScreen}} {
		v, err := Make(c.screen, st.s, Context{Me: c.me, Now: clock("09:00")})
		var e *Error
		if v != nil || !errors.As(err, &e) || e.Code != c.code || !strings.HasSuffix(e.Text, ".") {
			t.Errorf("%q for %q: %v, %v", c.screen, c.me, v, err)
		}
	}
}

// An empty shoot has every screen too.
func TestShootWithoutADay(t *testing.T) {
	s := shoot.New()
	me := person(shoot.Producer)
	s.Floor.People[me] = shoot.Person{ID: me, Name: "Ada", Role: shoot.Producer}
	for _, screen := range screens {
		v, err := Make(string(screen), s, Context{Me: me, Now: clock("09:00")})
		if err != nil {
			t.Fatal(err)
		}
		if b, err := json.Marshal(v); err != nil || strings.Contains(string(b), "null") {
			t.Errorf("%s: %s %v", screen, b, err)
		}
	}
}

func TestShell(t *testing.T) {
	st := populate(t)
	for _, c := range []struct {
		role  shoot.Role
		opens Screen
		tabs  string
	}{
		{shoot.Producer, ScreenOvertime, "Call sheet, Shots, Heroes, Catering, Overtime, Settle 2"},
		{shoot.ArtDirector, ScreenShots, "Call sheet, Shots, Heroes, Catering, Settle 2"},
		{shoot.Digitech, ScreenShots, "Call sheet, Shots, Heroes, Catering"},
		{shoot.FoodStylist, ScreenHeroes, "Call sheet, Shots, Heroes, Catering"},
		{shoot.Client, ScreenHeroes, "Call sheet, Shots, Heroes, Catering"},
		{shoot.Caterer, ScreenCatering, "Call sheet, Catering"},
		{shoot.Crew, ScreenCallSheet, "Call sheet, Shots, Catering"},
	} {
		v := show[Shell](st, c.role, "10:00", ScreenShell, func(c *Context) { c.Waiting = 3 })
		var tabs []string
		for _, tab := range v.Tabs {
			if tab.Under != "" {
				continue
			}
			tabs = append(tabs, strings.TrimSpace(tab.Label+" "+tab.Count))
		}
		same(t, string(c.role)+"'s tabs", strings.Join(tabs, ", "), c.tabs)
		same(t, string(c.role)+" opens", v.Opens, c.opens)
		same(t, "waiting", v.Waiting, "3 edits wait on this phone")
	}
	v := show[Shell](st, shoot.Crew, "10:00", ScreenShell, func(c *Context) { c.Stuck = []Stuck{{Seq: 1, Name: "punch"}} })
	same(t, "crew with a refused edit", v.Tabs[len(v.Tabs)-1].Say, "1 to settle")
}

func TestToday(t *testing.T) {
	st := newStage(t)
	for _, c := range []struct{ now, day, words string }{
		{"00:00", "Day 1", "today, to come"},
		{"23:59", "Day 1", "today, to come"},
		{"24:00", "Day 2", "past, today"},
		{"47:59", "Day 2", "past, today"},
	} {
		v := show[Shell](st, shoot.Crew, c.now, ScreenShell)
		same(t, c.now, v.Day.Name+": "+v.Days[0].Word+", "+v.Days[1].Word, c.day+": "+c.words)
	}
	before := show[Shell](st, shoot.Crew, "00:00", ScreenShell, func(c *Context) { c.Now -= 1 })
	same(t, "the day before", before.Day.Name, "Day 1")
	after := show[Shell](st, shoot.Crew, "47:59", ScreenShell, func(c *Context) { c.Now += 60_000 })
	same(t, "the day after", after.Day.Name+" "+after.Days[1].Word, "Day 2 past")
}

// A day that runs past midnight is today for as long as somebody works on it.
func TestTodayRunsPastMidnight(t *testing.T) {
	st := newStage(t)
	crew := person(shoot.Crew)
	st.do(crew, "20:00", "punch", obj{"day": day1, "people": []shoot.PersonID{crew}, "kind": "in"})
	same(t, "at work", show[Shell](st, shoot.Crew, "25:10", ScreenShell).Day.Name, "Day 1")
	same(t, "forgotten", show[Shell](st, shoot.Crew, "40:00", ScreenShell).Day.Name, "Day 2")
	st.do(crew, "25:15", "punch", obj{"day": day1, "people": []shoot.PersonID{crew}, "kind": "out"})
	same(t, "gone home", show[Shell](st, shoot.Crew, "25:20", ScreenShell).Day.Name, "Day 2")
}

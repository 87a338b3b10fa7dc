package day

import (
	"encoding/json"
	"errors"
	"regexp"
	"strings"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/view"
)

var nearScreens = []view.Screen{view.ScreenShell, view.ScreenCallSheet, view.ScreenShots, view.ScreenHeroes, view.ScreenCatering, view.ScreenOvertime, view.ScreenSettle, view.ScreenHours, view.ScreenDay}

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
		for i, screen := range append(nearScreens, view.ScreenShell) {
			c := looks(person(r), "19:30")
			warned := i == len(nearScreens)
			if warned {
				c.Now = clock("19:40") // of a step at 20:01
			}
			stuck(&c)
			v, err := Make(string(screen), st.State.For(shoot.Audience{Person: c.Me, Role: r}), c)
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
			if wanted := r == shoot.Producer && (screen == view.ScreenOvertime || screen == view.ScreenDay || warned); (found != "") != wanted {
				t.Errorf("%s for %s: amount %q", screen, r, found)
			}
			again, _ := Make(string(screen), st.State.For(shoot.Audience{Person: c.Me, Role: r}), c)
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
		for _, screen := range nearScreens {
			c := looks(person(r), "13:20")
			v, err := Make(string(screen), st.State.For(shoot.Audience{Person: c.Me, Role: r}), c)
			if err != nil {
				t.Fatal(err)
			}
			b, _ := json.Marshal(v)
			for _, a := range actions(t, b) {
				if shoot.IsFar(a.Name) {
					t.Errorf("%s for %s: %q would have no effect on the phone", screen, r, a.Label)
				}
				if (a.Why == "") != a.Enabled {
					t.Errorf("%s for %s: %q is on=%v, why %q", screen, r, a.Label, a.Enabled, a.Why)
				}
				if a.Enabled && a.Later {
					a = Open(a, st.State, c)
				}
				if !a.Enabled || a.Form != nil {
					continue
				}
				_, err := shoot.Decide(st.State, shoot.Intent{ID: "x", Name: a.Name, Version: shoot.Version(a.Name), Args: a.Args, Actor: c.Me, Happened: c.Now, Received: c.Now})
				if err != nil {
					t.Errorf("%s for %s: %q is on and refused: %v", screen, r, a.Label, err)
				}
			}
		}
	}
}

func TestMakeRefusals(t *testing.T) {
	st := newStage(t)
	for _, c := range []struct {
		screen string
		me     shoot.PersonID
		code   string
	}{{"nonsense", person(shoot.Crew), view.CodeScreen}, {"shots", "nobody", view.CodePerson}, {"", person(shoot.Crew), view.CodeScreen}} {
		v, err := Make(c.screen, st.State, looks(c.me, "09:00"))
		var e *view.Error
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
	for _, screen := range nearScreens {
		v, err := Make(string(screen), s, looks(me, "09:00"))
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
		opens view.Screen
		tabs  string
	}{
		{shoot.Producer, view.ScreenOvertime, "Call sheet, Shots, Heroes, Catering, Overtime, Settle 2"},
		{shoot.ArtDirector, view.ScreenShots, "Call sheet, Shots, Heroes, Catering, Settle 2"},
		{shoot.Digitech, view.ScreenShots, "Call sheet, Shots, Heroes, Catering"},
		{shoot.FoodStylist, view.ScreenHeroes, "Call sheet, Shots, Heroes, Catering"},
		{shoot.Client, view.ScreenHeroes, "Call sheet, Shots, Heroes, Catering"},
		{shoot.Caterer, view.ScreenCatering, "Call sheet, Catering"},
		{shoot.Crew, view.ScreenCallSheet, "Call sheet, Shots, Catering"},
	} {
		v := show[Shell](st, c.role, "10:00", view.ScreenShell, func(c *Context) { c.Waiting = 3 })
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
	v := show[Shell](st, shoot.Crew, "10:00", view.ScreenShell, func(c *Context) { c.Stuck = []Stuck{{Seq: 1, Name: "punch"}} })
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
		v := show[Shell](st, shoot.Crew, c.now, view.ScreenShell)
		same(t, c.now, v.Day.Name+": "+v.Days[0].Word+", "+v.Days[1].Word, c.day+": "+c.words)
	}
	before := show[Shell](st, shoot.Crew, "00:00", view.ScreenShell, func(c *Context) { c.Now -= 1 })
	same(t, "the day before", before.Day.Name, "Day 1")
	after := show[Shell](st, shoot.Crew, "47:59", view.ScreenShell, func(c *Context) { c.Now += 60_000 })
	same(t, "the day after", after.Day.Name+" "+after.Days[1].Word, "Day 2 past")
}

// A day that runs past midnight is today for as long as somebody works on it.
func TestTodayRunsPastMidnight(t *testing.T) {
	st := newStage(t)
	crew := person(shoot.Crew)
	st.Do(crew, "20:00", "punch", obj{"day": day1, "people": []shoot.PersonID{crew}, "kind": "in"})
	same(t, "at work", show[Shell](st, shoot.Crew, "25:10", view.ScreenShell).Day.Name, "Day 1")
	same(t, "forgotten", show[Shell](st, shoot.Crew, "40:00", view.ScreenShell).Day.Name, "Day 2")
	st.Do(crew, "25:15", "punch", obj{"day": day1, "people": []shoot.PersonID{crew}, "kind": "out"})
	same(t, "gone home", show[Shell](st, shoot.Crew, "25:20", view.ScreenShell).Day.Name, "Day 2")
}

package view

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"fairday/domain/shoot"
)

// formOf is what a row of the plan leads to.
func formOf(st *stage, r shoot.Role, row string) Action {
	st.t.Helper()
	a := Action{Args: fields{"row": row, "day": day1}.json(), Later: true}
	return Open(a, st.s.For(shoot.Audience{Person: person(r), Role: r}), Context{Me: person(r), Now: clock("09:00")})
}

// asked is the form of a row of the plan.
func asked(st *stage, r shoot.Role, row string) Action {
	st.t.Helper()
	a := formOf(st, r, row)
	if a.Form == nil {
		st.t.Fatalf("%s has no form for %q: %s", r, row, a.Why)
	}
	return a
}

func partOf(t testing.TB, v *Plan, key string) PlanPart {
	t.Helper()
	for _, p := range v.Parts {
		if p.Key == key {
			return p
		}
	}
	t.Fatalf("the plan has no %s", key)
	return PlanPart{}
}

// Every row's form, sent as it was shown, is taken and leaves the row as it was
// but for its version.
func TestPlanSentAsShownChangesNothing(t *testing.T) {
	st := newStage(t)
	before := show[Plan](st, shoot.Producer, "09:00", ScreenPlan)
	forms := 0
	for _, part := range before.Parts {
		for _, row := range part.Rows {
			st.press(person(shoot.Producer), "09:00", find(t, row.Actions, "Change"), nil)
			forms++
		}
	}
	if forms < 20 {
		t.Errorf("only %d rows have a form", forms)
	}
	after := show[Plan](st, shoot.Producer, "09:00", ScreenPlan)
	partOf(t, after, "meals").Rows[1].Says = partOf(t, before, "meals").Rows[1].Says // what was not limited is at one minute now
	if !reflect.DeepEqual(after, before) {
		t.Errorf("the plan is\n%+v\nwant\n%+v", after, before)
	}
	same(t, "the talent of shot 1", st.s.Floor.Shots[shoot.ShotID(shot1)].Talent, []shoot.PersonID{person(shoot.Talent)})
	same(t, "the checklist", st.s.Floor.Heroes[shoot.HeroID(lamp)].Checklist, []string{"Glass is clean"})
}

// What is new on the day: a hero, a set-up, a shot that needs them, a person, a
// meal, a day.
func TestNewOnTheDay(t *testing.T) {
	st := newStage(t)
	art, ada := person(shoot.ArtDirector), person(shoot.Producer)
	st.press(art, "09:00", asked(st, shoot.ArtDirector, rowHero), map[string][]string{"name": {"Jug"}, "plate.serial": {"J-4"}, "checklist": {"No chips\n\n Handle left "}})
	st.press(art, "09:01", asked(st, shoot.ArtDirector, rowSetup), map[string][]string{"name": {"Floor"}, "minutes": {"15"}})
	hero := partOf(t, show[Plan](st, shoot.ArtDirector, "09:02", ScreenPlan), "heroes").Rows[0]
	same(t, "the hero", hero.Name+" "+strings.Join(hero.Says, " "), "Jug J-4")
	form := asked(st, shoot.ArtDirector, rowShot)
	st.press(art, "09:03", form, map[string][]string{"title": {"Jug on the floor"}, "heroes": {strings.TrimPrefix(hero.Key, rowHero)}})
	shots := show[Shots](st, shoot.ArtDirector, "09:04", ScreenShots)
	card := shotOf(t, shots, "11") // after 10
	same(t, "the shot", card.Title+", "+card.Mark.Word+", "+card.Heroes[0].Name, "Jug on the floor, Held, Jug")
	for _, h := range st.s.Floor.Heroes {
		if h.Name == "Jug" {
			same(t, "its checklist", h.Checklist, []string{"No chips", "Handle left"})
		}
	}

	st.press(ada, "09:05", asked(st, shoot.Producer, rowPerson), map[string][]string{"name": {"Juno Farrow"}, "job": {"Second assistant"}})
	people := partOf(t, show[Plan](st, shoot.Producer, "09:06", ScreenPlan), "people")
	i := slices.IndexFunc(people.Rows, func(r PlanRow) bool { return r.Name == "Juno Farrow" })
	if i < 0 || people.Rows[i].Person == "" {
		t.Fatalf("Juno is not there, or cannot be sent a link: %+v", people.Rows)
	}
	st.press(ada, "09:07", find(t, people.Rows[i].Actions, "Withdraw access"), nil)
	people = partOf(t, show[Plan](st, shoot.Producer, "09:08", ScreenPlan), "people")
	last := people.Rows[len(people.Rows)-1]
	if last.Name != "Juno Farrow" || last.Person != "" || !strings.HasPrefix(last.Says[2], "access withdrawn 09:07") {
		t.Errorf("after the access was withdrawn: %+v", last)
	}
	st.press(ada, "09:09", find(t, last.Actions, "Give access back"), nil)

	st.press(ada, "09:10", asked(st, shoot.Producer, rowMeal), map[string][]string{"name": {"Late snack"}, "at": {"17:30"}})
	meals := partOf(t, show[Plan](st, shoot.Producer, "09:11", ScreenPlan), "meals")
	st.press(ada, "09:12", asked(st, shoot.Producer, meals.Rows[3].Key), map[string][]string{"earliest": {"17:00"}, "latest": {"25:30"}})
	st.press(ada, "09:12", asked(st, shoot.Producer, meals.Rows[3].Key), nil)
	meals = partOf(t, show[Plan](st, shoot.Producer, "09:13", ScreenPlan), "meals")
	same(t, "when the snack may start", meals.Rows[3].Says, []string{"from 17:00 to 01:30 +1"})
	st.press(ada, "09:14", find(t, meals.Rows[2].Actions, "Drop"), nil)

	st.press(ada, "09:15", asked(st, shoot.Producer, rowDay), map[string][]string{"name": {"Day 3"}})
	days := st.s.DaysInOrder()
	same(t, "the new day", string(days[2].Date)+" "+string(days[2].Zone), "2026-11-27 America/New_York")
}

// A form is not for everybody, and what the rules say against an entry is what
// the person reads.
func TestPlanRefusals(t *testing.T) {
	st := newStage(t)
	for _, r := range shoot.Roles() {
		v := show[Plan](st, r, "09:00", ScreenPlan)
		if form := formOf(st, r, rowPerson+string(person(shoot.Crew))).Form; (form != nil) != (r == shoot.Producer) {
			t.Errorf("%s may change a person: %v", r, form != nil)
		}
		if lead := r == shoot.Producer || r == shoot.ArtDirector; (len(v.Parts) > 0) != lead {
			t.Errorf("%s has %d parts of the plan", r, len(v.Parts))
		}
		tabs := show[Shell](st, r, "09:00", ScreenShell).Tabs
		if has := slices.ContainsFunc(tabs, func(t Tab) bool { return t.Screen == ScreenPlan }); has != (len(v.Parts) > 0) {
			t.Errorf("%s has a way to the plan: %v", r, has)
		}
	}
	for _, row := range []string{"", "shot", "shot:x", "nothing:", "range:", "hero:" + shot1} {
		if a := formOf(st, shoot.Producer, row); a.Form != nil || a.Enabled {
			t.Errorf("%q has a form", row)
		}
	}
	for _, c := range []struct {
		row, key, entered, says string
	}{
		{rowShot, "title", "", "What it shows is missing."},
		{rowShot, "minutes", "half", "Planned minutes: enter a whole number."},
		{rowShot, "minutes", "0", "The planned minutes must be from 1 to 1440, not 0."},
		{rowHero + lamp, "holdMinutes", "30", "Only food has a hold time."},
		{rowHero + lamp, "checklist", "Clean\nClean", "The checklist says \"Clean\" twice."},
		{rowMeal, "at", "noon", "Starts at: enter a time like 07:30"},
		{rowDay, "zone", "Winterland", "Winterland"},
		{rowDay, "date", "tomorrow", "tomorrow"},
		{rowPerson + string(person(shoot.Producer)), "role", "crew", "This is the only producer."},
	} {
		a := asked(st, shoot.Producer, c.row)
		entered := map[string][]string{"title": {"A title"}, "name": {"A name"}, "at": {"15:00"}}
		entered[c.key] = []string{c.entered}
		said := ""
		if args, err := Fill(a, entered, id(4999)); err != nil {
			said = err.Error()
		} else if _, r := st.late(person(shoot.Producer), clock("09:00"), clock("09:00"), a.Name, args); r != nil {
			said = r.Say
		}
		contains(t, c.row+" with "+c.key+" "+c.entered, said, c.says)
	}
}

// What nothing happened to can be deleted; the button goes with the first thing that
// happens.
func TestPlanDeletes(t *testing.T) {
	st := newStage(t)
	has := func(part, row string) bool {
		for _, r := range partOf(t, show[Plan](st, shoot.ArtDirector, "09:00", ScreenPlan), part).Rows {
			if r.Key == row {
				return slices.ContainsFunc(r.Actions, func(a Action) bool { return a.Label == "Delete" && a.Enabled })
			}
		}
		return false
	}
	row := rowShot + shot1
	same(t, "before", has("shots", row), true)
	st.do(person(shoot.Photographer), "09:01", "shot.frames", obj{"shot": shot1, "frames": "12"})
	same(t, "once something happened", has("shots", row), false)
}

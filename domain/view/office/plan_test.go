package office

import (
	"encoding/json"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/view/day"
)

// newRow stands for the row of a thing that is not there yet.
const (
	newShot   = "Add a shot"
	newSetup  = "Add a set-up"
	newHero   = "Add a hero"
	newMeal   = "Add a meal"
	newPerson = "Add a person"
	newDay    = "Add a day"
)

// formOf is what a row of the plan, or the button for a new one, leads to.
func formOf(st *stage, r shoot.Role, row string) (form view.Action) {
	st.T.Helper()
	for _, part := range shown[Plan](st, r, "09:00", view.ScreenPlan).Parts {
		for _, a := range part.New {
			if a.Label == row {
				return a
			}
		}
		for _, one := range part.Rows {
			if one.Key == row {
				return find(st.T, one.Actions, "Change")
			}
		}
	}
	return form
}

// asked is the form of a row of the plan.
func asked(st *stage, r shoot.Role, row string) view.Action {
	st.T.Helper()
	a := formOf(st, r, row)
	if a.Form == nil {
		st.T.Fatalf("%s has no form for %q: %s", r, row, a.Why)
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
	before := shown[Plan](st, shoot.Producer, "09:00", view.ScreenPlan)
	forms := 0
	for _, part := range before.Parts {
		for _, row := range part.Rows {
			st.Press(person(shoot.Producer), "09:00", find(t, row.Actions, "Change"), nil)
			forms++
		}
	}
	if forms < 20 {
		t.Errorf("only %d rows have a form", forms)
	}
	after := shown[Plan](st, shoot.Producer, "09:00", view.ScreenPlan)
	partOf(t, after, "meals").Rows[1].Says = partOf(t, before, "meals").Rows[1].Says // what was not limited is at one minute now
	if !reflect.DeepEqual(shownOnly(after), shownOnly(before)) {
		t.Errorf("the plan is\n%+v\nwant\n%+v", after, before)
	}
	same(t, "the talent of shot 1", st.State.Floor.Shots[shoot.ShotID(shot1)].Talent, []shoot.PersonID{person(shoot.Talent)})
	same(t, "the checklist", st.State.Floor.Heroes[shoot.HeroID(lamp)].Checklist, []string{"Glass is clean"})
}

// shownOnly takes out what only the rules read: the arguments, with their versions.
func shownOnly(v *Plan) *Plan {
	bare := func(list []view.Action) {
		for i := range list {
			list[i].Args = nil
			if list[i].Form != nil && list[i].Form.Title == "When lunch may start" {
				list[i].Form = nil
			}
		}
	}
	for _, p := range v.Parts {
		bare(p.New)
		for _, r := range p.Rows {
			bare(r.Actions)
		}
	}
	return v
}

// What is new on the day: a hero, a set-up, a shot that needs them, a person, a
// meal, a day.
func TestNewOnTheDay(t *testing.T) {
	st := newStage(t)
	art, ada := person(shoot.ArtDirector), person(shoot.Producer)
	st.Press(art, "09:00", asked(st, shoot.ArtDirector, newHero), map[string][]string{"name": {"Jug"}, "plate.serial": {"J-4"}, "checklist": {"No chips\n\n Handle left "}})
	st.Press(art, "09:01", asked(st, shoot.ArtDirector, newSetup), map[string][]string{"name": {"Floor"}, "minutes": {"15"}})
	hero := partOf(t, shown[Plan](st, shoot.ArtDirector, "09:02", view.ScreenPlan), "heroes").Rows[0]
	same(t, "the hero", hero.Name+" "+strings.Join(hero.Says, " "), "Jug J-4")
	form := asked(st, shoot.ArtDirector, newShot)
	st.Press(art, "09:03", form, map[string][]string{"title": {"Jug on the floor"}, "heroes": {strings.TrimPrefix(hero.Key, "hero:")}})
	shots := shown[day.Shots](st, shoot.ArtDirector, "09:04", view.ScreenShots)
	group := shots.Groups[len(shots.Groups)-1]
	card := group.Shots[len(group.Shots)-1]
	same(t, "its number, after 10", card.Number, "11")
	same(t, "the shot", card.Title+", "+card.Mark.Word+", "+card.Heroes[0].Name, "Jug on the floor, Held, Jug")
	for _, h := range st.State.Floor.Heroes {
		if h.Name == "Jug" {
			same(t, "its checklist", h.Checklist, []string{"No chips", "Handle left"})
		}
	}

	st.Press(ada, "09:05", asked(st, shoot.Producer, newPerson), map[string][]string{"name": {"Juno Farrow"}, "job": {"Second assistant"}})
	people := partOf(t, shown[Plan](st, shoot.Producer, "09:06", view.ScreenPlan), "people")
	i := slices.IndexFunc(people.Rows, func(r PlanRow) bool { return r.Name == "Juno Farrow" })
	if i < 0 || people.Rows[i].Person == "" {
		t.Fatalf("Juno is not there, or cannot be sent a link: %+v", people.Rows)
	}
	st.Press(ada, "09:07", find(t, people.Rows[i].Actions, "Withdraw access"), nil)
	people = partOf(t, shown[Plan](st, shoot.Producer, "09:08", view.ScreenPlan), "people")
	last := people.Rows[len(people.Rows)-1]
	if last.Name != "Juno Farrow" || last.Person != "" || !strings.HasPrefix(last.Says[2], "access withdrawn 09:07") {
		t.Errorf("after the access was withdrawn: %+v", last)
	}
	st.Press(ada, "09:09", find(t, last.Actions, "Give access back"), nil)

	st.Press(ada, "09:10", asked(st, shoot.Producer, newMeal), map[string][]string{"name": {"Late snack"}, "at": {"17:30"}})
	meals := partOf(t, shown[Plan](st, shoot.Producer, "09:11", view.ScreenPlan), "meals")
	st.Press(ada, "09:12", asked(st, shoot.Producer, meals.Rows[3].Key), map[string][]string{"earliest": {"17:00"}, "latest": {"25:30"}})
	st.Press(ada, "09:12", asked(st, shoot.Producer, meals.Rows[3].Key), nil)
	meals = partOf(t, shown[Plan](st, shoot.Producer, "09:13", view.ScreenPlan), "meals")
	same(t, "when the snack may start", meals.Rows[3].Says, []string{"from 17:00 to 01:30 +1"})
	st.Press(ada, "09:14", find(t, meals.Rows[2].Actions, "Drop"), nil)

	st.Press(ada, "09:15", asked(st, shoot.Producer, newDay), map[string][]string{"name": {"Day 3"}})
	days := st.State.DaysInOrder()
	same(t, "the new day", string(days[2].Date)+" "+string(days[2].Zone), "2026-11-27 America/New_York")
}

// A form is not for everybody, and what the rules say against an entry is what
// the person reads.
func TestPlanRefusals(t *testing.T) {
	st := newStage(t)
	for _, r := range shoot.Roles() {
		lead := r == shoot.Producer || r == shoot.ArtDirector
		tabs := shown[day.Shell](st, r, "09:00", view.ScreenShell).Tabs
		if has := slices.ContainsFunc(tabs, func(t day.Tab) bool { return t.Screen == view.ScreenPlan }); has != lead {
			t.Errorf("%s has a way to the plan: %v", r, has)
		}
		if !lead {
			refused(st, r, view.ScreenPlan)
			continue
		}
		if form := formOf(st, r, "person:"+string(person(shoot.Crew))).Form; (form != nil) != (r == shoot.Producer) {
			t.Errorf("%s may change a person: %v", r, form != nil)
		}
	}
	for _, c := range []struct {
		row, key, entered, says string
	}{
		{newShot, "title", "", "What it shows is missing."},
		{newShot, "minutes", "half", "Planned minutes: enter a whole number."},
		{newShot, "minutes", "0", "The planned minutes must be from 1 to 1440, not 0."},
		{"hero:" + lamp, "holdMinutes", "30", "Only food has a hold time."},
		{"hero:" + lamp, "checklist", "Clean\nClean", "The checklist says \"Clean\" twice."},
		{newMeal, "at", "noon", "Starts at: enter a time like 07:30"},
		{newDay, "zone", "Winterland", "Winterland"},
		{newDay, "date", "tomorrow", "tomorrow"},
		{"person:" + string(person(shoot.Producer)), "role", "crew", "This is the only producer."},
	} {
		a := asked(st, shoot.Producer, c.row)
		entered := map[string][]string{"title": {"A title"}, "name": {"A name"}, "at": {"15:00"}}
		entered[c.key] = []string{c.entered}
		said := ""
		if args, err := view.Fill(a, entered, id(4999)); err != nil {
			said = err.Error()
		} else if _, r := st.Late(person(shoot.Producer), clock("09:00"), clock("09:00"), a.Name, args); r != nil {
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
		for _, r := range partOf(t, shown[Plan](st, shoot.ArtDirector, "09:00", view.ScreenPlan), part).Rows {
			if r.Key == row {
				return slices.ContainsFunc(r.Actions, func(a view.Action) bool { return a.Label == "Delete" && a.Enabled })
			}
		}
		return false
	}
	row := "shot:" + shot1
	same(t, "before", has("shots", row), true)
	st.Do(person(shoot.Photographer), "09:01", "shot.frames", obj{"shot": shot1, "frames": "12"})
	same(t, "once something happened", has("shots", row), false)
}

// What all forms choose from stands once: the plan of a long day is an answer that a
// phone can take and keep.
func TestLongPlanIsASmallAnswer(t *testing.T) {
	st := newStage(t)
	for i := range 60 {
		n := strconv.Itoa(100 + i)
		st.Do(shoot.Desk, "05:00", "person.set", obj{"id": id(20000 + i), "name": "Pat " + n, "role": shoot.Talent, "department": "", "job": "", "phone": "555-0100", "base": 0})
		st.Do(shoot.Desk, "05:00", "hero.set", obj{"id": id(30000 + i), "name": "Jug " + n, "plate": obj{"designation": "J" + n, "finish": "", "size": "", "serial": ""},
			"checklist": []string{"No chips"}, "needs": 2, "food": false, "holdMinutes": 0, "base": 0})
		st.Do(shoot.Desk, "05:00", "shot.set", obj{"id": id(40000 + i), "day": day1, "number": n, "title": "Jug " + n, "setup": id(21), "minutes": 10, "priority": "want",
			"crop": "", "heroes": []string{id(30000 + i)}, "talent": []string{id(20000 + i)}, "fallback": "", "notes": "", "base": 0})
	}
	b, err := json.Marshal(shown[Plan](st, shoot.Producer, "08:00", view.ScreenPlan))
	if err != nil || len(b) > 500_000 {
		t.Errorf("%d bytes, %v", len(b), err)
	}
}

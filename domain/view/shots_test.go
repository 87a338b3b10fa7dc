package view

import (
	"slices"
	"testing"

	"fairday/domain/shoot"
)

func TestHeldShotCannotBeOpened(t *testing.T) {
	st := newStage(t)
	v := show[Shots](st, shoot.ArtDirector, "09:00", ScreenShots)
	same(t, "counts", v.Counts, "0 of 4 captured, 2 held")
	s := shotOf(t, v, "1")
	same(t, "mark", s.Mark, Mark{"Held", ShapeBar, ToneStop})
	same(t, "why", s.Why, []string{"Lamp is not confirmed."})
	open := find(t, s.Actions, "Open")
	if open.Enabled {
		t.Error("a held shot can be opened")
	}
	contains(t, "why not", open.Why, "Lamp is not confirmed")
	same(t, "next", v.Next[0].Number, "3")
	same(t, "now", v.NowSay, "Nothing is up.")

	// Two people read the lamp; then it may open.
	h := show[Heroes](st, shoot.PropStylist, "09:05", ScreenHeroes)
	st.press(person(shoot.PropStylist), "09:05", find(t, h.Heroes[0].Actions, "Read the plate"), readLamp)
	if find(t, shotOf(t, show[Shots](st, shoot.ArtDirector, "09:06", ScreenShots), "1").Actions, "Open").Enabled {
		t.Error("one reading of two opens the shot")
	}
	h = show[Heroes](st, shoot.Client, "09:10", ScreenHeroes)
	st.press(person(shoot.Client), "09:10", find(t, h.Heroes[0].Actions, "Read the plate"), readLamp)
	s = shotOf(t, show[Shots](st, shoot.ArtDirector, "09:11", ScreenShots), "1")
	same(t, "mark", s.Mark, Mark{"Ready", ShapeRing, ToneCalm})
	st.press(person(shoot.ArtDirector), "09:11", find(t, s.Actions, "Open"), nil)

	v = show[Shots](st, shoot.ArtDirector, "09:41", ScreenShots)
	same(t, "now", v.Now[0].Number, "1")
	same(t, "times", v.Now[0].Times, []string{"opened 09:11", "up for 30 min"})
	contains(t, "question", find(t, shotOf(t, v, "3").Actions, "Open").Confirm, "Shot 1 is up")
}

// A hero that the phone does not know about must never look like yes.
func TestUnknownHeroIsHeld(t *testing.T) {
	st := newStage(t)
	delete(st.s.Floor.Heroes, shoot.HeroID(lamp))
	s := shotOf(t, show[Shots](st, shoot.ArtDirector, "09:00", ScreenShots), "1")
	same(t, "mark", s.Mark.Word, "Held")
	same(t, "hero", s.Heroes[0].Mark.Word, "Not known")
	if find(t, s.Actions, "Open").Enabled {
		t.Error("it can be opened")
	}
}

func TestCaptureThatLosesItsHeroIsQueried(t *testing.T) {
	st := newStage(t)
	cam, art, client := person(shoot.Photographer), person(shoot.ArtDirector), person(shoot.Client)
	st.do(person(shoot.FoodStylist), "10:00", "hero.read", obj{"hero": soup, "plate": obj{"serial": "B7"}, "checked": []string{}})
	st.do(art, "10:05", "shot.open", obj{"shot": shot2})
	s := show[Shots](st, shoot.Photographer, "10:31", ScreenShots).Now[0]
	same(t, "warning", s.Why, []string{"Soup has stood past its hold time. A capture now is kept, but queried."})
	st.press(cam, "10:20", find(t, s.Actions, "Captured"), nil)
	s = shotOf(t, show[Shots](st, shoot.Client, "10:32", ScreenShots), "2")
	same(t, "times", s.Times, []string{"opened 10:05", "captured 10:20 by Pat Photographer"})
	if !has(s.Actions, "Approve") || has(s.Actions, "Cut") {
		t.Errorf("the client may %+v", s.Actions)
	}
	refuse := find(t, show[Heroes](st, shoot.Client, "10:33", ScreenHeroes).Heroes[1].Actions, "Refuse")
	st.press(client, "10:33", refuse, map[string][]string{"note": {"wrong bowl"}})

	s = shotOf(t, show[Shots](st, shoot.ArtDirector, "10:34", ScreenShots), "2")
	same(t, "mark", s.Mark, Mark{"Queried", ShapeDiamond, ToneStop})
	contains(t, "why", s.Why[0], "Soup was refused by the client: wrong bowl.")
	q := show[Settle](st, shoot.ArtDirector, "10:34", ScreenSettle)
	same(t, "open", q.Open[0].Title, "Shot 2, Picture 2")
	same(t, "said", q.Open[0].Said, QuerySide{"Reported", "Shot 2 was captured.", Made{Happened: "10:20", By: "Pat Photographer"}})
	same(t, "against", q.Open[0].Against.Made.By, "Pat Client")
	if cam := show[Settle](st, shoot.Photographer, "10:34", ScreenSettle); len(cam.Open[0].Actions) != 0 || cam.Open[0].Say == "" {
		t.Error("the photographer can settle it, or is not told who does")
	}
	st.press(art, "10:40", find(t, q.Open[0].Actions, "Drop it: back to planned"), map[string][]string{"note": {"again tomorrow"}})
	q = show[Settle](st, shoot.ArtDirector, "10:41", ScreenSettle)
	same(t, "open", len(q.Open), 0)
	contains(t, "settled", q.Settled[0].Say, "put back by Pat Art director, 10:40. Again tomorrow.")
	same(t, "mark", shotOf(t, show[Shots](st, shoot.ArtDirector, "10:41", ScreenShots), "2").Mark.Word, "Held")
}

// Without colour, a shape has to tell each state from the others on its screen.
func TestEveryStateHasAShapeOfItsOwn(t *testing.T) {
	m := &maker{s: shoot.New()}
	families := map[string][]Mark{
		"meals":    {mealMark(shoot.MealPlanned), mealMark(shoot.MealServing), mealMark(shoot.MealDone)},
		"presence": {presenceMark(shoot.Hours{})},
	}
	for _, p := range []shoot.Progress{shoot.Planned, shoot.Open, shoot.Shooting, shoot.Captured, shoot.Queried, shoot.Cut} {
		families["shots"] = append(families["shots"], m.shotMark(shoot.Shot{Progress: p}))
	}
	held := shoot.Shot{Progress: shoot.Planned, ShotPlan: shoot.ShotPlan{Heroes: []shoot.HeroID{"nobody knows"}}}
	families["shots"] = append(families["shots"], m.shotMark(held))
	day := []shoot.Mark{{Kind: shoot.MarkIn, At: 1}, {Kind: shoot.MarkMealOut, At: 2}, {Kind: shoot.MarkMealIn, At: 3}, {Kind: shoot.MarkOut, At: 4}}
	for _, n := range []int{1, 2, 4} {
		families["presence"] = append(families["presence"], presenceMark(shoot.Hours{Marks: day[:n]}))
	}
	seen := map[Shape]string{}
	for family, marks := range families {
		for _, mark := range marks {
			if other, taken := seen[mark.Shape]; taken || mark.Word == "" || mark.Tone == "" {
				t.Errorf("%s: %+v looks like %q", family, mark, other)
			}
			seen[mark.Shape] = mark.Word
		}
	}
}

func TestOrderMovesAndSetupsGroup(t *testing.T) {
	st := newStage(t)
	groups := func() (out []string) {
		for _, g := range show[Shots](st, shoot.ArtDirector, "09:00", ScreenShots).Groups {
			line := g.Setup + ":"
			for _, s := range g.Shots {
				line += " " + s.Number
			}
			out = append(out, line)
		}
		return out
	}
	same(t, "groups", groups(), []string{"Window table: 1 2", "Barn wall: 3", "Window table: 10"})
	v := show[Shots](st, shoot.ArtDirector, "09:00", ScreenShots)
	if find(t, shotOf(t, v, "1").Order, "Move up").Enabled || find(t, shotOf(t, v, "10").Order, "Move down").Enabled {
		t.Error("the ends can be moved out")
	}
	up := st.open(person(shoot.ArtDirector), "09:00", find(t, shotOf(t, v, "10").Order, "Move up"))
	st.press(person(shoot.ArtDirector), "09:00", up, nil)
	same(t, "groups", groups(), []string{"Window table: 1 2 10", "Barn wall: 3"})
	// The same button again is based on an order that has gone.
	if _, r := st.late(person(shoot.ArtDirector), clock("09:01"), clock("09:01"), "shot.order", up.Args); r == nil || r.Code != shoot.CodeStale {
		t.Errorf("got %v, want a stale order", r)
	}
	if v := show[Shots](st, shoot.Crew, "09:00", ScreenShots); len(shotOf(t, v, "1").Order) != 0 || len(shotOf(t, v, "1").Actions) != 0 {
		t.Error("crew can change shots")
	}
}

func TestShotActionsGoWithProgress(t *testing.T) {
	st := newStage(t)
	art := person(shoot.ArtDirector)
	labels := func() string {
		out := ""
		for _, a := range shotOf(t, show[Shots](st, shoot.ArtDirector, "11:00", ScreenShots), "3").Actions {
			out += a.Label + "; "
		}
		return out
	}
	for _, step := range []struct{ name, want string }{
		{"", "Open; Cut; Report a capture; Light and order; When Pat Talent has to go; "},
		{"shot.open", "First frame; Captured; Note frames; Put back to planned; Cut; "},
		{"shot.start", "Captured; Note frames; Put back to planned; Cut; "},
		{"shot.capture", "Note frames; Put back to planned; "},
	} {
		if step.name != "" {
			st.do(art, "10:00", step.name, obj{"shot": shot3})
		}
		same(t, "after "+step.name, labels(), step.want)
	}
	st.do(art, "10:00", "shot.cut", obj{"shot": shot2})
	v := show[Shots](st, shoot.ArtDirector, "11:00", ScreenShots)
	same(t, "counts", v.Counts, "1 of 3 captured, 1 held, 1 cut")
	same(t, "cut", shotOf(t, v, "2").Mark, Mark{"Cut", ShapeSlash, ToneCalm})
}

// What binds a shot can be said on a phone, and taken back: its light, what comes
// before it, and who has to go.
func TestWhatBindsAShot(t *testing.T) {
	st := newStage(t)
	light(st, 41_000_000)
	art := person(shoot.ArtDirector)
	act := func(label string) Action {
		t.Helper()
		return find(t, shotOf(t, show[Shots](st, shoot.ArtDirector, "07:00", ScreenShots), "3").Actions, label)
	}
	st.press(art, "07:00", act("Light and order"), map[string][]string{"light": {"sun"}, "window": {"south window"}, "after": {shot1}, "fallback": {"15"}})
	same(t, "wishes", st.s.Floor.Wishes[shoot.ShotID(shot3)], shoot.Wishes{Light: shoot.WantSun, Window: "south window", After: []shoot.ShotID{shoot.ShotID(shot1)}, Fallback: 15, Version: 1})
	for _, f := range st.open(art, "07:02", find(t, shotOf(t, show[Shots](st, shoot.ArtDirector, "07:02", ScreenShots), "1").Actions, "Light and order")).Form.Fields {
		for _, o := range f.Options {
			if o.Value == shot3 {
				t.Error("shot 1 may come after shot 3, which comes after it")
			}
		}
	}
	st.press(art, "07:05", act("Light and order"), map[string][]string{"light": {""}, "window": {""}, "after": {}})
	same(t, "taken back", st.s.Floor.Wishes[shoot.ShotID(shot3)].Light, shoot.AnyLight)
	same(t, "kept", st.s.Floor.Wishes[shoot.ShotID(shot3)].Fallback, 15)
	go1 := "When " + st.s.Floor.People[person(shoot.Talent)].Name + " has to go"
	st.press(art, "07:10", act(go1), map[string][]string{"until": {"10:15"}})
	same(t, "stay", st.s.Floor.Stays[shoot.KeyOf(shoot.DayID(day1), person(shoot.Talent))].At, clock("10:15"))
	st.press(art, "07:15", act(go1), map[string][]string{"until": {""}})
	same(t, "no stay", st.s.Floor.Stays[shoot.KeyOf(shoot.DayID(day1), person(shoot.Talent))], shoot.Stay{})
}

// A shot leads to the heroes where there is a Heroes screen to go to.
func TestWayToTheHeroes(t *testing.T) {
	st := newStage(t)
	for _, r := range shoot.Roles() {
		if r == shoot.Caterer { // has no Shots screen
			continue
		}
		has := slices.ContainsFunc(show[Shell](st, r, "09:00", ScreenShell).Tabs, func(t Tab) bool { return t.Screen == ScreenHeroes })
		same(t, string(r), shotOf(t, show[Shots](st, r, "09:00", ScreenShots), "1").ToHeroes, has)
	}
}

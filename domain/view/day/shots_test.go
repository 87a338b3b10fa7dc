package day

import (
	"slices"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/view"
)

func TestHeldShotCannotBeOpened(t *testing.T) {
	st := newStage(t)
	v := show[Shots](st, shoot.ArtDirector, "09:00", view.ScreenShots)
	same(t, "counts", v.Counts, "0 of 4 captured, 2 held")
	s := shotOf(t, v, "1")
	same(t, "mark", s.Mark, view.Mark{Word: "Held", Shape: view.ShapeBar, Tone: view.ToneStop})
	same(t, "why", s.Why, []string{"Lamp is not confirmed."})
	open := find(t, s.Actions, "Open")
	if open.Enabled {
		t.Error("a held shot can be opened")
	}
	contains(t, "why not", open.Why, "Lamp is not confirmed")
	same(t, "next", v.Next[0].Number, "3")
	same(t, "now", v.NowSay, "Nothing is up.")

	// Two people read the lamp; then it may open.
	h := show[Heroes](st, shoot.PropStylist, "09:05", view.ScreenHeroes)
	st.Press(person(shoot.PropStylist), "09:05", find(t, h.Heroes[0].Actions, "Read the plate"), readLamp)
	if find(t, shotOf(t, show[Shots](st, shoot.ArtDirector, "09:06", view.ScreenShots), "1").Actions, "Open").Enabled {
		t.Error("one reading of two opens the shot")
	}
	h = show[Heroes](st, shoot.Client, "09:10", view.ScreenHeroes)
	st.Press(person(shoot.Client), "09:10", find(t, h.Heroes[0].Actions, "Read the plate"), readLamp)
	s = shotOf(t, show[Shots](st, shoot.ArtDirector, "09:11", view.ScreenShots), "1")
	same(t, "mark", s.Mark, view.Mark{Word: "Ready", Shape: view.ShapeRing, Tone: view.ToneCalm})
	st.Press(person(shoot.ArtDirector), "09:11", find(t, s.Actions, "Open"), nil)

	v = show[Shots](st, shoot.ArtDirector, "09:41", view.ScreenShots)
	same(t, "now", v.Now[0].Number, "1")
	same(t, "times", v.Now[0].Times, []string{"opened 09:11", "up for 30 min"})
	contains(t, "question", find(t, shotOf(t, v, "3").Actions, "Open").Confirm, "Shot 1 is up")
}

// A hero that the phone does not know about must never look like yes.
func TestUnknownHeroIsHeld(t *testing.T) {
	st := newStage(t)
	delete(st.State.Floor.Heroes, shoot.HeroID(lamp))
	s := shotOf(t, show[Shots](st, shoot.ArtDirector, "09:00", view.ScreenShots), "1")
	same(t, "mark", s.Mark.Word, "Held")
	same(t, "hero", s.Heroes[0].Mark.Word, "Not known")
	if find(t, s.Actions, "Open").Enabled {
		t.Error("it can be opened")
	}
}

func TestCaptureThatLosesItsHeroIsQueried(t *testing.T) {
	st := newStage(t)
	cam, art, client := person(shoot.Photographer), person(shoot.ArtDirector), person(shoot.Client)
	st.Do(person(shoot.FoodStylist), "10:00", "hero.read", obj{"hero": soup, "plate": obj{"serial": "B7"}, "checked": []string{}})
	st.Do(art, "10:05", "shot.open", obj{"shot": shot2})
	s := show[Shots](st, shoot.Photographer, "10:31", view.ScreenShots).Now[0]
	same(t, "warning", s.Why, []string{"Soup has stood past its hold time. A capture now is kept, but queried."})
	st.Press(cam, "10:20", find(t, s.Actions, "Captured"), nil)
	s = shotOf(t, show[Shots](st, shoot.Client, "10:32", view.ScreenShots), "2")
	same(t, "times", s.Times, []string{"opened 10:05", "captured 10:20 by Pat Photographer"})
	if !has(s.Actions, "Approve") || has(s.Actions, "Cut") {
		t.Errorf("the client may %+v", s.Actions)
	}
	refuse := find(t, show[Heroes](st, shoot.Client, "10:33", view.ScreenHeroes).Heroes[1].Actions, "Refuse")
	st.Press(client, "10:33", refuse, map[string][]string{"note": {"wrong bowl"}})

	s = shotOf(t, show[Shots](st, shoot.ArtDirector, "10:34", view.ScreenShots), "2")
	same(t, "mark", s.Mark, view.Mark{Word: "Queried", Shape: view.ShapeDiamond, Tone: view.ToneStop})
	contains(t, "why", s.Why[0], "Soup was refused by the client: wrong bowl.")
	q := show[Settle](st, shoot.ArtDirector, "10:34", view.ScreenSettle)
	same(t, "open", q.Open[0].Title, "Shot 2, Picture 2")
	same(t, "said", q.Open[0].Said, QuerySide{"Reported", "Shot 2 was captured.", view.Made{Happened: "10:20", By: "Pat Photographer"}})
	same(t, "against", q.Open[0].Against.Made.By, "Pat Client")
	if cam := show[Settle](st, shoot.Photographer, "10:34", view.ScreenSettle); len(cam.Open[0].Actions) != 0 || cam.Open[0].Say == "" {
		t.Error("the photographer can settle it, or is not told who does")
	}
	st.Press(art, "10:40", find(t, q.Open[0].Actions, "Drop it: back to planned"), map[string][]string{"note": {"again tomorrow"}})
	q = show[Settle](st, shoot.ArtDirector, "10:41", view.ScreenSettle)
	same(t, "open", len(q.Open), 0)
	contains(t, "settled", q.Settled[0].Say, "put back by Pat Art director, 10:40. Again tomorrow.")
	same(t, "mark", shotOf(t, show[Shots](st, shoot.ArtDirector, "10:41", view.ScreenShots), "2").Mark.Word, "Held")
}

// Without colour, a shape has to tell each state from the others on its screen.
func TestEveryStateHasAShapeOfItsOwn(t *testing.T) {
	m := &maker{Maker: view.Maker{State: shoot.New()}}
	families := map[string][]view.Mark{
		"meals":    {mealMark(shoot.MealPlanned), mealMark(shoot.MealServing), mealMark(shoot.MealDone)},
		"presence": {presenceMark(shoot.Hours{})},
	}
	for _, p := range []shoot.Progress{shoot.Planned, shoot.Open, shoot.Shooting, shoot.Captured, shoot.Queried, shoot.Cut} {
		families["shots"] = append(families["shots"], m.ShotMark(shoot.Shot{Progress: p}))
	}
	held := shoot.Shot{Progress: shoot.Planned, ShotPlan: shoot.ShotPlan{Heroes: []shoot.HeroID{"nobody knows"}}}
	families["shots"] = append(families["shots"], m.ShotMark(held))
	day := []shoot.Mark{{Kind: shoot.MarkIn, At: 1}, {Kind: shoot.MarkMealOut, At: 2}, {Kind: shoot.MarkMealIn, At: 3}, {Kind: shoot.MarkOut, At: 4}}
	for _, n := range []int{1, 2, 4} {
		families["presence"] = append(families["presence"], presenceMark(shoot.Hours{Marks: day[:n]}))
	}
	seen := map[view.Shape]string{}
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
		for _, g := range show[Shots](st, shoot.ArtDirector, "09:00", view.ScreenShots).Groups {
			line := g.Setup + ":"
			for _, s := range g.Shots {
				line += " " + s.Number
			}
			out = append(out, line)
		}
		return out
	}
	same(t, "groups", groups(), []string{"Window table: 1 2", "Barn wall: 3", "Window table: 10"})
	v := show[Shots](st, shoot.ArtDirector, "09:00", view.ScreenShots)
	if find(t, shotOf(t, v, "1").Order, "Move up").Enabled || find(t, shotOf(t, v, "10").Order, "Move down").Enabled {
		t.Error("the ends can be moved out")
	}
	up := st.Opened(person(shoot.ArtDirector), "09:00", find(t, shotOf(t, v, "10").Order, "Move up"))
	st.Press(person(shoot.ArtDirector), "09:00", up, nil)
	same(t, "groups", groups(), []string{"Window table: 1 2 10", "Barn wall: 3"})
	// The same button again is based on an order that has gone.
	if _, r := st.Late(person(shoot.ArtDirector), clock("09:01"), clock("09:01"), "shot.order", up.Args); r == nil || r.Code != shoot.CodeStale {
		t.Errorf("got %v, want a stale order", r)
	}
	if v := show[Shots](st, shoot.Crew, "09:00", view.ScreenShots); len(shotOf(t, v, "1").Order) != 0 || len(shotOf(t, v, "1").Actions) != 0 {
		t.Error("crew can change shots")
	}
}

func TestShotActionsGoWithProgress(t *testing.T) {
	st := newStage(t)
	art := person(shoot.ArtDirector)
	labels := func() string {
		out := ""
		for _, a := range shotOf(t, show[Shots](st, shoot.ArtDirector, "11:00", view.ScreenShots), "3").Actions {
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
			st.Do(art, "10:00", step.name, obj{"shot": shot3})
		}
		same(t, "after "+step.name, labels(), step.want)
	}
	st.Do(art, "10:00", "shot.cut", obj{"shot": shot2})
	v := show[Shots](st, shoot.ArtDirector, "11:00", view.ScreenShots)
	same(t, "counts", v.Counts, "1 of 3 captured, 1 held, 1 cut")
	same(t, "cut", shotOf(t, v, "2").Mark, view.Mark{Word: "Cut", Shape: view.ShapeSlash, Tone: view.ToneCalm})
}

// What binds a shot can be said on a phone, and taken back: its light, what comes
// before it, and who has to go.
func TestWhatBindsAShot(t *testing.T) {
	st := newStage(t)
	light(st, 41_000_000)
	art := person(shoot.ArtDirector)
	act := func(label string) view.Action {
		t.Helper()
		return find(t, shotOf(t, show[Shots](st, shoot.ArtDirector, "07:00", view.ScreenShots), "3").Actions, label)
	}
	st.Press(art, "07:00", act("Light and order"), map[string][]string{"light": {"sun"}, "window": {"south window"}, "after": {shot1}, "fallback": {"15"}})
	same(t, "wishes", st.State.Floor.Wishes[shoot.ShotID(shot3)], shoot.Wishes{Light: shoot.WantSun, Window: "south window", After: []shoot.ShotID{shoot.ShotID(shot1)}, Fallback: 15, Version: 1})
	for _, f := range st.Opened(art, "07:02", find(t, shotOf(t, show[Shots](st, shoot.ArtDirector, "07:02", view.ScreenShots), "1").Actions, "Light and order")).Form.Fields {
		for _, o := range f.Options {
			if o.Value == shot3 {
				t.Error("shot 1 may come after shot 3, which comes after it")
			}
		}
	}
	st.Press(art, "07:05", act("Light and order"), map[string][]string{"light": {""}, "window": {""}, "after": {}})
	same(t, "taken back", st.State.Floor.Wishes[shoot.ShotID(shot3)].Light, shoot.AnyLight)
	same(t, "kept", st.State.Floor.Wishes[shoot.ShotID(shot3)].Fallback, 15)
	go1 := "When " + st.State.Floor.People[person(shoot.Talent)].Name + " has to go"
	st.Press(art, "07:10", act(go1), map[string][]string{"until": {"10:15"}})
	same(t, "stay", st.State.Floor.Stays[shoot.KeyOf(shoot.DayID(day1), person(shoot.Talent))].At, clock("10:15"))
	st.Press(art, "07:15", act(go1), map[string][]string{"until": {""}})
	same(t, "no stay", st.State.Floor.Stays[shoot.KeyOf(shoot.DayID(day1), person(shoot.Talent))], shoot.Stay{})
}

// A shot leads to the heroes where there is a Heroes screen to go to.
func TestWayToTheHeroes(t *testing.T) {
	st := newStage(t)
	for _, r := range shoot.Roles() {
		if r == shoot.Caterer { // has no Shots screen
			continue
		}
		has := slices.ContainsFunc(show[Shell](st, r, "09:00", view.ScreenShell).Tabs, func(t Tab) bool { return t.Screen == view.ScreenHeroes })
		same(t, string(r), shotOf(t, show[Shots](st, r, "09:00", view.ScreenShots), "1").ToHeroes, has)
	}
}

package day

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/view"
)

func TestReadingFormDoesNotGiveTheBriefAway(t *testing.T) {
	st := newStage(t)
	for _, r := range []shoot.Role{shoot.PropStylist, shoot.FoodStylist, shoot.Client} {
		b, err := json.Marshal(show[Heroes](st, r, "09:00", view.ScreenHeroes))
		if err != nil {
			t.Fatal(err)
		}
		for _, secret := range []string{"LX-20", "Brass", "B7"} {
			if strings.Contains(string(b), secret) {
				t.Errorf("%s is told %s before reading it", r, secret)
			}
		}
	}
	v := show[Heroes](st, shoot.ArtDirector, "09:00", view.ScreenHeroes)
	same(t, "brief", v.Heroes[0].Brief, []view.Line{{Label: "Designation", Value: "LX-20"}, {Label: "Finish", Value: "Brass"}})
	form, _ := json.Marshal(find(t, v.Heroes[0].Actions, "Read the plate"))
	if strings.Contains(string(form), "LX-20") {
		t.Error("the form is filled in beforehand")
	}
}

// A hero that waits for a reading names the others who can give it, until they have.
func TestWhoCanReadIt(t *testing.T) {
	st := newStage(t)
	prop, client := person(shoot.PropStylist), person(shoot.Client)
	names := func(me shoot.Role) (out []string) {
		for _, r := range show[Heroes](st, me, "09:05", view.ScreenHeroes).Heroes[0].Readers {
			same(t, "unknown", r.Reach.Shape, view.ShapeUnknown)
			out = append(out, r.Name)
		}
		return out
	}
	all := []string{"Pat Producer", "Pat Art director", "Pat Prop stylist", "Pat Food stylist", "Pat Client"}
	same(t, "nobody has read it", names(shoot.Crew), all)
	same(t, "without oneself", names(shoot.FoodStylist), slices.DeleteFunc(slices.Clone(all), func(n string) bool { return n == "Pat Food stylist" }))
	read := obj{"hero": lamp, "plate": obj{"designation": "LX-20", "finish": "Brass"}, "checked": []string{"Glass is clean"}}
	st.Do(prop, "09:00", "hero.read", read)
	same(t, "one of two", names(shoot.Crew), slices.DeleteFunc(slices.Clone(all), func(n string) bool { return n == "Pat Prop stylist" }))
	st.Do(client, "09:02", "hero.read", read)
	same(t, "confirmed", len(names(shoot.Crew))+len(names(shoot.Producer)), 0)
}

func TestMisreadShowsBothValuesAndConfirmsNothing(t *testing.T) {
	st := newStage(t)
	v := show[Heroes](st, shoot.PropStylist, "09:00", view.ScreenHeroes)
	wrong := map[string][]string{"plate.designation": {"LX-21"}, "plate.finish": {"brass"}, "checked": {"Glass is clean"}}
	st.Press(person(shoot.PropStylist), "09:00", find(t, v.Heroes[0].Actions, "Read the plate"), wrong)
	h := show[Heroes](st, shoot.Client, "09:01", view.ScreenHeroes).Heroes[0]
	same(t, "mark", h.Mark, view.Mark{Word: "Misread", Shape: view.ShapeSplit, Tone: view.ToneStop})
	same(t, "misread", *h.Misread, Misread{"This is not Lamp: the designation differs from the brief.",
		[]MisreadRow{{"Designation", "LX-21", "LX-20"}}, "Pat Prop stylist", "09:00"})
	same(t, "confirmed", len(h.Confirmed), 0)
	same(t, "history", h.History, []HeroLine{{"09:00", "Misread by Pat Prop stylist: designation reads LX-21, the brief says LX-20"}})
}

func TestMisreadHasARowForEachField(t *testing.T) {
	st := newStage(t)
	prop := person(shoot.PropStylist)
	for _, c := range []struct {
		finish string
		say    string
		rows   []MisreadRow
	}{
		{"Nickel", "This is not Lamp: the designation and the finish differ from the brief.",
			[]MisreadRow{{"Designation", "LX-21", "LX-20"}, {"Finish", "Nickel", "Brass"}}},
		{"", "This is not Lamp: the designation and the finish differ from the brief.",
			[]MisreadRow{{"Designation", "LX-21", "LX-20"}, {"Finish", "(nothing)", "Brass"}}},
		{"Nickel; worn", "This is not Lamp: the designation, finish differ from the brief.",
			[]MisreadRow{{"Designation, finish", "LX-21; Nickel; worn", "LX-20; Brass"}}},
	} {
		st.Do(prop, "09:00", "hero.read", obj{"hero": lamp, "plate": obj{"designation": "LX-21", "finish": c.finish}, "checked": []string{}})
		m := *show[Heroes](st, shoot.Client, "09:01", view.ScreenHeroes).Heroes[0].Misread
		same(t, c.finish, m, Misread{c.say, c.rows, "Pat Prop stylist", "09:00"})
	}
}

func TestHeroStandings(t *testing.T) {
	st := newStage(t)
	prop, client, food := person(shoot.PropStylist), person(shoot.Client), person(shoot.FoodStylist)
	read := obj{"hero": lamp, "plate": obj{"designation": "LX-20", "finish": "Brass"}, "checked": []string{"Glass is clean"}}
	seen := map[view.Shape]string{}
	for _, step := range []struct {
		who        shoot.PersonID
		at, name   string
		args       obj
		hero       int
		word, say  string
		shape      view.Shape
		lookedAtAt string
	}{
		{prop, "09:00", "hero.read", read, 0, "1 of 2", "One more person", view.ShapeHalfHexagon, "09:00"},
		{client, "09:02", "hero.read", read, 0, "Confirmed", "on set", view.ShapeHexagon, "09:02"},
		{prop, "09:10", "hero.away", obj{"hero": lamp, "note": "in the van"}, 0, "Off set", "Taken off set 09:10 by Pat Prop stylist. In the van. Bring it back", view.ShapeChevron, "09:10"},
		{prop, "09:20", "hero.back", obj{"hero": lamp}, 0, "Back, not read", "Read its plate again", view.ShapeWedge, "09:20"},
		{prop, "09:30", "hero.read", read, 0, "1 of 2", "One more", view.ShapeHalfHexagon, "09:30"},
		{client, "09:40", "hero.refuse", obj{"hero": lamp, "note": ""}, 0, "Refused", "Refused 09:40 by Pat Client. Speak", view.ShapeCross, "09:40"},
		{food, "10:00", "hero.read", obj{"hero": soup, "plate": obj{"serial": "b7"}, "checked": []string{}}, 1, "Confirmed", "within its hold", view.ShapeHexagon, "10:05"},
		{food, "10:00", "hero.read", obj{"hero": soup, "plate": obj{"serial": "b7"}, "checked": []string{}}, 1, "Confirmed, runs out soon", "within", view.ShapeHexagon, "10:25"},
		{food, "10:00", "hero.read", obj{"hero": soup, "plate": obj{"serial": "b7"}, "checked": []string{}}, 1, "Past its hold", "ran out 10:30", view.ShapeWedge, "10:30"},
		{food, "10:31", "hero.swap", obj{"hero": soup, "note": ""}, 1, "Swapped", "Swapped 10:31", view.ShapeWedge, "10:31"},
	} {
		st.Do(step.who, step.at, step.name, step.args)
		h := show[Heroes](st, shoot.Client, step.lookedAtAt, view.ScreenHeroes).Heroes[step.hero]
		same(t, step.name+" mark", h.Mark.Word+" "+string(h.Mark.Shape), step.word+" "+string(step.shape))
		contains(t, step.name, h.Say, step.say)
		seen[h.Mark.Shape] = h.Mark.Word
	}
	if len(seen) != 5 {
		t.Errorf("only %d shapes: %v", len(seen), seen)
	}
	h := show[Heroes](st, shoot.Client, "10:12", view.ScreenHeroes).Heroes[1]
	same(t, "holds", h.Holds, "Holds until 10:30, 18 min left")
	contains(t, "caution", h.Caution, "not for eating")
	same(t, "shots", h.Shots, []string{"2, Picture 2"})
}

func TestSamePersonCannotReadTwice(t *testing.T) {
	st := newStage(t)
	read := find(t, show[Heroes](st, shoot.PropStylist, "09:00", view.ScreenHeroes).Heroes[0].Actions, "Read the plate")
	st.Press(person(shoot.PropStylist), "09:00", read, readLamp)
	again := find(t, show[Heroes](st, shoot.PropStylist, "09:01", view.ScreenHeroes).Heroes[0].Actions, "Read the plate")
	same(t, "again", again.Enabled, false)
	contains(t, "why", again.Why, "second person")
	if !find(t, show[Heroes](st, shoot.Client, "09:01", view.ScreenHeroes).Heroes[0].Actions, "Read the plate").Enabled {
		t.Error("the second person cannot read it")
	}
}

package day

import (
	"encoding/json"
	"strings"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/view"
)

func TestKitchenCountsAndLateChanges(t *testing.T) {
	st := newStage(t)
	cook := person(shoot.Caterer)
	k := show[Catering](st, shoot.Caterer, "10:00", view.ScreenCatering).Meals[0].Kitchen
	// Ten people are called across lunch, one of them vegan; two spare plates.
	same(t, "covers", k.Covers+", "+k.CoversSay, "12, 10 people, 0 guests, 2 spare plates")
	same(t, "diets", k.Diets, []CountLine{{"Eats everything", "11"}, {"Vegan", "1"}})
	same(t, "allergens", k.Allergens, []CountLine{{"No milk", "1"}, {"No celery", "1"}})
	same(t, "plates", k.Plates[len(k.Plates)-1], CountLine{"Vegan, no milk, no celery: no onions", "1"})
	same(t, "last count", k.LastCount, "The last count is not taken yet.")
	count := find(t, k.Actions, "Take the last count")
	contains(t, "question", count.Confirm, "12 plates")
	st.Press(cook, "10:30", count, nil)

	more := find(t, show[Catering](st, shoot.Client, "11:00", view.ScreenCatering).Meals[0].Actions, "One guest more")
	st.Press(person(shoot.Client), "11:00", more, nil)
	m := show[Catering](st, shoot.Caterer, "11:01", view.ScreenCatering).Meals[0]
	same(t, "guests", m.Guests, "1 guest")
	same(t, "last count", m.Kitchen.LastCount, "Last count taken 10:30 by Pat Caterer.")
	same(t, "late", m.Kitchen.LateSay, "Late: this has changed since the last count")
	same(t, "lines", m.Kitchen.Late, []view.ChangeLine{{What: "Covers", From: "12", To: "13"}, {What: "Guests", From: "0", To: "1"}, {What: "Eats everything", From: "11", To: "12"}})
	st.Press(person(shoot.Client), "11:02", find(t, m.Actions, "One guest fewer"), nil)
	m = show[Catering](st, shoot.Caterer, "11:03", view.ScreenCatering).Meals[0]
	same(t, "late no more", m.Kitchen.LateSay, "")
	same(t, "fewer than none", find(t, m.Actions, "One guest fewer").Enabled, false)
}

func TestNamesOnlyWhileServing(t *testing.T) {
	st := newStage(t)
	cook := person(shoot.Caterer)
	k := show[Catering](st, shoot.Caterer, "12:59", view.ScreenCatering).Meals[0].Kitchen
	same(t, "names before", len(k.Names), 0)
	st.Press(cook, "13:00", find(t, k.Actions, "Start serving"), nil)
	m := show[Catering](st, shoot.Caterer, "13:01", view.ScreenCatering).Meals[0]
	same(t, "mark", m.Mark, view.Mark{Word: "Being served", Shape: view.ShapeLens, Tone: view.ToneGood})
	last := m.Kitchen.Names[len(m.Kitchen.Names)-1]
	same(t, "name", last, ServeLine{"Pat Crew", "Vegan", []string{"no celery", "no milk"}, "no onions"})
	st.Press(cook, "13:02", find(t, m.Kitchen.Actions, "One plate served"), nil)
	m = show[Catering](st, shoot.Caterer, "13:03", view.ScreenCatering).Meals[0]
	same(t, "served", m.Kitchen.Served, "1 of 12 served")
	st.Press(cook, "13:50", find(t, m.Kitchen.Actions, "End the meal"), nil)
	m = show[Catering](st, shoot.Caterer, "13:51", view.ScreenCatering).Meals[0]
	same(t, "names after", len(m.Kitchen.Names), 0)
	same(t, "mark", m.Mark.Word, "Over")
}

func TestNobodySeesAnothersDiet(t *testing.T) {
	st := newStage(t)
	st.Do(person(shoot.Caterer), "13:00", "meal.start", obj{"meal": lunch})
	for _, r := range shoot.Roles() {
		v := show[Catering](st, r, "13:05", view.ScreenCatering)
		kitchen := r == shoot.Caterer || r == shoot.Producer
		if (v.Meals[0].Kitchen != nil) != kitchen {
			t.Errorf("%s: kitchen is %v", r, v.Meals[0].Kitchen)
		}
		b, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		if known := strings.Contains(string(b), "no onions"); known != (kitchen || r == shoot.Crew) {
			t.Errorf("%s is told of the diet of another: %v", r, known)
		}
	}
}

func TestOwnDietForm(t *testing.T) {
	st := newStage(t)
	crew := person(shoot.Crew)
	d := show[Catering](st, shoot.Crew, "09:00", view.ScreenCatering).Diet
	same(t, "diet", []any{d.Diet, d.Allergens, d.Note}, []any{"Vegan", []string{"no celery", "no milk"}, "no onions"})
	// What is left alone stays.
	st.Press(crew, "09:00", d.Edit, map[string][]string{"kinds": {"vegetarian", "gluten-free"}})
	d = show[Catering](st, shoot.Crew, "09:01", view.ScreenCatering).Diet
	same(t, "diet", []any{d.Diet, d.Allergens, d.Note}, []any{"Vegetarian, gluten free", []string{"no celery", "no milk"}, "no onions"})
	st.Press(crew, "09:02", d.Edit, map[string][]string{"allergens": {}})
	same(t, "ticks taken off", show[Catering](st, shoot.Crew, "09:03", view.ScreenCatering).Diet.Allergens, []string{})
}

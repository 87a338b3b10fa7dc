package day

import (
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/view"
)

// A meal's food from the time serving began: not known how it was kept, then known, then
// past each limit; and put away.
func TestFoodOnTheCateringScreen(t *testing.T) {
	st := newStage(t)
	cook := person(shoot.Caterer)
	meal := func(at string) Meal { return show[Catering](st, shoot.Caterer, at, view.ScreenCatering).Meals[0] }
	word := func(at string) string {
		if h := meal(at).Hold; h != nil {
			return h.Mark.Word
		}
		return ""
	}
	same(t, "before", word("12:00"), "")
	st.Do(cook, "13:00", "meal.start", obj{"meal": lunch})
	h := meal("13:10").Hold
	same(t, "nobody said", h.Mark, view.Mark{Word: "Not known", Shape: view.ShapeUnknown, Tone: view.ToneWarn})
	contains(t, "nobody said", h.Say, "Since 13:00. Out for 10 min. It is not known how it was kept before: at most 1 h 50 min left of 2 h.")
	contains(t, "who decides", h.Source+". "+h.Caution, "2 h at most, 1 h where the air is above 90 °F. The local food code and the caterer decide.")
	same(t, "past an hour in nobody knows what air", word("14:01"), "Time runs out")
	same(t, "past two hours", word("15:00"), "Do not serve")

	// Sent as it is shown, the time it was set out stays.
	st.Press(cook, "13:20", find(t, meal("13:20").Actions, "How the food was kept"), map[string][]string{"held": {"hot"}, "air": {"mild"}})
	same(t, "kept hot", []string{word("13:21"), word("14:31"), word("15:01"), word("16:59"), word("17:00")},
		[]string{"Within its time", "Time runs out", "Time runs out", "Time runs out", "Do not serve"})
	contains(t, "past two hours", meal("15:01").Hold.Say, "only where the caterer works by time with a written procedure")
	contains(t, "and the source", meal("15:01").Hold.Source, "3-501.19")
	contains(t, "kept hot", meal("13:21").Hold.Say, "Since 13:00.")
	for _, r := range shoot.Roles() { // everybody who eats reads it
		if h := show[Catering](st, r, "17:01", view.ScreenCatering).Meals[0].Hold; h == nil || h.Mark.Tone != view.ToneStop {
			t.Errorf("%s reads %+v", r, h)
		}
	}
	st.Press(cook, "13:30", find(t, meal("13:30").Actions, "How the food was kept"), map[string][]string{"at": {"13:30"}, "air": {"hot"}, "held": {""}})
	same(t, "a fresh dish in the heat", []string{word("13:40"), word("14:29"), word("14:30")}, []string{"Not known", "Time runs out", "Do not serve"})
	st.Do(cook, "14:00", "meal.end", obj{"meal": lunch})
	same(t, "over", word("14:40"), "")
}

func TestFoodOnTheHeroesScreen(t *testing.T) {
	st := newStage(t)
	stylist := person(shoot.FoodStylist)
	card := func(at string) Hero {
		for _, h := range show[Heroes](st, shoot.FoodStylist, at, view.ScreenHeroes).Heroes {
			if h.Name == "Soup" {
				return h
			}
		}
		t.Fatal("there is no soup")
		return Hero{}
	}
	if h := card("09:00"); h.Hold != nil {
		t.Errorf("not plated, and %+v", h.Hold)
	}
	st.Do(stylist, "09:10", "hero.read", obj{"hero": soup, "plate": obj{"serial": "B7"}, "checked": []string{}})
	same(t, "read", card("09:20").Hold.Mark.Word, "Not known")
	same(t, "two hours later", card("11:10").Hold.Mark.Word, "Do not serve")
	st.Press(stylist, "09:30", find(t, card("09:30").Actions, "How the food was kept"), map[string][]string{"held": {"cold"}, "air": {"mild"}})
	same(t, "cold", card("09:31").Hold.Mark.Word, "Within its time")
	contains(t, "still not to be eaten", card("09:31").Caution, "not for eating")
	st.Do(stylist, "09:40", "hero.swap", obj{"hero": soup, "note": ""})
	h := card("09:41").Hold
	same(t, "another plate", h.Mark.Word, "Not known")
	contains(t, "another plate", h.Say, "It is not known since when it has been out.")
	for _, h := range show[Heroes](st, shoot.Producer, "09:41", view.ScreenHeroes).Heroes {
		if h.Name == "Lamp" && h.Hold != nil {
			t.Errorf("the lamp is %+v", h.Hold)
		}
	}
}

package shoot

import (
	"testing"

	"fairday/domain/catering"
	"fairday/domain/when"
)

func TestFoodOfAMeal(t *testing.T) {
	st := newStage(t)
	meal := func() (catering.Standing, bool) { return st.s.MealFood(st.s.Floor.Meals[lunch]) }
	expect := func(what string, out bool, want catering.Standing) {
		t.Helper()
		if got, is := meal(); is != out || got != want {
			t.Errorf("%s: %+v, %v", what, got, is)
		}
	}
	expect("nothing is out", false, catering.Standing{})
	st.must(cook, clock("12:50"), "food.out", foodOut{Meal: lunch, Held: "hot", Air: "mild", At: clock("12:40")})
	expect("set out before it is served", true, catering.Standing{Held: "hot", Air: "mild", Since: clock("12:40")})
	st.must(cook, clock("12:55"), "food.away", foodAway{Meal: lunch})
	expect("put away", false, catering.Standing{})
	st.must(cook, clock("13:00"), "meal.start", mealStart{lunch})
	expect("served, and nobody said more", true, catering.Standing{Since: clock("13:00")})
	st.must(cook, clock("13:10"), "food.out", foodOut{Meal: lunch, Held: "cold"})
	expect("a fresh dish", true, catering.Standing{Held: "cold", Since: clock("13:10")})
	st.must(cook, clock("13:05"), "food.away", foodAway{Meal: lunch}) // of the dish before
	expect("the fresh dish stays", true, catering.Standing{Held: "cold", Since: clock("13:10")})
	st.must(cook, clock("13:40"), "meal.end", mealEnd{lunch})
	expect("the meal is over", false, catering.Standing{})
}

func TestFoodOfAHero(t *testing.T) {
	st := newStage(t)
	expect := func(what string, at string, out bool, want catering.Standing) {
		t.Helper()
		if got, is := st.s.HeroFood(st.s.Floor.Heroes[soup], clock(at)); is != out || got != want {
			t.Errorf("%s: %+v, %v", what, got, is)
		}
	}
	read := heroRead{Hero: soup, Plate: Plate{Serial: "B7"}}
	expect("not plated", "09:00", false, catering.Standing{})
	st.must(food, clock("09:10"), "hero.read", read)
	st.must(food, clock("09:50"), "hero.read", read) // its hold ran out, the soup is the same
	expect("since it was read first", "10:00", true, catering.Standing{Since: clock("09:10")})
	st.must(food, clock("10:01"), "food.out", foodOut{Hero: soup, Held: "hot", Air: "hot", At: clock("09:00")})
	expect("since it was plated", "10:02", true, catering.Standing{Held: "hot", Air: "hot", Since: clock("09:00")})
	st.must(food, clock("10:10"), "hero.swap", heroSwap{Hero: soup})
	expect("another plate, and nobody knows since when", "10:11", true, catering.Standing{})
	st.must(food, clock("10:20"), "hero.read", read)
	expect("since that was read", "10:30", true, catering.Standing{Since: clock("10:20")})
	expect("before the swap", "10:05", true, catering.Standing{Held: "hot", Air: "hot", Since: clock("09:00")})
	if _, is := st.s.HeroFood(st.s.Floor.Heroes[lamp], clock("10:30")); is {
		t.Error("a lamp is food")
	}
}

func TestFoodRefusals(t *testing.T) {
	at := clock("12:00")
	for name, c := range map[string]struct {
		code Code
		who  PersonID
		args foodOut
	}{
		"not for crew":           {CodeNotAllowed, crew, foodOut{Meal: lunch}},
		"of nothing":             {CodeUnknownThing, cook, foodOut{}},
		"no such meal":           {CodeUnknownThing, cook, foodOut{Meal: "x"}},
		"a lamp":                 {CodeUnknownThing, cook, foodOut{Hero: lamp}},
		"of both":                {CodeBadArgs, cook, foodOut{Meal: lunch, Hero: soup}},
		"kept somehow":           {CodeBadArgs, cook, foodOut{Meal: lunch, Held: "warm"}},
		"in some air":            {CodeBadArgs, cook, foodOut{Meal: lunch, Air: "fresh"}},
		"still to be":            {CodeBadArgs, cook, foodOut{Meal: lunch, At: at + 3*when.Minute}},
		"days ago":               {CodeBadArgs, cook, foodOut{Meal: lunch, At: at - 25*when.Hour}},
		"before there was a day": {CodeBadArgs, cook, foodOut{Meal: lunch, At: -1}},
	} {
		t.Run(name, func(t *testing.T) { newStage(t).refused(c.code, c.who, at, "food.out", c.args) })
	}
	newStage(t).refused(CodeUnknownThing, cook, at, "food.away", foodAway{Meal: "x"})
}

package shoot

import (
	"cmp"
	"slices"

	"fairday/domain/catering"
	"fairday/domain/when"
)

// Since when food is out, and how it was kept before: of a meal, and of a hero that is
// food. What nobody said is not known.

var foodRows = rows{
	intents: []intentRow{
		{name: "food.out", fact: true, who: []Role{Producer, ArtDirector, FoodStylist, Caterer}, say: "Food set out", args: foodOut{}},
		{name: "food.away", fact: true, who: []Role{Producer, ArtDirector, FoodStylist, Caterer}, say: "Food put away", args: foodAway{}},
	},
	events: []eventRow{
		{body: FoodSetOut{}},
		{body: FoodPutAway{}},
	},
}

// FoodKey names whose food it is: a meal's or a hero's id.
type FoodKey string

// Food is food that was set out.
type Food struct {
	Since when.Instant  `json:"since"`
	Held  catering.Hold `json:"held"` // "" is not known
	Air   catering.Air  `json:"air"`  // "" is not known
	By    PersonID      `json:"by"`
}

type foodOut struct {
	Meal MealID        `json:"meal"` // either a meal
	Hero HeroID        `json:"hero"` // or a hero
	Held catering.Hold `json:"held"`
	Air  catering.Air  `json:"air"`
	At   when.Instant  `json:"at"` // 0: when it is told
}

// FoodSetOut says since when food is out.
type FoodSetOut struct {
	Of    FoodKey       `json:"of"`
	Since when.Instant  `json:"since"`
	Held  catering.Hold `json:"held"`
	Air   catering.Air  `json:"air"`
}

func (a foodOut) decide(d *deciding) *Refusal {
	of, r := d.foodOf(a.Meal, a.Hero)
	switch {
	case r != nil:
		return r
	case a.Held != "" && !slices.Contains(catering.Holds(), a.Held):
		return refuse(CodeBadArgs, "%q is no way that food is kept. Choose one from the list, or that it is not known.", clip(string(a.Held)))
	case a.Air != "" && !slices.Contains(catering.Airs(), a.Air):
		return refuse(CodeBadArgs, "%q does not say how warm it is. Choose from the list, or that it is not known.", clip(string(a.Air)))
	case a.At < 0, a.At > d.at+Skew, a.At != 0 && a.At < d.at-24*when.Hour:
		return refuse(CodeBadArgs, "Food that is out was set out within the last day. Enter a time that has been.")
	}
	d.emit(FoodSetOut{of, cmp.Or(a.At, d.at), a.Held, a.Air})
	return nil
}

// foodOf checks that it is the food of one thing that is there.
func (d *deciding) foodOf(m MealID, h HeroID) (FoodKey, *Refusal) {
	if m != "" && h != "" {
		return "", refuse(CodeBadArgs, "Food is a meal's or a hero's. Enter it for one of the two.")
	}
	if _, ok := d.s.Floor.Meals[m]; ok {
		return FoodKey(m), nil
	}
	if hero, ok := d.s.Floor.Heroes[h]; ok && hero.Food {
		return FoodKey(h), nil
	}
	return "", unknown("food")
}

func (FoodSetOut) kind() string { return "food.out" }
func (FoodSetOut) topic() Topic { return TopicFloor }
func (e FoodSetOut) apply(s *State, ev Event) {
	s.Floor.Food = with(s.Floor.Food, e.Of, Food{e.Since, e.Held, e.Air, ev.By})
}

type foodAway struct {
	Meal MealID `json:"meal"`
	Hero HeroID `json:"hero"`
}

// FoodPutAway says that food is not out any more: eaten, put away or thrown away.
type FoodPutAway struct {
	Of FoodKey `json:"of"`
}

func (a foodAway) decide(d *deciding) *Refusal {
	of, r := d.foodOf(a.Meal, a.Hero)
	if r != nil {
		return r
	}
	if was, out := d.s.Floor.Food[of]; out && was.Since <= d.at {
		d.emit(FoodPutAway{of})
	}
	return nil
}

func (FoodPutAway) kind() string              { return "food.away" }
func (FoodPutAway) topic() Topic              { return TopicFloor }
func (e FoodPutAway) apply(s *State, _ Event) { delete(s.Floor.Food, e.Of) }

// MealFood is a meal's food while it is out: since somebody said, or else since serving
// began, kept nobody knows how.
func (s *State) MealFood(m Meal) (catering.Standing, bool) {
	food, told := s.Floor.Food[FoodKey(m.ID)]
	switch {
	case m.Service == MealDone:
		return catering.Standing{}, false
	case told:
		return catering.Standing{Held: food.Held, Air: food.Air, Since: food.Since}, true
	}
	return catering.Standing{Since: m.Began}, m.Service == MealServing
}

// HeroFood is a food hero while it is out: since somebody said, or else since its plate
// was first read, kept nobody knows how. One that was swapped since is another plate.
func (s *State) HeroFood(h Hero, now when.Instant) (catering.Standing, bool) {
	if !h.Food {
		return catering.Standing{}, false
	}
	var seen, swapped when.Instant
	for _, n := range h.History {
		switch {
		case n.At > now:
		case n.What == NoteLapsed && n.Lapse == LapseSwapped:
			seen, swapped = 0, n.At
		case n.What == NoteConfirmed && seen == 0:
			seen = n.At
		}
	}
	if food, told := s.Floor.Food[FoodKey(h.ID)]; told && food.Since >= swapped {
		return catering.Standing{Held: food.Held, Air: food.Air, Since: food.Since}, true
	}
	return catering.Standing{Since: seen}, seen != 0 || swapped != 0
}

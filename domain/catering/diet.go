package catering

import (
	"slices"
	"strings"

	"fairday/domain/sorting"
)

// Diet is what a person chooses to eat. Who has none of them eats everything, and one
// person may have several: vegan and gluten free.
type Diet string

// The diets. Omnivore is what is counted for who has none.
const (
	Omnivore    Diet = "omnivore"
	Vegetarian  Diet = "vegetarian"
	Vegan       Diet = "vegan"
	Pescatarian Diet = "pescatarian"
	Halal       Diet = "halal"
	Kosher      Diet = "kosher"
	GlutenFree  Diet = "gluten-free"
)

// Diets lists every diet in the order counts are shown.
func Diets() []Diet {
	return []Diet{Omnivore, Vegetarian, Vegan, Pescatarian, Halal, Kosher, GlutenFree}
}

// Valid tells whether the diet is one of Diets, or empty.
func (d Diet) Valid() bool { return d == "" || slices.Contains(Diets(), d) }

// Label names the diet for people; a diet we do not know is shown as it is
// written.
func (d Diet) Label() string {
	switch d {
	case "", Omnivore:
		return "Eats everything"
	case Vegetarian:
		return "Vegetarian"
	case Vegan:
		return "Vegan"
	case Pescatarian:
		return "Pescatarian"
	case Halal:
		return "Halal"
	case Kosher:
		return "Kosher"
	case GlutenFree:
		return "Gluten free"
	}
	return string(d)
}

// Label names the diets that one plate is to follow: "Vegan, gluten free".
func Label(diets []Diet) string {
	if len(diets) == 0 {
		return Omnivore.Label()
	}
	words := []string{diets[0].Label()}
	for _, d := range diets[1:] {
		words = append(words, strings.ToLower(d.Label()))
	}
	return strings.Join(words, ", ")
}

// within tells whether who eats by a diet eats nothing that another one forbids: a
// vegan plate is a vegetarian one. A pescatarian plate may hold fish and a vegetarian
// one not.
func (d Diet) within(o Diet) bool {
	switch o {
	case Pescatarian:
		return d == Vegetarian || d == Vegan
	case Vegetarian:
		return d == Vegan
	}
	return false
}

// Combined gives the distinct diets of one plate in the order of Diets, without one
// that another of them keeps to anyway. It is never nil, and Omnivore stands in it only
// alone.
func Combined(list []Diet) []Diet {
	out := []Diet{}
	for _, d := range list {
		implied := slices.ContainsFunc(list, func(o Diet) bool { return o.within(d) })
		if d != "" && d != Omnivore && !implied && !slices.Contains(out, d) {
			out = append(out, d)
		}
	}
	if len(out) == 0 {
		return append(out, Omnivore)
	}
	sorting.By(out, compareDiets)
	return out
}

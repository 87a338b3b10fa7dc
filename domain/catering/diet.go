package catering

import "slices"

// Diet is what a person chooses to eat. The empty Diet is Omnivore.
type Diet string

// The diets.
const (
	Omnivore    Diet = "omnivore"
	Vegetarian  Diet = "vegetarian"
	Vegan       Diet = "vegan"
	Pescatarian Diet = "pescatarian"
	Halal       Diet = "halal"
	Kosher      Diet = "kosher"
)

// Diets lists every diet in the order counts are shown.
func Diets() []Diet { return []Diet{Omnivore, Vegetarian, Vegan, Pescatarian, Halal, Kosher} }

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
	}
	return string(d)
}

// norm writes the empty diet as Omnivore.
func (d Diet) norm() Diet {
	if d == "" {
		return Omnivore
	}
	return d
}

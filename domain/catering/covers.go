package catering

import (
	"cmp"
	"slices"

	"fairday/domain/sorting"
)

// Eater is one person at a meal.
type Eater struct {
	Diet      Diet       `json:"diet"`
	Allergens []Allergen `json:"allergens"`
}

// Covers are the plates a meal needs. The lists are sorted and never nil, so
// that equal covers have equal JSON.
type Covers struct {
	Total      int             `json:"total"`      // People + Guests + Margin
	People     int             `json:"people"`     // whose needs are known
	Guests     int             `json:"guests"`     // counted by head
	Margin     int             `json:"margin"`     // plates made beyond the count
	ByDiet     []DietCount     `json:"byDiet"`     // adds up to Total
	ByAllergen []AllergenCount `json:"byAllergen"` // a person may be in several
	Plates     []Plate         `json:"plates"`     // adds up to Total
}

// DietCount is how many plates a diet needs.
type DietCount struct {
	Diet   Diet `json:"diet"`
	Plates int  `json:"plates"`
}

// AllergenCount is how many people must not be served an allergen.
type AllergenCount struct {
	Allergen Allergen `json:"allergen"`
	People   int      `json:"people"`
}

// Plate is a set of needs that belong on one plate, and how many want it.
type Plate struct {
	Diet      Diet       `json:"diet"`
	Allergens []Allergen `json:"allergens"`
	Count     int        `json:"count"`
}

// Count works out the covers of a meal. Guests and margin are plates of
// everyday food without allergens to mind; guests whose needs are known belong
// among the eaters. A number below zero counts as none.
func Count(eaters []Eater, guests, margin int) Covers {
	guests, margin = max(guests, 0), max(margin, 0)
	c := Covers{
		Total: len(eaters) + guests + margin, People: len(eaters), Guests: guests, Margin: margin,
		ByDiet: []DietCount{}, ByAllergen: []AllergenCount{}, Plates: []Plate{},
	}
	for _, e := range eaters {
		c.add(e.Diet.norm(), needs(e.Allergens), 1)
	}
	if guests+margin > 0 {
		c.add(Omnivore, []Allergen{}, guests+margin)
	}
	sorting.By(c.ByDiet, func(a, b DietCount) int { return compareDiets(a.Diet, b.Diet) })
	sorting.By(c.ByAllergen, func(a, b AllergenCount) int { return compareAllergens(a.Allergen, b.Allergen) })
	sorting.By(c.Plates, func(a, b Plate) int {
		return cmp.Or(compareDiets(a.Diet, b.Diet), cmp.Compare(len(a.Allergens), len(b.Allergens)),
			slices.CompareFunc(a.Allergens, b.Allergens, compareAllergens))
	})
	return c
}

// add counts n plates with the same needs.
func (c *Covers) add(d Diet, avoid []Allergen, n int) {
	if i := slices.IndexFunc(c.ByDiet, func(r DietCount) bool { return r.Diet == d }); i >= 0 {
		c.ByDiet[i].Plates += n
	} else {
		c.ByDiet = append(c.ByDiet, DietCount{d, n})
	}
	if i := slices.IndexFunc(c.Plates, func(r Plate) bool { return r.Diet == d && slices.Equal(r.Allergens, avoid) }); i >= 0 {
		c.Plates[i].Count += n
	} else {
		c.Plates = append(c.Plates, Plate{d, avoid, n})
	}
	for _, a := range barred(avoid) {
		if i := slices.IndexFunc(c.ByAllergen, func(r AllergenCount) bool { return r.Allergen == a }); i >= 0 {
			c.ByAllergen[i].People += n
		} else {
			c.ByAllergen = append(c.ByAllergen, AllergenCount{a, n})
		}
	}
}

// barred gives everything that must not be on the plate: what is named and what
// that bars.
func barred(avoid []Allergen) []Allergen {
	out := slices.Clone(avoid)
	for _, a := range avoid {
		for _, b := range Allergens() {
			if a.Bars(b) && !slices.Contains(out, b) {
				out = append(out, b)
			}
		}
	}
	return out
}

// Without is how many people must not be served the allergen.
func (c Covers) Without(a Allergen) int {
	for _, r := range c.ByAllergen {
		if r.Allergen == a {
			return r.People
		}
	}
	return 0
}

// Equal tells whether two counts ask the kitchen for the same.
func (c Covers) Equal(o Covers) bool {
	return c.Total == o.Total && c.People == o.People && c.Guests == o.Guests && c.Margin == o.Margin &&
		slices.Equal(c.ByDiet, o.ByDiet) && slices.Equal(c.ByAllergen, o.ByAllergen) &&
		slices.EqualFunc(c.Plates, o.Plates, func(a, b Plate) bool {
			return a.Diet == b.Diet && a.Count == b.Count && slices.Equal(a.Allergens, b.Allergens)
		})
}

package catering

import (
	"cmp"
	"slices"
	"strings"

	"fairday/domain/sorting"
)

// Eater is one person at a meal.
type Eater struct {
	Diets     []Diet
	Allergens []Allergen
	Note      string // what else the kitchen has to know to cook for them
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

// DietCount is how many plates follow some diets together.
type DietCount struct {
	Diets  []Diet `json:"diets"`
	Plates int    `json:"plates"`
}

// AllergenCount is how many people must not be served an allergen.
type AllergenCount struct {
	Allergen Allergen `json:"allergen"`
	People   int      `json:"people"`
}

// Plate is a set of needs that belong on one plate, and how many want it.
type Plate struct {
	Diets     []Diet     `json:"diets"`
	Allergens []Allergen `json:"allergens"`
	Note      string     `json:"note,omitempty"`
	Count     int        `json:"count"`
}

func (p Plate) same(diets []Diet, avoid []Allergen, note string) bool {
	return slices.Equal(p.Diets, diets) && slices.Equal(p.Allergens, avoid) && p.Note == note
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
		c.add(Combined(e.Diets), needs(e.Allergens), strings.Join(strings.Fields(e.Note), " "), 1)
	}
	if guests+margin > 0 {
		c.add(Combined(nil), []Allergen{}, "", guests+margin)
	}
	sorting.By(c.ByDiet, func(a, b DietCount) int { return slices.CompareFunc(a.Diets, b.Diets, compareDiets) })
	sorting.By(c.ByAllergen, func(a, b AllergenCount) int { return compareAllergens(a.Allergen, b.Allergen) })
	sorting.By(c.Plates, func(a, b Plate) int {
		return cmp.Or(slices.CompareFunc(a.Diets, b.Diets, compareDiets), cmp.Compare(len(a.Allergens), len(b.Allergens)),
			slices.CompareFunc(a.Allergens, b.Allergens, compareAllergens), cmp.Compare(a.Note, b.Note))
	})
	return c
}

// Again is the same eaters with other guests and another margin.
func (c Covers) Again(guests, margin int) Covers {
	var eaters []Eater
	for _, p := range c.Plates {
		n := p.Count
		if p.same(Combined(nil), []Allergen{}, "") {
			n -= c.Guests + c.Margin
		}
		for range n {
			eaters = append(eaters, Eater{p.Diets, p.Allergens, p.Note})
		}
	}
	return Count(eaters, guests, margin)
}

// add counts n plates with the same needs.
func (c *Covers) add(diets []Diet, avoid []Allergen, note string, n int) {
	if i := slices.IndexFunc(c.ByDiet, func(r DietCount) bool { return slices.Equal(r.Diets, diets) }); i >= 0 {
		c.ByDiet[i].Plates += n
	} else {
		c.ByDiet = append(c.ByDiet, DietCount{diets, n})
	}
	if i := slices.IndexFunc(c.Plates, func(r Plate) bool { return r.same(diets, avoid, note) }); i >= 0 {
		c.Plates[i].Count += n
	} else {
		c.Plates = append(c.Plates, Plate{diets, avoid, note, n})
	}
	for _, a := range barred(diets, avoid) {
		if i := slices.IndexFunc(c.ByAllergen, func(r AllergenCount) bool { return r.Allergen == a }); i >= 0 {
			c.ByAllergen[i].People += n
		} else {
			c.ByAllergen = append(c.ByAllergen, AllergenCount{a, n})
		}
	}
}

// barred gives everything that must not be on the plate: what is named, gluten on a
// plate that is to be free of it, and what these bar.
func barred(diets []Diet, avoid []Allergen) []Allergen {
	out := slices.Clone(avoid)
	if slices.Contains(diets, GlutenFree) && !slices.Contains(out, Gluten) {
		out = append(out, Gluten)
	}
	for _, a := range slices.Clone(out) {
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
		slices.Equal(c.ByAllergen, o.ByAllergen) &&
		slices.EqualFunc(c.ByDiet, o.ByDiet, func(a, b DietCount) bool { return a.Plates == b.Plates && slices.Equal(a.Diets, b.Diets) }) &&
		slices.EqualFunc(c.Plates, o.Plates, func(a, b Plate) bool { return a.Count == b.Count && a.same(b.Diets, b.Allergens, b.Note) })
}

package catering

import (
	"cmp"
	"slices"

	"fairday/domain/sorting"
)

// Allergen is something a person must not be served.
type Allergen string

// The allergens that must be declared in the United States, the European Union
// or both. A code is on both lists where both name the same food. The cereals
// differ, so they have a code each: the United States list names wheat alone,
// the European one every cereal with gluten, oats among them. Which nuts count
// as tree nuts differs in the small print too: ask.
const (
	Gluten      Allergen = "gluten" // wheat, rye, barley, oats and their hybrids
	Wheat       Allergen = "wheat"
	Crustaceans Allergen = "crustaceans"
	Molluscs    Allergen = "molluscs"
	Eggs        Allergen = "eggs"
	Fish        Allergen = "fish"
	Peanuts     Allergen = "peanuts"
	TreeNuts    Allergen = "tree-nuts"
	Soybeans    Allergen = "soybeans"
	Milk        Allergen = "milk"
	Celery      Allergen = "celery"
	Mustard     Allergen = "mustard"
	Sesame      Allergen = "sesame"
	Sulphites   Allergen = "sulphites" // sulphur dioxide too, over 10 mg/kg or 10 mg/l
	Lupin       Allergen = "lupin"
)

// listing is where an allergen must be declared.
type listing struct {
	code   Allergen
	label  string
	us, eu bool
}

func listings() [15]listing {
	return [15]listing{
		{Gluten, "Gluten cereals", false, true},
		{Wheat, "Wheat", true, false},
		{Crustaceans, "Crustaceans", true, true},
		{Molluscs, "Molluscs", false, true},
		{Eggs, "Eggs", true, true},
		{Fish, "Fish", true, true},
		{Peanuts, "Peanuts", true, true},
		{TreeNuts, "Tree nuts", true, true},
		{Soybeans, "Soybeans", true, true},
		{Milk, "Milk", true, true},
		{Celery, "Celery", false, true},
		{Mustard, "Mustard", false, true},
		{Sesame, "Sesame", true, true},
		{Sulphites, "Sulphites", false, true},
		{Lupin, "Lupin", false, true},
	}
}

func (a Allergen) listing() (l listing, place int) {
	all := listings()
	for i, l := range all {
		if l.code == a {
			return l, i
		}
	}
	return listing{code: a, label: string(a)}, len(all)
}

// Allergens lists every allergen we know in the order counts are shown.
func Allergens() []Allergen {
	var out []Allergen
	for _, l := range listings() {
		out = append(out, l.code)
	}
	return out
}

// Valid tells whether the allergen is one of Allergens.
func (a Allergen) Valid() bool { return slices.Contains(Allergens(), a) }

// Label names the allergen for people; one we do not know is shown as it is
// written.
func (a Allergen) Label() string {
	l, _ := a.listing()
	return l.label
}

// US tells whether the allergen is one of the nine major food allergens of
// United States law (fda.gov; sesame since 1 January 2023 by the FASTER Act).
func (a Allergen) US() bool {
	l, _ := a.listing()
	return l.us
}

// EU tells whether the allergen is one of the fourteen of Regulation (EU)
// 1169/2011, Annex II. Wheat is not one of its own there: it is a gluten cereal.
func (a Allergen) EU() bool {
	l, _ := a.listing()
	return l.eu
}

// Bars tells whether who must not have a must not have b: every allergen bars
// itself, and gluten bars wheat. Wheat does not bar oats, rye or barley, so it
// does not bar gluten.
func (a Allergen) Bars(b Allergen) bool { return a == b || (a == Gluten && b == Wheat) }

// needs gives the distinct allergens in the order of Allergens, without one
// that another of them bars already. The result is never nil.
func needs(list []Allergen) []Allergen {
	out := []Allergen{}
	for _, a := range list {
		implied := slices.ContainsFunc(list, func(b Allergen) bool { return b != a && b.Bars(a) })
		if !implied && !slices.Contains(out, a) {
			out = append(out, a)
		}
	}
	sorting.By(out, compareAllergens)
	return out
}

// compareAllergens orders as Allergens does; codes we do not know come last, by
// spelling.
func compareAllergens(a, b Allergen) int {
	_, i := a.listing()
	_, j := b.listing()
	return cmp.Or(cmp.Compare(i, j), cmp.Compare(a, b))
}

// compareDiets orders as Diets does; those we do not know come last, by
// spelling.
func compareDiets(a, b Diet) int {
	place := func(d Diet) int {
		if i := slices.Index(Diets(), d); i >= 0 {
			return i
		}
		return len(Diets())
	}
	return cmp.Or(cmp.Compare(place(a), place(b)), cmp.Compare(a, b))
}

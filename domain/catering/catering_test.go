package catering

import (
	"encoding/json"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"fairday/domain/when"
)

// The nine major food allergens of United States law: fda.gov, "Food
// Allergies"; sesame is the ninth by the FASTER Act of 2021, in force since
// 1 January 2023.
var fda = []Allergen{Milk, Eggs, Fish, Crustaceans, TreeNuts, Peanuts, Wheat, Soybeans, Sesame}

// The fourteen of Regulation (EU) No 1169/2011, Annex II, in its order.
var annexII = []Allergen{Gluten, Crustaceans, Eggs, Fish, Peanuts, Soybeans, Milk, TreeNuts, Celery, Mustard, Sesame, Sulphites, Lupin, Molluscs}

func TestAllergenLists(t *testing.T) {
	var us, eu []Allergen
	for _, a := range Allergens() {
		if a.US() {
			us = append(us, a)
		}
		if a.EU() {
			eu = append(eu, a)
		}
		if !a.US() && !a.EU() {
			t.Errorf("%s is on neither list", a)
		}
		if !a.Valid() || a.Label() == "" || a.Label() == string(a) {
			t.Errorf("%s: label %q", a, a.Label())
		}
		if s := string(a); s != strings.ToLower(s) || strings.ContainsAny(s, " _") {
			t.Errorf("%q is not a lower-case code", s)
		}
	}
	for name, c := range map[string]struct {
		got, want []Allergen
		n         int
	}{"US": {us, fda, 9}, "EU": {eu, annexII, 14}} {
		want := slices.Clone(c.want)
		slices.SortFunc(want, compareAllergens)
		if len(c.got) != c.n || !slices.Equal(c.got, want) {
			t.Errorf("%s: %v, want %v", name, c.got, want)
		}
	}
	if Molluscs.US() || !Molluscs.EU() || Gluten.US() || Wheat.EU() {
		t.Error("molluscs and gluten are on the European list only, wheat on the United States one")
	}
	for _, a := range []Allergen{"", "oats", "Milk"} {
		if a.Valid() || a.US() || a.EU() || a.Label() != string(a) {
			t.Errorf("%q passes for an allergen", a)
		}
	}
}

var vegan, anything, vegetarian, halal = []Diet{Vegan}, []Diet{Omnivore}, []Diet{Vegetarian}, []Diet{Halal}

// Oats are a gluten cereal (EU) and not wheat (US): who must not have gluten
// must not have wheat, and not the other way round.
func TestGlutenBarsWheat(t *testing.T) {
	if !Gluten.Bars(Wheat) || Wheat.Bars(Gluten) || !Milk.Bars(Milk) || Milk.Bars(Eggs) {
		t.Error("bars")
	}
	c := Count([]Eater{{vegan, []Allergen{Wheat}, ""}, {vegan, []Allergen{Gluten}, ""}, {vegan, []Allergen{Gluten, Wheat, Gluten}, ""}}, 0, 0)
	if c.Without(Wheat) != 3 || c.Without(Gluten) != 2 || c.Without(Milk) != 0 {
		t.Errorf("%+v", c.ByAllergen)
	}
	want := []Plate{{vegan, []Allergen{Gluten}, "", 2}, {vegan, []Allergen{Wheat}, "", 1}}
	if !reflect.DeepEqual(c.Plates, want) {
		t.Errorf("%+v", c.Plates)
	}
}

func TestDiets(t *testing.T) {
	for _, d := range append(Diets(), "") {
		if !d.Valid() || d.Label() == "" || d.Label() == string(d) {
			t.Errorf("%q: %q", d, d.Label())
		}
	}
	if Diet("Vegan").Valid() || Diet("paleo").Label() != "paleo" {
		t.Error("an unknown diet passes")
	}
}

// Eight people counted by hand.
func TestCount(t *testing.T) {
	got := Count([]Eater{
		{vegan, []Allergen{TreeNuts, Peanuts}, ""}, {nil, nil, ""}, {vegetarian, []Allergen{}, ""}, {anything, []Allergen{Milk}, ""},
		{vegan, nil, ""}, {[]Diet{"", Omnivore}, nil, ""}, {vegan, []Allergen{Peanuts, TreeNuts}, ""}, {halal, []Allergen{TreeNuts}, ""},
	}, 2, 3)
	want := Covers{
		Total: 13, People: 8, Guests: 2, Margin: 3,
		ByDiet:     []DietCount{{anything, 8}, {vegetarian, 1}, {vegan, 3}, {halal, 1}},
		ByAllergen: []AllergenCount{{Peanuts, 2}, {TreeNuts, 3}, {Milk, 1}},
		Plates: []Plate{
			{anything, []Allergen{}, "", 7}, {anything, []Allergen{Milk}, "", 1}, {vegetarian, []Allergen{}, "", 1},
			{vegan, []Allergen{}, "", 1}, {vegan, []Allergen{Peanuts, TreeNuts}, "", 2}, {halal, []Allergen{TreeNuts}, "", 1},
		},
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("\n%+v, want\n%+v", got, want)
	}
}

func TestCountOfNobody(t *testing.T) {
	b, err := json.Marshal(Count(nil, -3, -1))
	if want := `{"total":0,"people":0,"guests":0,"margin":0,"byDiet":[],"byAllergen":[],"plates":[]}`; err != nil || string(b) != want {
		t.Errorf("%s, %v", b, err)
	}
}

// Whatever the order people are counted in, the covers are the same to the byte;
// diets and plates add up to the total; JSON comes back equal.
func TestCountAddsUp(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 500 {
		var eaters []Eater
		for range r.IntN(40) {
			e := Eater{Note: []string{"", "", "no onions", "soft food"}[r.IntN(4)]}
			for range r.IntN(4) {
				e.Diets = append(e.Diets, append(Diets(), "", "paleo", "broth only")[r.IntN(len(Diets())+3)])
			}
			for range r.IntN(4) {
				e.Allergens = append(e.Allergens, append(Allergens(), "kiwi", "apple")[r.IntN(len(Allergens())+2)])
			}
			eaters = append(eaters, e)
		}
		guests, margin := r.IntN(5), r.IntN(5)
		c := Count(eaters, guests, margin)
		before, err := json.Marshal(c)
		if err != nil {
			t.Fatal(err)
		}
		r.Shuffle(len(eaters), func(i, j int) { eaters[i], eaters[j] = eaters[j], eaters[i] })
		for _, e := range eaters {
			r.Shuffle(len(e.Diets), func(i, j int) { e.Diets[i], e.Diets[j] = e.Diets[j], e.Diets[i] })
			r.Shuffle(len(e.Allergens), func(i, j int) { e.Allergens[i], e.Allergens[j] = e.Allergens[j], e.Allergens[i] })
		}
		other := Count(eaters, guests, margin)
		after, err := json.Marshal(other)
		if err != nil || string(before) != string(after) || !c.Equal(other) {
			t.Fatalf("order matters: %s, %s", before, after)
		}
		var back Covers
		if err := json.Unmarshal(before, &back); err != nil || !reflect.DeepEqual(back, c) {
			t.Fatalf("came back as %+v, %v", back, err)
		}
		diets, plates := 0, 0
		for _, d := range c.ByDiet {
			diets += d.Plates
		}
		for _, p := range c.Plates {
			plates += p.Count
		}
		if c.Total != len(eaters)+guests+margin || diets != c.Total || plates != c.Total {
			t.Fatalf("%d by diet, %d plates, %d in all", diets, plates, c.Total)
		}
		for _, a := range c.ByAllergen {
			n := 0
			for _, e := range eaters {
				free := slices.Contains(e.Diets, GlutenFree) && Gluten.Bars(a.Allergen)
				if free || slices.ContainsFunc(e.Allergens, func(b Allergen) bool { return b.Bars(a.Allergen) }) {
					n++
				}
			}
			if n != a.People {
				t.Fatalf("%s: %d, want %d", a.Allergen, a.People, n)
			}
		}
	}
}

func TestEqual(t *testing.T) {
	one := func() Covers { return Count([]Eater{{vegan, []Allergen{Milk}, "no onions"}}, 1, 1) }
	if !one().Equal(one()) {
		t.Error("not equal to itself")
	}
	for name, change := range map[string]func(*Covers){
		"total": func(c *Covers) { c.Total++ }, "people": func(c *Covers) { c.People++ }, "guests": func(c *Covers) { c.Guests++ },
		"margin": func(c *Covers) { c.Margin++ }, "diet": func(c *Covers) { c.ByDiet[0].Plates++ },
		"allergen": func(c *Covers) { c.ByAllergen[0].People++ }, "plates": func(c *Covers) { c.Plates[0].Count++ },
		"note": func(c *Covers) { c.Plates[1].Note = "" }, "diets": func(c *Covers) { c.ByDiet[1].Diets = halal },
		"needs": func(c *Covers) { c.Plates[1].Allergens = nil }, "a row": func(c *Covers) { c.Plates = c.Plates[1:] },
	} {
		c := one()
		change(&c)
		if c.Equal(one()) {
			t.Errorf("a change of %s does not show", name)
		}
	}
}

func TestPresent(t *testing.T) {
	for _, c := range []struct {
		name     string
		in       []Stretch
		from, to when.Instant
		want     bool
	}{
		{"nobody", nil, 100, 200, false},
		{"all day", []Stretch{{50, 300}}, 100, 200, true},
		{"on the clock", []Stretch{{50, 0}}, 100, 200, true},
		{"out as it starts", []Stretch{{50, 100}}, 100, 200, false},
		{"out just after", []Stretch{{50, 101}}, 100, 200, true},
		{"in as it ends", []Stretch{{200, 300}}, 100, 200, false},
		{"in just before", []Stretch{{199, 300}}, 100, 200, true},
		{"in later, open", []Stretch{{200, 0}}, 100, 200, false},
		{"away in between", []Stretch{{50, 100}, {200, 300}}, 100, 200, false},
		{"second stretch", []Stretch{{50, 100}, {150, 160}}, 100, 200, true},
		{"no start", []Stretch{{0, 150}}, 100, 200, false},
		{"empty stretch", []Stretch{{150, 150}}, 100, 200, false},
		{"backwards", []Stretch{{160, 150}}, 100, 200, false},
		{"a moment, there", []Stretch{{50, 300}}, 100, 100, true},
		{"a moment, gone", []Stretch{{50, 100}}, 100, 100, false},
		{"a moment, arriving", []Stretch{{100, 0}}, 100, 100, true},
	} {
		if got := Present(c.in, c.from, c.to); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

func BenchmarkCount(b *testing.B) {
	var eaters []Eater
	for i := range 60 {
		eaters = append(eaters, Eater{Diets()[i%len(Diets()) : i%len(Diets())+1], Allergens()[i%15 : i%15+i%2], ""})
	}
	b.ReportAllocs()
	for b.Loop() {
		Count(eaters, 4, 3)
	}
}

// A vegan who is gluten free and must not have nuts is one plate of all three, and is
// counted in each of its allergens; so is who says it in other words.
func TestSeveralDietsOnOnePlate(t *testing.T) {
	nuts := []Allergen{TreeNuts, Peanuts}
	c := Count([]Eater{
		{[]Diet{Vegan, GlutenFree}, nuts, "no  onions\n"}, {[]Diet{GlutenFree, Vegetarian, Vegan, Omnivore, Vegan}, nuts, "no onions"},
		{[]Diet{Halal, Pescatarian}, nil, ""}, {[]Diet{Vegetarian, Pescatarian}, nil, ""}, {[]Diet{Omnivore}, []Allergen{Gluten}, ""},
	}, 1, 0)
	both := []Diet{Vegan, GlutenFree}
	want := Covers{
		Total: 6, People: 5, Guests: 1,
		ByDiet:     []DietCount{{anything, 2}, {vegetarian, 1}, {both, 2}, {[]Diet{Pescatarian, Halal}, 1}},
		ByAllergen: []AllergenCount{{Gluten, 3}, {Wheat, 3}, {Peanuts, 2}, {TreeNuts, 2}},
		Plates: []Plate{{anything, []Allergen{}, "", 1}, {anything, []Allergen{Gluten}, "", 1}, {vegetarian, []Allergen{}, "", 1},
			{both, []Allergen{Peanuts, TreeNuts}, "no onions", 2}, {[]Diet{Pescatarian, Halal}, []Allergen{}, "", 1}},
	}
	if !reflect.DeepEqual(c, want) {
		t.Errorf("\n%+v, want\n%+v", c, want)
	}
	if got := Label(both) + "; " + Label(nil) + "; " + Label([]Diet{Pescatarian, Halal}); got != "Vegan, gluten free; Eats everything; Pescatarian, halal" {
		t.Error(got)
	}
}

// Guests and spare plates change without a look at who eats.
func TestCountAgain(t *testing.T) {
	eaters := []Eater{{vegan, []Allergen{Milk}, "no onions"}, {nil, nil, ""}, {nil, nil, ""}, {anything, []Allergen{Eggs}, ""}}
	for _, c := range [][4]int{{0, 0, 3, 1}, {2, 1, 0, 0}, {1, 1, 1, 1}, {5, 0, -1, 2}} {
		if got, want := Count(eaters, c[0], c[1]).Again(c[2], c[3]), Count(eaters, c[2], c[3]); !got.Equal(want) {
			t.Errorf("%v: %+v, want %+v", c, got, want)
		}
	}
}

package shoot

import "fairday/domain/catering"

// What the kitchen's events and the diet's intent held while a person had one diet.

type oldDiet struct {
	Kind      catering.Diet       `json:"kind"`
	Allergens []catering.Allergen `json:"allergens"`
	Note      string              `json:"note"`
}

func (o oldDiet) now() Diet { return Diet{oneDiet(o.Kind), o.Allergens, o.Note} }

// oneDiet is a single diet as a list; everything is none.
func oneDiet(d catering.Diet) []catering.Diet {
	if d == "" || d == catering.Omnivore {
		return []catering.Diet{}
	}
	return []catering.Diet{d}
}

type oldDietSet struct {
	Person PersonID `json:"person"`
	oldDiet
}

type oldCount struct {
	Total      int                      `json:"total"`
	People     int                      `json:"people"`
	Guests     int                      `json:"guests"`
	Margin     int                      `json:"margin"`
	ByAllergen []catering.AllergenCount `json:"byAllergen"`
	ByDiet     []struct {
		Diet   catering.Diet `json:"diet"`
		Plates int           `json:"plates"`
	} `json:"byDiet"`
	Plates []struct {
		Diet      catering.Diet       `json:"diet"`
		Allergens []catering.Allergen `json:"allergens"`
		Count     int                 `json:"count"`
	} `json:"plates"`
	Count
}

type oldMealCount struct {
	Meal  MealID   `json:"meal"`
	Count oldCount `json:"count"`
}

// now is the count with lists of diets. Everybody was counted in whenever anything
// changed.
func (o oldCount) now() Count {
	c := o.Count
	c.Covers = catering.Covers{Total: o.Total, People: o.People, Guests: o.Guests, Margin: o.Margin, ByAllergen: o.ByAllergen,
		ByDiet: []catering.DietCount{}, Plates: []catering.Plate{}}
	for _, d := range o.ByDiet {
		c.ByDiet = append(c.ByDiet, catering.DietCount{Diets: catering.Combined(oneDiet(d.Diet)), Plates: d.Plates})
	}
	for _, p := range o.Plates {
		c.Plates = append(c.Plates, catering.Plate{Diets: catering.Combined(oneDiet(p.Diet)), Allergens: p.Allergens, Count: p.Count})
	}
	c.Everybody = c.At
	return c
}

type oldList struct {
	Meal MealID `json:"meal"`
	Rows []struct {
		Person PersonID `json:"person"`
		Diet   oldDiet  `json:"diet"`
	} `json:"rows"`
}

func (o oldList) now() ListOpened {
	out := ListOpened{Meal: o.Meal, Rows: []ServeRow{}}
	for _, r := range o.Rows {
		out.Rows = append(out.Rows, ServeRow{r.Person, r.Diet.now()})
	}
	return out
}

var (
	severalDiets = turning(func(o oldDietSet) dietSet { return dietSet{o.Person, o.now()} })
	countedDiets = turning(func(o oldMealCount) CoversCounted { return CoversCounted{o.Meal, o.Count.now(), nil} })
	lockedDiets  = turning(func(o oldMealCount) CoversLocked { return CoversLocked{o.Meal, o.Count.now()} })
	listedDiets  = turning(oldList.now)
)

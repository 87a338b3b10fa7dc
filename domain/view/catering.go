package view

import (
	"strings"

	"fairday/domain/catering"
	"fairday/domain/shoot"
)

func (m *maker) catering() *Catering {
	out := &Catering{Day: m.head(), Diet: m.ownDiet()}
	for _, meal := range m.s.MealsOf(m.day.ID) {
		card := Meal{ID: string(meal.ID), Name: meal.Name, At: m.clock(meal.From), Length: lasts(int64(meal.Minutes)),
			Mark: mealMark(meal.Service)}
		if shoot.MaySend(m.me.Role, "meal.guests") {
			card.Guests = "No guests"
			if meal.Guests > 0 {
				card.Guests = count(meal.Guests, "guest", "guests")
			}
		}
		more := m.action("One guest more", "meal.guests", fields{"meal": meal.ID, "delta": 1})
		less := m.action("One guest fewer", "meal.guests", fields{"meal": meal.ID, "delta": -1})
		if meal.Guests <= 0 {
			less = less.off("There are no guests to take off.")
		}
		if meal.Service == shoot.MealDone {
			more, less = more.off("The meal is over."), less.off("The meal is over.")
		}
		m.offer(&card.Actions, more, less)
		if m.s.Kitchen != nil {
			card.Kitchen = m.mealKitchen(meal)
		}
		out.Meals = append(out.Meals, card)
	}
	return out
}

func mealMark(s shoot.Service) Mark {
	switch s {
	case shoot.MealServing:
		return Mark{"Being served", ShapeLens, ToneGood}
	case shoot.MealDone:
		return Mark{"Over", ShapeLensBar, ToneCalm}
	}
	return Mark{"Planned", ShapeLensLine, ToneCalm}
}

func (m *maker) mealKitchen(meal shoot.Meal) *MealKitchen {
	now, counted := m.s.Kitchen.Covers[meal.ID]
	out := &MealKitchen{Covers: itoa(now.Total), CoversSay: "Not counted yet", LastCount: "The last count is not taken yet.",
		Served: itoa(meal.Served) + " of " + itoa(now.Total) + " served"}
	if counted {
		out.AsOf = "as of " + m.moment(now.At)
		out.CoversSay = count(now.People, "person", "people") + ", " + count(now.Guests, "guest", "guests") + ", " +
			count(now.Margin, "spare plate", "spare plates")
	}
	for _, d := range now.ByDiet {
		out.Diets = append(out.Diets, CountLine{d.Diet.Label(), itoa(d.Plates)})
	}
	for _, a := range now.ByAllergen {
		out.Allergens = append(out.Allergens, CountLine{"No " + lower(a.Allergen.Label()), itoa(a.People)})
	}
	for _, p := range now.Plates {
		out.Plates = append(out.Plates, CountLine{plateWords(p), itoa(p.Count)})
	}
	if meal.LastCount != 0 {
		out.LastCount = "Last count taken " + m.moment(meal.LastCount) + " by " + m.who(meal.LastCountBy) + "."
		if locked, ok := m.s.Kitchen.Locked[meal.ID]; ok && !locked.Equal(now.Covers) {
			out.LateSay = "Late: this has changed since the last count"
			out.Late = lateLines(locked.Covers, now.Covers)
		}
	}
	m.serveNames(out, meal)
	m.kitchenActions(out, meal, now.Total)
	return out
}

// plateWords names what goes on one plate: "Vegan, no milk, no eggs".
func plateWords(p catering.Plate) string {
	words := []string{p.Diet.Label()}
	for _, a := range p.Allergens {
		words = append(words, "no "+lower(a.Label()))
	}
	return strings.Join(words, ", ")
}

// lateLines lists each number that is not what it was at last count.
func lateLines(was, is catering.Covers) []ChangeLine {
	var out []ChangeLine
	add := func(what string, a, b int) {
		if a != b {
			out = append(out, ChangeLine{what, itoa(a), itoa(b)})
		}
	}
	add("Covers", was.Total, is.Total)
	add("Guests", was.Guests, is.Guests)
	plates := func(c catering.Covers, d catering.Diet) (n int) {
		for _, x := range c.ByDiet {
			if x.Diet == d {
				n += x.Plates
			}
		}
		return n
	}
	for _, d := range catering.Diets() {
		add(d.Label(), plates(was, d), plates(is, d))
	}
	people := func(c catering.Covers, a catering.Allergen) (n int) {
		for _, x := range c.ByAllergen {
			if x.Allergen == a {
				n += x.People
			}
		}
		return n
	}
	for _, a := range catering.Allergens() {
		add("No "+lower(a.Label()), people(was, a), people(is, a))
	}
	return out
}

// serveNames lists who eats what while the meal is being served.
func (m *maker) serveNames(out *MealKitchen, meal shoot.Meal) {
	list, open := m.s.Kitchen.Lists[meal.ID]
	if !open {
		out.NamesSay = "Names are shown while the meal is being served."
		return
	}
	rows := map[shoot.PersonID]shoot.Diet{}
	for _, row := range list.Rows {
		rows[row.Person] = row.Diet
	}
	for _, p := range m.people() {
		if diet, eats := rows[p.ID]; eats {
			out.Names = append(out.Names, ServeLine{Name: p.Name, Diet: diet.Kind.Label(), Allergens: allergens(diet), Note: diet.Note})
		}
	}
	out.NamesSay = "Who eats what, as of " + m.moment(list.At) + ". Ask the person when in doubt."
}

func allergens(d shoot.Diet) []string {
	var out []string
	for _, a := range d.Allergens {
		out = append(out, "no "+lower(a.Label()))
	}
	return out
}

func (m *maker) kitchenActions(out *MealKitchen, meal shoot.Meal, total int) {
	it := fields{"meal": meal.ID}
	lastCount := func() {
		if meal.LastCount == 0 {
			m.offer(&out.Actions, m.action("Take the last count", "meal.count", it).
				confirm("Take the last count at "+count(total, "plate", "plates")+"? Later changes are marked late."))
		}
	}
	if meal.Service == shoot.MealServing {
		defer lastCount() // handing out plates comes first then
	} else {
		lastCount()
	}
	switch meal.Service {
	case shoot.MealPlanned:
		m.offer(&out.Actions, m.action("Start serving", "meal.start", it))
	case shoot.MealServing:
		less := m.action("One plate back", "meal.serve", fields{"meal": meal.ID, "delta": -1})
		if meal.Served <= 0 {
			less = less.off("No plate was handed out yet.")
		}
		m.offer(&out.Actions, m.action("One plate served", "meal.serve", fields{"meal": meal.ID, "delta": 1}), less,
			m.action("End the meal", "meal.end", it).confirm("End "+meal.Name+"? The list of names is closed."))
	}
}

// ownDiet is this person's diet and the form to change it.
func (m *maker) ownDiet() OwnDiet {
	diet, known := m.s.Diets[m.c.Me]
	out := OwnDiet{Say: "You have not said what you eat yet. Until then you are counted as eating everything.",
		Diet: diet.Kind.Label(), Allergens: allergens(diet), Note: diet.Note}
	if known {
		out.Say = "The kitchen counts this in, without your name. Your name is shown only while a meal is served that you are at."
	}
	kind := Field{Key: "kind", Label: "I eat", Kind: KindChoice, Value: string(diet.Kind), As: AsText, Needed: true}
	if kind.Value == "" {
		kind.Value = string(catering.Omnivore)
	}
	for _, d := range catering.Diets() {
		kind.Options = append(kind.Options, Option{string(d), d.Label(), string(d) == kind.Value})
	}
	ticks := Field{Key: "allergens", Label: "I must not have", Kind: KindTicks, As: AsList}
	for _, a := range catering.Allergens() {
		on := false
		for _, mine := range diet.Allergens {
			on = on || mine == a
		}
		ticks.Options = append(ticks.Options, Option{string(a), a.Label(), on})
	}
	out.Edit = m.entry("Change what I eat", "diet.set", fields{"person": m.c.Me}, Form{Title: "What I eat", Submit: "Keep",
		Say: caution(ScreenCatering), Fields: []Field{kind, ticks,
			{Key: "note", Label: "Anything else", Kind: KindLines, Value: diet.Note, As: AsText, Hint: "Seen by the producer, and by the kitchen while your meal is served."}}})
	return out
}

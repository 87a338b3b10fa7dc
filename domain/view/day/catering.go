package day

import (
	"strings"

	"fairday/domain/catering"
	"fairday/domain/shoot"
	"fairday/domain/view"
)

func (m *maker) catering() *Catering {
	out := &Catering{Day: m.Head(), Diet: m.ownDiet()}
	for _, meal := range m.State.MealsOf(m.Day.ID) {
		card := Meal{ID: string(meal.ID), Name: meal.Name, At: m.Clock(meal.From), Length: view.Lasts(int64(meal.Minutes)),
			Mark: mealMark(meal.Service)}
		if shoot.MaySend(m.Me.Role, "meal.guests") {
			card.Guests = "No guests"
			if meal.Guests > 0 {
				card.Guests = view.Count(meal.Guests, "guest", "guests")
			}
		}
		more := m.Action("One guest more", "meal.guests", view.Fields{"meal": meal.ID, "delta": 1})
		less := m.Action("One guest fewer", "meal.guests", view.Fields{"meal": meal.ID, "delta": -1})
		if meal.Guests <= 0 {
			less = less.Off("There are no guests to take off.")
		}
		if meal.Service == shoot.MealDone {
			more, less = more.Off("The meal is over."), less.Off("The meal is over.")
		}
		m.Offer(&card.Actions, more, less)
		if m.State.Kitchen != nil {
			card.Kitchen = m.mealKitchen(meal)
		}
		out.Meals = append(out.Meals, card)
	}
	return out
}

func mealMark(s shoot.Service) view.Mark {
	switch s {
	case shoot.MealServing:
		return view.Mark{Word: "Being served", Shape: view.ShapeLens, Tone: view.ToneGood}
	case shoot.MealDone:
		return view.Mark{Word: "Over", Shape: view.ShapeLensBar, Tone: view.ToneCalm}
	}
	return view.Mark{Word: "Planned", Shape: view.ShapeLensLine, Tone: view.ToneCalm}
}

func (m *maker) mealKitchen(meal shoot.Meal) *MealKitchen {
	now, counted := m.State.Kitchen.Covers[meal.ID]
	out := &MealKitchen{Covers: view.Itoa(now.Total), CoversSay: "Not counted yet", LastCount: "The last count is not taken yet.",
		Served: view.Itoa(meal.Served) + " of " + view.Itoa(now.Total) + " served"}
	if counted {
		out.AsOf = "as of " + m.Moment(now.At)
		out.CoversSay = view.Count(now.People, "person", "people") + ", " + view.Count(now.Guests, "guest", "guests") + ", " +
			view.Count(now.Margin, "spare plate", "spare plates")
	}
	for _, d := range now.ByDiet {
		out.Diets = append(out.Diets, CountLine{d.Diet.Label(), view.Itoa(d.Plates)})
	}
	for _, a := range now.ByAllergen {
		out.Allergens = append(out.Allergens, CountLine{"No " + view.Lower(a.Allergen.Label()), view.Itoa(a.People)})
	}
	for _, p := range now.Plates {
		out.Plates = append(out.Plates, CountLine{plateWords(p), view.Itoa(p.Count)})
	}
	if meal.LastCount != 0 {
		out.LastCount = "Last count taken " + m.Moment(meal.LastCount) + " by " + m.Who(meal.LastCountBy) + "."
		if locked, ok := m.State.Kitchen.Locked[meal.ID]; ok && !locked.Equal(now.Covers) {
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
		words = append(words, "no "+view.Lower(a.Label()))
	}
	return strings.Join(words, ", ")
}

// lateLines lists each number that is not what it was at last count.
func lateLines(was, is catering.Covers) []view.ChangeLine {
	var out []view.ChangeLine
	add := func(what string, a, b int) {
		if a != b {
			out = append(out, view.ChangeLine{What: what, From: view.Itoa(a), To: view.Itoa(b)})
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
		add("No "+view.Lower(a.Label()), people(was, a), people(is, a))
	}
	return out
}

// serveNames lists who eats what while the meal is being served.
func (m *maker) serveNames(out *MealKitchen, meal shoot.Meal) {
	list, open := m.State.Kitchen.Lists[meal.ID]
	if !open {
		out.NamesSay = "Names are shown while the meal is being served."
		return
	}
	rows := map[shoot.PersonID]shoot.Diet{}
	for _, row := range list.Rows {
		rows[row.Person] = row.Diet
	}
	for _, p := range m.People() {
		if diet, eats := rows[p.ID]; eats {
			out.Names = append(out.Names, ServeLine{Name: p.Name, Diet: diet.Kind.Label(), Allergens: allergens(diet), Note: diet.Note})
		}
	}
	out.NamesSay = "Who eats what, as of " + m.Moment(list.At) + ". Ask the person when in doubt."
}

func allergens(d shoot.Diet) []string {
	var out []string
	for _, a := range d.Allergens {
		out = append(out, "no "+view.Lower(a.Label()))
	}
	return out
}

func (m *maker) kitchenActions(out *MealKitchen, meal shoot.Meal, total int) {
	it := view.Fields{"meal": meal.ID}
	lastCount := func() {
		if meal.LastCount == 0 {
			m.Offer(&out.Actions, m.Action("Take the last count", "meal.count", it).
				Confirming("Take the last count at "+view.Count(total, "plate", "plates")+"? Later changes are marked late."))
		}
	}
	if meal.Service == shoot.MealServing {
		defer lastCount() // handing out plates comes first then
	} else {
		lastCount()
	}
	switch meal.Service {
	case shoot.MealPlanned:
		m.Offer(&out.Actions, m.Action("Start serving", "meal.start", it))
	case shoot.MealServing:
		less := m.Action("One plate back", "meal.serve", view.Fields{"meal": meal.ID, "delta": -1})
		if meal.Served <= 0 {
			less = less.Off("No plate was handed out yet.")
		}
		m.Offer(&out.Actions, m.Action("One plate served", "meal.serve", view.Fields{"meal": meal.ID, "delta": 1}), less,
			m.Action("End the meal", "meal.end", it).Confirming("End "+meal.Name+"? The list of names is closed."))
	}
}

// ownDiet is this person's diet and the form to change it.
func (m *maker) ownDiet() OwnDiet {
	diet, known := m.State.Diets[m.c.Me]
	out := OwnDiet{Say: "You have not said what you eat yet. Until then you are counted as eating everything.",
		Diet: diet.Kind.Label(), Allergens: allergens(diet), Note: diet.Note}
	if known {
		out.Say = "The kitchen counts this in, without your name. Your name is shown only while a meal is served that you are at."
	}
	kind := view.Field{Key: "kind", Label: "I eat", Kind: view.KindChoice, Value: string(diet.Kind), As: view.AsText, Needed: true}
	if kind.Value == "" {
		kind.Value = string(catering.Omnivore)
	}
	for _, d := range catering.Diets() {
		kind.Options = append(kind.Options, view.Option{Value: string(d), Label: d.Label(), On: string(d) == kind.Value})
	}
	ticks := view.Field{Key: "allergens", Label: "I must not have", Kind: view.KindTicks, As: view.AsList}
	for _, a := range catering.Allergens() {
		on := false
		for _, mine := range diet.Allergens {
			on = on || mine == a
		}
		ticks.Options = append(ticks.Options, view.Option{Value: string(a), Label: a.Label(), On: on})
	}
	out.Edit = m.Entry("Change what I eat", "diet.set", view.Fields{"person": m.c.Me}, view.Form{Title: "What I eat", Submit: "Keep",
		Say: view.Caution(view.ScreenCatering), Fields: []view.Field{kind, ticks,
			{Key: "note", Label: "Anything else", Kind: view.KindLines, Value: diet.Note, As: view.AsText, Hint: "Seen by the producer, and by the kitchen while your meal is served."}}})
	return out
}

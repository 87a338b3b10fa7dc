package day

import (
	"slices"
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
		food, stands := m.State.MealFood(meal)
		card.Hold = m.hold(food, stands)
		if meal.Service != shoot.MealDone {
			m.foodActions(&card.Actions, meal.Name, ofMeal(meal.ID), food, stands)
		}
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
		out.Diets = append(out.Diets, CountLine{catering.Label(d.Diets), view.Itoa(d.Plates)})
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

// plateWords names what goes on one plate: "Vegan, no milk, no eggs: soft food".
func plateWords(p catering.Plate) string {
	words := []string{catering.Label(p.Diets)}
	for _, a := range p.Allergens {
		words = append(words, "no "+view.Lower(a.Label()))
	}
	said := strings.Join(words, ", ")
	if p.Note != "" {
		said += ": " + p.Note
	}
	return said
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
	byLabel := func(c catering.Covers) (labels []string, plates map[string]int) {
		plates = map[string]int{}
		for _, d := range c.ByDiet {
			labels = append(labels, catering.Label(d.Diets))
			plates[catering.Label(d.Diets)] += d.Plates
		}
		for _, p := range c.Plates {
			if p.Note != "" {
				labels = append(labels, plateWords(p))
				plates[plateWords(p)] += p.Count
			}
		}
		return labels, plates
	}
	before, then := byLabel(was)
	after, now := byLabel(is)
	for _, l := range before {
		add(l, then[l], now[l])
	}
	for _, l := range after {
		if then[l] == 0 {
			add(l, 0, now[l])
		}
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
		out.NamesSay = "Names are shown while the meal is being served. Until then people who come and go are counted in together, so that no plate tells whose it is; from two hours before the meal, each quarter of an hour."
		return
	}
	rows := map[shoot.PersonID]shoot.Diet{}
	for _, row := range list.Rows {
		rows[row.Person] = row.Diet
	}
	for _, p := range m.People() {
		if diet, eats := rows[p.ID]; eats {
			out.Names = append(out.Names, ServeLine{Name: p.Name, Diet: catering.Label(catering.Combined(diet.Kinds)), Allergens: allergens(diet), Note: diet.Note})
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
			m.Action("End the meal", "meal.end", it).Confirming("End "+meal.Name+"? The list of names is closed. What is left over is put away or thrown away: its time is no longer watched."))
	}
}

// ownDiet is this person's diet and the form to change it.
func (m *maker) ownDiet() OwnDiet {
	diet, known := m.State.Diets[m.c.Me]
	out := OwnDiet{Say: "You have not said what you eat yet. Until then you are counted as eating everything.",
		Diet: catering.Label(catering.Combined(diet.Kinds)), Allergens: allergens(diet), Note: diet.Note}
	if known {
		out.Say = "The kitchen counts this in, without your name. Your name is shown only while a meal is served that you are at."
	}
	kinds := view.Field{Key: "kinds", Label: "I eat", Kind: view.KindTicks, As: view.AsList, Hint: "Tick all that hold at once. None is everything."}
	for _, d := range catering.Diets() {
		if d != catering.Omnivore {
			kinds.Options = append(kinds.Options, view.Option{Value: string(d), Label: d.Label(), On: slices.Contains(diet.Kinds, d)})
		}
	}
	ticks := view.Field{Key: "allergens", Label: "I must not have", Kind: view.KindTicks, As: view.AsList}
	for _, a := range catering.Allergens() {
		ticks.Options = append(ticks.Options, view.Option{Value: string(a), Label: a.Label(), On: slices.Contains(diet.Allergens, a)})
	}
	out.Edit = m.Entry("Change what I eat", "diet.set", view.Fields{"person": m.c.Me}, view.Form{Title: "What I eat", Submit: "Keep",
		Say: view.Caution(view.ScreenCatering), Fields: []view.Field{kinds, ticks,
			{Key: "note", Label: "Anything else", Kind: view.KindLines, Value: diet.Note, As: view.AsText, Hint: "The kitchen reads this before your meal, without your name; so leave your name out. The producer sees whose it is."}}})
	return out
}

package office

import (
	"cmp"
	"strings"

	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/view"
)

// What only the producer changes: people, meals, the days, the shoot's name.

func (m *maker) planMeals() PlanPart {
	out := PlanPart{Key: "meals", Title: "Meals of this day", Say: "No meal is planned for this day.", New: fresh("Add a meal", m.mealForm(shoot.Meal{}))}
	for _, meal := range m.State.MealsOf(m.Day.ID) {
		one := row("meal:"+string(meal.ID), meal.Name, m.mealForm(meal), meal.At.String(), view.Lasts(int64(meal.Minutes)))
		if meal.Margin > 0 {
			one.Says = append(one.Says, view.Count(meal.Margin, "spare plate", "spare plates"))
		}
		if meal.Service == shoot.MealPlanned {
			m.Offer(&one.Actions, m.Action("Drop", "meal.drop", view.Fields{"meal": meal.ID}).
				Confirming("Drop "+meal.Name+"? The caterer sees it go.").Dangerous())
		}
		out.Rows = append(out.Rows, one)
		reach := row("range:"+string(meal.ID), "When "+view.Lower(meal.Name)+" may start", m.rangeForm(meal), "only when it is planned")
		if r := m.State.Floor.MealRanges[meal.ID]; r.Version > 0 {
			reach.Says = []string{"from " + m.Clock(r.Earliest) + " to " + m.Clock(r.Latest)}
		}
		out.Rows = append(out.Rows, reach)
	}
	return out
}

func (m *maker) mealForm(meal shoot.Meal) view.Action {
	p, title, at := meal.MealPlan, meal.Name, meal.At.String()
	if p.ID == "" {
		p, title, at = shoot.MealPlan{Day: m.Day.ID, Minutes: 45}, "A new meal", ""
	}
	return m.written("meal.set", string(p.ID), meal.Version, view.Fields{"day": p.Day}, view.Form{Title: title, Fields: []view.Field{
		{Key: "name", Label: "Name", Kind: view.KindText, Value: p.Name, Needed: true, As: view.AsText},
		{Key: "at", Label: "Starts at", Kind: view.KindTime, Value: at, Needed: true, As: view.AsClock, Hint: view.NextMorning},
		{Key: "minutes", Label: "Minutes", Kind: view.KindNumber, Value: view.Itoa(p.Minutes), Needed: true, As: view.AsNumber},
		{Key: "margin", Label: "Spare plates", Kind: view.KindNumber, Value: view.Itoa(p.Margin), Needed: true, As: view.AsNumber, Hint: "Made beyond the count."},
	}})
}

func (m *maker) rangeForm(meal shoot.Meal) view.Action {
	r := m.State.Floor.MealRanges[meal.ID]
	earliest, latest := meal.At.String(), meal.At.String()
	if r.Version > 0 {
		earliest, latest = m.Wall(r.Earliest), m.Wall(r.Latest)
	}
	return m.Entry("When it may start", "meal.range", view.Fields{"meal": meal.ID, "base": r.Version}, view.Form{
		Title: "When " + view.Lower(meal.Name) + " may start", Submit: "Keep", Say: "The forecast may then propose to move it.", Fields: []view.Field{
			{Key: "earliest", Label: "Not before", Kind: view.KindTime, Value: earliest, Needed: true, As: view.AsClock},
			{Key: "latest", Label: "Not after", Kind: view.KindTime, Value: latest, Needed: true, As: view.AsClock, Hint: view.NextMorning},
		}})
}

func (m *maker) planPeople() PlanPart {
	out := PlanPart{Key: "people", Title: "People", New: fresh("Add a person", m.personForm(shoot.Person{}))}
	one := func(p shoot.Person, says ...string) PlanRow {
		return row("person:"+string(p.ID), p.Name, m.personForm(p), append([]string{view.Job(p), p.Phone}, says...)...)
	}
	for _, p := range m.People() {
		r := one(p)
		r.Person = string(p.ID)
		m.Offer(&r.Actions, m.Action("Withdraw access", "person.access", view.Fields{"person": p.ID, "revoked": true}).
			Confirming("Withdraw "+view.Apart(p.Name)+"’s access? That phone hears nothing more. What waits on it is kept, and you decide whether it counts.").Dangerous())
		out.Rows = append(out.Rows, r)
	}
	for _, p := range sorting.Values(m.State.Floor.People, byName) {
		if p.Revoked {
			r := one(p, "access withdrawn "+m.Moment(p.Withdrawn))
			m.Offer(&r.Actions, m.Action("Give access back", "person.access", view.Fields{"person": p.ID, "revoked": false}))
			out.Rows = append(out.Rows, r)
		}
	}
	return out
}

func (m *maker) personForm(p shoot.Person) view.Action {
	form := view.Form{Title: p.Name}
	if p.ID == "" {
		p.Role = shoot.Crew
		form.Title, form.Say = "A new person", "Send them a join link afterwards, and give them a call time in the next call sheet."
	}
	role := view.Field{Key: "role", Label: "Role", Kind: view.KindChoice, Value: string(p.Role), Needed: true, As: view.AsText, List: listRoles, Hint: "It decides what their phone shows."}
	form.Fields = []view.Field{
		{Key: "name", Label: "Name", Kind: view.KindText, Value: p.Name, Needed: true, As: view.AsText},
		role,
		{Key: "department", Label: "Department", Kind: view.KindText, Value: p.Department, As: view.AsText},
		{Key: "job", Label: "What they do", Kind: view.KindText, Value: p.Job, As: view.AsText, Hint: "Where the role does not say it."},
		{Key: "phone", Label: "Phone number", Kind: view.KindText, Value: p.Phone, As: view.AsText},
	}
	return m.written("person.set", string(p.ID), p.Version, view.Fields{}, form)
}

func (m *maker) planShoot() PlanPart {
	job := m.State.Floor.Shoot
	out := PlanPart{Key: "shoot", Title: "The shoot and its days", New: fresh("Add a day", m.dayForm(shoot.Day{})),
		Rows: []PlanRow{row("shoot:", job.Title, m.shootForm(), "for "+cmp.Or(job.Client, "nobody named"))}}
	for _, d := range m.State.DaysInOrder() {
		out.Rows = append(out.Rows, row("day:"+string(d.ID), d.Name, m.dayForm(d), d.Date.Long(), string(d.Zone)))
	}
	return out
}

func (m *maker) shootForm() view.Action {
	job := m.State.Floor.Shoot
	return m.Entry("The shoot", "shoot.set", view.Fields{"base": job.Version}, view.Form{Title: "The shoot", Submit: "Keep", Fields: []view.Field{
		{Key: "title", Label: "Title", Kind: view.KindText, Value: job.Title, Needed: true, As: view.AsText},
		{Key: "client", Label: "Client", Kind: view.KindText, Value: job.Client, As: view.AsText},
	}})
}

func (m *maker) dayForm(d shoot.Day) view.Action {
	title, fixed := d.Name, "It stays as it is once the day has meals or a published call sheet."
	if d.ID == "" {
		title, fixed, d.Zone = "A new day", "", m.Day.Zone
		if days := m.State.DaysInOrder(); len(days) > 0 {
			d.Date = days[len(days)-1].Date.Add(1)
		}
	}
	return m.written("day.set", string(d.ID), d.Version, view.Fields{}, view.Form{Title: title, Fields: []view.Field{
		{Key: "name", Label: "Name", Kind: view.KindText, Value: d.Name, Needed: true, As: view.AsText},
		{Key: "date", Label: "Date", Kind: view.KindText, Value: string(d.Date), Needed: true, As: view.AsText, Hint: strings.TrimSpace("Like 2026-12-01. " + fixed)},
		{Key: "zone", Label: "Time zone", Kind: view.KindText, Value: string(d.Zone), Needed: true, As: view.AsText, Hint: "Like America/New_York."},
	}})
}

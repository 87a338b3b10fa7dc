package view

import (
	"cmp"
	"strings"

	"fairday/domain/shoot"
	"fairday/domain/sorting"
)

// What only the producer changes: people, meals, the days, the shoot's name.

func (m *maker) planMeals() PlanPart {
	out := PlanPart{Key: "meals", Title: "Meals of this day", Say: "No meal is planned for this day.", New: m.change("Add a meal", "meal.set", rowMeal)}
	for _, meal := range m.s.MealsOf(m.day.ID) {
		row := m.row("meal.set", rowMeal+string(meal.ID), meal.Name, meal.At.String(), lasts(int64(meal.Minutes)))
		if meal.Margin > 0 {
			row.Says = append(row.Says, count(meal.Margin, "spare plate", "spare plates"))
		}
		if meal.Service == shoot.MealPlanned {
			m.offer(&row.Actions, m.action("Drop", "meal.drop", fields{"meal": meal.ID}).
				confirm("Drop "+meal.Name+"? The caterer sees it go.").danger())
		}
		out.Rows = append(out.Rows, row)
		reach := m.row("meal.range", rowRange+string(meal.ID), "When "+lower(meal.Name)+" may start", "only when it is planned")
		if r := m.s.Floor.MealRanges[meal.ID]; r.Version > 0 {
			reach.Says = []string{"from " + m.clock(r.Earliest) + " to " + m.clock(r.Latest)}
		}
		out.Rows = append(out.Rows, reach)
	}
	return out
}

func (m *maker) mealForm(meal shoot.Meal) Action {
	p, title, at := meal.MealPlan, meal.Name, meal.At.String()
	if p.ID == "" {
		p, title, at = shoot.MealPlan{Day: m.day.ID, Minutes: 45}, "A new meal", ""
	}
	return m.written("meal.set", string(p.ID), meal.Version, fields{"day": p.Day}, Form{Title: title, Fields: []Field{
		{Key: "name", Label: "Name", Kind: KindText, Value: p.Name, Needed: true, As: AsText},
		{Key: "at", Label: "Starts at", Kind: KindTime, Value: at, Needed: true, As: AsClock, Hint: nextMorning},
		{Key: "minutes", Label: "Minutes", Kind: KindNumber, Value: itoa(p.Minutes), Needed: true, As: AsNumber},
		{Key: "margin", Label: "Spare plates", Kind: KindNumber, Value: itoa(p.Margin), Needed: true, As: AsNumber, Hint: "Made beyond the count."},
	}})
}

func (m *maker) rangeForm(meal shoot.Meal) Action {
	r := m.s.Floor.MealRanges[meal.ID]
	earliest, latest := meal.At.String(), meal.At.String()
	if r.Version > 0 {
		earliest, latest = m.wall(r.Earliest), m.wall(r.Latest)
	}
	return m.entry("When it may start", "meal.range", fields{"meal": meal.ID, "base": r.Version}, Form{
		Title: "When " + lower(meal.Name) + " may start", Submit: "Keep", Say: "The forecast may then propose to move it.", Fields: []Field{
			{Key: "earliest", Label: "Not before", Kind: KindTime, Value: earliest, Needed: true, As: AsClock},
			{Key: "latest", Label: "Not after", Kind: KindTime, Value: latest, Needed: true, As: AsClock, Hint: nextMorning},
		}})
}

func (m *maker) planPeople() PlanPart {
	out := PlanPart{Key: "people", Title: "People", New: m.change("Add a person", "person.set", rowPerson)}
	row := func(p shoot.Person, says ...string) PlanRow {
		return m.row("person.set", rowPerson+string(p.ID), p.Name, append([]string{job(p), p.Phone}, says...)...)
	}
	for _, p := range m.people() {
		r := row(p)
		r.Person = string(p.ID)
		m.offer(&r.Actions, m.action("Withdraw access", "person.access", fields{"person": p.ID, "revoked": true}).
			confirm("Withdraw "+p.Name+"’s access? That phone hears nothing more. What waits on it is kept, and you decide whether it counts.").danger())
		out.Rows = append(out.Rows, r)
	}
	for _, p := range sorting.Values(m.s.Floor.People, byName) {
		if p.Revoked {
			r := row(p, "access withdrawn "+m.moment(p.Withdrawn))
			m.offer(&r.Actions, m.action("Give access back", "person.access", fields{"person": p.ID, "revoked": false}))
			out.Rows = append(out.Rows, r)
		}
	}
	return out
}

func (m *maker) personForm(p shoot.Person) Action {
	form := Form{Title: p.Name}
	if p.ID == "" {
		p.Role = shoot.Crew
		form.Title, form.Say = "A new person", "Send them a join link afterwards, and give them a call time in the next call sheet."
	}
	role := Field{Key: "role", Label: "Role", Kind: KindChoice, Value: string(p.Role), Needed: true, As: AsText, Hint: "It decides what their phone shows."}
	for _, r := range shoot.Roles() {
		role.Options = append(role.Options, Option{string(r), r.Label(), r == p.Role})
	}
	form.Fields = []Field{
		{Key: "name", Label: "Name", Kind: KindText, Value: p.Name, Needed: true, As: AsText},
		role,
		{Key: "department", Label: "Department", Kind: KindText, Value: p.Department, As: AsText},
		{Key: "job", Label: "What they do", Kind: KindText, Value: p.Job, As: AsText, Hint: "Where the role does not say it."},
		{Key: "phone", Label: "Phone number", Kind: KindText, Value: p.Phone, As: AsText},
	}
	return m.written("person.set", string(p.ID), p.Version, fields{}, form)
}

func (m *maker) planShoot() PlanPart {
	job := m.s.Floor.Shoot
	out := PlanPart{Key: "shoot", Title: "The shoot and its days", New: m.change("Add a day", "day.set", rowDay),
		Rows: []PlanRow{m.row("shoot.set", rowShoot, job.Title, "for "+cmp.Or(job.Client, "nobody named"))}}
	for _, d := range m.s.DaysInOrder() {
		out.Rows = append(out.Rows, m.row("day.set", rowDay+string(d.ID), d.Name, d.Date.Long(), string(d.Zone)))
	}
	return out
}

func (m *maker) shootForm() Action {
	job := m.s.Floor.Shoot
	return m.entry("The shoot", "shoot.set", fields{"base": job.Version}, Form{Title: "The shoot", Submit: "Keep", Fields: []Field{
		{Key: "title", Label: "Title", Kind: KindText, Value: job.Title, Needed: true, As: AsText},
		{Key: "client", Label: "Client", Kind: KindText, Value: job.Client, As: AsText},
	}})
}

func (m *maker) dayForm(d shoot.Day) Action {
	title, fixed := d.Name, "It stays as it is once the day has meals or a published call sheet."
	if d.ID == "" {
		title, fixed, d.Zone = "A new day", "", m.day.Zone
		if days := m.s.DaysInOrder(); len(days) > 0 {
			d.Date = days[len(days)-1].Date.Add(1)
		}
	}
	return m.written("day.set", string(d.ID), d.Version, fields{}, Form{Title: title, Fields: []Field{
		{Key: "name", Label: "Name", Kind: KindText, Value: d.Name, Needed: true, As: AsText},
		{Key: "date", Label: "Date", Kind: KindText, Value: string(d.Date), Needed: true, As: AsText, Hint: strings.TrimSpace("Like 2026-12-01. " + fixed)},
		{Key: "zone", Label: "Time zone", Kind: KindText, Value: string(d.Zone), Needed: true, As: AsText, Hint: "Like America/New_York."},
	}})
}

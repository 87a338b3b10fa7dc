package plan

import (
	"cmp"
	"strconv"

	"fairday/domain/shoot"
	"fairday/domain/sorting"
)

// What a new shoot takes over from an earlier one: who was on it and on what terms,
// its heroes, its set-ups and its meals. What happened there stays there, and so do
// shots, call sheets and whoever's access was withdrawn.

func itoa(n int) string { return strconv.Itoa(n) }

// like takes over everything but the meals, which belong to days.
func (m *maker) like(old *shoot.State, terms bool) {
	for _, p := range sorting.Values(old.Floor.People, func(a, b shoot.Person) int { return cmp.Or(cmp.Compare(a.Name, b.Name), cmp.Compare(a.ID, b.ID)) }) {
		if p.Revoked {
			continue
		}
		id := m.person("like", string(p.ID), args{"name": p.Name, "role": p.Role, "department": p.Department, "job": p.Job, "phone": p.Phone})
		if d, ok := old.Diets[p.ID]; ok {
			m.do("like", "diet.set", struct {
				Person shoot.PersonID `json:"person"`
				shoot.Diet
			}{id, d})
		}
		if old.Money == nil || !terms {
			continue
		}
		if t, ok := old.Money.Terms[p.ID]; ok {
			t.Employee.NoRest = nil // days of the earlier shoot
			m.do("like", "terms.set", args{"person": id, "terms": t.Terms, "employee": t.Employee})
		}
	}
	for _, s := range sorting.Values(old.Floor.Setups, func(a, b shoot.Setup) int { return cmp.Compare(a.ID, b.ID) }) {
		m.do("like", "setup.set", args{"id": m.newID(), "name": s.Name, "minutes": s.Minutes})
	}
	for _, h := range sorting.Values(old.Floor.Heroes, func(a, b shoot.Hero) int { return cmp.Compare(a.ID, b.ID) }) {
		plan := h.HeroPlan
		plan.ID = shoot.HeroID(m.newID())
		m.do("like", "hero.set", plan)
	}
}

// meals takes over the meals of the day of that number, counted from 0; a day that the
// earlier shoot did not have gets those of its last.
func (m *maker) meals(old *shoot.State, n int, to shoot.DayID) {
	days := old.DaysInOrder()
	if len(days) == 0 {
		return
	}
	day := days[min(n, len(days)-1)]
	for _, meal := range old.MealsOf(day.ID) {
		plan := meal.MealPlan
		plan.ID, plan.Day = shoot.MealID(m.newID()), to
		m.do("like", "meal.set", plan)
		if r, ok := old.Floor.MealRanges[meal.ID]; ok {
			m.do("like", "meal.range", args{"meal": plan.ID, "earliest": day.Zone.ClockOn(day.Date, r.Earliest), "latest": day.Zone.ClockOn(day.Date, r.Latest)})
		}
	}
}

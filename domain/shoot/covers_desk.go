//go:build !phone

package shoot

import (
	"cmp"
	"slices"

	"fairday/domain/catering"
	"fairday/domain/sorting"
	"fairday/domain/when"
)

// What the desk alone works out of covers. A phone is built without it and waits for the
// desk's word.

func (a coversCount) decide(d *deciding) *Refusal {
	if d.s.Kitchen == nil || !d.s.AllDiets {
		return notHere()
	}
	for _, e := range d.s.gathered(d.at, a.First) {
		d.emit(e)
	}
	return nil
}

// CoversDue tells whether the desk is to send covers.count. First asks for meals that
// were never counted alone; it is to be false once in GatherEvery.
func (s *State) CoversDue(now when.Instant, first bool) bool {
	return s.Kitchen != nil && s.AllDiets && len(s.gathered(now, first)) > 0
}

// gathered are the counts that the kitchen may be told now.
func (s *State) gathered(now when.Instant, first bool) (out []CoversCounted) {
	groups := s.Kitchen.Groups
	meals := sorting.Values(s.Floor.Meals, func(a, b Meal) int { return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.ID, b.ID)) })
	for _, m := range meals {
		was, counted := s.Kitchen.Covers[m.ID]
		if m.Service == MealDone || first && counted {
			continue
		}
		count := s.count(m, now)
		next := regroup(groups, count.Eaters)
		switch buy := m.From - toBuy; {
		case !counted, was.Everybody < buy && now >= buy:
		case was.Equal(count.Count.Covers):
			continue
		case m.LastCount == 0 && now < m.From-toCook && singles(groups, next):
			continue
		}
		out, groups = append(out, count), next
	}
	return out
}

// count works out a meal's covers.
func (s *State) count(m Meal, now when.Instant) CoversCounted {
	ids := s.Eaters(m)
	var eaters []catering.Eater
	for _, id := range ids {
		d := s.Diets[id]
		eaters = append(eaters, catering.Eater{Diets: d.Kinds, Allergens: d.Allergens, Note: d.Note})
	}
	covers := catering.Count(eaters, m.Guests, m.Margin)
	return CoversCounted{m.ID, Count{Covers: covers, At: now, Late: s.lateFor(m.ID, covers), Everybody: now}, ids}
}

func (s *State) lateFor(m MealID, now catering.Covers) bool {
	locked, taken := s.Kitchen.Locked[m]
	return taken && !locked.Equal(now)
}

// singles tells whether a count would leave somebody alone in a group who was not.
func singles(was, next map[PersonID]int) bool {
	before, after := map[int]int{}, map[int]int{}
	for p, g := range next {
		after[g]++
		before[was[p]]++
	}
	for p, g := range next {
		if after[g] == 1 && (was[p] == 0 || before[was[p]] > 1) {
			return true
		}
	}
	return false
}

// recount adds what the kitchen is told at once: guests and spare plates, which are
// nobody's; and while a meal is served, when names are shown, everything.
func (d *deciding) recount() {
	if d.s.Kitchen == nil || !d.s.AllDiets || !slices.ContainsFunc(d.events, func(e Event) bool { return events[e.Kind()].covers }) {
		return
	}
	next := d.s.Clone()
	for _, e := range d.events {
		Apply(next, e)
	}
	for _, m := range sorting.Values(next.Floor.Meals, func(a, b Meal) int { return cmp.Compare(a.ID, b.ID) }) {
		was, counted := next.Kitchen.Covers[m.ID]
		now := was.Again(m.Guests, m.Margin)
		switch {
		case m.Service == MealServing:
			d.serving(next, m)
		case m.Service == MealPlanned && counted && !was.Equal(now):
			d.emit(CoversCounted{m.ID, Count{Covers: now, At: d.at, Late: next.lateFor(m.ID, now), Everybody: was.Everybody}, nil})
		}
	}
}

// serving brings the count and the list of a meal up to what is served.
func (d *deciding) serving(next *State, m Meal) {
	d.countNow(next, m)
	if rows := next.serveList(m); !slices.EqualFunc(rows, next.Kitchen.Lists[m.ID].Rows, sameRow) {
		d.emit(ListOpened{m.ID, rows})
	}
}

// countNow tells the kitchen what stands, whoever is in it, and gives it.
func (d *deciding) countNow(s *State, m Meal) Count {
	was, counted := s.Kitchen.Covers[m.ID]
	if !s.AllDiets {
		return was
	}
	now := s.count(m, d.at)
	if counted && was.Equal(now.Count.Covers) {
		return was
	}
	d.emit(now)
	return now.Count
}

// opened adds the list of a meal that is served from now on, and its count.
func (d *deciding) opened(m Meal) {
	if d.s.AllDiets && d.s.Kitchen != nil {
		m.Service = MealServing
		d.countNow(d.s, m)
		d.emit(ListOpened{m.ID, d.s.serveList(m)})
	}
}

// serveList is who eats what at a meal; somebody without a word on their diet
// is on it too, so that nobody is forgotten.
func (s *State) serveList(m Meal) []ServeRow {
	rows := []ServeRow{}
	for _, id := range s.Eaters(m) {
		rows = append(rows, ServeRow{id, s.Diets[id]})
	}
	return rows
}

func sameRow(a, b ServeRow) bool { return a.Person == b.Person && a.Diet.same(b.Diet) }

package shoot

import (
	"cmp"
	"slices"

	"fairday/domain/catering"
	"fairday/domain/sorting"
	"fairday/domain/when"
)

// How the kitchen is told how many eat what without being told who.
//
// Everybody sees who is on the clock. A count that followed each punch would tell whose
// plate went with it, and so would one that was made a while later and had nobody else
// in it. So the desk gathers counts: it looks at each quarter of an hour, and makes one
// known only if everybody in it has somebody beside them who was in just the same
// counts so far, so that no count would be another if the two had each other's diet.
// What waits for that is told in any case a day before the meal, for the kitchen to buy
// by, and from two hours before it, to cook by; and at the last count.
const (
	GatherEvery = 15 * when.Minute
	toBuy       = 24 * when.Hour
	toCook      = 2 * when.Hour
)

// Count is a meal's covers and when they were worked out.
type Count struct {
	catering.Covers
	At        when.Instant `json:"at"`
	Late      bool         `json:"late"`                // differs from the locked count
	Everybody when.Instant `json:"everybody,omitempty"` // when it was last counted who eats; guests and spare plates are taken in at once
}

type coversCount struct {
	First bool `json:"first"` // only the meals that were never counted
}

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

// regroup divides the groups of people that were in the same counts so far by who is in
// one more. Who never was in any has no group.
func regroup(groups map[PersonID]int, in []PersonID) map[PersonID]int {
	type place struct {
		was int
		in  bool
	}
	all := sorting.Keys(groups)
	for _, p := range in {
		if groups[p] == 0 {
			all = append(all, p)
		}
	}
	sorting.Up(all)
	out, names := map[PersonID]int{}, map[place]int{}
	for _, p := range all {
		at := place{groups[p], slices.Contains(in, p)}
		if names[at] == 0 {
			names[at] = len(names) + 1
		}
		out[p] = names[at]
	}
	return out
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

package pace

import (
	"cmp"
	"slices"

	"fairday/domain/sorting"
)

// LeverKind is what a lever does.
type LeverKind string

// The kinds of lever.
const (
	LeverCut      LeverKind = "cut"      // leave the shot out
	LeverFallback LeverKind = "fallback" // make the shot by its fallback idea
	LeverTogether LeverKind = "together" // bring the shots of a set-up together, to change into it once less
	LeverOrder    LeverKind = "order"    // shoot in the order that Order finds
	LeverMeal     LeverKind = "meal"     // start the meal at another time that its rules allow
)

// Lever is one change that would bring the wrap forward.
type Lever struct {
	Kind             LeverKind
	Key              string   // of the shot or meal; the first of the shots that move where they are brought together
	Keys             []string // the new order, where it is one
	Moves            []Move   // what moves in it and why; of LeverOrder alone
	At               int64    // the new start of a meal
	Shots            int      // shots that are lost: 1 for a cut
	Fallbacks        int      // shots that are made by their fallback: 1 for that
	Change           int64    // minutes of set-up change that go
	Saved50, Saved80 int64    // minutes by which the wrap comes forward at 50 and at 80 percent
	Before, After    int64    // the chance of wrapping by plan, in billionths of 1
	Money            Mean     // expected saving, in the units of cost; nothing without one
}

// Levers gives what would bring the wrap forward or is expected to save money,
// best first; of cuts and fallbacks those that take the most out. cost is what the
// day costs beyond its plan when it wraps at a minute; nil where money is not to be
// seen. To release a person early does not move the wrap: what that saves only the
// caller can say. It fails with any of the codes.
//
// The best come first: minutes saved at 50 and 80 percent together, of which a
// lever that loses nothing counts its minutes four times, a fallback or a spare
// shot twice (common practice, no source).
func Levers(p Plan, cost func(minute int64) int64) ([]Lever, error) {
	w, err := p.work()
	if err != nil {
		return nil, err
	}
	day := w.day(w.present())
	var out []Lever
	judge := func(d Day) (judged, error) { return exactly(d, p.By, cost) }
	if len(day.Remaining) > few {
		judge = newRough(w, day.Remaining, cost).judge
	}
	base, err := judge(day)
	if err != nil {
		return nil, err
	}
	for _, c := range w.candidates() {
		after, err := judge(c.day)
		if err != nil {
			return nil, err
		}
		l := c.Lever
		l.Saved50, l.Saved80 = base.wrap50-after.wrap50, base.wrap80-after.wrap80
		l.Before, l.After = base.chance, after.chance
		l.Money = base.money.Minus(after.money)
		if l.saves() {
			out = append(out, l)
		}
	}
	rank(p, out)
	return out, nil
}

// judged is what there is to compare days by.
type judged struct {
	wrap50, wrap80 int64
	chance         int64 // of wrapping by plan
	money          Mean
}

// exactly judges a day by its forecast.
func exactly(d Day, by int64, cost func(int64) int64) (judged, error) {
	f, err := Predict(d)
	if err != nil {
		return judged{}, err
	}
	out := judged{f.Wrap50, f.Wrap80, f.ChanceBy(by), Mean{}}
	if cost != nil {
		out.money = f.Expected(cost)
	}
	return out, nil
}

// judge judges a day roughly.
func (r *rough) judge(d Day) (judged, error) {
	g, err := r.wrap(d)
	if err != nil {
		return judged{}, err
	}
	c := g.curve()
	out := judged{g.by(0.5, &c), g.by(0.8, &c), g.chanceBy(r.by), Mean{}}
	if r.prices != nil {
		out.money = g.expected(r.prices, &c)
	}
	return out, nil
}

func (l Lever) saves() bool {
	return l.Saved50+l.Saved80 > 0 || l.Saved50+l.Saved80 == 0 && (l.After > l.Before || l.Money.Sign() > 0)
}

// rank puts the best first.
func rank(p Plan, levers []Lever) {
	spare := map[string]bool{}
	for _, t := range p.Tasks {
		spare[t.Key] = t.Priority == Spare
	}
	worth := func(l Lever) int64 {
		saved := l.Saved50 + l.Saved80
		switch {
		case l.Shots == 0 && l.Fallbacks == 0:
			return 4 * saved
		case l.Shots == 0 || spare[l.Key]:
			return 2 * saved
		}
		return saved
	}
	sorting.By(levers, func(a, b Lever) int {
		return cmp.Or(cmp.Compare(worth(b), worth(a)), cmp.Compare(b.After, a.After))
	})
}

// candidate is a lever and the day it makes.
type candidate struct {
	Lever
	day Day
}

// mostLesser is how many cuts and fallbacks are reckoned: those that take the most
// minutes out, by the plan.
const mostLesser = 24

func (w *work) candidates() (out []candidate) {
	order := w.present()
	for _, l := range w.lesser(order) {
		t := w.plan.Tasks[order[l.place]]
		if l.fallback {
			d := w.day(order)
			d.Remaining[l.place].Planned = t.Fallback
			out = append(out, candidate{Lever{Kind: LeverFallback, Key: t.Key, Fallbacks: 1}, d})
			continue
		}
		out = append(out, candidate{Lever{Kind: LeverCut, Key: t.Key, Shots: 1}, w.day(slices.Delete(slices.Clone(order), l.place, l.place+1))})
	}
	for _, o := range w.together(order) {
		c := candidate{Lever{Kind: LeverTogether, Key: w.plan.Tasks[o[0]].Key, Change: w.changes(order) - w.changes(o[1:])}, w.day(o[1:])}
		c.Keys = w.keys(o[1:])
		out = append(out, c)
	}
	s := newSearch(w, must(w.possible(order)), Quick)
	s.improve()
	s.prove()
	if !slices.Equal(s.order, order) {
		c := candidate{Lever{Kind: LeverOrder, Change: w.changes(order) - w.changes(s.order)}, w.day(s.order)}
		c.Keys, c.Moves = w.keys(s.order), w.moves(order, s.order)
		out = append(out, c)
	}
	var seen [][]string
	out = slices.DeleteFunc(out, func(c candidate) bool { // one order, one lever
		known := slices.ContainsFunc(seen, func(o []string) bool { return slices.Equal(o, c.Keys) })
		seen = append(seen, c.Keys)
		return known && c.Keys != nil
	})
	return append(out, w.moved(order)...)
}

// lesser is a shot that is left out, or made by its fallback.
type lesser struct {
	place    int // in the order
	fallback bool
	minutes  int64 // that it takes out by the plan, those that lose little counted twice
}

func (w *work) lesser(order []int) []lesser {
	var out []lesser
	for k, i := range order {
		t := w.plan.Tasks[i]
		if t.Priority != Must {
			minutes := t.Planned
			if t.Priority == Spare {
				minutes *= 2
			}
			out = append(out, lesser{k, false, minutes})
		}
		if t.Fallback > 0 && !t.Open {
			out = append(out, lesser{k, true, 2 * (t.Planned - t.Fallback)})
		}
	}
	if len(out) > mostLesser {
		sorting.By(out, func(a, b lesser) int { return cmp.Compare(b.minutes, a.minutes) })
		out = out[:mostLesser]
	}
	return out
}

// must takes what is known to be possible.
func must(order []int, _ bool) []int { return order }

func (w *work) keys(order []int) []string {
	out := make([]string, len(order))
	for k, i := range order {
		out[k] = w.plan.Tasks[i].Key
	}
	return out
}

// together are the orders in which two runs of shots in one set-up have become
// one, the later moved to the earlier or the other way round: of the two the one
// that is better. Before each stands its first shot that moves.
func (w *work) together(order []int) (out [][]int) {
	type run struct{ setup, from, to int }
	var runs []run
	for k, i := range order {
		s := w.jobs[i].setup
		if n := len(runs); n > 0 && (runs[n-1].setup == s || s == 0) {
			runs[n-1].to = k + 1
			continue
		}
		runs = append(runs, run{s, k, k + 1})
	}
	s := newSearch(w, order, 0)
	for n, b := range runs {
		a := n - 1
		for a >= 0 && runs[a].setup != b.setup {
			a--
		}
		if a < 0 || b.setup == 0 {
			continue
		}
		first := runs[a]
		var best []int
		var least score
		for _, o := range [][]int{
			shift(order, b.from, b.to, first.to),
			shift(order, max(first.from, w.open), first.to, b.from),
		} {
			if !s.allowed(o) || w.changes(o) >= w.changes(order) {
				continue
			}
			if g := s.judge(o); best == nil || g.compare(least) < 0 {
				best, least = o, g
			}
		}
		if best != nil {
			key := order[b.from]
			out = append(out, append([]int{key}, best...))
		}
	}
	return out
}

// shift moves the places from one to before another before or after a third.
func shift(order []int, from, to, at int) []int {
	part := slices.Clone(order[from:to])
	rest := slices.Delete(slices.Clone(order), from, to)
	if at >= to {
		at -= to - from
	}
	return slices.Insert(rest, at, part...)
}

// moved are the meals that may start at another time: as early and as late as
// their rules allow, and about the windows of shots.
func (w *work) moved(order []int) (out []candidate) {
	for n, m := range w.plan.Meals {
		if m.On || m.Earliest == 0 && m.Latest == 0 {
			continue
		}
		times := []int64{m.Earliest, m.Latest}
		for _, t := range w.plan.Tasks {
			for _, s := range all(t.Limits) {
				times = append(times, s.From-m.Minutes, s.To)
			}
		}
		sorting.Up(times)
		for _, at := range slices.Compact(times) {
			if at = max(at, w.plan.Now); at < m.Earliest || at > m.Latest || at == m.At {
				continue
			}
			p := w.plan
			p.Meals = slices.Clone(p.Meals)
			p.Meals[n].At = at
			d := w.day(order)
			d.Meals = p.meals()
			if _, err := newClock(d.Now, d.Meals); err != nil || !slices.Contains(d.Meals, Meal{at, m.Minutes}) {
				continue
			}
			out = append(out, candidate{Lever{Kind: LeverMeal, Key: m.Key, At: at}, d})
		}
	}
	return out
}

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
	LeverShorter  LeverKind = "shorter"  // make the meal as short as it may be
	LeverTwo      LeverKind = "two"      // leave two shots out, where one is not enough
	LeverSetup    LeverKind = "setup"    // leave out all that is left in a set-up
	LeverDay      LeverKind = "day"      // make the shot on another day
)

// Lever is one change that would bring the wrap forward.
type Lever struct {
	Kind             LeverKind
	Key              string   // of the shot or meal; the first of the shots that move where they are brought together; a set-up
	Out              []string // the shots that are left out, where they are several
	Keys             []string // the new order, where it is one
	Moves            []Move   // what moves in it and why; of LeverOrder alone
	Proven           bool     // that no order is better; of LeverOrder alone
	At               int64    // the new start of a meal
	Minutes          int64    // the new length of a meal
	Shots            int      // shots that are lost: 1 for a cut
	Fallbacks        int      // shots that are made by their fallback: 1 for that
	Change           int64    // minutes of set-up change that go
	Saved50, Saved80 int64    // minutes by which the wrap comes forward at 50 and at 80 percent
	Before, After    int64    // the chance of wrapping by plan, in billionths of 1
	Money            Mean     // expected saving, in the units of cost; nothing without one
	Price            []Missed // what it makes late that was not, or later than it was
	Kept             []string // keys of what was late and is not any more
}

// Levers gives what would bring the wrap forward, keep what would be missed, or is
// expected to save money, best first; of cuts and fallbacks those that take the most
// out. cost is what the day costs beyond its plan when it wraps at a minute; nil
// where money is not to be seen. To release a person early does not move the wrap:
// what that saves only the caller can say. It fails with any of the codes.
//
// What makes something late, or wraps later, comes after what does not. Of the others
// the best come first: minutes saved at 50 and 80 percent together and the minutes of
// what is kept, of which a lever that loses nothing counts its minutes four times, a
// fallback or a spare shot twice (common practice, no source).
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
	_, was := w.run(w.present())
	weigh := func(c candidate) (Lever, error) {
		after, err := judge(c.day)
		l := c.Lever
		l.Saved50, l.Saved80 = base.wrap50-after.wrap50, base.wrap80-after.wrap80
		l.Before, l.After = base.chance, after.chance
		l.Money = base.money.Minus(after.money)
		l.Price, l.Kept = c.price(was)
		return l, err
	}
	enough := base.wrap50 <= p.By
	for _, c := range w.candidates() {
		l, err := weigh(c)
		if err != nil {
			return nil, err
		}
		enough = enough || len(l.Price) == 0 && base.wrap50-l.Saved50 <= p.By
		if l.helps() {
			out = append(out, l)
		}
	}
	if !enough {
		for _, c := range w.two(w.present()) {
			l, err := weigh(c)
			if err != nil {
				return nil, err
			}
			if l.helps() && base.wrap50-l.Saved50 <= p.By {
				out = append(out, l)
			}
		}
	}
	rank(p, out)
	return once(out), nil
}

// once keeps the best lever of those that do the same to the same, or leave out the
// same.
func once(levers []Lever) (out []Lever) {
	for _, l := range levers {
		known := slices.ContainsFunc(out, func(o Lever) bool {
			return o.Kind == l.Kind && o.Key == l.Key && (l.Kind != LeverTwo || slices.Equal(o.Out, l.Out)) ||
				len(l.Out) > 0 && slices.Equal(o.Out, l.Out) || len(l.Keys) > 0 && slices.Equal(o.Keys, l.Keys)
		})
		if !known {
			out = append(out, l)
		}
	}
	return out
}

// price says what is late, or later, with a candidate that was not, and what was
// late and is left and is not any more.
func (c candidate) price(was []placed) (price []Missed, kept []string) {
	before := make([]placed, len(c.work.jobs))
	for _, p := range was {
		before[p.job] = p
	}
	_, is := c.work.run(c.order)
	for _, p := range is {
		key, old := c.work.plan.Tasks[p.job].Key, before[p.job]
		if more := p.window - old.window; more > 0 {
			price = append(price, Missed{key, more, c.work.missed(p)})
		}
		if more := p.hold - old.hold; more > 0 {
			price = append(price, Missed{key, more, c.work.hold(int(p.job), p.hero)})
		}
		if old.window+old.hold > 0 && p.window+p.hold == 0 {
			kept = append(kept, key)
		}
	}
	return price, kept
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

// helps tells whether anybody would want it: it saves minutes, makes the plan surer or
// cheaper, or keeps what would be missed without losing as much.
func (l Lever) helps() bool {
	saved := l.Saved50 + l.Saved80
	return saved > 0 || saved == 0 && (l.After > l.Before || l.Money.Sign() > 0) || len(l.Kept) > len(l.Price) && l.Shots == 0
}

// dear tells whether it makes something late or wraps later.
func (l Lever) dear() int {
	switch {
	case len(l.Price) > 0:
		return 2
	case l.Saved50 < 0 || l.Saved80 < 0:
		return 1
	}
	return 0
}

// rank puts the best first.
func rank(p Plan, levers []Lever) {
	planned, spare := map[string]int64{}, map[string]bool{}
	for _, t := range p.Tasks {
		planned[t.Key], spare[t.Key] = t.Planned, t.Priority == Spare
	}
	worth := func(l Lever) int64 {
		worth := l.Saved50 + l.Saved80
		for _, k := range l.Kept {
			worth += planned[k]
		}
		lost := slices.ContainsFunc(l.Out, func(k string) bool { return !spare[k] }) || len(l.Out) == 0 && !spare[l.Key]
		switch {
		case l.Kind == LeverDay:
			return worth // the other day is longer by it
		case l.Kind == LeverShorter:
			return 2 * worth
		case l.Shots == 0 && l.Fallbacks == 0:
			return 4 * worth
		case l.Shots == 0 || !lost:
			return 2 * worth
		}
		return worth
	}
	sorting.By(levers, func(a, b Lever) int {
		return cmp.Or(cmp.Compare(a.dear(), b.dear()), cmp.Compare(worth(b), worth(a)), cmp.Compare(b.After, a.After))
	})
}

// candidate is a lever and the day it makes.
type candidate struct {
	Lever
	day   Day
	work  *work
	order []int
}

// mostLesser is how many cuts, fallbacks and moves to another day are reckoned: those
// that take the most minutes out, by the plan; and mostPairs of how many of the cuts
// any two are tried together.
const (
	mostLesser = 24
	mostPairs  = 5
)

// in is a candidate that keeps the plan and has an order.
func (w *work) in(order []int, l Lever) candidate { return candidate{l, w.day(order), w, order} }

func (w *work) candidates() (out []candidate) {
	order := w.present()
	for _, l := range w.lesser(order) {
		t := w.plan.Tasks[order[l.place]]
		switch l.kind {
		case LeverFallback:
			c := w.in(order, Lever{Kind: l.kind, Key: t.Key, Fallbacks: 1})
			c.day.Remaining[l.place].Planned = t.Fallback
			other := *w
			other.jobs = slices.Clone(w.jobs)
			other.jobs[order[l.place]].minutes = w.pace.of(t.Fallback)
			c.work = &other
			out = append(out, c)
		case LeverDay:
			out = append(out, w.in(without(order, order[l.place]), Lever{Kind: l.kind, Key: t.Key}))
		default:
			out = append(out, w.in(without(order, order[l.place]), Lever{Kind: l.kind, Key: t.Key, Out: []string{t.Key}, Shots: 1}))
		}
	}
	out = append(out, w.setupsOut(order)...)
	for _, o := range w.together(order) {
		out = append(out, w.in(o[1:], Lever{Kind: LeverTogether, Key: w.plan.Tasks[o[0]].Key, Keys: w.keys(o[1:]), Change: w.changes(order) - w.changes(o[1:])}))
	}
	s := newSearch(w, must(w.possible(order)), Quick)
	s.improve()
	proven := s.prove()
	if !slices.Equal(s.order, order) {
		out = append(out, w.in(s.order, Lever{Kind: LeverOrder, Keys: w.keys(s.order), Moves: w.moves(order, s.order), Proven: proven, Change: w.changes(order) - w.changes(s.order)}))
	}
	return append(out, w.moved(order)...)
}

// without is an order without some of its jobs.
func without(order []int, jobs ...int) []int {
	return slices.DeleteFunc(slices.Clone(order), func(i int) bool { return slices.Contains(jobs, i) })
}

// setupsOut leave out all that is left in a set-up, where that is more than one shot
// and nothing that must be made.
func (w *work) setupsOut(order []int) (out []candidate) {
	for s := 1; s < len(w.setups); s++ {
		var jobs []int
		can := true
		for _, i := range order {
			if w.jobs[i].setup == s {
				jobs = append(jobs, i)
				can = can && w.plan.Tasks[i].Priority != Must && !w.jobs[i].open
			}
		}
		if rest := without(order, jobs...); can && len(jobs) > 1 {
			out = append(out, w.in(rest, Lever{Kind: LeverSetup, Key: w.setups[s], Out: w.keys(jobs), Shots: len(jobs), Change: w.changes(order) - w.changes(rest)}))
		}
	}
	return out
}

// two leave out any two of the cuts that take the most out.
func (w *work) two(order []int) (out []candidate) {
	var cuts []int
	for _, l := range w.lesser(order) {
		if i := order[l.place]; l.kind == LeverCut && len(cuts) < mostPairs && !w.jobs[i].open {
			cuts = append(cuts, i)
		}
	}
	for n, a := range cuts {
		for _, b := range cuts[n+1:] {
			both := without(order, without(order, a, b)...) // in their order
			out = append(out, w.in(without(order, a, b), Lever{Kind: LeverTwo, Key: w.plan.Tasks[both[0]].Key, Out: w.keys(both), Shots: 2}))
		}
	}
	return out
}

// lesser is a shot that is left out, made by its fallback or made on another day.
type lesser struct {
	place   int // in the order
	kind    LeverKind
	minutes int64 // that it takes out by the plan, those that lose little counted twice
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
			out = append(out, lesser{k, LeverCut, minutes})
		}
		if t.Fallback > 0 && !t.Open {
			out = append(out, lesser{k, LeverFallback, 2 * (t.Planned - t.Fallback)})
		}
		if t.Movable && !t.Open {
			out = append(out, lesser{k, LeverDay, t.Planned})
		}
	}
	sorting.By(out, func(a, b lesser) int { return cmp.Compare(b.minutes, a.minutes) })
	return out[:min(len(out), mostLesser)]
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

// moved are the meals that may start at another time, as early and as late as their
// rules allow and about the windows of shots, or be shorter.
func (w *work) moved(order []int) (out []candidate) {
	try := func(n int, m PlannedMeal, l Lever) {
		p := w.plan
		p.Meals = slices.Clone(p.Meals)
		p.Meals[n] = m
		other, err := p.work()
		if err != nil || !slices.Contains(other.meals, Meal{m.At, m.Minutes}) && m.At != w.plan.Meals[n].At {
			return
		}
		l.Key, l.At, l.Minutes = m.Key, m.At, m.Minutes
		out = append(out, other.in(order, l))
	}
	for n, m := range w.plan.Meals {
		if s := m; !m.On && m.Shortest > 0 && m.Shortest < m.Minutes {
			s.Minutes = m.Shortest
			try(n, s, Lever{Kind: LeverShorter})
		}
		if m.On || m.Earliest == 0 && m.Latest == 0 {
			continue
		}
		times := []int64{m.Earliest, m.Latest}
		for _, t := range w.plan.Tasks {
			for _, s := range all(t.Limits) {
				times = append(times, s.From-m.Minutes, s.To)
			}
		}
		for k := range times {
			times[k] = max(times[k], w.plan.Now)
		}
		sorting.Up(times)
		for _, at := range slices.Compact(times) {
			if at >= m.Earliest && at <= m.Latest && at != m.At {
				s := m
				s.At = at
				try(n, s, Lever{Kind: LeverMeal})
			}
		}
	}
	return out
}

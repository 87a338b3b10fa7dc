package pace

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// wall is the deliberately simple second way of following an order: on the
// wall clock, meal by meal, sharing nothing with the search but the plan.
type wall struct {
	p       Plan
	meals   []Meal
	minutes []int64
	common  [][]Stretch // of all limits of each task
}

func newWall(p Plan) wall {
	w := wall{p: p}
	for _, m := range p.Meals { // none of those that are tried is on
		w.meals = append(w.meals, Meal{m.At, m.Minutes})
	}
	slices.SortStableFunc(w.meals, func(a, b Meal) int { return cmp.Compare(a.At, b.At) })
	for m, over := 0, p.Now; m < len(w.meals); m++ {
		w.meals[m].At = max(w.meals[m].At, over)
		over = w.meals[m].At + w.meals[m].Minutes
	}
	pace, _ := Learn(p.Finished)
	for _, t := range p.Tasks {
		m := int64(math.Round(float64(t.Planned) * math.Exp(pace.Mean)))
		if t.Open { // as much again as half of all days would need
			over := func(m int64) float64 {
				return math.Erfc((math.Log(float64(m)+0.5)-math.Log(float64(t.Planned))-pace.Mean)/pace.Shot/math.Sqrt2) / 2
			}
			for m = t.Elapsed + 1; over(m)/over(t.Elapsed) > 0.5; {
				m++
			}
			m -= t.Elapsed
		}
		w.minutes = append(w.minutes, m)
		w.common = append(w.common, common(t))
	}
	return w
}

// common goes minute by minute: is it there in all limits?
func common(t Task) (out []Stretch) {
	any := func(l Limit, is func(Stretch) bool) bool { return slices.ContainsFunc(l.During, is) }
	for m := int64(-500); m < 3000; m++ {
		in := func(s Stretch) bool { return s.From <= m && m < s.To }
		starts := func(s Stretch) bool { return s.From == m }
		if slices.ContainsFunc(t.Limits, func(l Limit) bool { return !any(l, in) }) {
			continue
		}
		border := slices.ContainsFunc(t.Limits, func(l Limit) bool { return any(l, starts) })
		if n := len(out); n > 0 && out[n-1].To == m && !border {
			out[n-1].To++
		} else {
			out = append(out, Stretch{m, m + 1})
		}
	}
	return out
}

func (w wall) change(name string) int64 {
	pace, _ := Learn(w.p.Finished)
	return int64(math.Round(float64(w.p.Changes[name]) * math.Exp(pace.Mean)))
}

func (w wall) awake(at int64) int64 {
	for _, m := range w.meals {
		if at >= m.At && at < m.At+m.Minutes {
			at = m.At + m.Minutes
		}
	}
	return at
}

func (w wall) do(at, minutes int64) int64 {
	for minutes > 0 {
		at, minutes = w.awake(at)+1, minutes-1
	}
	return at
}

// point is where an order has come to.
type point struct {
	at, late int64
	setup    string
	made     map[string]int64
	done     []string
	pairs    int
}

func (w wall) step(s point, i int) point {
	t := w.p.Tasks[i]
	if t.Setup != "" {
		if t.Setup != s.setup && !t.Open {
			s.at = w.do(s.at, w.change(t.Setup))
		}
		s.setup = t.Setup
	}
	start, late := s.at, int64(0)
	if common := w.common[i]; len(t.Limits) > 0 {
		late = math.MaxInt64
		for _, c := range common {
			from := s.at
			if c.From > from && !t.Open {
				from = c.From
			}
			if over := max(0, w.do(from, w.minutes[i])-c.To); over < late {
				start, late = from, over
			}
		}
		if len(common) == 0 {
			start, late = s.at, max(1, w.minutes[i])
		}
	}
	s.at = w.do(start, w.minutes[i])
	s.late += late
	made := map[string]int64{}
	for k, v := range s.made {
		made[k] = v
	}
	for _, h := range t.Holds {
		last := h.Until
		if last == 0 {
			if _, ok := made[h.What]; !ok {
				made[h.What] = w.awake(start) - t.Elapsed
			}
			last = made[h.What] + h.Minutes
		}
		s.late += max(0, s.at-last)
	}
	s.made = made
	s.done = append(slices.Clone(s.done), t.Key)
	return s
}

// best goes through every order there is.
func (w wall) best() (best Tally) {
	first := true
	var all func(point)
	all = func(s point) {
		if !first && s.late > best.Late {
			return // lateness only grows
		}
		ahead, up := 0, false
		for _, t := range w.p.Tasks {
			up = up || t.Open && !slices.Contains(s.done, t.Key)
		}
		for i, t := range w.p.Tasks {
			if slices.Contains(s.done, t.Key) {
				continue
			}
			ahead++
			waits := slices.ContainsFunc(t.After, func(a string) bool {
				return !slices.Contains(s.done, a) && slices.ContainsFunc(w.p.Tasks, func(o Task) bool { return o.Key == a })
			})
			if waits && !t.Open || up && !t.Open {
				continue
			}
			next := w.step(s, i)
			next.pairs += ahead - 1
			all(next)
			if up {
				break // what is up stays in its order
			}
		}
		if ahead > 0 {
			return
		}
		got := Tally{s.late, s.at, s.pairs}
		if first || cmp.Or(cmp.Compare(got.Late, best.Late), cmp.Compare(got.Wrap, best.Wrap), cmp.Compare(got.Pairs, best.Pairs)) < 0 {
			best, first = got, false
		}
	}
	all(point{at: w.p.Now, setup: w.p.Setup})
	return best
}

// anyPlan makes up a plan of n shots with every kind of thing that binds them. A
// rule of what comes first never goes against the present order, so that all
// orders are counted from the same one.
func anyPlan(r *rand.Rand, n int) Plan {
	p := Plan{Now: 600, By: 600 + int64(n)*25, Changes: map[string]int64{"a": 5 + r.Int64N(20), "b": r.Int64N(30), "c": 15}}
	p.Setup = []string{"", "a", "b"}[r.IntN(3)]
	for range r.IntN(3) {
		p.Finished = append(p.Finished, Finished{30, 20 + r.Int64N(25), 0})
	}
	light := Limit{"the sun comes in", "the sun leaves", nil}
	for at := 540 + r.Int64N(120); at < 900; at += 20 + r.Int64N(60) {
		s := Stretch{at, at + 5 + r.Int64N(90)}
		light.During, at = append(light.During, s), s.To
	}
	talent := Limit{"Ansel arrives", "Ansel has to go", []Stretch{{600 + r.Int64N(60), 700 + r.Int64N(90)}}}
	for i := range n {
		t := Task{Key: fmt.Sprint(i), Setup: []string{"", "a", "a", "b", "b", "c"}[r.IntN(6)], Planned: 3 + r.Int64N(30)}
		t.Priority = []Priority{Must, Want, Spare}[r.IntN(3)]
		if r.IntN(3) == 0 {
			t.Fallback = 1 + r.Int64N(t.Planned)
		}
		if r.IntN(4) == 0 {
			t.Limits = append(t.Limits, light)
		}
		if r.IntN(5) == 0 {
			t.Limits = append(t.Limits, talent)
		}
		switch r.IntN(6) {
		case 0, 1:
			t.Holds = append(t.Holds, Hold{What: "the tart", Minutes: 45})
		case 2:
			t.Holds = append(t.Holds, Hold{What: "the ice", Minutes: 20}, Hold{What: "the salad", Until: 600 + r.Int64N(120)})
		}
		if i > 0 && r.IntN(4) == 0 {
			t.After = append(t.After, fmt.Sprint(r.IntN(i)), "gone")
		}
		if i == 0 && r.IntN(5) == 0 {
			t.Open, t.Elapsed = true, r.Int64N(20)
		}
		p.Tasks = append(p.Tasks, t)
	}
	if r.IntN(2) == 0 {
		at := 590 + r.Int64N(120)
		p.Meals = append(p.Meals, PlannedMeal{Key: "lunch", At: at, Minutes: 30, Earliest: at - 30, Latest: at + 60})
	}
	if r.IntN(3) == 0 {
		p.Meals = append(p.Meals, PlannedMeal{Key: "cake", At: 600 + r.Int64N(300), Minutes: 15})
	}
	return p
}

// tight gives every other shot a hero of its own that keeps hardly longer than the
// shot takes, and puts meals in their way.
func tight(r *rand.Rand, p Plan) Plan {
	for i := range p.Tasks {
		t := &p.Tasks[i]
		if r.IntN(2) == 0 {
			t.Holds = append(t.Holds, Hold{What: fmt.Sprint("hero ", i), Minutes: t.Planned + r.Int64N(40)})
		}
	}
	p.Meals = nil
	for at := p.Now; len(p.Meals) < 3; {
		at += 10 + r.Int64N(50)
		p.Meals = append(p.Meals, PlannedMeal{Key: fmt.Sprint(at), At: at, Minutes: 10 + r.Int64N(30)})
		at += 40
	}
	return p
}

// Every order of 5,000 plans of up to eight shots, followed on the wall clock.
func TestOrderAgainstEveryOrder(t *testing.T) {
	plans, r := 5000, rand.New(rand.NewPCG(7, 8))
	if testing.Short() {
		plans = 100
	}
	late, moved := 0, 0
	for n := range plans {
		p := anyPlan(r, []int{1, 2, 3, 4, 5, 6, 7, 5, 6, 8}[n%10])
		if n%2 == 1 {
			p = tight(r, p)
		}
		o, err := Order(p, Quick)
		if err != nil {
			t.Fatal(err)
		}
		want := newWall(p).best()
		if o.Best != want || !o.Proven || o.Bound != o.Best {
			t.Fatalf("plan %d: %+v, of every order the best is %+v\n%+v", n, o, want, p)
		}
		late += int(min(o.Best.Late, 1))
		moved += min(len(o.Moves), 1)
		checkOrdered(t, p, o)
	}
	if late < plans/10 || moved < plans/4 {
		t.Errorf("of %d plans only %d are late and %d have moves", plans, late, moved)
	}
}

// checkOrdered holds what is said of an order against the order.
func checkOrdered(t *testing.T, p Plan, o Ordered) {
	t.Helper()
	w := newWall(p)
	s := point{at: p.Now, setup: p.Setup}
	for _, k := range o.Keys {
		s = w.step(s, slices.IndexFunc(p.Tasks, func(t Task) bool { return t.Key == k }))
	}
	if len(o.Keys) != len(p.Tasks) || s.at != o.Best.Wrap || s.late != o.Best.Late {
		t.Fatalf("the order ends at %d and is late by %d, said is %+v", s.at, s.late, o.Best)
	}
	if o.Best.compare(o.Present) > 0 || o.Best.compare(o.Bound) < 0 {
		t.Fatalf("worse than the present order or better than can be: %+v", o)
	}
	missed := int64(0)
	for _, m := range o.Missed {
		missed += m.Minutes
		if m.Why.Text(clockText, shotText) == "" || m.Minutes <= 0 {
			t.Fatalf("late without a reason: %+v", m)
		}
	}
	if missed != o.Best.Late {
		t.Fatalf("misses %d min, late by %d", missed, o.Best.Late)
	}
	for _, m := range o.Moves {
		if len(m.Why) == 0 || m.Why[0].Kind == Idle && m.Why[0].Minutes <= 0 {
			t.Fatalf("a move without a reason: %+v\n%+v\n%+v", m, o, p)
		}
		for _, r := range m.Why {
			if r.Text(clockText, shotText) == "" {
				t.Fatalf("a reason without words: %+v", r)
			}
		}
	}
}

// Fifteen shots of a kind that happens: some want the sun, one person has to go,
// two share a plate that does not keep.
func TestFifteenShotsAreProven(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	plans, most := 30, 0
	if testing.Short() {
		plans = 5
	}
	for n := range plans {
		p := anyPlan(r, 15)
		sun := Limit{"the sun comes in", "the sun leaves", []Stretch{{660 + r.Int64N(60), 800 + r.Int64N(60)}}}
		for i := range p.Tasks {
			p.Tasks[i].Holds, p.Tasks[i].Limits = nil, nil
			if i%7 == 3 {
				p.Tasks[i].Limits = []Limit{sun}
			}
			if i == 5 {
				p.Tasks[i].Limits = []Limit{{"Ansel arrives", "Ansel has to go", []Stretch{{600, 720}}}}
			}
			if i == 8 || i == 9 {
				p.Tasks[i].Holds = []Hold{{What: "the tart", Minutes: 75}}
			}
		}
		o, err := Order(p, Thorough)
		if err != nil || !o.Proven {
			t.Fatalf("plan %d: %v, %+v", n, err, o)
		}
		most = max(most, o.Tried)
		checkOrdered(t, p, o)
	}
	t.Logf("at most %d of %d tries", most, Thorough)
}

// Beyond fifteen the best found comes with its bound, and more effort makes it no
// worse, but for a little: each effort goes its own way.
func TestManyShots(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	for _, n := range []int{16, 30, 60, 64, 65, 120} {
		p := anyPlan(r, n)
		before, err := Order(p, 0)
		if err != nil || before.Best != before.Present {
			t.Fatal(before, err)
		}
		for _, effort := range []int{100, 1000, Quick, 10 * Quick} {
			o, err := Order(p, effort)
			if err != nil {
				t.Fatal(err)
			}
			checkOrdered(t, p, o)
			if 20*o.Best.Late > 21*before.Best.Late || o.Best.compare(o.Present) > 0 || o.Tried > effort+8*n || o.Bound.compare(before.Bound) != 0 && !o.Proven {
				t.Errorf("%d shots, effort %d: %+v, before %+v", n, effort, o.Best, before.Best)
			}
			before = o
		}
	}
}

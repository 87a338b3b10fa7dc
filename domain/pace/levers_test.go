package pace

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
)

func levers(t testing.TB, p Plan, cost func(int64) int64) []Lever {
	t.Helper()
	out, err := Levers(p, cost)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// What a lever of a short day says is what the forecast says once it has been
// taken, and none gives up a must; rough_test.go has the longer days.
func TestLeversAgainstTheForecastAfter(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 16))
	seen := map[LeverKind]int{}
	for n := range 40 {
		p := givingPlan(r, 1+n%10)
		cost := func(m int64) int64 { return max((m-p.By+14)/15, 0) * 100 }
		before, err := p.Forecast()
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range levers(t, p, cost) {
			seen[l.Kind]++
			after, err := taken(t, p, l).Forecast()
			if err != nil {
				t.Fatal(err)
			}
			up := slices.ContainsFunc(p.Tasks, func(t Task) bool { return t.Open && t.Key == l.Key })
			if up { // once it is cut, nobody knows any more that it took long
				continue
			}
			if len(p.Tasks) <= few && (before.Wrap50-after.Wrap50 != l.Saved50 || before.Wrap80-after.Wrap80 != l.Saved80 ||
				l.Before != before.ChanceBy(p.By) || l.After != after.ChanceBy(p.By)) {
				t.Errorf("%+v, but the wrap goes from %d, %d to %d, %d", l, before.Wrap50, before.Wrap80, after.Wrap50, after.Wrap80)
			}
		}
	}
	for _, k := range []LeverKind{LeverCut, LeverFallback, LeverTogether, LeverOrder, LeverMeal, LeverShorter, LeverTwo, LeverSetup, LeverDay} {
		if seen[k] == 0 {
			t.Errorf("no lever of kind %s", k)
		}
	}
}

// givingPlan is any plan, on a shoot of several days, whose meals may be shorter.
func givingPlan(r *rand.Rand, n int) Plan {
	p := anyPlan(r, n)
	for i := range p.Tasks {
		p.Tasks[i].Movable = r.IntN(3) == 0
		if r.IntN(2) == 0 {
			p.Tasks[i].Priority = Want
		}
	}
	for i := range p.Meals {
		p.Meals[i].Shortest = p.Meals[i].Minutes - r.Int64N(10)
	}
	return p
}

// What a lever makes late or later it says, by the wall clock; none that does comes
// before one that does not; none that makes nothing better is there; and none stands
// twice.
func TestLeversNameTheirPrice(t *testing.T) {
	r := rand.New(rand.NewPCG(41, 42))
	dear, kept := 0, 0
	for n := range 150 {
		p := givingPlan(r, 1+n%10)
		if n%2 == 0 {
			p = tight(r, p)
		}
		was := howLate(p)
		last := 0
		seen := map[string]bool{}
		for _, l := range levers(t, p, nil) {
			q := taken(t, p, l)
			is := howLate(q)
			said, gone := map[string]int64{}, map[string]bool{}
			for _, m := range l.Price {
				said[m.Key] += m.Minutes
			}
			for _, k := range l.Kept {
				gone[k] = true
			}
			for _, task := range q.Tasks {
				k := task.Key
				if more := [2]int64{is[k][0] - was[k][0], is[k][1] - was[k][1]}; max(more[0], 0)+max(more[1], 0) != said[k] {
					t.Fatalf("plan %d: %s of %s makes %s later by %v and says %d\n%+v", n, l.Kind, l.Key, k, more, said[k], p)
				}
				if better := is[k] == [2]int64{} && was[k] != [2]int64{}; better != gone[k] {
					t.Fatalf("plan %d: %s of %s keeps %s: %v, says %v", n, l.Kind, l.Key, k, better, gone[k])
				}
			}
			if len(l.Price) > 0 {
				dear++
			}
			if l.dear() < last {
				t.Fatalf("plan %d: %s of %s comes after one that costs more", n, l.Kind, l.Key)
			}
			last = l.dear()
			if l.Saved50 < 0 && len(l.Kept) > 0 {
				kept++
			}
			does := fmt.Sprint(l.Kind, l.Key, l.Out, l.Keys)
			if l.Keys != nil || l.Out != nil {
				does = fmt.Sprint(l.Out, l.Keys)
			}
			if seen[does] {
				t.Fatalf("plan %d: %s stands twice", n, does)
			}
			seen[does] = true
		}
	}
	if dear < 25 || kept < 5 {
		t.Errorf("%d levers have a price, %d keep something and wrap later", dear, kept)
	}
}

// howLate follows a plan on the wall clock: by how much each is late for its
// windows and its holds.
func howLate(p Plan) map[string][2]int64 {
	out := map[string][2]int64{}
	w := newWall(p)
	s := point{at: p.Now, setup: p.Setup}
	order := slices.Clone(p.Tasks)
	slices.SortStableFunc(order, func(a, b Task) int {
		return map[bool]int{true: 0, false: 1}[a.Open] - map[bool]int{true: 0, false: 1}[b.Open]
	})
	for _, o := range order {
		i := slices.IndexFunc(p.Tasks, func(t Task) bool { return t.Key == o.Key })
		holds := p.Tasks[i].Holds
		before := s
		p.Tasks[i].Holds = nil
		windows := w.step(before, i).late - before.late
		p.Tasks[i].Holds = holds
		s = w.step(before, i)
		out[o.Key] = [2]int64{windows, s.late - before.late - windows}
	}
	return out
}

// A lever that is another order moves what Order moves, and for the same reasons.
func TestLeverOfAnotherOrder(t *testing.T) {
	r := rand.New(rand.NewPCG(23, 24))
	found := 0
	for n := range 60 {
		p := anyPlan(r, 1+n%10)
		o, err := Order(p, Quick)
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range levers(t, p, nil) {
			if l.Kind != LeverOrder {
				continue
			}
			found++
			if len(l.Moves) == 0 || !slices.Equal(l.Keys, o.Keys) || fmt.Sprint(l.Moves) != fmt.Sprint(o.Moves) {
				t.Errorf("the lever is %v with %v, Order finds %v with %v", l.Keys, l.Moves, o.Keys, o.Moves)
			}
		}
	}
	if found < 5 {
		t.Errorf("%d levers are another order", found)
	}
}

// taken is the plan with a lever taken.
func taken(t *testing.T, p Plan, l Lever) Plan {
	p.Tasks, p.Meals = slices.Clone(p.Tasks), slices.Clone(p.Meals)
	at := func(key string) int { return slices.IndexFunc(p.Tasks, func(t Task) bool { return t.Key == key }) }
	switch l.Kind {
	case LeverCut:
		i := at(l.Key)
		if p.Tasks[i].Priority == Must || l.Shots != 1 {
			t.Errorf("%+v is a must", l)
		}
		p.Tasks = slices.Delete(p.Tasks, i, i+1)
	case LeverFallback:
		i := at(l.Key)
		p.Tasks[i].Planned, p.Tasks[i].Fallback = p.Tasks[i].Fallback, 0
	case LeverTwo, LeverSetup:
		for _, k := range l.Out {
			if p.Tasks[at(k)].Priority == Must {
				t.Errorf("%+v has a must", l)
			}
			p.Tasks = slices.Delete(p.Tasks, at(k), at(k)+1)
		}
	case LeverDay:
		p.Tasks = slices.Delete(p.Tasks, at(l.Key), at(l.Key)+1)
	case LeverShorter:
		for i := range p.Meals {
			if p.Meals[i].Key == l.Key {
				p.Meals[i].Minutes = l.Minutes
			}
		}
	case LeverMeal:
		for i := range p.Meals {
			if p.Meals[i].Key == l.Key {
				p.Meals[i].At = l.At
				if l.At < p.Meals[i].Earliest || l.At > p.Meals[i].Latest {
					t.Errorf("%+v is against the rules of the meal", l)
				}
			}
		}
	default:
		var tasks []Task
		for _, k := range l.Keys {
			tasks = append(tasks, p.Tasks[at(k)])
		}
		p.Tasks = tasks
	}
	return p
}

func TestOddPlans(t *testing.T) {
	for name, p := range map[string]Plan{
		"nothing planned":  {Now: 600, By: 700},
		"all done":         {Now: 600, By: 700, Finished: []Finished{{30, 35, 0}}},
		"up too long":      {Now: 600, By: 700, Tasks: []Task{{Key: "a", Planned: 10, Open: true, Elapsed: 25, Priority: Must}}},
		"since yesterday":  {Now: 600, By: 700, Tasks: []Task{{Key: "a", Planned: 10, Open: true, Elapsed: 1300, Priority: Must}}},
		"meal overdue":     {Now: 900, By: 1000, Meals: []PlannedMeal{{Key: "lunch", At: 780, Minutes: 45, Earliest: 700, Latest: 800}}, Tasks: []Task{{Key: "a", Planned: 10, Priority: Must}}},
		"two meals at one": {Now: 900, By: 1000, Meals: []PlannedMeal{{Key: "a", At: 890, Minutes: 30, On: true}, {Key: "b", At: 780, Minutes: 45}, {Key: "c", At: 905, Minutes: 5}}, Tasks: []Task{{Key: "a", Planned: 10, Priority: Must}}},
	} {
		o, err := Order(p, Thorough)
		if err != nil || !o.Proven || len(o.Keys) != len(p.Tasks) || len(o.Moves) != 0 || len(o.Missed) != 0 {
			t.Errorf("%s: %+v, %v", name, o, err)
		}
		if got := levers(t, p, nil); len(got) != 0 {
			t.Errorf("%s: %+v", name, got)
		}
	}
	o, err := Order(Plan{Now: 900, Meals: []PlannedMeal{{Key: "lunch", At: 780, Minutes: 45}}, Tasks: []Task{{Key: "a", Planned: 10}}}, Quick)
	if err != nil || o.Best.Wrap != 955 { // the late meal is taken first
		t.Errorf("%+v, %v", o, err)
	}
}

func TestMissedAndWhy(t *testing.T) {
	sun := func(s ...Stretch) Limit { return Limit{"the sun comes in", "the sun leaves", s} }
	noor := Limit{"Noor arrives", "Noor has to go", []Stretch{{800, 900}}}
	for says, task := range map[string]Task{
		"the sun leaves at 09:30, before it can be done": {Planned: 20, Limits: []Limit{sun(Stretch{500, 570})}},
		"the sun leaves at 10:10, before it can be done": {Planned: 20, Limits: []Limit{sun(Stretch{500, 610})}},
		"it takes 40 min and has 30 at most":             {Planned: 40, Limits: []Limit{sun(Stretch{700, 730})}},
		"what it needs is never there all at once":       {Planned: 20, Limits: []Limit{sun(Stretch{700, 790}), noor}},
		"the tart keeps until 10:15":                     {Planned: 20, Holds: []Hold{{What: "the tart", Until: 615}}},
		"the ice keeps for 15 min once it is made":       {Planned: 20, Holds: []Hold{{What: "the ice", Minutes: 15}}},
	} {
		task.Key = "a"
		o, err := Order(Plan{Now: 600, Tasks: []Task{task}}, Thorough)
		if err != nil || len(o.Missed) != 1 || o.Missed[0].Why.Text(clockText, shotText) != says {
			t.Errorf("%s: %+v, %v", says, o.Missed, err)
		}
	}
}

func TestPlansThatAreRefused(t *testing.T) {
	one := func(t Task) Plan { t.Key = "a"; return Plan{Now: 600, Tasks: []Task{t}} }
	for name, c := range map[string]struct {
		plan Plan
		code string
	}{
		"no key":          {Plan{Tasks: []Task{{Planned: 5}}}, CodeOrder},
		"two of one key":  {Plan{Tasks: []Task{{Key: "a"}, {Key: "a"}}}, CodeOrder},
		"after itself":    {one(Task{After: []string{"a"}}), CodeOrder},
		"circle":          {Plan{Tasks: []Task{{Key: "a", After: []string{"b"}}, {Key: "b", After: []string{"a"}}}}, CodeOrder},
		"fallback":        {one(Task{Fallback: -1}), CodePlanned},
		"planned":         {one(Task{Planned: -1}), CodePlanned},
		"window backward": {one(Task{Limits: []Limit{{During: []Stretch{{700, 600}}}}}), CodeWindow},
		"windows overlap": {one(Task{Limits: []Limit{{During: []Stretch{{600, 700}, {650, 750}}}}}), CodeWindow},
		"window far":      {one(Task{Limits: []Limit{{During: []Stretch{{600, 60000}}}}}), CodeWindow},
		"hold":            {one(Task{Holds: []Hold{{Minutes: -1}}}), CodeWindow},
		"meal rules":      {Plan{Meals: []PlannedMeal{{Earliest: 9, Latest: 8}}}, CodeMeal},
	} {
		for what, try := range map[string]func() error{
			"order":    func() error { _, err := Order(c.plan, Quick); return err },
			"levers":   func() error { _, err := Levers(c.plan, nil); return err },
			"forecast": func() error { _, err := c.plan.Forecast(); return err },
		} {
			if e, ok := try().(*Error); !ok || e.Code != c.code || e.Text == "" {
				t.Errorf("%s, %s: %v", name, what, e)
			}
		}
	}
}

// Cutting never wraps later, where nothing waits for its window.
func TestCuttingNeverWrapsLater(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 18))
	for range 200 {
		d := anyDay(r)
		if len(d.Remaining) == 0 {
			continue
		}
		i := r.IntN(len(d.Remaining))
		if d.Remaining[i].Open {
			continue
		}
		before := predict(t, d)
		d.Remaining = slices.Delete(slices.Clone(d.Remaining), i, i+1)
		after := predict(t, d)
		for m := before.From - 5; m < before.Wrap80+100; m += 5 {
			if after.ChanceBy(m) < before.ChanceBy(m)-20 { // in billionths
				t.Fatalf("by %d %d, before the cut %d", m, after.ChanceBy(m), before.ChanceBy(m))
			}
		}
	}
}

func BenchmarkLevers(b *testing.B) {
	for _, n := range []int{15, 30, 60, 120} {
		b.Run(fmt.Sprintf("%d shots", n), func(b *testing.B) {
			p := fullPlan(n)
			for b.Loop() {
				levers(b, p, func(m int64) int64 { return max((m-p.By+14)/15, 0) * 4500 })
			}
		})
	}
}

func BenchmarkOrder(b *testing.B) {
	for _, n := range []int{15, 30, 60, 120} {
		b.Run(fmt.Sprintf("%d shots", n), func(b *testing.B) {
			p := fullPlan(n)
			for b.Loop() {
				if _, err := Order(p, Quick); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// fullPlan is a day of n shots that fit ten hours, with everything that can give.
func fullPlan(n int) Plan {
	p := Plan{Now: 540, By: 1110, Changes: map[string]int64{"a": int64(480 / n), "b": int64(240 / n), "c": int64(480 / n)},
		Meals: []PlannedMeal{{Key: "lunch", At: 780, Minutes: 45, Earliest: 720, Latest: 840}}}
	for i := range n {
		t := Task{Key: fmt.Sprint(i), Planned: int64(480/n + i%5 - 2), Setup: []string{"a", "b", "c"}[i/4%3], Fallback: int64(240 / n)}
		if i == n/2 {
			t.Limits = []Limit{{"the sun comes in", "the sun leaves", []Stretch{{840, 960}}}}
		}
		p.Tasks = append(p.Tasks, t)
	}
	return p
}

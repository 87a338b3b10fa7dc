package pace

import "slices"

// work is a plan made ready to be put into one order and another.
type work struct {
	plan   Plan
	pace   Pace
	clock  clock
	meals  []Meal
	jobs   []job
	setups []string // the first is that of tasks that have none
	change []int64  // into each set-up, at the middle of the pace
	stands int      // the set-up that stands
	open   int      // how many are up: the first ones of any order
	fresh  int      // heroes that are still to be made
}

// job is a task at the middle of the pace.
type job struct {
	open    bool
	elapsed int64
	minutes int64
	setup   int
	during  during
	never   bool // its limits have nothing in common
	holds   []keeps
	after   []int
}

// keeps is a hero that a job needs.
type keeps struct {
	fresh   int   // which of those still to be made, -1 for one that is confirmed
	minutes int64 // how long it keeps from when it is made, or the minute it runs out
}

// work checks a plan and reckons everything at the middle of its pace.
func (p Plan) work() (*work, error) {
	w := &work{plan: p, meals: p.meals(), setups: []string{""}, change: []int64{0}}
	var err error
	if w.pace, err = Learn(p.Finished); err != nil {
		return nil, err
	}
	if err := p.check(); err != nil {
		return nil, err
	}
	if w.clock, err = newClock(p.Now, w.meals); err != nil {
		return nil, err
	}
	w.stands = w.setup(p.Setup)
	var fresh []string
	for _, t := range p.Tasks {
		j := job{open: t.Open, elapsed: t.Elapsed, minutes: w.pace.of(t.Planned), setup: w.setup(t.Setup)}
		if t.Open {
			w.open++
			j.minutes = min(t.Planned, 1)
			if t.Planned > 0 && !t.Passed {
				r, _ := w.pace.on(t.Planned, believable(t.Planned, t.Elapsed), w.pace.Mean)
				j.minutes = r.from + index(r.parts(), Whole/2)
			}
		}
		in := all(t.Limits)
		j.never = len(t.Limits) > 0 && len(in) == 0
		j.during = w.clock.during(in)
		for _, h := range t.Holds {
			k := keeps{-1, h.Until}
			if h.Until == 0 {
				if k = (keeps{slices.Index(fresh, h.What), h.Minutes}); k.fresh < 0 {
					k.fresh, fresh = len(fresh), append(fresh, h.What)
				}
			}
			j.holds = append(j.holds, k)
		}
		for _, key := range t.After {
			if i := slices.IndexFunc(p.Tasks, func(t Task) bool { return t.Key == key }); i >= 0 && !t.Open {
				j.after = append(j.after, i)
			}
		}
		w.jobs = append(w.jobs, j)
	}
	w.fresh = len(fresh)
	if _, ok := w.possible(w.present()); !ok {
		return nil, fail(CodeOrder, "some shots wait for each other in a circle; take one of the rules about what comes first out")
	}
	return w, orNil(w.day(w.present()).check())
}

// orNil keeps a missing Error from becoming an error that is there.
func orNil(e *Error) error {
	if e == nil {
		return nil
	}
	return e
}

// of is how long something takes at the middle of the pace.
func (p Pace) of(planned int64) int64 {
	return int64(float64(float64(planned)*expOf(p.Mean)) + 0.5)
}

func (w *work) setup(name string) int {
	i := slices.Index(w.setups, name)
	if i < 0 {
		i = len(w.setups)
		w.setups = append(w.setups, name)
		w.change = append(w.change, w.pace.of(w.plan.Changes[name]))
	}
	return i
}

func (p Plan) check() error {
	keys := map[string]bool{}
	for i, t := range p.Tasks {
		switch {
		case t.Key == "" || keys[t.Key]:
			return fail(CodeOrder, "remaining shot %d has no key of its own; give every shot one", i+1)
		case t.Fallback < 0 || t.Fallback > longest:
			return fail(CodePlanned, "the fallback of remaining shot %d is planned at %d min; correct the plan to between 0 min and 36 h", i+1, t.Fallback)
		case slices.Contains(t.After, t.Key):
			return fail(CodeOrder, "remaining shot %d is to come after itself; take that rule out", i+1)
		}
		keys[t.Key] = true
		for _, l := range t.Limits {
			for k, s := range l.During {
				if s.From >= s.To || k > 0 && s.From < l.During[k-1].To || s.To-p.Now > mostMinutes || p.Now-s.From > mostMinutes {
					return fail(CodeWindow, "the window of remaining shot %d from %d to %d is not possible; let it end after it starts, within three days and after the one before it", i+1, s.From, s.To)
				}
			}
		}
		for _, h := range t.Holds {
			if h.Minutes < 0 || h.Minutes > longest {
				return fail(CodeWindow, "a hero of remaining shot %d keeps for %d min; correct that to between 0 min and 36 h", i+1, h.Minutes)
			}
		}
	}
	for _, m := range p.Meals {
		if m.Latest < m.Earliest {
			return fail(CodeMeal, "a meal may start no earlier than %d and no later than %d; correct its rules", m.Earliest, m.Latest)
		}
	}
	return nil
}

// present is the present order; what is up comes first.
func (w *work) present() []int {
	var up, left []int
	for i, t := range w.plan.Tasks {
		if t.Open {
			up = append(up, i)
		} else {
			left = append(left, i)
		}
	}
	return append(up, left...)
}

// possible is an order with what has to come before moved before; not ok where
// that goes round in a circle.
func (w *work) possible(order []int) (out []int, ok bool) {
	done := make([]bool, len(w.jobs))
	for len(out) < len(order) {
		i := slices.IndexFunc(order, func(i int) bool { return !done[i] && w.free(i, done) })
		if i < 0 {
			return nil, false
		}
		done[order[i]] = true
		out = append(out, order[i])
	}
	return out, true
}

// free tells whether all that comes before a job is done.
func (w *work) free(i int, done []bool) bool {
	return !slices.ContainsFunc(w.jobs[i].after, func(a int) bool { return !done[a] })
}

// day is the Day of an order.
func (w *work) day(order []int) Day {
	d := Day{Now: w.plan.Now, Finished: w.plan.Finished, Since: w.plan.Since, Unopened: w.plan.Unopened, Meals: w.meals}
	stands := w.stands
	for _, i := range order {
		t := w.plan.Tasks[i]
		r := Remaining{Key: t.Key, Planned: t.Planned, Open: t.Open, Elapsed: t.Elapsed, Passed: t.Passed}
		if !t.Open {
			r.Windows = all(t.Limits)
		}
		if s := w.jobs[i].setup; s != 0 {
			if s != stands && !t.Open {
				r.Change = w.plan.Changes[t.Setup]
			}
			stands = s
		}
		d.Remaining = append(d.Remaining, r)
	}
	return d
}

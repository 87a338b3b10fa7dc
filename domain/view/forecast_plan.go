package view

import (
	"fairday/domain/pace"
	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/when"
)

// outlook is what is left of the day and what it leads to.
type outlook struct {
	zero   when.Instant // minute nought: midnight at the start of the day
	by     when.Instant // the planned wrap
	bySaid bool         // a call sheet says so
	call   when.Instant
	run    []shoot.Shot // in order, without what is cut
	left   []shoot.Shot // still to be captured, as in the plan's tasks
	last   when.Instant // capture
	sky    sky
	plan   pace.Plan
	f      pace.Forecast
	over   string // why there is nothing to forecast
	wrong  string // why there is no forecast where there should be one
}

// known tells whether there is a forecast.
func (o *outlook) known() bool { return o.over == "" && o.wrong == "" }

// minute counts from midnight at the start of the day.
func (o *outlook) minute(at when.Instant) int64 {
	d := at - o.zero
	if d < 0 {
		d -= when.Minute - 1
	}
	return int64(d / when.Minute)
}

func (o *outlook) instant(minute int64) when.Instant {
	return o.zero + when.Instant(minute)*when.Minute
}

// leastMeal is how short a meal may be made: what counts as one (California Labor Code
// 512, 29 CFR 785.19).
const leastMeal = 30

const farMinutes = 2 * 24 * 60 // what has no end in a forecast ends here

// gather puts together what is left of the day.
func (m *maker) gather() *outlook {
	o := &outlook{}
	if m.day.ID == "" {
		o.over = "The plan has no shoot day yet."
		return o
	}
	clock := func(c when.Clock) when.Instant {
		at, err := m.day.Zone.At(m.day.Date, c)
		if err != nil {
			o.wrong = sentence(err.Error())
		}
		return at
	}
	o.zero, o.by, o.call = clock(0), clock(18*60), clock(8*60)
	sheet, published := m.s.SheetNow(m.day.ID)
	if published {
		o.by, o.call, o.bySaid = sheet.Wrap, sheet.General, true
	}
	m.sort(o)
	switch {
	case len(o.run) == 0:
		o.over = "This day has no shots yet."
	case len(o.left) == 0:
		o.over = "Every shot is captured, the last at " + m.clock(o.last) + "."
	case m.c.Now > o.by+12*when.Hour:
		o.over = "The day is over. " + count(len(o.left), "shot was", "shots were") + " not captured."
	case o.wrong == "":
		o.sky = m.look(o)
		m.tasks(o, sheet)
		m.plannedMeals(o)
	}
	return o
}

// sort tells what is over and what is left.
func (m *maker) sort(o *outlook) {
	started := false
	var stands when.Instant
	for _, shot := range m.run(m.day) {
		if shot.Progress == shoot.Cut {
			continue
		}
		o.run = append(o.run, shot)
		started = started || len(shot.Spans) > 0
		if shot.Progress != shoot.Captured && shot.Progress != shoot.Queried {
			o.left = append(o.left, shot)
			if isUp(shot) {
				o.plan.Setup, stands = string(shot.Setup), m.c.Now+1
			}
			continue
		}
		o.last = max(o.last, shot.Captured)
		if shot.Captured >= stands {
			o.plan.Setup, stands = string(shot.Setup), shot.Captured
		}
		if len(shot.Spans) > 0 { // one that was never open took nobody knows how long
			o.plan.Finished = append(o.plan.Finished, pace.Finished{Planned: m.planned(shot), Took: int64(m.s.Worked(shot, m.c.Now) / when.Minute)})
		}
	}
	sorting.By(o.left, func(a, b shoot.Shot) int { // what is up comes first
		switch {
		case isUp(a) == isUp(b):
			return 0
		case isUp(a):
			return -1
		}
		return 1
	})
	o.plan.Now, o.plan.By = o.minute(m.c.Now), o.minute(o.by)
	if !started {
		o.plan.Now = max(o.plan.Now, o.minute(o.call))
	}
}

// planned is how long a shot is planned to take, by its fallback where it is made
// by that.
func (m *maker) planned(shot shoot.Shot) int64 {
	if n := m.s.Floor.Wishes[shot.ID].Fallback; shot.OnFallback && n > 0 {
		return int64(n)
	}
	return int64(shot.Minutes)
}

func (m *maker) tasks(o *outlook, sheet shoot.Sheet) {
	o.plan.Changes = map[string]int64{}
	_, later := m.laterDay()
	for _, shot := range o.left {
		wishes := m.s.Floor.Wishes[shot.ID]
		o.plan.Changes[string(shot.Setup)] = int64(m.s.Floor.Setups[shot.Setup].Minutes)
		t := pace.Task{Key: string(shot.ID), Setup: string(shot.Setup), Planned: m.planned(shot), Priority: pace.Priority(shot.Priority)}
		t.Movable = later && shot.Progress == shoot.Planned
		if isUp(shot) {
			t.Open, t.Elapsed = true, int64(m.s.Worked(shot, m.c.Now)/when.Minute)
		}
		if !shot.OnFallback && shot.Fallback != "" {
			t.Fallback = int64(wishes.Fallback)
		}
		for _, id := range wishes.After {
			t.After = append(t.After, string(id))
		}
		if l, ok := o.sky.limit(wishes); ok {
			t.Limits = append(t.Limits, l)
		}
		t.Limits = append(t.Limits, m.stays(o, shot, sheet)...)
		t.Holds = m.keeps(o, shot)
		o.plan.Tasks = append(o.plan.Tasks, t)
	}
}

// stays are the times at which the people in a shot can be had.
func (m *maker) stays(o *outlook, shot shoot.Shot, sheet shoot.Sheet) (out []pace.Limit) {
	for _, p := range shot.Talent {
		s := pace.Stretch{From: o.plan.Now - 1, To: o.plan.Now + farMinutes}
		if call, ok := sheet.Calls[p]; ok {
			s.From = max(s.From, o.minute(call.At))
		}
		if stay := m.s.Floor.Stays[shoot.KeyOf(m.day.ID, p)]; stay.At != 0 {
			s.To = o.minute(stay.At)
		}
		if s.From < o.plan.Now && s.To == o.plan.Now+farMinutes {
			continue // nothing binds them
		}
		l := pace.Limit{Opens: m.who(p) + " arrives", Closes: m.who(p) + " has to go"}
		if s.From < s.To {
			l.During = []pace.Stretch{s}
		} else {
			l.Closes += " at " + m.clock(o.instant(s.To)) // gone, or called for later
		}
		out = append(out, l)
	}
	return out
}

// keeps are the heroes of a shot that do not keep.
func (m *maker) keeps(o *outlook, shot shoot.Shot) (out []pace.Hold) {
	for _, id := range shot.Heroes {
		h, ok := m.s.Floor.Heroes[id]
		if !ok || !h.Food || h.HoldMinutes == 0 {
			continue
		}
		hold := pace.Hold{What: h.Name, Minutes: int64(h.HoldMinutes)}
		if st := h.StandingAt(m.c.Now); st.Confirmed && st.Until != 0 {
			hold.Until = o.minute(st.Until)
		}
		out = append(out, hold)
	}
	return out
}

// plannedMeals are those that are still to be eaten, or are on.
func (m *maker) plannedMeals(o *outlook) {
	for _, meal := range m.s.MealsOf(m.day.ID) {
		at := o.minute(meal.From)
		if meal.Service == shoot.MealDone || at+int64(meal.Minutes) <= o.plan.Now {
			continue
		}
		p := pace.PlannedMeal{Key: string(meal.ID), At: at, Minutes: int64(meal.Minutes)}
		if meal.Minutes > leastMeal && shoot.MaySend(m.me.Role, "meal.set") {
			p.Shortest = leastMeal
		}
		if meal.Service == shoot.MealServing {
			p.On, p.At = true, min(at, o.plan.Now)
		} else if r, ok := m.s.Floor.MealRanges[meal.ID]; ok {
			p.Earliest, p.Latest = o.minute(r.Earliest), o.minute(r.Latest)
		}
		o.plan.Meals = append(o.plan.Meals, p)
	}
}

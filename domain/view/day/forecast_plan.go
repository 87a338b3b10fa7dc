package day

import (
	"cmp"
	"math"

	"fairday/domain/pace"
	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/view"
	"fairday/domain/when"
)

// outlook is what is left of the day and what it leads to.
type outlook struct {
	zero    when.Instant // minute nought: midnight at the start of the day
	by      when.Instant // the planned wrap
	bySaid  bool         // a call sheet says so
	call    when.Instant
	run     []shoot.Shot // in order, without what is cut
	left    []shoot.Shot // still to be captured, as in the plan's tasks
	last    when.Instant // capture
	done    []made       // in order of time
	assumed []string     // meals that nobody told of, and that are taken to be over
	sky     sky
	plan    pace.Plan
	f       pace.Forecast
	over    string // why there is nothing to forecast
	wrong   string // why there is no forecast where there should be one
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
	if m.Day.ID == "" {
		o.over = "The plan has no shoot day yet."
		return o
	}
	clock := func(c when.Clock) when.Instant {
		at, err := m.Day.Zone.At(m.Day.Date, c)
		if err != nil {
			o.wrong = view.Sentence(err.Error())
		}
		return at
	}
	o.zero, o.by, o.call = clock(0), clock(18*60), clock(8*60)
	sheet, published := m.State.SheetNow(m.Day.ID)
	if published {
		o.by, o.call, o.bySaid = sheet.Wrap, sheet.General, true
	}
	m.sort(o)
	switch {
	case len(o.run) == 0:
		o.over = "This day has no shots yet."
	case len(o.left) == 0:
		o.over = "Every shot is captured, the last at " + m.Clock(o.last) + "."
	case m.c.Now > o.by+12*when.Hour:
		o.over = "The day is over. " + view.Count(len(o.left), "shot was", "shots were") + " not captured."
	case o.wrong == "":
		o.sky = m.look(o)
		m.taps(o, sheet)
		m.tasks(o, sheet)
	}
	return o
}

// sort tells what is over and what is left.
func (m *maker) sort(o *outlook) {
	started := false
	for _, shot := range m.Run(m.Day) {
		for _, at := range shot.Before {
			o.done = append(o.done, made{shot, at, len(shot.Spans) > 0, at != shot.Before[0]})
		}
		started = started || len(shot.Spans) > 0 || shot.Captured != 0
		if shot.Progress == shoot.Cut {
			continue
		}
		o.run = append(o.run, shot)
		if shot.Progress != shoot.Captured && shot.Progress != shoot.Queried {
			o.left = append(o.left, shot)
			continue
		}
		o.last = max(o.last, shot.Captured)
		o.done = append(o.done, made{shot, shot.Captured, len(shot.Spans) > 0, len(shot.Before) > 0})
	}
	sorting.By(o.done, func(a, b made) int { return cmp.Compare(a.at, b.at) })
	if n := len(o.done); n > 0 {
		o.plan.Setup = string(o.done[n-1].shot.Setup)
	}
	sorting.By(o.left, func(a, b shoot.Shot) int { return cmp.Compare(opened(a), opened(b)) }) // what is up comes first
	for _, shot := range o.left {
		if isUp(shot) {
			o.plan.Setup = string(shot.Setup)
		}
	}
	o.plan.Now, o.plan.By = o.minute(m.c.Now), o.minute(o.by)
	if !started {
		o.plan.Now = max(o.plan.Now, o.minute(o.call))
	}
}

// made is one capture of a shot.
type made struct {
	shot   shoot.Shot
	at     when.Instant
	opened bool
	again  bool
}

// opened is since when a shot is up, and the end of time where it is not.
func opened(shot shoot.Shot) when.Instant {
	if n := len(shot.Spans); n > 0 && isUp(shot) {
		return shot.Spans[n-1].From
	}
	return math.MaxInt64
}

// taps tells the plan what people have told of the day.
func (m *maker) taps(o *outlook, sheet shoot.Sheet) {
	t := pace.Taps{Call: o.minute(o.call), Meals: m.plannedMeals(o)}
	stop := func(s shoot.Span) {
		if s.To == 0 {
			s.To = m.c.Now
		}
		t.Stops = append(t.Stops, pace.Stretch{From: o.minute(s.From), To: o.minute(s.To)})
	}
	for _, p := range m.State.Floor.Pauses[m.Day.ID] {
		stop(p.Span)
	}
	for _, shot := range o.run {
		for _, s := range m.State.Waits(shot, m.c.Now) {
			stop(s)
		}
	}
	var stands shoot.SetupID
	before := t.Call
	for i, d := range o.done {
		c := pace.Capture{At: o.minute(d.at), Planned: m.planned(d.shot), Opened: d.opened, Again: d.again}
		change := int64(0)
		if d.shot.Setup != "" && (i == 0 || d.shot.Setup != stands) {
			stands = d.shot.Setup
			change = int64(m.State.Floor.Setups[stands].Minutes)
		}
		c.Planned += change
		if opens := m.opens(o, d.shot, c.At, sheet); opens > before+change {
			t.Planned = append(t.Planned, pace.Stretch{From: before + change, To: opens}) // it waited for that
		}
		before = c.At
		t.Captures = append(t.Captures, c)
	}
	o.assumed = o.plan.Read(t)
}

// opens is from when on what a shot needs was there, given that it was captured at
// a minute.
func (m *maker) opens(o *outlook, shot shoot.Shot, captured int64, sheet shoot.Sheet) (from int64) {
	limits := m.stays(o, shot, sheet)
	if l, ok := o.sky.limit(m.State.Floor.Wishes[shot.ID]); ok {
		limits = append(limits, l)
	}
	for _, l := range limits {
		for _, s := range l.During {
			if s.From <= captured {
				from = max(from, s.From)
			}
		}
	}
	return from
}

// planned is how long a shot is planned to take, by its fallback where it is made
// by that.
func (m *maker) planned(shot shoot.Shot) int64 {
	if n := m.State.Floor.Wishes[shot.ID].Fallback; shot.OnFallback && n > 0 {
		return int64(n)
	}
	return int64(shot.Minutes)
}

func (m *maker) tasks(o *outlook, sheet shoot.Sheet) {
	o.plan.Changes = map[string]int64{}
	later := len(m.laterDays()) > 0
	for i, shot := range o.left {
		wishes := m.State.Floor.Wishes[shot.ID]
		o.plan.Changes[string(shot.Setup)] = int64(m.State.Floor.Setups[shot.Setup].Minutes)
		t := pace.Task{Key: string(shot.ID), Setup: string(shot.Setup), Planned: m.planned(shot), Priority: pace.Priority(shot.Priority)}
		t.Movable = later && shot.Progress == shoot.Planned
		if isUp(shot) {
			t.Open, t.Elapsed = true, o.plan.Elapsed(o.minute(opened(shot)))
			if i+1 < len(o.left) { // another was opened after it, and not to be made again
				t.Passed = isUp(o.left[i+1]) && len(o.left[i+1].Before) == 0
			}
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
		if stay := m.State.Floor.Stays[shoot.KeyOf(m.Day.ID, p)]; stay.At != 0 {
			s.To = o.minute(stay.At)
		}
		if s.From < o.plan.Now && s.To == o.plan.Now+farMinutes {
			continue // nothing binds them
		}
		l := pace.Limit{Opens: m.Who(p) + " arrives", Closes: m.Who(p) + " has to go"}
		if s.From < s.To {
			l.During = []pace.Stretch{s}
		} else {
			l.Closes += " at " + m.Clock(o.instant(s.To)) // gone, or called for later
		}
		out = append(out, l)
	}
	return out
}

// keeps are the heroes of a shot that do not keep.
func (m *maker) keeps(o *outlook, shot shoot.Shot) (out []pace.Hold) {
	for _, id := range shot.Heroes {
		h, ok := m.State.Floor.Heroes[id]
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

// plannedMeals are those of the day, with what was told of them.
func (m *maker) plannedMeals(o *outlook) (out []pace.TappedMeal) {
	for _, meal := range m.State.MealsOf(m.Day.ID) {
		p := pace.TappedMeal{PlannedMeal: pace.PlannedMeal{Key: string(meal.ID), At: o.minute(meal.From), Minutes: int64(meal.Minutes)},
			Begun: meal.Service != shoot.MealPlanned, Over: meal.Service == shoot.MealDone}
		if meal.Minutes > leastMeal && shoot.MaySend(m.Me.Role, "meal.set") {
			p.Shortest = leastMeal
		}
		if r, ok := m.State.Floor.MealRanges[meal.ID]; ok && !p.Begun {
			p.Earliest, p.Latest = o.minute(r.Earliest), o.minute(r.Latest)
		}
		up := meal.Stopped()
		p.From, p.To = o.minute(up.From), o.minute(up.To)
		out = append(out, p)
	}
	return out
}

package day

import (
	"fairday/domain/pace"
	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/sun"
	"fairday/domain/view"
	"fairday/domain/when"
)

// frame is the stretch of the day that a picture shows, in minutes.
type frame struct{ from, to int64 }

func (f frame) x(minute int64) int {
	if minute < f.from || minute > f.to {
		return -1
	}
	return int((minute - f.from) * box / (f.to - f.from))
}

// bar is the part of a stretch that can be seen.
func (f frame) bar(from, to int64) Bar {
	from, to = max(from, f.from), min(to, f.to)
	if from > to {
		return Bar{-1, -1}
	}
	return Bar{f.x(from), f.x(to)}
}

// plannedRun is when each shot would be up if the day ran to plan from its call,
// in the present order.
func (m *maker) plannedRun(o *outlook) map[shoot.ShotID]pace.Stretch {
	out := map[shoot.ShotID]pace.Stretch{}
	meals := m.State.MealsOf(m.Day.ID)
	at := o.minute(o.call)
	next := 0
	pass := func(until int64) { // meals that begin before it stop the work
		for ; next < len(meals) && o.minute(meals[next].From) < at+until; next++ {
			at += int64(meals[next].Minutes)
		}
		at += until
	}
	setup := shoot.SetupID("")
	for _, shot := range o.run {
		if shot.Setup != setup {
			pass(int64(m.State.Floor.Setups[shot.Setup].Minutes))
			setup = shot.Setup
		}
		for ; next < len(meals) && o.minute(meals[next].From) <= at; next++ {
			at = max(at, o.minute(meals[next].From)+int64(meals[next].Minutes))
		}
		from := at
		pass(int64(shot.Minutes))
		out[shot.ID] = pace.Stretch{From: from, To: at}
	}
	return out
}

// picture lays the run of the day out for drawing.
func (m *maker) picture(o *outlook, r *reckoning) *Picture {
	plan := m.plannedRun(o)
	f := m.frame(o, plan)
	out := &Picture{Now: f.x(o.minute(m.c.Now)), Plan: f.x(o.minute(o.by)), Wrap50: -1, Wrap80: -1}
	if o.known() {
		out.Wrap50, out.Wrap80 = f.x(o.f.Wrap50), f.x(o.f.Wrap80)
	}
	every := int64(60)
	for (f.to-f.from)/every > 8 {
		every += 60
	}
	for at := f.from; at <= f.to; at += every {
		_, hour := m.At.Local(o.instant(at)) // that it is past midnight shows by its place
		out.Hours = append(out.Hours, Tick{f.x(at), hour.String()})
	}
	for _, shot := range o.run {
		out.Rows = append(out.Rows, m.runRow(o, f, shot, plan[shot.ID]))
	}
	m.stops(out, o, f)
	m.skyBands(out, o, f)
	if r != nil {
		out.Steps = r.steps(o, f)
	}
	out.Say = "The run of the day from " + m.Clock(o.instant(f.from)) + " to " + m.Clock(o.instant(f.to)) + ": " +
		view.Count(len(o.run), "shot", "shots") + ", planned above and likely below. " + m.wrapLine()
	return out
}

// steps are where overtime gets dearer for anybody. Those of many people fall
// close together, and what would be drawn one over the other is one.
func (r *reckoning) steps(o *outlook, f frame) (out []int) {
	const apart = box / 60
	var all []int
	for _, c := range r.curves {
		for _, s := range c.Steps {
			if x := f.x(o.minute(s.At)); x >= 0 {
				all = append(all, x)
			}
		}
	}
	sorting.Up(all)
	for _, x := range all {
		if n := len(out); n == 0 || x-out[n-1] >= apart {
			out = append(out, x)
		}
	}
	return out
}

// frame holds everything that is planned, was or is likely, in whole hours; a day
// at most.
func (m *maker) frame(o *outlook, plan map[shoot.ShotID]pace.Stretch) frame {
	f := frame{o.minute(o.call), o.minute(o.by)}
	reach := func(from, to int64) { f.from, f.to = min(f.from, from), max(f.to, to) }
	for _, p := range plan {
		reach(p.From, p.To)
	}
	for _, shot := range o.run {
		for _, s := range shot.Spans {
			reach(o.minute(s.From), o.minute(max(s.From, s.To)))
		}
	}
	if o.known() {
		reach(o.plan.Now, o.f.Wrap80)
	}
	f.from = max(f.from, 0) / 60 * 60
	f.to = min((max(f.to, f.from+1)+59)/60*60, f.from+24*60)
	return f
}

func (m *maker) runRow(o *outlook, f frame, shot shoot.Shot, plan pace.Stretch) RunRow {
	row := RunRow{ID: string(shot.ID), Number: shot.Number, Plan: f.bar(plan.From, plan.To), Likely: Bar{-1, -1}, Late: -1}
	row.Say = "Shot " + shot.Number + ", " + view.Lower(m.ShotMark(shot).Word) + ", planned " + m.Clock(o.instant(plan.From)) + " to " + m.Clock(o.instant(plan.To))
	if n := len(shot.Spans); n > 0 && (shot.Progress == shoot.Captured || shot.Progress == shoot.Queried) {
		from, to := o.minute(shot.Spans[0].From), o.minute(shot.Spans[n-1].To)
		row.Likely, row.Done = f.bar(from, to), true
		row.Say = view.Sentence(row.Say + ", was up " + m.Clock(o.instant(from)) + " to " + m.Clock(o.instant(to)))
		return row
	}
	if !o.known() {
		row.Say = view.Sentence(row.Say)
		return row
	}
	i := m.place(o, shot.ID)
	if o.f.Starts[i].Key != string(shot.ID) {
		row.Say = view.Sentence(row.Say) // a capture that was reported and never open
		return row
	}
	from := o.f.Starts[i].P50
	to := from + (m.planned(shot)*o.f.Pace.Percent()+50)/100
	if isUp(shot) {
		to = max(to, o.plan.Now)
	} else {
		row.Late = f.x(o.f.Starts[i].P80)
	}
	row.Likely = f.bar(from, to)
	row.Say = view.Sentence(row.Say + ", likely " + m.round(o, from) + " to " + m.round(o, to))
	return row
}

// stops are the meals and the pauses.
func (m *maker) stops(out *Picture, o *outlook, f frame) {
	add := func(kind, word string, from, to int64) {
		if b := f.bar(from, to); b.From < b.To {
			out.Stops = append(out.Stops, Band{b.From, b.To, kind, word})
		}
	}
	for _, meal := range m.State.MealsOf(m.Day.ID) {
		at := o.minute(meal.From)
		add("meal", meal.Name, at, at+int64(meal.Minutes))
	}
	for _, p := range m.State.Floor.Pauses[m.Day.ID] {
		to := p.To
		if to == 0 {
			to = max(m.c.Now, p.From)
		}
		word := p.Why
		if word == "" {
			word = "waiting"
		}
		add("pause", word, o.minute(p.From), o.minute(to+when.Minute-1))
	}
}

// skyBands are the day's light, and the sun in each window.
func (m *maker) skyBands(out *Picture, o *outlook, f frame) {
	words := map[sun.Light]string{sun.Night: "night", sun.Twilight: "twilight", sun.Daylight: "daylight"}
	for _, b := range o.sky.bands {
		if bar := f.bar(o.minute(b.From), o.minute(b.To)); bar.From < bar.To {
			out.Sky = append(out.Sky, Band{bar.From, bar.To, string(b.Light), words[b.Light]})
		}
	}
	for _, l := range o.sky.windows {
		s := SunBand{Name: l.name}
		for _, in := range l.sun {
			if bar := f.bar(in.From, in.To); bar.From < bar.To {
				s.In = append(s.In, bar)
			}
		}
		out.Suns = append(out.Suns, s)
	}
}

package day

import (
	"maps"
	"reflect"

	"fairday/domain/pace"
	"fairday/domain/shoot"
	"fairday/domain/view"
)

// laterDays are the days of the shoot after this one, in order.
func (m *maker) laterDays() (out []shoot.Day) {
	for _, d := range m.State.DaysInOrder() {
		if d.Date > m.Day.Date {
			out = append(out, d)
		}
	}
	return out
}

// elsewhere is the forecast of another day, and the plan that it was made of.
type elsewhere struct {
	plan pace.Plan
	o    *outlook
}

// of keeps the light of another day.
func (k *Memo) of(d shoot.DayID) *Memo {
	if k == nil {
		return nil
	}
	if k.days == nil {
		k.days = map[shoot.DayID]*Memo{}
	}
	if k.days[d] == nil {
		k.days[d] = &Memo{}
	}
	return k.days[d]
}

// outlookOf is the forecast of another day as it is planned, or with a shot of this day at its
// end.
func (m *maker) outlookOf(d shoot.Day, moved ...shoot.Shot) (*maker, *outlook) {
	other := *m
	other.Day, other.At, other.seen, other.c.Memo = d, d.Zone.Reader(), nil, m.c.Memo.of(d.ID)
	key := string(d.ID)
	if len(moved) > 0 {
		state := *m.State
		state.Floor.Shots = maps.Clone(state.Floor.Shots)
		shot := moved[0]
		shot.Day = d.ID
		state.Floor.Shots[shot.ID] = shot
		other.State = &state
		key += " " + string(shot.ID)
	}
	o := other.gather()
	k := m.c.Memo
	if k != nil && k.others[key].o != nil && reflect.DeepEqual(k.others[key].plan, o.plan) {
		o.f, o.wrong = k.others[key].o.f, k.others[key].o.wrong
	} else if o.known() {
		var err error
		if o.f, err = o.plan.Forecast(); err != nil {
			o.wrong = view.Sentence(err.Error())
		}
		if k != nil {
			if k.others == nil || len(k.others) > 60 {
				k.others = map[string]elsewhere{}
			}
			k.others[key] = elsewhere{o.plan, o}
		}
	}
	return &other, o
}

// moving is what a shot does to another day.
type moving struct {
	day           shoot.Day
	known         bool  // there is a forecast of that day with it
	before, after int64 // the chance of wrapping that day by its plan, in billionths
	say           string
	missed        []string // what it would be late for there, or would make late
}

// moveTo says what a shot does to a later day.
func (m *maker) moveTo(d shoot.Day, shot shoot.Shot) moving {
	out := moving{day: d, before: pace.Whole}
	_, was := m.outlookOf(d)
	there, is := m.outlookOf(d, shot)
	if !is.known() {
		out.say = "What that day then comes to is not known. " + view.Sentence(is.over+is.wrong)
		return out
	}
	out.known, out.after = true, is.f.ChanceBy(is.plan.By)
	out.say = "That day is then done by " + there.Clock(is.by) + ": " + chance(out.after) + "."
	missed := map[string]bool{}
	if was.known() {
		out.before = was.f.ChanceBy(was.plan.By)
		out.say += " Without it: " + chance(out.before) + "."
		for _, u := range there.unmet(was) {
			missed[u] = true
		}
	}
	for _, u := range there.unmet(is) {
		if !missed[u] {
			out.missed = append(out.missed, u)
		}
	}
	return out
}

// better tells whether a shot does better on a day than on another.
func (a moving) better(b moving) bool {
	switch {
	case a.known != b.known:
		return a.known
	case len(a.missed) != len(b.missed):
		return len(a.missed) < len(b.missed)
	}
	return a.after > b.after
}

// dayLever makes a shot on the later day of the shoot that has most room for it.
func (m *maker) dayLever(t pace.Lever, l *Lever) {
	days := m.laterDays()
	shot := m.State.Floor.Shots[shoot.ShotID(t.Key)]
	if len(days) == 0 || shot.Progress != shoot.Planned {
		return
	}
	best := m.moveTo(days[0], shot)
	for _, d := range days[1:] {
		if to := m.moveTo(d, shot); to.better(best) {
			best = to
		}
	}
	n := "shot " + shot.Number
	l.Title = "Make " + n + " on " + best.day.Name
	l.Costs = view.Sentence("no shot is lost, but that day gets " + view.Lasts(m.planned(shot)) + " longer and " + m.setupOf(t.Key) + " has to stand there")
	if len(shot.Talent) > 0 {
		l.Costs += " Ask first whether its talent can be had then."
	}
	l.Why = append(l.Why, best.say)
	l.Why = append(l.Why, best.missed...)
	l.dear = !best.known || len(best.missed) > 0 || best.after < best.before && best.after < t.After // it only moves the trouble
	on := func(day shoot.DayID, base int) view.Fields {
		return view.Fields{"id": shot.ID, "day": day, "number": shot.Number, "title": shot.Title, "setup": shot.Setup, "minutes": shot.Minutes, "priority": shot.Priority,
			"crop": shot.Crop, "heroes": shot.Heroes, "talent": shot.Talent, "fallback": shot.Fallback, "notes": shot.Notes, "base": base}
	}
	l.Take = m.Action("Move "+n, "shot.set", on(best.day.ID, shot.Version))
	l.Undo = Undo{"Back to " + m.Day.Name, "shot.set", on(shot.Day, shot.Version+1).JSON()}
}

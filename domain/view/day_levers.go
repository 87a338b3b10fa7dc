package view

import (
	"cmp"
	"reflect"
	"slices"

	"fairday/domain/pace"
	"fairday/domain/shoot"
	"fairday/domain/when"
)

// How much thought the levers get on one look: each that is tried is a forecast
// of its own.
const (
	mostTried  = 6
	mostShown  = 4
	orderTries = 2000
)

// tried is a plan with one change, and what it leads to.
type tried struct {
	kind  pace.LeverKind
	key   string
	worth int64 // minutes, before anything is reckoned
	times int64 // counts for so much: what loses nothing most
	plan  pace.Plan
	moves []pace.Move
	f     pace.Forecast
}

// thought keeps what was tried for a plan.
type thought struct {
	plan pace.Plan
	out  []tried
}

// levers are the few changes that would help most, best first.
func (m *maker) levers(o *outlook, r *reckoning) (out []Lever) {
	for _, t := range m.try(o) {
		saved := o.f.Wrap50 - t.f.Wrap50 + o.f.Wrap80 - t.f.Wrap80
		if saved < 0 || saved == 0 && t.f.ChanceBy(o.plan.By) <= o.f.ChanceBy(o.plan.By) {
			continue
		}
		if l := m.lever(o, t, r); l.Take.Name != "" && len(out) < mostShown {
			out = append(out, l)
		}
	}
	return out
}

// try makes a forecast for each of the most promising changes.
func (m *maker) try(o *outlook) []tried {
	if k := m.c.Memo; k != nil && k.thought != nil && reflect.DeepEqual(k.thought.plan, o.plan) {
		return k.thought.out
	}
	all := append(m.lesser(o), m.otherwise(o)...)
	slices.SortStableFunc(all, func(a, b tried) int { return cmp.Compare(b.worth*b.times, a.worth*a.times) })
	all = all[:min(len(all), mostTried)]
	all = slices.DeleteFunc(all, func(t tried) bool { return t.worth <= 0 })
	for i := range all {
		f, err := all[i].plan.Forecast()
		if err != nil {
			f = o.f // it would not do: it saves nothing
		}
		all[i].f = f
	}
	saved := func(t tried) int64 { return (o.f.Wrap50 - t.f.Wrap50 + o.f.Wrap80 - t.f.Wrap80) * t.times }
	slices.SortStableFunc(all, func(a, b tried) int { return cmp.Compare(saved(b), saved(a)) })
	if m.c.Memo != nil {
		m.c.Memo.thought = &thought{o.plan, all}
	}
	return all
}

// lesser are the plans with one shot left out, or made by its fallback.
func (m *maker) lesser(o *outlook) (out []tried) {
	for i, t := range o.plan.Tasks {
		if t.Priority != pace.Must {
			c := tried{kind: pace.LeverCut, key: t.Key, worth: t.Planned, times: 1, plan: o.plan}
			if t.Priority == pace.Spare {
				c.times = 2
			}
			c.plan.Tasks = slices.Delete(slices.Clone(o.plan.Tasks), i, i+1)
			out = append(out, c)
		}
		if t.Fallback > 0 && !t.Open {
			c := tried{kind: pace.LeverFallback, key: t.Key, worth: t.Planned - t.Fallback, times: 2, plan: o.plan}
			c.plan.Tasks = slices.Clone(o.plan.Tasks)
			c.plan.Tasks[i].Planned, c.plan.Tasks[i].Fallback = t.Fallback, 0
			out = append(out, c)
		}
	}
	return out
}

// otherwise are the plans that lose nothing: another order, a meal at another time.
func (m *maker) otherwise(o *outlook) (out []tried) {
	if found, err := pace.Order(o.plan, orderTries); err == nil && len(found.Moves) > 0 {
		c := tried{kind: pace.LeverOrder, worth: found.Present.Wrap - found.Best.Wrap + found.Present.Late - found.Best.Late, times: 4, plan: o.plan, moves: found.Moves}
		c.plan.Tasks = slices.Clone(o.plan.Tasks)
		slices.SortFunc(c.plan.Tasks, func(a, b pace.Task) int {
			return cmp.Compare(slices.Index(found.Keys, a.Key), slices.Index(found.Keys, b.Key))
		})
		out = append(out, c)
	}
	for i, meal := range o.plan.Meals {
		if meal.On || meal.Latest == 0 {
			continue
		}
		for _, at := range []int64{meal.Earliest, meal.Latest} {
			if at == meal.At || at < o.plan.Now {
				continue
			}
			c := tried{kind: pace.LeverMeal, key: meal.Key, worth: 1, times: 4, plan: o.plan}
			c.plan.Meals = slices.Clone(o.plan.Meals)
			c.plan.Meals[i].At = at
			out = append(out, c)
		}
	}
	return out
}

// lever says a change in words, with the edit that makes it and the one that
// takes it back.
func (m *maker) lever(o *outlook, t tried, r *reckoning) Lever {
	l := Lever{Key: string(t.kind) + " " + t.key, Costs: "No shot is lost."}
	n := "shot " + m.number(t.key)
	switch t.kind {
	case pace.LeverCut:
		shot := m.s.Floor.Shots[shoot.ShotID(t.key)]
		l.Title, l.Costs = "Cut "+n, sentence("shot "+shot.Number+" is lost: "+shot.Title+", "+lower(priority(shot.Priority)))
		l.Take = m.action("Cut "+n, "shot.cut", fields{"shot": t.key})
		l.Undo = Undo{"Put " + n + " back", "shot.reset", fields{"shot": t.key, "was": shoot.Cut}.json()}
	case pace.LeverFallback:
		shot := m.s.Floor.Shots[shoot.ShotID(t.key)]
		l.Title, l.Costs = "Make "+n+" by its fallback", sentence("no shot is lost; made instead: "+shot.Fallback)
		l.Take = m.action("Take the fallback", "shot.fallback", fields{"shot": t.key, "on": true})
		l.Undo = Undo{"Back to the first idea", "shot.fallback", fields{"shot": t.key, "on": false}.json()}
	case pace.LeverOrder:
		m.orderLever(o, t, &l)
	case pace.LeverMeal:
		m.mealLever(o, t, &l)
	}
	l.Saves = savesSay(o.f, t.f)
	l.Say = "Done by " + m.clock(o.by) + ": " + chance(t.f.ChanceBy(o.plan.By)) + ". Without it: " + chance(o.f.ChanceBy(o.plan.By)) + "."
	if r != nil {
		l.Money = r.savedSay(o, t.f)
	}
	return l
}

func savesSay(was, is pace.Forecast) string {
	switch d := was.Wrap50 - is.Wrap50; {
	case d > 0:
		return when.Elapsed(d) + " earlier"
	case was.Wrap80 > is.Wrap80:
		return when.Elapsed(was.Wrap80-is.Wrap80) + " earlier on a slow day"
	}
	return "surer by the planned wrap"
}

func (r *reckoning) savedSay(o *outlook, f pace.Forecast) string {
	was, is := r.expected(o, o.f), r.expected(o, f)
	saved := purse{}
	for c, a := range was {
		if less, err := a.Sub(is[c]); err == nil && less.Minor > 0 {
			saved[c] = less
		}
	}
	if saved.zero() {
		return "It saves no overtime."
	}
	return "It saves about " + saved.text() + " of overtime."
}

// orderLever puts what is left into another order; what is over keeps its place.
func (m *maker) orderLever(o *outlook, t tried, l *Lever) {
	l.Title = "Shoot in another order"
	all := m.run(m.day)
	was, is := make([]shoot.ShotID, len(all)), make([]shoot.ShotID, len(all))
	left := map[shoot.ShotID]bool{}
	for _, task := range o.plan.Tasks {
		left[shoot.ShotID(task.Key)] = true
	}
	next := 0
	for i, shot := range all {
		was[i], is[i] = shot.ID, shot.ID
		if left[shot.ID] {
			is[i] = shoot.ShotID(t.plan.Tasks[next].Key)
			next++
		}
	}
	for _, mv := range t.moves {
		say := "shot " + m.number(mv.Key) + " first"
		if mv.Follow != "" {
			say = "shot " + m.number(mv.Key) + " after shot " + m.number(mv.Follow)
		}
		var why []string
		for _, w := range mv.Why {
			why = append(why, w.Text(func(minute int64) string { return m.clock(o.instant(minute)) }, func(key string) string { return "shot " + m.number(key) }))
		}
		if len(why) > 0 {
			say += ": " + list(why)
		}
		l.Why = append(l.Why, sentence(say))
	}
	l.Take = m.action("Take this order", "shot.order", fields{"day": m.day.ID, "order": is, "base": m.day.OrderVersion})
	l.Undo = Undo{"Back to the order before", "shot.order", fields{"day": m.day.ID, "order": was, "base": m.day.OrderVersion + 1}.json()}
}

func (m *maker) mealLever(o *outlook, t tried, l *Lever) {
	meal := m.s.Floor.Meals[shoot.MealID(t.key)]
	at := meal.From
	for _, p := range t.plan.Meals {
		if p.Key == t.key {
			at = o.instant(p.At)
		}
	}
	date, c := m.at.Local(at)
	if date == m.day.Date.Add(1) {
		c += 24 * 60
	}
	args := func(at when.Clock, base int) fields {
		return fields{"id": meal.ID, "day": meal.Day, "name": meal.Name, "at": at, "minutes": meal.Minutes, "margin": meal.Margin, "base": base}
	}
	l.Title = meal.Name + " at " + m.clock(at)
	l.Why = append(l.Why, "It is planned at "+meal.At.String()+". Tell the caterer before you move it.")
	l.Take = m.action("Move "+lower(meal.Name), "meal.set", args(c, meal.Version))
	l.Undo = Undo{meal.Name + " back to " + meal.At.String(), "meal.set", args(meal.At, meal.Version+1).json()}
	if !shoot.Allowed(m.me.Role, "meal.set") {
		l.Take = l.Take.off("The producer moves meals.")
	}
}

package view

import (
	"reflect"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/pace"
	"fairday/domain/shoot"
	"fairday/domain/when"
)

// How many levers are shown, and how many of them may be of one kind.
const (
	mostShown  = 4
	mostOfKind = 2
)

// thought keeps the levers of a plan and of what it costs.
type thought struct {
	plan   pace.Plan
	curves []overtime.Curve
	out    []pace.Lever
}

// levers are the few changes that would help most, best first.
func (m *maker) levers(o *outlook, r *reckoning) (out []Lever) {
	kinds := map[pace.LeverKind]int{}
	for _, t := range m.pulled(o, r) {
		if kinds[t.Kind] == mostOfKind || len(out) == mostShown {
			continue
		}
		if l := m.lever(o, t, r); l.Take.Name != "" {
			kinds[t.Kind]++
			out = append(out, l)
		}
	}
	return out
}

// pulled are all levers of the plan; a plan that nothing can be said of has none.
func (m *maker) pulled(o *outlook, r *reckoning) []pace.Lever {
	var curves []overtime.Curve
	if r != nil {
		curves = r.curves
	}
	k := m.c.Memo
	if k != nil && k.thought != nil && reflect.DeepEqual(k.thought.plan, o.plan) && reflect.DeepEqual(k.thought.curves, curves) {
		return k.thought.out
	}
	var cost func(minute int64) int64
	if c, ok := m.dearest(r); ok {
		cost = func(minute int64) int64 { return c.At(o.instant(minute)).Minor }
	}
	out, err := pace.Levers(o.plan, cost)
	if err != nil {
		out = nil // the forecast has said why
	}
	if k != nil {
		k.thought = &thought{o.plan, curves, out}
	}
	return out
}

// dearest is the curve that levers are weighed by: that of the shoot's currency,
// or the first there is.
func (m *maker) dearest(r *reckoning) (overtime.Curve, bool) {
	if r == nil || len(r.curves) == 0 {
		return overtime.Curve{}, false
	}
	for _, c := range r.curves {
		if c.Currency == m.s.Money.Currency {
			return c, true
		}
	}
	return r.curves[0], true
}

// lever says a change in words, with the edit that makes it and the one that
// takes it back.
func (m *maker) lever(o *outlook, t pace.Lever, r *reckoning) Lever {
	l := Lever{Key: string(t.Kind) + " " + t.Key, Costs: "No shot is lost."}
	n := "shot " + m.number(t.Key)
	switch t.Kind {
	case pace.LeverCut:
		shot := m.s.Floor.Shots[shoot.ShotID(t.Key)]
		l.Title, l.Costs = "Cut "+n, sentence("shot "+shot.Number+" is lost: "+shot.Title+", "+lower(priority(shot.Priority)))
		l.Take = m.action("Cut "+n, "shot.cut", fields{"shot": t.Key})
		l.Undo = Undo{"Put " + n + " back", "shot.reset", fields{"shot": t.Key, "was": shoot.Cut}.json()}
	case pace.LeverFallback:
		shot := m.s.Floor.Shots[shoot.ShotID(t.Key)]
		l.Title, l.Costs = "Make "+n+" by its fallback", sentence("no shot is lost; made instead: "+shot.Fallback)
		l.Take = m.action("Take the fallback", "shot.fallback", fields{"shot": t.Key, "on": true})
		l.Undo = Undo{"Back to the first idea", "shot.fallback", fields{"shot": t.Key, "on": false}.json()}
	case pace.LeverOrder, pace.LeverTogether:
		m.orderLever(o, t, &l)
	case pace.LeverMeal:
		m.mealLever(o, t, &l)
	}
	l.Saves = savesSay(t)
	l.Say = "Done by " + m.clock(o.by) + ": " + chance(t.After) + ". Without it: " + chance(t.Before) + "."
	if c, ok := m.dearest(r); ok {
		l.Money = savedSay(t, c.Currency)
	}
	return l
}

func savesSay(t pace.Lever) string {
	switch {
	case t.Saved50 > 0:
		return lasts(t.Saved50) + " earlier"
	case t.Saved80 > 0:
		return lasts(t.Saved80) + " earlier on a slow day"
	}
	return "surer by the planned wrap"
}

func savedSay(t pace.Lever, c money.Currency) string {
	if saved := average(t.Money, c); saved.Minor > 0 {
		return "It saves about " + saved.Format() + " of overtime."
	}
	return "It saves no overtime."
}

// average rounds what something costs on average to the unit.
func average(mean pace.Mean, c money.Currency) money.Amount {
	part, _ := money.Of(1, c).Times(money.Ratio{Num: mean.Part, Den: pace.Whole}, money.HalfUp) // less than one
	return money.Of(mean.Units+part.Minor, c)
}

// orderLever puts what is left into another order; what is over keeps its place.
func (m *maker) orderLever(o *outlook, t pace.Lever, l *Lever) {
	l.Title = "Shoot in another order"
	if t.Kind == pace.LeverTogether {
		l.Title = "Bring the shots of one set-up together"
		l.Why = append(l.Why, sentence("it saves "+lasts(t.Change)+" of changing over to "+m.setupOf(t.Key)))
	}
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
			is[i] = shoot.ShotID(t.Keys[next])
			next++
		}
	}
	for _, mv := range t.Moves {
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

func (m *maker) mealLever(o *outlook, t pace.Lever, l *Lever) {
	meal := m.s.Floor.Meals[shoot.MealID(t.Key)]
	at := o.instant(t.At)
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
	if !shoot.MaySend(m.me.Role, "meal.set") {
		l.Take = l.Take.off("The producer moves meals.")
	}
}

// setupOf names the set-up of a shot.
func (m *maker) setupOf(key string) string {
	return m.s.Floor.Setups[m.s.Floor.Shots[shoot.ShotID(key)].Setup].Name
}

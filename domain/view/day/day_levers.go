package day

import (
	"reflect"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/pace"
	"fairday/domain/shoot"
	"fairday/domain/view"
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
	kinds, same := map[pace.LeverKind]int{}, map[string]bool{}
	var dear []Lever // at the price of another day: after all others
	for _, t := range m.pulled(o, r) {
		if kinds[t.Kind] == mostOfKind || len(out) == mostShown {
			continue
		}
		if l := m.lever(o, t, r); l.Take.Name != "" && !same[l.Key] {
			same[l.Key] = true
			kinds[t.Kind]++
			if l.dear {
				dear = append(dear, l)
				continue
			}
			out = append(out, l)
		}
	}
	return append(out, dear[:min(len(dear), mostShown-len(out))]...)
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
		if c.Currency == m.State.Money.Currency {
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
		shot := m.State.Floor.Shots[shoot.ShotID(t.Key)]
		l.Title, l.Costs = "Cut "+n, view.Sentence("shot "+shot.Number+" is lost: "+shot.Title+", "+view.Lower(view.Priority(shot.Priority)))
		l.Take = m.Action("Cut "+n, "shot.cut", view.Fields{"shot": t.Key})
		l.Undo = Undo{"Put " + n + " back", "shot.reset", view.Fields{"shot": t.Key, "was": shoot.Cut}.JSON()}
	case pace.LeverFallback:
		shot := m.State.Floor.Shots[shoot.ShotID(t.Key)]
		l.Title, l.Costs = "Make "+n+" by its fallback", view.Sentence("no shot is lost; made instead: "+shot.Fallback)
		l.Take = m.Action("Take the fallback", "shot.fallback", view.Fields{"shot": t.Key, "on": true})
		l.Undo = Undo{"Back to the first idea", "shot.fallback", view.Fields{"shot": t.Key, "on": false}.JSON()}
	case pace.LeverOrder, pace.LeverTogether:
		m.orderLever(o, t, &l)
	case pace.LeverMeal, pace.LeverShorter:
		m.mealLever(o, t, &l)
	case pace.LeverTwo, pace.LeverSetup:
		m.cutsLever(t, &l)
	case pace.LeverDay:
		m.dayLever(t, &l)
	}
	for _, p := range t.Price {
		l.Costs += " " + view.Sentence("shot "+m.number(p.Key)+" is "+view.Lasts(p.Minutes)+" late for it: "+m.reason(o, p.Why))
	}
	if len(t.Kept) > 0 {
		l.Why = append([]string{m.shotsOf(t.Kept, " is then made in time.", " are then made in time.")}, l.Why...)
	}
	l.Saves = savesSay(t)
	l.Say = "Done by " + m.Clock(o.by) + ": " + chance(t.After) + ". Without it: " + chance(t.Before) + "."
	if c, ok := m.dearest(r); ok {
		l.Money = savedSay(t, c.Currency)
	}
	return l
}

func savesSay(t pace.Lever) string {
	switch {
	case t.Saved50 < 0:
		return view.Lasts(-t.Saved50) + " later"
	case t.Saved50 > 0:
		return view.Lasts(t.Saved50) + " earlier"
	case t.Saved80 > 0:
		return view.Lasts(t.Saved80) + " earlier on a slow day"
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
		l.Why = append(l.Why, view.Sentence("it saves "+view.Lasts(t.Change)+" of changing over to "+m.setupOf(t.Key)))
	}
	all := m.Run(m.Day)
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
			why = append(why, m.reason(o, w))
		}
		if len(why) > 0 {
			say += ": " + view.List(why)
		}
		l.Why = append(l.Why, view.Sentence(say))
	}
	if t.Proven {
		l.Why = append(l.Why, "No order of what is left is better: every one was looked at.")
	}
	l.Take = m.Action("Take this order", "shot.order", view.Fields{"day": m.Day.ID, "order": is, "base": m.Day.OrderVersion})
	l.Undo = Undo{"Back to the order before", "shot.order", view.Fields{"day": m.Day.ID, "order": was, "base": m.Day.OrderVersion + 1}.JSON()}
}

func (m *maker) mealLever(o *outlook, t pace.Lever, l *Lever) {
	meal := m.State.Floor.Meals[shoot.MealID(t.Key)]
	at := o.instant(t.At)
	date, c := m.At.Local(at)
	if date == m.Day.Date.Add(1) {
		c += 24 * 60
	}
	if l.Title = meal.Name + " at " + m.Clock(at); t.Kind == pace.LeverShorter {
		l.Title = meal.Name + " in " + view.Lasts(t.Minutes)
		l.Why = append(l.Why, "It is planned at "+view.Lasts(int64(meal.Minutes))+". Ask the crew first: what they are owed for a short meal is in their terms.")
		l.Take = m.Action("Shorten "+view.Lower(meal.Name), "meal.set", m.mealArgs(meal, meal.At, int(t.Minutes), meal.Version))
		l.Undo = Undo{meal.Name + " back to " + view.Lasts(int64(meal.Minutes)), "meal.set", m.mealArgs(meal, meal.At, meal.Minutes, meal.Version+1).JSON()}
	} else {
		l.Why = append(l.Why, "It is planned at "+meal.At.String()+". Tell the caterer before you move it.")
		l.Take = m.Action("Move "+view.Lower(meal.Name), "meal.set", m.mealArgs(meal, c, meal.Minutes, meal.Version))
		l.Undo = Undo{meal.Name + " back to " + meal.At.String(), "meal.set", m.mealArgs(meal, meal.At, meal.Minutes, meal.Version+1).JSON()}
	}
	if !shoot.MaySend(m.Me.Role, "meal.set") {
		l.Take = l.Take.Off("The producer moves meals.")
	}
}

func (m *maker) mealArgs(meal shoot.Meal, at when.Clock, minutes, base int) view.Fields {
	return view.Fields{"id": meal.ID, "day": meal.Day, "name": meal.Name, "at": at, "minutes": minutes, "margin": meal.Margin, "base": base}
}

// reason says why in words.
func (m *maker) reason(o *outlook, r pace.Reason) string {
	return r.Text(func(minute int64) string { return m.Clock(o.instant(minute)) }, func(key string) string { return "shot " + m.number(key) })
}

// shotsOf says something of one shot or of several.
func (m *maker) shotsOf(keys []string, one, several string) string {
	var numbers []string
	for _, k := range keys {
		numbers = append(numbers, m.number(k))
	}
	if len(numbers) == 1 {
		return "Shot " + numbers[0] + one
	}
	return "Shots " + view.List(numbers) + several
}

// cutsLever leaves several shots out.
func (m *maker) cutsLever(t pace.Lever, l *Lever) {
	l.Title = "Cut two shots together"
	if t.Kind == pace.LeverSetup {
		l.Title = "Drop " + m.State.Floor.Setups[shoot.SetupID(t.Key)].Name
	}
	l.Key += " " + view.List(t.Out)
	l.Costs = m.shotsOf(t.Out, " is lost.", " are lost.")
	l.Take = m.Action("Cut "+view.Lower(m.shotsOf(t.Out, "", "")), "shots.cut", view.Fields{"shots": t.Out})
	l.Undo = Undo{"Put them back", "shots.back", view.Fields{"shots": t.Out}.JSON()}
}

// back are the edits that go back to how it was before the last change of the order
// or of a meal, and that take back cuts and fallbacks. They come from the shoot itself,
// so they are there on every phone and after a restart.
func (m *maker) back(o *outlook) (out []view.Action) {
	var was []shoot.ShotID
	if m.Day.OrderVersion > 0 && (len(m.Day.OrderWas) > 0 || m.Day.OrderVersion == 1) { // the first was as the plan numbers them
		for _, shot := range m.Run(shoot.Day{ID: m.Day.ID, Order: m.Day.OrderWas}) {
			was = append(was, shot.ID)
		}
	}
	if len(was) > 0 {
		out = append(out, m.Action("Back to the order before", "shot.order", view.Fields{"day": m.Day.ID, "order": was, "base": m.Day.OrderVersion}))
	}
	for _, shot := range m.Run(m.Day) {
		n := "shot " + shot.Number
		switch key := string(shot.ID); {
		case shot.Progress == shoot.Cut:
			out = append(out, m.Action("Put "+n+" back", "shot.reset", view.Fields{"shot": key, "was": shoot.Cut}))
		case shot.OnFallback && shot.Progress == shoot.Planned:
			out = append(out, m.Action("Back to the first idea of "+n, "shot.fallback", view.Fields{"shot": key, "on": false}))
		}
	}
	for _, p := range o.plan.Meals {
		meal := m.State.Floor.Meals[shoot.MealID(p.Key)]
		if b := meal.Before; b != nil && meal.Service == shoot.MealPlanned && shoot.MaySend(m.Me.Role, "meal.set") {
			out = append(out, m.Action(meal.Name+" back to "+b.At.String()+", "+view.Lasts(int64(b.Minutes)), "meal.set", m.mealArgs(meal, b.At, b.Minutes, meal.Version)))
		}
	}
	return out
}

// setupOf names the set-up of a shot.
func (m *maker) setupOf(key string) string {
	return m.State.Floor.Setups[m.State.Floor.Shots[shoot.ShotID(key)].Setup].Name
}

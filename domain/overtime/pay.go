package overtime

import (
	"fmt"
	"slices"

	"fairday/domain/money"
	"fairday/domain/when"
)

// Kind is what a line of pay is for.
type Kind string

// The kinds.
const (
	KindFee        Kind = "fee"          // the rate itself
	KindRun        Kind = "run"          // what a sixth or seventh day adds to the rate
	KindTime       Kind = "time"         // straight time by the hour
	KindOvertime   Kind = "overtime"     // time beyond what is included, or in a band
	KindExtra      Kind = "extra"        // what a band adds to time that a minimum call pays already
	KindEarly      Kind = "early"        // time before the rest was over
	KindNight      Kind = "night"        // what the night adds
	KindMeal       Kind = "meal-penalty" // a meal that came late or not at all
	KindTurnaround Kind = "rest-penalty" // missed rest before the day
	KindAgency     Kind = "agency"       // the agency's fee
	KindOnCost     Kind = "on-cost"      // what the employer pays on top
	KindUsage      Kind = "usage"        // the use of pictures
	KindExpense    Kind = "expense"      // kit, mileage, per diem
)

// Line is one line of pay. Minutes are those paid for: where time is counted in
// steps there may be more of them than lie between From and To, and where a
// meal lies between there are fewer.
type Line struct {
	Kind    Kind         `json:"kind"`
	From    when.Instant `json:"from"`
	To      when.Instant `json:"to"`
	Minutes int64        `json:"minutes"`
	Times   money.Ratio  `json:"times,omitzero"` // the hourly base, or the share; not for fees and penalties
	Amount  money.Amount `json:"amount"`
	Why     string       `json:"why"`
}

// Slip is the pay for one day. Total is the sum of the lines; Overtime and
// Penalty are the parts of it that are beyond the rate. Costs are what the
// production pays on top to others; Exposed is Overtime and Penalty with the
// costs on them.
type Slip struct {
	Lines    []Line       `json:"lines"`
	Total    money.Amount `json:"total"`
	Overtime money.Amount `json:"overtime"`
	Penalty  money.Amount `json:"penalty"`
	Worked   int64        `json:"worked"` // minutes, with those a late call is credited
	Costs    []Line       `json:"costs,omitempty"`
	Cost     money.Amount `json:"cost"` // Total and Costs
	Exposed  money.Amount `json:"exposed"`
}

// Sum adds up the lines of some kinds, costs with them.
func (s Slip) Sum(kinds ...Kind) (money.Amount, error) {
	out := money.Of(0, s.Total.Currency)
	for _, lines := range [][]Line{s.Lines, s.Costs} {
		for _, l := range lines {
			if !slices.Contains(kinds, l.Kind) {
				continue
			}
			var err error
			if out, err = out.Add(l.Amount); err != nil {
				return out, err
			}
		}
	}
	return out, nil
}

// EndedOn is what is carried to the day after: the most that a minute was paid at,
// 1 where there was no overtime. A band that falls again takes nothing from it.
func (s Slip) EndedOn() money.Ratio {
	out := money.Whole(1)
	for _, l := range s.Lines {
		times := l.Times
		switch l.Kind {
		case KindOvertime, KindTime, KindEarly:
		case KindExtra:
			times, _ = times.Add(money.Whole(1)) // at most ten, as bands are
		default:
			continue
		}
		if times.Cmp(out) > 0 {
			out = times
		}
	}
	return out
}

// Pay reckons the pay for hours that have ended. It returns an *Error for terms
// and hours that do not make sense, or one with a code of package money
// where a sum would not fit.
func Pay(t Terms, h Hours) (Slip, error) {
	s, err := newSheet(t, h, newClockCache())
	if err != nil {
		return Slip{}, err
	}
	if h.Out == 0 {
		return Slip{}, fail(CodeHoursOpen, "still on the clock; sign out first, or ask what it comes to at a given wrap")
	}
	return s.slip(s.day.out)
}

// PayWorked reckons the pay for so many minutes of work whenever they were, for
// bands that count the hours of a week. The lines have no instants. Rules that
// need to know when are left out.
func PayWorked(t Terms, worked int64) (Slip, error) {
	s := &sheet{tariff: tariff{Terms: t}, bands: t.Bands}
	if err := s.ready(); err != nil {
		return Slip{}, err
	}
	if worked < 0 || worked > longestBand {
		return Slip{}, fail(CodeHoursLong, "%s is not the work of a week; check the hours", when.Elapsed(worked))
	}
	s.Meal = MealRule{}
	slip, err := s.slip(worked)
	for i := range slip.Lines {
		slip.Lines[i].From, slip.Lines[i].To = 0, 0
	}
	return slip, err
}

// slip writes the lines for a wrap at minute w.
func (s *sheet) slip(w int64) (Slip, error) {
	c, err := s.cutAt(w)
	if err != nil {
		return Slip{}, err
	}
	zero := money.Of(0, s.Rate.Currency)
	out := Slip{Total: zero, Overtime: zero, Penalty: zero, Worked: c.worked}
	for _, write := range []func(*Slip) error{c.writeRest, c.writeFee, c.writeTiers, c.writeNights, c.writeMeals, c.writeExtras, c.writeCosts} {
		if err := write(&out); err != nil {
			return Slip{}, err
		}
	}
	return out, nil
}

// writeRest pays for rest that was missed before the day.
func (c *cut) writeRest(s *Slip) error {
	if c.missed > 0 {
		n := c.missedRest.periods(c.missed)
		amount, err := c.missedRest.cost(n)
		if err != nil {
			return err
		}
		err = s.add(Line{Kind: KindTurnaround, From: instant(c.d.start), To: instant(c.d.start), Minutes: c.missed, Amount: amount,
			Why: fmt.Sprintf("%s of %s rest missed, %d started × %d min: %s", when.Elapsed(c.missed), when.Elapsed(c.Turnaround.Rest), n, c.missedRest.every, c.missedRest.sum(n))})
		if err != nil {
			return err
		}
	}
	if c.early == 0 {
		return nil
	}
	worth, err := c.worth(c.sheet.early)
	if err != nil {
		return err
	}
	amount, err := worth.Of(c.early)
	if err != nil {
		return err
	}
	return s.add(Line{Kind: KindEarly, From: instant(c.d.start), To: instant(min(c.rested, c.w)), Minutes: c.early, Times: c.sheet.early, Amount: amount,
		Why: fmt.Sprintf("before %s rest were over: %s", when.Elapsed(c.Turnaround.Rest), c.product(c.early, c.sheet.early))})
}

// writeFee writes the line of the rate itself, and what the run of days adds.
func (c *cut) writeFee(s *Slip) error {
	if c.Basis == Hourly {
		return nil
	}
	l := Line{Kind: KindFee, From: instant(min(c.rested, c.w)), To: instant(c.w), Minutes: c.Included}
	half := c.isHalf()
	switch {
	case c.endless():
		l.Minutes = c.worked
	case half:
		l.Minutes = c.Half.UpTo
	case c.ordinary > c.Included:
		l.To = instant(c.reached(c.Included, false))
	}
	var more money.Amount
	var err error
	if l.Amount, more, err = c.fee(half); err == nil {
		l.Why = c.feeSays(half, c.Included)
		err = s.add(l)
	}
	if err != nil || more == (money.Amount{}) {
		return err
	}
	l.Kind, l.Amount = KindRun, more
	if l.Times, err = c.run.Sub(money.Whole(1)); err != nil {
		return err
	}
	l.Why = fmt.Sprintf("%s: %s × %s more", c.runs, s.Lines[len(s.Lines)-1].Amount.Format(), factor(l.Times))
	return s.add(l)
}

// isHalf tells whether the day is short enough for half of one.
func (c *cut) isHalf() bool { return c.Half.UpTo > 0 && c.ordinary <= c.Half.UpTo }

// fee is what the rate comes to for half a day or a whole one, and what the run of
// days adds to it, unset for nothing.
func (s *sheet) fee(half bool) (fee, more money.Amount, err error) {
	switch fee = s.Rate; {
	case half:
		fee, err = s.Rate.Times(s.Half.Share, money.HalfUp)
	case s.Days > 1:
		var upTo [2]money.Amount
		if upTo, err = s.dayOf(); err == nil {
			fee, err = upTo[1].Sub(upTo[0])
		}
	}
	if err != nil || s.run.Cmp(money.Whole(1)) <= 0 {
		return fee, more, err
	}
	times, err := s.run.Sub(money.Whole(1))
	if err == nil {
		more, err = fee.Times(times, money.HalfUp)
	}
	return fee, more, err
}

// feeSays is how the rate comes about, for so much included time.
func (s *sheet) feeSays(half bool, included int64) string {
	name := map[Basis]string{Day: "day rate", Hire: "hire", AllIn: "all-in"}[s.Basis]
	why := ""
	switch {
	case half:
		why = fmt.Sprintf("half a day, up to %s: %s × %s", when.Elapsed(s.Half.UpTo), s.Rate.Format(), factor(s.Half.Share))
	case s.Days > 1:
		why = name + s.dayOfSays() + s.guarantee()
	case s.other != "":
		why = s.other
	case s.endless():
		why = name + ", however long the day: " + s.Rate.Format()
	default:
		length := when.Elapsed(included)
		switch {
		case included < s.Included:
			length += " on the clock without a meal"
		case s.Inclusive > 0:
			length = when.Elapsed(included-s.Inclusive) + " and " + when.Elapsed(s.Inclusive) + " for the meal, on the clock"
		}
		why = name + " for " + length + ": " + s.Rate.Format() + s.guarantee()
	}
	return s.unnamed + why
}

// dayOf is what a rate for several days comes to before this day and with it. The
// parts of all the days add up to the rate.
func (s *sheet) dayOf() (upTo [2]money.Amount, err error) {
	for i := range upTo {
		r, err := money.NewRatio(s.before.Day-1+int64(i), s.Days)
		if err == nil {
			upTo[i], err = s.Rate.Times(r, money.HalfUp)
		}
		if err != nil {
			return upTo, err
		}
	}
	return upTo, nil
}

// dayOfSays is how this day's part of the rate comes about, once it is reckoned.
func (s *sheet) dayOfSays() string {
	upTo, _ := s.dayOf()
	rate, day, days := s.Rate.Format(), s.before.Day, s.Days
	why := fmt.Sprintf(", day %d of %d: %s × %d / %d = %s", day, days, rate, day, days, upTo[1].Format())
	if day > 1 {
		why += fmt.Sprintf(", less %s × %d / %d = %s", rate, day-1, days, upTo[0].Format())
	}
	return why
}

// writeTiers pays for time by the hour, tier by tier.
func (c *cut) writeTiers(s *Slip) error {
	over := max(c.ordinary-c.Included, 0)
	for i := range c.tiers {
		t := &c.tiers[i]
		n := c.minutes(t)
		if n == 0 {
			continue
		}
		amount, err := t.minute.Of(n)
		if err != nil {
			return err
		}
		l := Line{Kind: KindTime, Minutes: n, Times: t.times, Amount: amount, Why: c.why(t, n),
			From: instant(min(c.reached(t.from, true), c.w)),
			To:   instant(min(c.reached(t.from+n, false), c.w))}
		switch {
		case t.extra:
			l.Kind = KindExtra
		case c.premium(t):
			l.Kind = KindOvertime
		}
		if got := c.upTo(t) - c.Included; got+c.Included <= t.to && got != over && (!t.extra || c.Basis == Hourly) {
			l.Why += fmt.Sprintf(" (%s counted as %s)", when.Elapsed(over), when.Elapsed(got))
		}
		if err := s.add(l); err != nil {
			return err
		}
	}
	return nil
}

// inNight is how much is worked in a night.
func (c *cut) inNight(n night) int64 {
	if c.w <= n.from {
		return 0
	}
	return c.d.worked(min(c.w, n.to), c.MealPaid) - c.d.worked(n.from, c.MealPaid)
}

func (c *cut) writeNights(s *Slip) error {
	for _, n := range c.nights {
		mins := c.inNight(n)
		if mins == 0 {
			continue
		}
		worth, err := c.worth(n.Extra)
		if err != nil {
			return err
		}
		amount, err := worth.Of(mins)
		if err != nil {
			return err
		}
		if err := s.add(Line{Kind: KindNight, From: instant(n.from), To: instant(min(n.to, c.w)), Minutes: mins, Times: n.Extra, Amount: amount,
			Why: fmt.Sprintf("%s %s to %s: %s extra", n.name, n.From, n.To, c.product(mins, n.Extra))}); err != nil {
			return err
		}
	}
	return nil
}

func (c *cut) writeMeals(s *Slip) error {
	for _, m := range c.late(c.w) {
		l := Line{Kind: KindMeal, From: instant(m.due), To: instant(m.at), Minutes: m.at - m.due}
		var err error
		if c.Meal.Hour {
			l.Why = fmt.Sprintf("meal %d late by %s, once a day: %s", m.number, when.Elapsed(m.at-m.due), c.product(60, money.Whole(1)))
			l.Amount, err = c.hour()
		} else {
			n := c.lateMeal.periods(m.at - m.due)
			l.Why = fmt.Sprintf("meal %d late by %s, %d started × %d min: %s", m.number, when.Elapsed(m.at-m.due), n, c.lateMeal.every, c.lateMeal.sum(n))
			l.Amount, err = c.lateMeal.cost(n)
		}
		if err == nil {
			err = s.add(l)
		}
		if err != nil || c.Meal.Hour {
			return err
		}
	}
	return nil
}

// writeExtras writes the lines that are not for time; of agreed days the first has
// them.
func (c *cut) writeExtras(s *Slip) error {
	if c.later() {
		return nil
	}
	for _, e := range c.Usage {
		if err := s.addExtra(c, KindUsage, e); err != nil {
			return err
		}
	}
	for _, e := range c.Extras {
		if err := s.addExtra(c, KindExpense, e); err != nil {
			return err
		}
	}
	return nil
}

// later tells whether it is one of agreed days and not the first.
func (s *sheet) later() bool { return s.Days > 1 && s.before.Day > 1 }

func (s *Slip) addExtra(c *cut, kind Kind, e Extra) error {
	amount, err := e.whole()
	if err != nil {
		return err
	}
	l := Line{Kind: kind, From: instant(c.d.start), To: instant(c.d.start), Amount: amount, Why: e.Name + ": " + e.Amount.Format()}
	if e.Count > 1 {
		l.Why = fmt.Sprintf("%s: %d × %s", e.Name, e.Count, e.Amount.Format())
	}
	return s.add(l)
}

// whole is what all of it comes to.
func (e Extra) whole() (money.Amount, error) {
	return e.Amount.Times(money.Whole(max(e.Count, 1)), money.HalfUp)
}

// hour is what an hour at the base comes to.
func (r *tariff) hour() (money.Amount, error) {
	worth, err := r.worth(money.Whole(1))
	if err != nil {
		return money.Amount{}, err
	}
	return worth.Of(60)
}

// add puts a line on the slip and into its sums.
func (s *Slip) add(l Line) error {
	sums := []*money.Amount{&s.Total}
	switch l.Kind {
	case KindOvertime, KindExtra, KindEarly, KindNight:
		sums = append(sums, &s.Overtime)
	case KindMeal, KindTurnaround:
		sums = append(sums, &s.Penalty)
	}
	for _, sum := range sums {
		var err error
		if *sum, err = sum.Add(l.Amount); err != nil {
			return err
		}
	}
	s.Lines = append(s.Lines, l)
	return nil
}

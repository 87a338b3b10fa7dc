package overtime

import (
	"slices"

	"fairday/domain/money"
)

// Workweek is what the floors of one person's workweek stand on: seven days from
// a fixed hour (29 CFR 778.105), under one set of terms.
//
// Time is worked from the later of sign-in and call until the sign-out, in whole
// minutes as the clock reads them. A break is not worked; but one of up to 20
// minutes is, under federal law and New York's (29 CFR 785.18), and one of less
// than 30 minutes is in California (Wage Orders, section 11: an employee who is
// not relieved for 30 minutes is on duty). Breaks that touch are one. A break at
// the end of the day is never worked. What the terms count as worked, such as a
// late call, a paid meal, a step or a minimum call, does not matter here.
type Workweek struct {
	Law   Law
	Terms Terms
	Days  []Workday    // those with work that are known, in order; each of them is one workday
	Wage  money.Amount // the minimum wage by the hour; unset where it is not known
}

// Workday is a day of a Workweek. Its hours have ended, with every break as it was
// taken: where one has no end, the floors are not known. It counts as one workday however long after midnight it ends.
type Workday struct {
	Hours  Hours
	Of     int    // which day of the workweek it began on, 1 to 7
	Waived Waived // meals that were agreed to be left out, in California
	NoRest bool   // a rest period that was owed was not given, as somebody states, in California
}

// Earned is a day's pay taken apart as the regular rate needs it. Penalties, expenses
// (778.217), usage, the agency's fee and what is paid on top to others are no part
// of it. On a day that is no shoot day it goes by that day's own rate.
//
// A minute's straight rate is that of the contract: the hourly rate, the weighted
// base, or otherwise the higher of the base that is stated and the rate over the
// included time. Of pay at more than that, what lies above it is Premium where
//   - it is paid for hours over a threshold of the day or the week, or beyond the
//     included time, at whatever factor (FLSA 7(e)(5); 29 CFR 778.202);
//   - it is paid by the hour for a sixth or seventh day, a weekend or a holiday at
//     x1.5 or more (7(e)(6); 778.203).
//
// It goes by the rule that pays the most for the minute. What an hourly day is paid
// from its very start is paid for every hour and is no premium (778.108). All else is
// Differential: what a night adds (778.207(b)), what a fee is worth more on such a
// day, which is no premium by the hour (the same), and pay for an early call or a
// short rest, which is for the conditions of work (778.204(b)).
type Earned struct {
	Fee          money.Amount // the rate of the day, half of it on half a day, without Premium inside it
	Hourly       money.Amount // the straight part of time paid by the hour
	Minutes      int64        // of that time, as it was paid
	Rate         money.Ratio  // minor units a minute where the day is paid by the hour alone, 0 otherwise
	Differential money.Amount // beyond the straight rate, and part of the regular rate
	Premium      money.Amount // beyond the straight rate, left out of the regular rate and credited
	Inside       money.Amount // the part of Premium that a weighted rate has inside, for hours that were worked
}

// Take gives what a day earned.
func Take(t Terms, h Hours) (Earned, error) {
	s, err := closed(t, h)
	if err != nil {
		return Earned{}, err
	}
	c, err := s.cutAt(s.day.out)
	if err != nil {
		return Earned{}, err
	}
	e := earning{cut: c}
	e.x.currency = s.Rate.Currency
	if s.Basis != Hourly {
		e.fee()
	} else {
		e.out.Rate = e.base()
	}
	for i := range c.tiers {
		e.tier(&c.tiers[i])
	}
	if c.early > 0 {
		e.paid(c.early, c.sheet.early, money.Whole(1), false)
	}
	for _, n := range c.nights {
		e.out.Differential = e.x.sum(e.out.Differential, e.comesTo(c.inNight(n), n.Extra))
	}
	return e.out, e.x.err
}

// half3 is one and a half.
var half3 = money.Ratio{Num: 3, Den: 2}

// earning takes a day's pay apart.
type earning struct {
	*cut
	x   exact
	out Earned
}

// base is what a minute comes to at the hourly base, in minor units.
func (e *earning) base() money.Ratio {
	if e.endless() {
		return money.Ratio{}
	}
	return e.x.div(money.Whole(e.unit.Minor), e.per)
}

// straight is a minute's straight rate.
func (e *earning) straight() money.Ratio {
	out := e.base()
	if e.Base != (money.Amount{}) && e.Included > 0 {
		if by := e.x.div(money.Whole(e.Rate.Minor), money.Whole((e.sheet.Included-e.Inclusive)*max(e.Days, 1))); by.Cmp(out) > 0 {
			return by
		}
	}
	return out
}

// fee takes the rate of the day apart, and what the run of days adds to it.
func (e *earning) fee() {
	isHalf := e.isHalf()
	fee, more, err := e.cut.fee(isHalf)
	if err != nil {
		e.x.err = err
		return
	}
	e.out.Fee, e.out.Differential = fee, more
	if e.Divisor != ByWeighted || isHalf || e.Base != (money.Amount{}) {
		return
	}
	inside, from, times := money.Amount{}, int64(0), money.Whole(1)
	add := func(to int64) {
		if n := min(to, e.Included, e.worked-e.day.credit) - from; n > 0 && from > 0 && times.Cmp(money.Whole(1)) > 0 {
			inside = e.x.sum(inside, e.x.round(e.x.mul(e.x.mul(e.base(), e.x.sub(times, money.Whole(1))), money.Whole(n))))
		}
	}
	for _, b := range e.Bands { // those that the divisor was weighted by
		if !b.Elapsed {
			add(b.After)
			from, times = b.After, b.Times
		}
	}
	add(forever)
	e.out.Fee, e.out.Premium, e.out.Inside = e.x.less(e.out.Fee, inside), e.x.sum(e.out.Premium, inside), inside
}

// tier takes apart what a stretch of time was paid at.
func (e *earning) tier(t *tier) {
	n := e.minutes(t)
	if n == 0 {
		return
	}
	usual, qualifies := e.usual(), e.qualifies(t)
	if !t.extra {
		e.paid(n, t.times, usual, qualifies)
		return
	}
	e.beyond(e.comesTo(n, t.times), e.comesTo(n, e.x.sub(usual, money.Whole(1))), qualifies)
}

// qualifies tells whether what a tier pays above the usual is Premium. It goes by
// the rule that pays the most: what a day of the run pays for every hour of it is
// for the day.
func (e *earning) qualifies(t *tier) bool {
	switch {
	case t.source.rule == byRun:
		return e.run.Cmp(half3) >= 0
	case t.source.rule == byWorked && t.source.after == 0 && !slices.Equal(e.bands, e.Bands):
		return e.bands[0].Times.Cmp(half3) >= 0 // a band of the run from the start
	}
	return t.source.after > 0 || e.Included > 0
}

// usual is how many times the base every hour of an hourly day is paid at.
func (e *earning) usual() money.Ratio {
	if e.Basis == Hourly && len(e.Bands) > 0 && e.Bands[0].After == 0 && slices.Equal(e.bands, e.Bands) {
		return e.Bands[0].Times
	}
	return money.Whole(1)
}

// comesTo is what so many minutes come to at so many times the base.
func (e *earning) comesTo(n int64, times money.Ratio) money.Amount {
	return e.x.round(e.x.mul(e.x.mul(e.base(), times), money.Whole(n)))
}

// paid takes apart so many minutes at so many times the base.
func (e *earning) paid(n int64, times, usual money.Ratio, qualifies bool) {
	all := e.comesTo(n, times)
	plain := e.x.round(e.x.mul(e.straight(), money.Whole(n)))
	if plain.Minor > all.Minor {
		plain = all
	}
	e.out.Minutes += n
	e.out.Hourly = e.x.sum(e.out.Hourly, plain)
	e.beyond(e.x.less(all, plain), e.comesTo(n, e.x.sub(usual, money.Whole(1))), qualifies)
}

// beyond takes apart what was paid above the straight rate: what is usual is part
// of the regular rate.
func (e *earning) beyond(more, usual money.Amount, qualifies bool) {
	if usual.Minor > more.Minor || !qualifies {
		usual = more
	}
	e.out.Differential = e.x.sum(e.out.Differential, usual)
	e.out.Premium = e.x.sum(e.out.Premium, e.x.less(more, usual))
}

// exact reckons with fractions of minor units and keeps the first error.
type exact struct {
	currency money.Currency
	err      error
}

func (x *exact) take(r money.Ratio, err error) money.Ratio {
	if err != nil && x.err == nil {
		x.err = err
	}
	if x.err != nil {
		return money.Ratio{}
	}
	return r
}

func (x *exact) mul(a, b money.Ratio) money.Ratio { return x.take(a.Mul(b)) }
func (x *exact) div(a, b money.Ratio) money.Ratio { return x.take(a.Div(b)) }
func (x *exact) add(a, b money.Ratio) money.Ratio { return x.take(a.Add(b)) }
func (x *exact) sub(a, b money.Ratio) money.Ratio { return x.take(a.Sub(b)) }

// round is an amount of so many minor units, half of one up.
func (x *exact) round(r money.Ratio) money.Amount {
	a, err := money.Of(1, x.currency).Times(r, money.HalfUp)
	x.take(r, err)
	return a
}

func (x *exact) sum(amounts ...money.Amount) money.Amount {
	a, err := money.Sum(amounts...)
	x.take(money.Ratio{}, err)
	return money.Of(a.Minor, x.currency)
}

func (x *exact) less(a, b money.Amount) money.Amount {
	a, err := a.Sub(b)
	x.take(money.Ratio{}, err)
	return a
}

// atWork is a day in whole minutes as a law counts it: a break shorter than least
// is worked, unless the day ends with it. It has no credit for a late call.
func (h Hours) atWork(least int64) (day, int64, *Error) {
	d, bad := h.day(least)
	if bad != nil {
		return d, 0, bad
	}
	d = d.cutAt(d.out)
	return d, d.worked(d.out, false), nil
}

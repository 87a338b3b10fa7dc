package overtime_test

import (
	"math/big"
	"slices"
	"strings"

	"fairday/domain/overtime"
	"fairday/domain/when"
)

// A second reckoning of the floors of pay, minute by minute, written from the
// text of the laws by a hand that had not seen the first one. The contract's
// pay is taken from the lines of the slip; all else is counted here.
//
// Read in published copies of the text: 29 CFR 778.202(a), 778.203, 778.204(b) and
// 778.207(b); Labor Code 510(a), 512(a) and (b); 12 NYCRR 142-2.4, and 142-2.18 as a
// law firm quotes it. From memory: the rest of 29 CFR 778, 785.18; FLSA 7; 12 NYCRR
// 142-2.17; Wage Orders, sections 11 and 12; Brinker v. Superior Court (2012);
// Mendoza v. Nordstrom (2017); Ferra v. Loews (2021).

// ruled is what a law was found to ask for: minor units, exact.
type ruled struct{ least, extra, counted, credit *big.Rat }

// lawDay is one workday as the reckoning sees it.
type lawDay struct {
	of             int
	federal, state []bool // minute by minute from the start: at work, as either law has it
	spread         int64  // minutes from the start of work to the sign-out
	split          bool   // a break over an hour between two stretches of work
	rate           *big.Rat
	feeWith        *big.Rat // the fee with the premium that is inside a weighted one
	fee, hourly    *big.Rat
	differential   *big.Rat
	premium        *big.Rat
	penalty        *big.Rat // for meals
	paid           int64    // minutes of time that was paid by the hour
	byHour         bool
	covers         int64 // minutes that the fee pays for in California
	base           *big.Rat
	weighted       bool
	noRest         bool
}

func of(n int64) *big.Rat { return new(big.Rat).SetInt64(n) }

func sum(all ...*big.Rat) *big.Rat {
	out := new(big.Rat)
	for _, x := range all {
		out.Add(out, x)
	}
	return out
}

func mul(a, b *big.Rat) *big.Rat  { return new(big.Rat).Mul(a, b) }
func over(a, b *big.Rat) *big.Rat { return new(big.Rat).Quo(a, b) }

func count(at []bool) (n int64) {
	for _, yes := range at {
		if yes {
			n++
		}
	}
	return n
}

func minuteAt(i when.Instant) int64 { return int64(i) / 60_000 }

// onClock lists the minutes from the start of work until the sign-out, each with
// the length of the break it lies in, 0 for none.
func onClock(h overtime.Hours) []int64 {
	start, end := max(minuteAt(h.In), minuteAt(h.Call)), minuteAt(h.Out)
	if end <= start {
		return nil
	}
	away := make([]int64, end-start)
	for _, b := range h.Meals {
		for m := max(minuteAt(b.From), start); m < min(minuteAt(b.To), end); m++ {
			away[m-start] = 1
		}
	}
	for i := 0; i < len(away); i++ {
		if away[i] == 0 {
			continue
		}
		j := i
		for j < len(away) && away[j] != 0 {
			j++
		}
		for k := i; k < j; k++ {
			away[k] = int64(j - i)
		}
		i = j
	}
	return away
}

// attend fills in what the clock says of a day.
func (d *lawDay) attend(h overtime.Hours) {
	away := onClock(h)
	d.spread = int64(len(away))                  // until the sign-out: 142-2.18 has intervals off duty in it
	for len(away) > 0 && away[len(away)-1] > 0 { // no work followed
		away = away[:len(away)-1]
	}
	for _, gap := range away {
		d.federal = append(d.federal, gap <= 20) // 785.18
		d.state = append(d.state, gap < 30)      // not relieved for 30 minutes
		if gap > 60 && slices.Contains(d.federal, true) {
			d.split = true // 142-2.17
		}
	}
}

// straightMinute is what the contract pays for one minute without a premium.
func straightMinute(t overtime.Terms) *big.Rat {
	rate := of(t.Rate.Minor)
	switch {
	case t.Basis == overtime.Hourly:
		return over(rate, of(60))
	case t.Divisor == overtime.ByWeighted:
		weighted := new(big.Rat)
		for m := int64(0); m < t.Included; m++ {
			weighted.Add(weighted, bandAt(t, m))
		}
		return over(rate, weighted)
	}
	base := over(of(t.Base.Minor), of(60))
	if t.Included > 0 {
		if each := over(rate, of(t.Included*max(t.Days, 1))); each.Cmp(base) > 0 {
			return each
		}
	}
	return base
}

// bandAt is what the bands by worked time pay for the minute after so many.
func bandAt(t overtime.Terms, m int64) *big.Rat {
	out := of(1)
	for _, b := range t.Bands {
		if m >= b.After {
			out = big.NewRat(b.Times.Num, b.Times.Den)
		}
	}
	return out
}

// past tells whether a minute is over a threshold of the day or of the week,
// FLSA 7(e)(5): extra pay for it is for overtime at whatever factor.
func past(t overtime.Terms, ofDay, ofWeek int64) bool {
	if t.Basis != overtime.Hourly {
		return true // whatever is paid beyond a fee is beyond its hours
	}
	for _, b := range t.Bands {
		if b.After > 0 && ofDay >= b.After {
			return true
		}
	}
	for _, b := range t.Week {
		if ofWeek >= b.After {
			return true
		}
	}
	return false
}

// earn takes the lines of a slip apart: straight pay, extra pay that FLSA 7(e)(5)
// and (6) leave out of the regular rate, and extra pay that stays in it.
func (d *lawDay) earn(t overtime.Terms, h overtime.Hours, s overtime.Slip) {
	half := big.NewRat(1, 2)
	straight := straightMinute(t)
	ofDay, ofWeek := int64(0), h.Before.Week
	d.fee, d.hourly, d.differential, d.premium, d.penalty = of(0), of(0), of(0), of(0), of(0)
	for _, l := range s.Lines {
		amount := of(l.Amount.Minor)
		factor := big.NewRat(l.Times.Num, max(l.Times.Den, 1))
		switch l.Kind {
		case overtime.KindFee:
			d.fee.Add(d.fee, amount)
		case overtime.KindRun: // a lump sum beside the fee, whatever the hours: 778.207(b)
			d.differential.Add(d.differential, amount)
		case overtime.KindTime, overtime.KindOvertime, overtime.KindEarly:
			plain := mul(straight, of(l.Minutes))
			if l.Kind == overtime.KindTime || plain.Cmp(amount) > 0 {
				plain = amount
			}
			d.hourly.Add(d.hourly, plain)
			d.paid += l.Minutes
			more := new(big.Rat).Sub(amount, plain)
			if l.Kind != overtime.KindEarly { // what every hour is paid is no premium (778.108)
				usual := mul(mul(straight, of(l.Minutes)), new(big.Rat).Sub(fromStart(t), of(1)))
				if usual.Cmp(more) > 0 {
					usual = more
				}
				d.differential.Add(d.differential, usual)
				more = new(big.Rat).Sub(more, usual)
			}
			left := int64(0)
			for range l.Minutes {
				excluded := false // 778.204(b): what is paid for want of rest is no overtime premium
				if l.Kind != overtime.KindEarly {
					excluded = factor.Cmp(big.NewRat(3, 2)) >= 0 || // 7(e)(6)
						!byTheDay(l) && past(t, ofDay, ofWeek)
					ofDay++
				}
				ofWeek++
				if excluded {
					left++
				}
			}
			if l.Minutes > 0 {
				premium := mul(more, big.NewRat(left, l.Minutes))
				d.premium.Add(d.premium, premium)
				d.differential.Add(d.differential, more.Sub(more, premium))
			}
		case overtime.KindExtra: // 7(e)(5) in the week, otherwise 7(e)(6)
			if strings.Contains(l.Why, "in the week") || factor.Cmp(half) >= 0 {
				d.premium.Add(d.premium, amount)
			} else {
				d.differential.Add(d.differential, amount)
			}
		case overtime.KindNight: // 778.207(b); certain hours alone, 778.204(b)
			d.differential.Add(d.differential, amount)
		case overtime.KindMeal:
			d.penalty.Add(d.penalty, amount)
		}
	}
	d.feeWith = sum(d.fee)
	d.inside(t, h, straight)
}

// byTheDay tells whether it is the run of days, a weekend or a holiday that pays
// most for a line: then every hour of that day is paid as much, and none of it
// is for long hours (778.203(b)).
func byTheDay(l overtime.Line) bool {
	for _, day := range []string{"sixth day", "seventh day", "Saturday", "Sunday", "holiday"} {
		if strings.HasPrefix(l.Why, day) {
			return true
		}
	}
	return false
}

// fromStart is what an hourly day is paid at from its first minute.
func fromStart(t overtime.Terms) *big.Rat {
	if t.Basis == overtime.Hourly {
		return bandAt(t, 0)
	}
	return of(1)
}

// inside moves the premium that a weighted rate holds, for minutes that were
// worked, from the fee.
func (d *lawDay) inside(t overtime.Terms, h overtime.Hours, straight *big.Rat) {
	if t.Divisor != overtime.ByWeighted {
		return
	}
	worked := int64(0)
	away := onClock(h)
	for i, gap := range away {
		tail := gap > 0 && i+int(gap) >= len(away) && allAway(away[i:])
		if gap == 0 || t.MealPaid || gap < t.MealLeast && !tail {
			worked++
		}
	}
	if t.Half.UpTo > 0 && worked <= t.Half.UpTo {
		return
	}
	for m := int64(0); m < min(worked, t.Included); m++ {
		more := mul(straight, new(big.Rat).Sub(bandAt(t, m), of(1)))
		d.fee.Sub(d.fee, more)
		d.premium.Add(d.premium, more)
	}
}

func allAway(away []int64) bool {
	for _, gap := range away {
		if gap == 0 {
			return false
		}
	}
	return true
}

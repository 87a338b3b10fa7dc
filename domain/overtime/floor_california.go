package overtime

import (
	"fmt"

	"fairday/domain/money"
	"fairday/domain/when"
)

// footing is what the regular rate of California stands on for one day, by that
// day's own rate.
type footing struct {
	base     money.Ratio // by the minute
	over     int64       // minutes that the fee is for; 0 where time is paid by the hour
	weighted bool
}

// footing reads the terms of a day.
func (k *week) footing(i int) (f footing) {
	day := tariff{Terms: k.Terms}
	if kind := k.Days[i].Hours.Kind; kind != "" {
		k.x.take(f.base, day.onDay(kind))
	}
	t := &day.Terms
	if t.Basis == Hourly {
		f.base = k.earned[i].Rate
		return f
	}
	if f.over = min(t.Included, 8*60); f.over == 0 {
		f.over = 8 * 60
	}
	f.base = k.x.div(money.Whole(t.Rate.Minor), money.Whole(f.over*max(t.Days, 1)))
	switch {
	case t.Base != money.Amount{}:
		if stated := k.x.div(money.Whole(t.Base.Minor), money.Whole(60)); stated.Cmp(f.base) > 0 {
			f.base = stated
		}
	case t.Divisor == ByWeighted:
		r := day
		k.x.take(f.base, r.ready())
		f.base, f.over, f.weighted = k.x.div(money.Whole(t.Rate.Minor), r.per), t.Included, true
	}
	if t.Half.UpTo > 0 {
		if half, err := k.isHalf(i); half {
			f.over = min(f.over, t.Half.UpTo)
		} else {
			k.x.take(f.base, err)
		}
	}
	return f
}

// regular gives the regular rate of California by the minute, B and d as Pay has
// them, and the footing of each day.
func (k *week) regular() (b, d money.Ratio, each []footing) {
	var sum money.Amount
	for i, e := range k.earned {
		f := k.footing(i)
		each = append(each, f)
		b = k.x.add(b, k.of(f.base, k.worked[i]))
		sum = k.x.sum(sum, e.Differential)
	}
	if k.local > 0 {
		b = k.x.div(b, money.Whole(k.local))
		d = k.x.div(money.Whole(sum.Minor), money.Whole(k.local))
	}
	return b, d, each
}

// california is the floors of each day.
func (k *week) california() (out []Floor) {
	b, d, each := k.regular()
	r := k.x.add(b, d)
	week, every := int64(0), len(k.Days) == 7
	for _, n := range k.worked {
		every = every && n > 0
	}
	for i, n := range k.worked {
		one := min(n, 480)
		more, double := min(n-one, 240), max(n-720, 0)
		if every && i == 6 {
			one, more, double = 0, one, more+double
		} else if late := max(one-max(40*60-week, 0), 0); late > 0 {
			one, more = one-late, more+late
		}
		week += one
		f := k.day(i, one, more, double, b, d, each[i])
		f.Law, f.Day, f.Source, f.Reads, f.Leaves = "California overtime", i, "California Labor Code 510", readsCalifornia, leavesCalifornia
		if every && i == 6 {
			f.Law += ", seventh day"
		}
		f.Say = "regular rate " + k.hour(r) + " an hour: " + parts(one, more, double)
		out = append(out, f, k.meals(i, r), k.rest(i, r))
	}
	return out
}

// parts writes hours and their factors; those of none are left out.
func parts(one, more, double int64) (out string) {
	for i, n := range [...]int64{one, more, double} {
		if n > 0 || (i == 0 && more+double == 0) {
			if out != "" {
				out += ", "
			}
			out += when.Elapsed(n) + " × " + [...]string{"1", "1.5", "2"}[i]
		}
	}
	return out
}

// day is what the minutes of a day come to: straight ones first, then those at x1.5
// and those at x2.
func (k *week) day(i int, one, more, double int64, b, d money.Ratio, own footing) (f Floor) {
	e := &k.earned[i]
	fee := k.x.sum(e.Fee, e.Inside)
	plain := own.base
	if own.over > 0 && !own.weighted {
		plain = k.x.div(money.Whole(fee.Minor), money.Whole(own.over))
	}
	left := min(one, own.over)
	covered := k.of(plain, left)
	others := k.of(own.base, one-left)
	left = own.over - left
	var extra money.Ratio
	for j, n := range [...]int64{more, double} {
		half := money.Ratio{Num: int64(j) + 1, Den: 2} // of the rate, on top of it
		in, at := min(n, left), k.x.add(b, k.x.mul(b, half))
		left -= in
		covered = k.x.add(covered, k.of(at, in))
		others = k.x.add(others, k.x.add(k.of(at, n-in), k.of(k.x.mul(d, half), n)))
		extra = k.x.add(extra, k.of(k.x.add(at, k.x.add(d, k.x.mul(d, half))), n))
	}
	if whole := money.Whole(fee.Minor); whole.Cmp(covered) > 0 {
		covered = whole
	}
	paid := e.Hourly
	if !e.Rate.IsZero() {
		paid = k.x.round(k.of(e.Rate, min(e.Minutes, k.worked[i])))
	}
	f.Least = k.x.sum(k.x.round(k.x.add(covered, others)), e.Differential)
	f.Extra, f.Credit = k.x.round(extra), e.Premium
	f.Counted = k.x.sum(e.Fee, paid, e.Differential, e.Premium)
	return f
}

// isHalf tells whether the contract paid half a day.
func (k *week) isHalf(i int) (bool, error) {
	s, err := closed(k.Terms, k.Days[i].Hours)
	if err != nil {
		return false, err
	}
	c, err := s.cutAt(s.day.out)
	return err == nil && c.isHalf(), err
}

// meals is the premium for a meal that did not come.
func (k *week) meals(i int, r money.Ratio) Floor {
	f := Floor{Law: "California meal premium", Day: i, Source: "California Labor Code 512 and 226.7; Brinker v. Superior Court (2012)", Leaves: leavesMeals, Reads: readsMeals}
	h := k.Days[i].Hours
	missed := ""
	if k.Law == LawCaliforniaPictures {
		f.Source = "California Wage Order 12 section 11 and Labor Code 226.7"
		missed = missedPicture(h)
	} else {
		missed = missedGeneral(h, k.Days[i].Waived)
	}
	f.Least, f.Extra, f.Counted, f.Credit = k.x.sum(), k.x.sum(), k.x.sum(), k.x.sum()
	if missed == "" {
		f.Say = "every meal that was owed came in time" + k.Days[i].Waived.say()
		return f
	}
	f.Least = k.x.round(k.of(r, 60))
	f.Extra = f.Least
	if slip, err := Pay(k.Terms, h); err == nil {
		if a, err := slip.Sum(KindMeal); err == nil {
			f.Counted = k.x.sum(a)
		}
	}
	f.Say = fmt.Sprintf("%s: one more hour at the regular rate of %s, once a day%s", missed, k.hour(r), k.Days[i].Waived.say())
	return f
}

// rest is the premium for a rest period that was not given.
func (k *week) rest(i int, r money.Ratio) Floor {
	f := Floor{Law: "California rest premium", Day: i, Source: "California Labor Code 226.7; Wage Orders, section 12", Leaves: []string{"rest periods that nobody states as not given"},
		Least: k.x.sum(), Extra: k.x.sum(), Counted: k.x.sum(), Credit: k.x.sum(), Say: "nobody has stated that a rest period was not given"}
	if k.Days[i].NoRest {
		f.Least = k.x.round(k.of(r, 60))
		f.Extra, f.Say = f.Least, "a rest period was not given, as stated: one more hour at the regular rate of "+k.hour(r)+", once a day"
	}
	return f
}

package overtime

import (
	"fmt"
	"strings"

	"fairday/domain/money"
	"fairday/domain/when"
)

// tariff is terms made ready to reckon with.
type tariff struct {
	Terms
	unit       money.Amount // what so many weighted minutes are worth
	per        money.Ratio  // those minutes
	other      string       // how the rate comes about, on a day that is no shoot day
	unnamed    string       // what is said before the rate, on such a day that the terms do not name
	lateMeal   schedule
	missedRest schedule
}

// forever is more minutes than anybody works.
const forever = 1 << 31

// ready checks the terms and works out the base.
func (r *tariff) ready() error {
	t := &r.Terms
	if err := t.check(); err != nil {
		return err
	}
	r.unit, r.per = t.Rate, money.Whole(t.Included)
	var err error
	switch {
	case t.endless():
	case t.Basis == Hourly:
		r.per = money.Whole(60)
	case t.Base != money.Amount{}:
		r.unit, r.per = t.Base, money.Whole(60)
	case t.Divisor == ByWeighted:
		r.per, err = t.weighted()
	}
	if t.Inclusive > 0 {
		r.MealPaid, r.Included = true, t.Included+t.Inclusive
	}
	if err == nil && t.Base == (money.Amount{}) && t.Days > 1 {
		r.per, err = r.per.Mul(money.Whole(t.Days))
	}
	if err == nil {
		r.lateMeal, err = newSchedule(t.Meal.Every, t.Meal.Amounts)
	}
	if err == nil {
		r.missedRest, err = newSchedule(t.Turnaround.Every, t.Turnaround.Amounts)
	}
	return err
}

// weighted is the included minutes, each as often as its band pays it.
func (t *Terms) weighted() (money.Ratio, error) {
	var sum money.Ratio
	from, times := int64(0), money.Whole(1)
	add := func(to int64) error {
		part, err := times.Mul(money.Whole(max(min(to, t.Included)-from, 0)))
		if err == nil {
			sum, err = sum.Add(part)
		}
		return err
	}
	for _, b := range t.Bands {
		if b.Elapsed {
			continue
		}
		if err := add(b.After); err != nil {
			return sum, err
		}
		from, times = b.After, b.Times
	}
	return sum, add(forever)
}

// worth is what a minute is worth at so many times the base.
func (r *tariff) worth(times money.Ratio) (money.Piece, error) {
	perMinute, err := times.Div(r.per)
	if err != nil {
		return money.Piece{}, err
	}
	return r.unit.Per(perMinute), nil
}

// counted is how many minutes of overtime are paid for so many worked.
func (t *Terms) counted(over int64) int64 {
	n := int64(0)
	switch s := t.Step; {
	case over <= t.Grace:
		return 0
	case s <= 1:
		n = over
	case t.StepRule == StepNearest:
		n = (2*over + s) / (2 * s) * s
	default:
		n = (over + s - 1) / s * s
	}
	return max(n, t.First)
}

// same is for how many more minutes of work counted is known to give the answer
// it gives now.
func (t *Terms) same(over int64) int64 {
	switch s := t.Step; {
	case over < t.Grace:
		return t.Grace - over
	case over == t.Grace:
		return 0
	case over < t.First-s: // well before what the steps say
		return t.First - s - over
	case s <= 1 || over <= t.First:
		return 0
	case t.StepRule == StepNearest:
		return (2*over+s)/(2*s)*s + s - s/2 - 1 - over
	default:
		return (over+s-1)/s*s - over
	}
}

// product says in words what so many minutes come to.
func (r *tariff) product(minutes int64, times money.Ratio) string {
	return when.Elapsed(minutes) + " × " + r.base() + " × " + factor(times)
}

// base says in words what an hour is worth.
func (r *tariff) base() string {
	if r.Basis == Hourly || r.Base != (money.Amount{}) {
		return r.unit.Format() + " an hour"
	}
	return r.unit.Format() + " / " + r.hours()
}

// hours is what a rate is divided by.
func (r *tariff) hours() string {
	hours, err := r.per.Div(money.Whole(60))
	if err != nil {
		return "its hours"
	}
	return factor(hours) + " h"
}

// factor writes a fraction that has no decimals in brackets.
func factor(r money.Ratio) string {
	if s := r.String(); strings.Contains(s, "/") {
		return "(" + s + ")"
	} else {
		return s
	}
}

// guarantee says how a weighted divisor comes about: (8 h + 2 h × 1.5 = 11 h).
func (r *tariff) guarantee() string {
	if r.Divisor != ByWeighted {
		return ""
	}
	var parts []string
	from, times := int64(0), money.Whole(1)
	add := func(to int64) {
		if to = min(to, r.Included-r.Inclusive); to <= from {
			return
		}
		part := when.Elapsed(to - from)
		if times != money.Whole(1) {
			part += " × " + factor(times)
		}
		parts, from = append(parts, part), to
	}
	for _, b := range r.Bands {
		if !b.Elapsed {
			add(b.After)
			times = b.Times
		}
	}
	add(forever)
	days := ""
	if r.Days > 1 {
		days = fmt.Sprintf(", × %d days", r.Days)
	}
	return " (an hour is the rate / (" + strings.Join(parts, " + ") + ")" + days + " = " + r.hours() + ")"
}

// schedule is penalties by the started period.
type schedule struct {
	every   int64 // minutes
	amounts []money.Amount
	sums    []money.Amount // of the first, the first two ...
}

func newSchedule(every int64, amounts []money.Amount) (schedule, error) {
	out := schedule{every: every, amounts: amounts}
	total := money.Amount{}
	if len(amounts) > 0 {
		out.sums = make([]money.Amount, 0, len(amounts))
	}
	for _, a := range amounts {
		var err error
		if total, err = total.Add(a); err != nil {
			return out, err
		}
		out.sums = append(out.sums, total)
	}
	return out, nil
}

// periods is how many have been started after so many minutes.
func (s *schedule) periods(late int64) int64 { return (max(late, 0) + s.every - 1) / s.every }

// cost is what so many started periods, one or more, come to.
func (s *schedule) cost(periods int64) (money.Amount, error) {
	known := int64(len(s.sums))
	if periods <= known {
		return s.sums[periods-1], nil
	}
	rest, err := s.amounts[known-1].Times(money.Whole(periods-known), money.HalfUp)
	if err != nil {
		return rest, err
	}
	return s.sums[known-1].Add(rest)
}

// sum says in words what so many started periods, one or more, come to: each
// amount, and how often where it repeats.
func (s *schedule) sum(periods int64) string {
	out := ""
	for i := int64(0); i < periods; {
		k := min(int(i), len(s.amounts)-1)
		n := int64(1)
		for i+n < periods && s.amounts[min(int(i+n), len(s.amounts)-1)] == s.amounts[k] {
			n++
		}
		if out != "" {
			out += " + "
		}
		if n > 1 {
			out += fmt.Sprintf("%d × ", n)
		}
		out += s.amounts[k].Format()
		i += n
	}
	return out
}

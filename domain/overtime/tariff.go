package overtime

import (
	"fmt"

	"fairday/domain/money"
	"fairday/domain/when"
)

// tariff is terms made ready to reckon with.
type tariff struct {
	Terms
	unit  money.Amount // what so many weighted minutes are worth
	per   money.Ratio  // those minutes
	tiers []tier       // of the time beyond what is included, in order
	sums  []money.Amount
}

// tier is a stretch of worked time that is paid alike.
type tier struct {
	from, to  int64       // worked minutes
	times     money.Ratio // the hourly base
	perMinute money.Ratio // times over the minutes of the divisor
	premium   bool        // overtime, not straight time
}

// forever is more minutes than anybody works.
const forever = 1 << 31

// tariff checks the terms and works out the base and the tiers.
func (t Terms) tariff() (tariff, error) {
	if err := t.Validate(); err != nil {
		return tariff{}, err
	}
	r := tariff{Terms: t, unit: t.Rate, per: money.Whole(t.Included)}
	var err error
	switch {
	case t.endless():
		return r, r.sumMeals()
	case t.Basis == Hourly:
		r.per = money.Whole(60)
	case t.Base != money.Amount{}:
		r.unit, r.per = t.Base, money.Whole(60)
	case t.Divisor == ByWeighted:
		if r.per, err = t.weighted(); err != nil {
			return r, err
		}
	}
	for _, s := range t.paid() {
		if s.to <= t.Included {
			continue
		}
		s.from = max(s.from, t.Included)
		s.premium = s.premium || t.Basis != Hourly
		if s.perMinute, err = s.times.Div(r.per); err != nil {
			return r, err
		}
		r.tiers = append(r.tiers, s)
	}
	return r, r.sumMeals()
}

// paid cuts all worked time into tiers: once the base, then the bands.
func (t Terms) paid() []tier {
	out := []tier{{to: forever, times: money.Whole(1)}}
	for _, b := range t.Bands {
		out[len(out)-1].to = b.After
		out = append(out, tier{from: b.After, to: forever, times: b.Times, premium: true})
	}
	return out
}

// weighted is the included minutes, each as often as its band pays it.
func (t Terms) weighted() (money.Ratio, error) {
	var sum money.Ratio
	for _, s := range t.paid() {
		part, err := s.times.Mul(money.Whole(max(min(s.to, t.Included)-s.from, 0)))
		if err != nil {
			return sum, err
		}
		if sum, err = sum.Add(part); err != nil {
			return sum, err
		}
	}
	return sum, nil
}

// counted is how many minutes of overtime are paid for so many worked.
func (t Terms) counted(over int64) int64 {
	switch s := t.Step; {
	case over <= t.Grace:
		return 0
	case s <= 1:
		return over
	case t.StepRule == StepNearest:
		return (2*over + s) / (2 * s) * s
	default:
		return (over + s - 1) / s * s
	}
}

// nextCount is the first number of overtime minutes beyond over for which
// counted gives another answer.
func (t Terms) nextCount(over int64) int64 {
	if over <= t.Grace && t.counted(t.Grace+1) > 0 {
		return t.Grace + 1
	}
	s, o := t.Step, max(over, t.Grace)
	switch {
	case s <= 1:
		return o + 1
	case t.StepRule == StepNearest:
		return (2*o+s)/(2*s)*s + s - s/2
	default:
		return (o+s-1)/s*s + 1
	}
}

// amount is what a tier comes to when time up to a minute of work is paid.
func (r *tariff) amount(s tier, upTo int64) (money.Amount, error) {
	n := min(upTo, s.to) - s.from
	if n <= 0 {
		return money.Of(0, r.Rate.Currency), nil
	}
	share, err := s.perMinute.Mul(money.Whole(n))
	if err != nil {
		return money.Amount{}, err
	}
	return r.unit.Times(share, money.HalfUp)
}

// sumMeals adds the penalties up, period by period.
func (r *tariff) sumMeals() error {
	total := money.Of(0, r.Rate.Currency)
	for _, a := range r.Meal.Amounts {
		var err error
		if total, err = total.Add(a); err != nil {
			return err
		}
		r.sums = append(r.sums, total)
	}
	return nil
}

// penalty is what a meal so many minutes late costs, and its started periods.
func (r *tariff) penalty(late int64) (money.Amount, int64, error) {
	if late <= 0 {
		return money.Of(0, r.Rate.Currency), 0, nil
	}
	n := (late + r.Meal.Every - 1) / r.Meal.Every
	known := int64(len(r.sums))
	if n <= known {
		return r.sums[n-1], n, nil
	}
	rest, err := r.Meal.Amounts[known-1].Times(money.Whole(n-known), money.HalfUp)
	if err != nil {
		return rest, n, err
	}
	sum, err := r.sums[known-1].Add(rest)
	return sum, n, err
}

// meal is one that was due, and when it started or the day ended without it.
type meal struct {
	number  int
	due, at int64 // minutes
}

// late gives the meals that are late when the day ends at minute w.
func (r *tariff) late(d day, w int64) []meal {
	if r.Meal.IsZero() {
		return nil
	}
	var out []meal
	due := d.start + r.Meal.Due
	for i, m := range d.meals {
		if at := min(m.from, w); at > due {
			out = append(out, meal{i + 1, due, at})
		}
		if r.Meal.Next == 0 {
			return out
		}
		due = m.to + r.Meal.Next
	}
	if w > due {
		out = append(out, meal{len(d.meals) + 1, due, w})
	}
	return out
}

// base says in words what an hour is worth.
func (r *tariff) base() string {
	if r.Basis == Hourly || r.Base != (money.Amount{}) {
		return r.unit.Format() + " an hour"
	}
	hours, err := r.per.Div(money.Whole(60))
	if err != nil {
		return r.unit.Format()
	}
	return fmt.Sprintf("%s / %s h", r.unit.Format(), hours)
}

// why says in words how a tier is paid.
func (r *tariff) why(s tier) string {
	if s.from == 0 {
		return fmt.Sprintf("%s × %s", r.base(), s.times)
	}
	return fmt.Sprintf("after %s: %s × %s", when.Elapsed(s.from), r.base(), s.times)
}

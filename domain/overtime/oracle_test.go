package overtime

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"fairday/domain/money"
	"fairday/domain/when"
)

// oracle reckons a day the slow way: it walks the minutes of the day one by one
// with fractions of unlimited size, and shares no code with Pay.
type oracle struct{ total, overtime, penalty, worked int64 }

func slow(t Terms, h Hours) oracle {
	var o oracle
	var worth []*big.Rat // of each worked minute, in hourly bases
	var kinds []int      // and its band, 0 for none
	start, due, inMeal := max(h.In, h.Call)/when.Minute, int64(t.Meal.Due), false
	var started int64 // penalty periods since the meal fell due
	ruled := t.Meal.Every > 0
	for m := start; m < h.Out/when.Minute; m++ {
		meal := false
		for _, b := range h.Meals {
			meal = meal || (m >= b.From/when.Minute && m < b.To/when.Minute)
		}
		since := int64(m - start)
		switch {
		case meal && !inMeal:
			started = 0
		case !meal && inMeal:
			due = since + t.Meal.Next
			ruled = ruled && t.Meal.Next > 0
		}
		if ruled && !meal && since >= due && (since-due)%t.Meal.Every == 0 {
			o.penalty += t.Meal.Amounts[min(started, int64(len(t.Meal.Amounts))-1)].Minor
			started++
		}
		inMeal = meal
		if !meal || t.MealPaid {
			o.worked++
		}
	}
	value := func(minute int64) (*big.Rat, int) { // the minute after so many worked ones
		times, band := big.NewRat(1, 1), 0
		for i, b := range t.Bands {
			if minute >= b.After {
				times, band = big.NewRat(b.Times.Num, b.Times.Den), i+1
			}
		}
		return times, band
	}
	paid := t.Included + steps(t, max(o.worked-t.Included, 0))
	for m := t.Included; m < paid && !(t.Basis == AllIn && t.Included == 0); m++ {
		v, k := value(m)
		worth, kinds = append(worth, v), append(kinds, k)
	}
	base := big.NewRat(t.Rate.Minor, 60) // of a minute
	switch {
	case t.Base.Minor != 0:
		base = big.NewRat(t.Base.Minor, 60)
	case t.Divisor == ByWeighted:
		sum := new(big.Rat)
		for m := range t.Included {
			v, _ := value(m)
			sum.Add(sum, v)
		}
		base = new(big.Rat).Quo(big.NewRat(t.Rate.Minor, 1), sum)
	case t.Included > 0:
		base = big.NewRat(t.Rate.Minor, t.Included)
	}
	if t.Basis != Hourly {
		o.total = t.Rate.Minor
	}
	for band := range len(t.Bands) + 1 {
		sum := new(big.Rat)
		for i, v := range worth {
			if kinds[i] == band {
				sum.Add(sum, v)
			}
		}
		line := halfUp(sum.Mul(sum, base))
		o.total += line
		if band > 0 || t.Basis != Hourly {
			o.overtime += line
		}
	}
	o.total += o.penalty
	return o
}

func steps(t Terms, over int64) int64 {
	if over <= t.Grace {
		return 0
	}
	step, n := max(t.Step, 1), int64(0)
	for n+step <= over {
		n += step
	}
	if rest := over - n; rest > 0 && (t.StepRule != StepNearest || rest*2 >= step) {
		n += step
	}
	return n
}

func halfUp(r *big.Rat) int64 {
	r.Add(r, big.NewRat(1, 2))
	return new(big.Int).Div(r.Num(), r.Denom()).Int64()
}

func pick[T any](r *rand.Rand, from ...T) T { return from[r.IntN(len(from))] }

// anyTerms makes up terms of every kind.
func anyTerms(t *testing.T, r *rand.Rand) Terms {
	out := Terms{Basis: pick(r, Day, Day, AllIn, Hire, Hourly), Rate: usd(r.Int64N(300_000) + 1), MealPaid: r.IntN(3) == 0}
	if out.Basis == AllIn && r.IntN(2) == 0 {
		return out
	}
	if out.Basis != Hourly {
		out.Included = pick[int64](r, 240, 480, 540, 600, 605, 720)
		out.Grace = pick[int64](r, 0, 0, 7, 15)
	}
	out.Step = pick[int64](r, 0, 1, 6, 15, 30, 60)
	if out.Step > 1 {
		out.StepRule = pick(r, "", StepUp, StepNearest)
	}
	after := pick(r, 0, 300, 480, 600, 601)
	for range r.IntN(4) {
		out.Bands = append(out.Bands, bands(t, after, pick(r, "1", "1.25", "1.5", "2", "4/3", "3"))...)
		after += pick(r, 1, 60, 120, 240)
	}
	switch {
	case out.Basis == Hourly:
	case r.IntN(4) == 0:
		out.Base = usd(r.Int64N(20_000) + 1)
	case len(out.Bands) > 0 && out.Bands[0].After < out.Included:
		out.Divisor = pick(r, "", ByIncluded, ByWeighted)
	}
	if out.Basis != Hire && r.IntN(2) == 0 {
		out.Meal = MealRule{Due: pick[int64](r, 240, 300, 360), Next: pick[int64](r, 0, 300, 360), Every: pick[int64](r, 6, 30)}
		for range 1 + r.IntN(3) {
			out.Meal.Amounts = append(out.Meal.Amounts, usd(pick[int64](r, 0, 250, 850, 2500)))
		}
	}
	return out
}

// anyHours makes up hours with up to three meals, not all on the whole minute.
func anyHours(r *rand.Rand) Hours {
	moment := func(mins int) when.Instant { return at(mins) + when.Instant(r.IntN(60_000)) }
	now := r.IntN(240)
	h := Hours{In: moment(now)}
	if r.IntN(2) == 0 {
		h.Call = at(now + r.IntN(120) - 60)
	}
	for range r.IntN(4) {
		from := now + 1 + r.IntN(420)
		now = from + 1 + r.IntN(90)
		h.Meals = append(h.Meals, Break{moment(from), moment(now)})
	}
	h.Out = moment(now + r.IntN(600))
	if h.Out < h.Call {
		h.Out = h.Call
	}
	if n := len(h.Meals); n > 0 && h.Out < h.Meals[n-1].To {
		h.Out = h.Meals[n-1].To
	}
	return h
}

func TestPayAgreesWithOracle(t *testing.T) {
	days := 6000
	if testing.Short() {
		days = 600
	}
	for seed := range days {
		r := rand.New(rand.NewPCG(uint64(seed), 1))
		terms, h := anyTerms(t, r), anyHours(r)
		s, err := Pay(terms, h)
		if err != nil {
			t.Fatalf("seed %d: %v for %+v %+v", seed, err, terms, h)
		}
		if got, want := (oracle{s.Total.Minor, s.Overtime.Minor, s.Penalty.Minor, s.Worked}), slow(terms, h); got != want {
			t.Fatalf("seed %d: %+v, want %+v\nfor %+v\n%+v", seed, got, want, terms, h)
		}
		checkLines(t, s, h)
	}
}

// checkLines holds every slip to what a reader may rely on: lines add up, lie
// within the hours, and time lines follow on from each other.
func checkLines(t *testing.T, s Slip, h Hours) {
	t.Helper()
	sum, last := money.Amount{}, max(h.In, h.Call)/when.Minute*when.Minute
	for _, l := range s.Lines {
		var err error
		if sum, err = sum.Add(l.Amount); err != nil {
			t.Fatal(err)
		}
		if l.From > l.To || l.To > h.Out || l.Why == "" {
			t.Fatalf("line %+v for %+v", l, h)
		}
		if l.Kind != KindMeal {
			if l.From < last {
				t.Fatalf("%+v starts before %d", l, last)
			}
			last = l.To
		}
	}
	if sum.Minor != s.Total.Minor {
		t.Fatalf("lines add up to %v, total %v", sum, s.Total)
	}
}

// More time on the clock and coarser steps never pay less.
func TestPayNeverFalls(t *testing.T) {
	for seed := range 120 {
		r := rand.New(rand.NewPCG(uint64(seed), 2))
		terms, h := anyTerms(t, r), anyHours(r)
		before := int64(0)
		for mins := range 30 * 60 {
			s, err := Pay(terms, h.open().Wrapped(at(mins)))
			if err != nil {
				t.Fatalf("seed %d: %v", seed, err)
			}
			if s.Total.Minor < before {
				t.Fatalf("seed %d: at minute %d pay fell from %d to %d", seed, mins, before, s.Total.Minor)
			}
			before = s.Total.Minor
		}
		if terms.Step > 1 && terms.StepRule != StepNearest {
			exact := terms
			exact.Step, exact.StepRule = 0, ""
			if a, b := pay(t, terms, h), pay(t, exact, h); a.Total.Minor < b.Total.Minor {
				t.Fatalf("seed %d: rounding up pays %v, less than %v", seed, a.Total, b.Total)
			}
		}
	}
}

// open takes the sign-out away.
func (h Hours) open() Hours {
	h.Out = 0
	return h
}

// Signing out and back in is a break: worked time does not care what the pause
// was called, nor how many there are of the same length in all.
func TestPausesAddUp(t *testing.T) {
	terms := dayTerms(t)
	one := pay(t, terms, Hours{In: at(0), Out: at(840), Meals: []Break{{at(300), at(360)}}})
	two := pay(t, terms, Hours{In: at(0), Out: at(840), Meals: []Break{{at(200), at(230)}, {at(300), at(330)}}})
	if one.Total != two.Total || one.Worked != 780 {
		t.Error(one.Total, two.Total, one.Worked)
	}
}

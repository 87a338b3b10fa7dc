package overtime

import (
	"encoding/json"
	"errors"
	"math/rand/v2"
	"reflect"
	"testing"

	"fairday/domain/money"
	"fairday/domain/when"
)

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
		if l.From > l.To || l.To > h.Out || l.Why == "" || l.Amount.Currency != s.Total.Currency {
			t.Fatalf("line %+v for %+v", l, h)
		}
		if l.Kind == KindFee || l.Kind == KindTime || l.Kind == KindOvertime || l.Kind == KindEarly {
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
	for seed := range 16 {
		r := rand.New(rand.NewPCG(uint64(seed), 2))
		terms := anyTerms(t, r)
		h := anyHours(r, terms).onDay()
		before := int64(0)
		for mins := range 30 * 60 {
			s, err := Pay(terms, h.open().Wrapped(at(mins)))
			if err != nil {
				t.Fatalf("seed %d: %v", seed, err)
			}
			if s.Total.Minor < before {
				t.Fatalf("seed %d: at minute %d pay fell from %d to %d for %+v %+v", seed, mins, before, s.Total.Minor, terms, h)
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

// However a break is cut up, by signing out and back in while at lunch, say, it is
// the same break, as long as no piece is too short to be one.
func TestBreakInPieces(t *testing.T) {
	for seed := range 500 {
		r := rand.New(rand.NewPCG(uint64(seed), 6))
		terms := anyTerms(t, r)
		terms.MealLeast = 0
		h := anyHours(r, terms)
		whole := pay(t, terms, h)
		var pieces []Break
		for _, m := range h.Meals {
			middle := m.From + (m.To-m.From)/2
			pieces = append(pieces, Break{m.From, middle}, Break{middle, m.To})
		}
		h.Meals = pieces
		if cut := pay(t, terms, h); cut.Total != whole.Total || cut.Worked != whole.Worked || cut.Exposed != whole.Exposed {
			t.Fatalf("seed %d: %v, whole %v for %+v %+v", seed, cut.Total, whole.Total, terms, h)
		}
	}
}

// Terms keep their meaning through JSON, and a slip stays the same.
func TestAnyTermsThroughJSON(t *testing.T) {
	for seed := range 300 {
		r := rand.New(rand.NewPCG(uint64(seed), 7))
		terms := anyTerms(t, r)
		h := anyHours(r, terms)
		var back struct {
			Terms Terms
			Hours Hours
		}
		b, err := json.Marshal(map[string]any{"Terms": terms, "Hours": h})
		if err == nil {
			err = json.Unmarshal(b, &back)
		}
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(pay(t, back.Terms, back.Hours), pay(t, terms, h)) {
			t.Fatalf("seed %d: %s", seed, b)
		}
	}
}

// Whatever somebody types, terms are reckoned or refused with a code, and every
// function says the same.
func TestNonsenseIsRefused(t *testing.T) {
	refused := map[string]bool{}
	for seed := range 4000 {
		r := rand.New(rand.NewPCG(uint64(seed), 8))
		terms := anyTerms(t, r)
		h := anyHours(r, terms)
		for range 1 + r.IntN(3) {
			spoil(r, &terms, &h)
		}
		wrong := terms.Validate()
		_, err := Pay(terms, h)
		_, also := Expose([]Engagement{{"p", "Person", terms, h, pick(r, 0, 0, h.Out+when.Instant(r.Int64N(1e9))), ""}}, at(0), at(60))
		_, third := Take(terms, h)
		for _, f := range (Workweek{Law: LawCalifornia, Terms: terms, Days: []Workday{{Hours: h, Of: 1}}}).Pay() {
			if third != nil && f.Known() {
				t.Fatalf("seed %d: %v, and %s is known", seed, third, f.Law)
			}
		}
		tooMuch := errors.Is(wrong, &Error{Code: CodeAmount}) // which terms of old may name, and are reckoned with
		if wrong != nil && !tooMuch && !errors.Is(err, wrong) {
			t.Fatalf("seed %d: Validate says %v, Pay says %v", seed, wrong, err)
		}
		if err != nil && (also == nil || third == nil) && !errors.Is(err, &Error{Code: CodeHoursOpen}) {
			t.Fatalf("seed %d: Pay says %v, the others %v and %v", seed, err, also, third)
		}
		var e *Error
		for _, err := range []error{wrong, err, also, third} {
			switch {
			case errors.As(err, &e):
				refused[e.Code] = true
			case err != nil:
				t.Fatalf("seed %d: %v has no code", seed, err)
			}
		}
	}
	if len(refused) < 20 {
		t.Errorf("only %d codes came up", len(refused))
	}
}

// spoil puts nonsense somewhere.
func spoil(r *rand.Rand, t *Terms, h *Hours) {
	n := pick[int64](r, -1<<63, -600, -1, 0, 1, 7, 5000, 1<<40, 1<<63-1)
	odd := money.Ratio{Num: pick[int64](r, -3, 0, 1, 1<<62), Den: pick[int64](r, -2, 0, 1, 3, 1<<62)}
	where := []func(){
		func() { t.Basis = pick(r, Day, Hire, AllIn, Hourly, "weekly") },
		func() { t.Rate = money.Amount{Minor: n, Currency: pick[money.Currency](r, "USD", "GBP", "", "ABC")} },
		func() { t.Included = n }, func() { t.Days = n }, func() { t.MealLeast = n }, func() { t.Step = n }, func() { t.Grace = n },
		func() { t.Minimum = n }, func() { t.Divisor = pick(r, "", ByWeighted, ByIncluded, "daily") },
		func() { t.Base = usd(n) }, func() { t.Bands = append(t.Bands, Band{n, odd, r.IntN(2) == 0}) },
		func() { t.Week = append(t.Week, Band{n, odd, r.IntN(2) == 0}) }, func() { t.Meal.Due = n }, func() { t.Meal.Next = n }, func() { t.Meal.Every = n },
		func() { t.Meal.Hour = !t.Meal.Hour }, func() { t.Meal.Amounts = append(t.Meal.Amounts, usd(n)) },
		func() { t.Half = HalfDay{n, odd} }, func() { t.LateCall = LateCall{when.Clock(n), when.Clock(n + 60)} },
		func() { t.Turnaround.Rest = n }, func() { t.Turnaround.Times = odd }, func() { t.Turnaround.Every = n },
		func() { t.Turnaround.Carry = !t.Turnaround.Carry }, func() { t.Sixth.Times = odd }, func() { t.Seventh.Bands = []Band{{n, odd, false}} },
		func() { t.Night = Night{when.Clock(n), 360, odd} }, func() { t.Agency = Agency{odd, pick(r, "", AgencyOnFee, AgencyOnBoth)} },
		func() { t.OnCosts = append(t.OnCosts, OnCost{pick(r, "", "tax"), odd}) },
		func() { h.Zone = pick[when.Zone](r, "", "Local", "Moon/Base") }, func() { h.Before.Out = when.Instant(n) }, func() { h.Before.Run = int(n) },
		func() { h.Before.Week = n }, func() { h.Before.Day = n }, func() { h.Before.Times = odd },
		func() { h.In = when.Instant(n) }, func() { h.Call = when.Instant(n) }, func() { h.Out = when.Instant(n) },
		func() { h.Meals = append(h.Meals, Break{when.Instant(n), h.Out}) }, func() { h.Meals = append(h.Meals, Break{h.In, when.Instant(n)}) },
	}
	where[r.IntN(len(where))]()
}

package overtime

import (
	"math/rand/v2"
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
		if l.From > l.To || l.To > h.Out || l.Why == "" {
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

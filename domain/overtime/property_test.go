package overtime

import (
	"encoding/json"
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

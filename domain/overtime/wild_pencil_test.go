package overtime_test

import (
	"math/rand/v2"
	"testing"

	"fairday/domain/overtime"
	"fairday/domain/when"
)

// TestLinesOfWildTermsByPencil recomputes every line of slips on any terms from the
// line's own text.
func TestLinesOfWildTermsByPencil(t *testing.T) {
	slips, kinds := 0, map[overtime.Kind]int{}
	for seed := 0; slips < 4000; seed++ {
		r := rand.New(rand.NewPCG(uint64(seed), 33))
		terms := wildTerms(r)
		h := wildHours(r, terms)
		h = h.Wrapped(max(h.In, h.Call) + when.Instant(r.IntN(22*60))*when.Minute)
		slip, err := overtime.Pay(terms, h)
		if err != nil {
			continue
		}
		slips++
		for _, lines := range [][]overtime.Line{slip.Lines, slip.Costs} {
			for _, l := range lines {
				got, err := overtime.Follow(l)
				if err != nil || got != l.Amount.Minor {
					t.Errorf("seed %d: %s: %d by pencil, the line says %v: %v\n%q\n%s", seed, l.Kind, got, l.Amount, err, l.Why, tellDay(terms, h))
				}
				kinds[l.Kind]++
			}
		}
		if t.Failed() {
			return
		}
	}
	for _, k := range []overtime.Kind{overtime.KindFee, overtime.KindRun, overtime.KindTime, overtime.KindOvertime, overtime.KindExtra, overtime.KindEarly, overtime.KindNight,
		overtime.KindMeal, overtime.KindTurnaround, overtime.KindAgency, overtime.KindOnCost, overtime.KindUsage, overtime.KindExpense} {
		if kinds[k] < 20 {
			t.Errorf("only %d lines of %s", kinds[k], k)
		}
	}
}

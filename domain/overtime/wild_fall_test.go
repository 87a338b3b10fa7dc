package overtime_test

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"testing"

	"fairday/domain/overtime"
	"fairday/domain/when"
)

var wilds = flag.Int("wilds", 60, "how many days on terms drawn without regard for sense to search for a fall")

// TestNothingFallsOnWildTerms walks the wrap of days on any terms that Validate
// takes, minute by minute, over clock changes: nothing that is owed ever falls.
func TestNothingFallsOnWildTerms(t *testing.T) {
	refused, bad := 0, 0
	for seed := range *wilds {
		r := rand.New(rand.NewPCG(uint64(seed), 31))
		terms := wildTerms(r)
		h := wildHours(r, terms)
		next := anyOf(r, 0, max(h.In, h.Call)+when.Instant(600+r.IntN(1500))*when.Minute)
		said, ok := walk(terms, h, next)
		if !ok {
			refused++
			continue
		}
		if said != "" {
			t.Errorf("seed %d: %s\n%s", seed, said, tellDay(terms, h))
			if bad++; bad > 5 {
				return
			}
		}
	}
	if refused > *wilds/2 {
		t.Errorf("%d of %d days were refused", refused, *wilds)
	}
}

// walk says what falls first; ok is false where the day is refused.
func walk(terms overtime.Terms, h overtime.Hours, next when.Instant) (said string, ok bool) {
	start := max(h.In, h.Call)
	until := start + 22*when.Hour
	curves, err := overtime.Expose([]overtime.Engagement{{Key: "p", Label: "p", Terms: terms, Hours: h, Next: next}}, start, until)
	if err != nil {
		return "", false
	}
	for _, s := range curves[0].Steps {
		if s.Amount.Minor <= 0 {
			return fmt.Sprintf("the curve steps by %d", s.Amount.Minor), true
		}
	}
	var total, cost, exposed, before int64
	var last overtime.Slip
	for w := start; w <= until; w += when.Minute {
		s, err := overtime.Pay(terms, h.Wrapped(w))
		if err != nil {
			return err.Error(), true
		}
		at := curves[0].At(w).Minor
		if s.Total.Minor < total || s.Cost.Minor < cost || s.Exposed.Minor < exposed || at < before {
			return fmt.Sprintf("minute %d: total %d to %d, cost %d to %d, exposed %d to %d, curve %d to %d\n%+v\n%+v", (w-start)/when.Minute,
				total, s.Total.Minor, cost, s.Cost.Minor, exposed, s.Exposed.Minor, before, at, last.Lines, s.Lines), true
		}
		total, cost, exposed, before, last = s.Total.Minor, s.Cost.Minor, s.Exposed.Minor, at, s
	}
	return "", true
}

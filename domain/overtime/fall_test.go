package overtime

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"testing"

	"fairday/domain/money"
	"fairday/domain/when"
)

// searched is how many engagements are searched for a fall. The long run is
//
//	go test ./domain/overtime -run NothingFalls -falls 100000 -timeout 60m
var searched = flag.Int("falls", 300, "how many generated engagements to search for an amount that falls")

// sharpTerms makes up terms for which a fall is likely: pay so small that a line
// is worth a few minor units, factors close together, many thresholds within
// steps, and rules that count beyond the wrap.
func sharpTerms(t testing.TB, r *rand.Rand) Terms {
	t.Helper()
	for {
		out := anyTerms(t, r)
		if r.IntN(2) == 0 && out.Basis != AllIn {
			out.Rate.Minor = pick[int64](r, 1, 7, 60, 601, 1201, 5003)
			if out.Base.Minor != 0 {
				out.Base.Minor = pick[int64](r, 1, 11, 59, 61, 127)
			}
		}
		if out.endless() {
			if out.Validate() == nil {
				return out
			}
			continue
		}
		out.Step = pick[int64](r, 0, 6, 15, 30, 60, 60)
		out.StepRule = ""
		if out.Step > 1 {
			out.StepRule = pick(r, StepUp, StepNearest)
		}
		sharpBands := func(least int, elapsed bool) (b []Band) {
			after, times := int64(least), []money.Ratio{{Num: 1, Den: 1}, {Num: 10001, Den: 10000}, {Num: 11, Den: 10}, {Num: 3, Den: 2}, {Num: 301, Den: 200}, {Num: 2, Den: 1}}
			for i := 0; i < len(times); i++ {
				if r.IntN(3) > 0 {
					b = append(b, Band{After: after, Times: times[i], Elapsed: elapsed})
					after += 1 + r.Int64N(90)
				}
			}
			return b
		}
		near := int(out.Included) + r.IntN(90)
		if r.IntN(3) > 0 {
			out.Bands = sharpBands(r.IntN(near+1), r.IntN(4) > 0)
			if out.Divisor == ByWeighted {
				out.Divisor = ""
			}
		}
		if out.Basis != Hire {
			out.Week = nil
			if r.IntN(2) == 0 {
				out.Week = sharpBands(r.IntN(2900), false)
			}
			if out.Minimum = 0; out.Basis == Hourly {
				out.Minimum = pick[int64](r, 0, 30, 127, 240, 480)
			}
		}
		if out.Basis != Hire {
			out.MealLeast = pick[int64](r, 0, 20, 30, 45, 120)
		}
		if r.IntN(3) == 0 {
			out.LateCall = LateCall{540, 1020}
		}
		if r.IntN(3) == 0 {
			out.Agency = Agency{ratio(t, pick(r, "1", "0.2", "1/3")), pick(r, AgencyOnFee, AgencyOnOvertime, AgencyOnBoth)}
		}
		if out.Validate() == nil {
			return out
		}
	}
}

// sharpHours are hours still open, with breaks short and long, also such as touch.
func sharpHours(r *rand.Rand, t Terms) Hours {
	start := r.Int64N(300)
	h := Hours{In: at(int(start)), Call: at(int(start)), Zone: "UTC"}
	h.Before = Before{Run: 1 + r.IntN(8), Week: r.Int64N(3000), Day: 1 + r.Int64N(max(t.Days, 1)), Times: pick(r, money.Whole(1), money.Whole(2), money.Ratio{Num: 3, Den: 2})}
	if t.Turnaround.Rest > 0 {
		h.Before.Out = at(int(start - r.Int64N(900)))
	}
	now := int(start)
	if r.IntN(2) == 0 {
		now += max(int(t.Included)-60, 0)
	}
	for range r.IntN(6) {
		from := now + r.IntN(pick(r, 2, 60, 200))
		now = from + 1 + r.IntN(pick(r, 5, 31, 60, 130))
		h.Meals = append(h.Meals, Break{at(from), at(now)})
	}
	return h
}

// Nothing that anybody is shown falls as the wrap moves later, by a unit, for any
// terms that are taken: not the pay, nor its parts, nor what the production pays,
// nor the exposure with what it does to tomorrow.
func TestNothingFalls(t *testing.T) {
	falls := 0
	for seed := range *searched {
		r := rand.New(rand.NewPCG(uint64(seed), 11))
		terms := sharpTerms(t, r)
		h := sharpHours(r, terms)
		next := when.Instant(0)
		if r.IntN(2) == 0 {
			next = at(1000 + r.IntN(900))
		}
		if bad := falling(terms, h, next); bad != "" {
			falls++
			t.Errorf("seed %d: %s\nfor %+v\n%+v", seed, bad, terms, h)
		}
		if falls > 5 {
			t.FailNow()
		}
	}
}

// falling says what falls first, and where.
func falling(terms Terms, h Hours, next when.Instant) string {
	first := max(h.In, h.Call)
	curves, err := Expose([]Engagement{{Key: "p", Label: "Person", Terms: terms, Hours: h, Next: next}}, first, first+26*when.Hour)
	if err != nil {
		return err.Error()
	}
	for _, s := range curves[0].Steps {
		if s.Amount.Minor <= 0 {
			return fmt.Sprintf("the curve steps by %d at minute %d", s.Amount.Minor, (s.At-first)/when.Minute)
		}
	}
	var before [6]int64
	for w := first; w <= first+26*when.Hour; w += when.Minute {
		s, err := Pay(terms, h.Wrapped(w))
		if err != nil {
			return err.Error()
		}
		times := s.EndedOn()
		now := [6]int64{s.Total.Minor, s.Overtime.Minor, s.Penalty.Minor, s.Cost.Minor, s.Exposed.Minor, times.Num * 10_000 / times.Den}
		for i, name := range []string{"total", "overtime", "penalty", "cost", "exposed", "what is carried"} {
			if now[i] < before[i] {
				return fmt.Sprintf("%s falls from %d to %d at minute %d: %+v", name, before[i], now[i], (w-first)/when.Minute, s.Lines)
			}
		}
		before = now
	}
	return ""
}

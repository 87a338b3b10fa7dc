package overtime_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"fairday/domain/overtime"
	"fairday/domain/when"
)

// TestFloorsOfRestAgreeWithTheSecondReckoning holds every floor of rest against
// the reckoning by the minute.
func TestFloorsOfRestAgreeWithTheSecondReckoning(t *testing.T) {
	for n, law := range []overtime.Law{overtime.LawUK, overtime.LawUKYoung, overtime.LawEU} {
		t.Run(string(law), func(t *testing.T) {
			t.Parallel()
			r := rand.New(rand.NewPCG(21, uint64(n)))
			short, unknown := 0, 0
			for i := 0; i < *weeks && !t.Failed(); i++ {
				week, days := anyRests(r)
				want := restsOf(law, week, days)
				got := overtime.Rests(law, week, days)
				if len(got) != len(want) {
					t.Errorf("%d floors, want %d\n%s", len(got), len(want), tellRests(week, days))
				}
				for _, f := range got {
					w, ok := want[restKey{f.Law, f.Day}]
					delete(want, restKey{f.Law, f.Day})
					if !ok || f.Known() != w.known || w.known && *f.Rest != (overtime.Rest{Owed: w.owed, Had: w.had}) {
						t.Errorf("%s %d: %+v missing %q, by the minute %+v\n%s", f.Law, f.Day, f.Rest, f.Missing, w, tellRests(week, days))
					}
					if !f.Known() {
						unknown++
					} else if f.Rest.Short() {
						short++
					}
				}
			}
			t.Logf("%d weeks, %d rests too short, %d not known", *weeks, short, unknown)
			if short == 0 || unknown == 0 {
				t.Errorf("the weeks have no short rest (%d) or none that is not known (%d)", short, unknown)
			}
		})
	}
}

func tellRests(week when.Instant, days []overtime.Hours) string {
	var out strings.Builder
	for i, h := range days {
		fmt.Fprintf(&out, "day %d: in +%d out +%d;", i, began(h)-minuteAt(week), minuteAt(h.Out)-began(h))
		for _, b := range h.Meals {
			fmt.Fprintf(&out, " %d-%d", minuteAt(b.From)-began(h), minuteAt(b.To)-began(h))
		}
		out.WriteString("\n")
	}
	return out.String()
}

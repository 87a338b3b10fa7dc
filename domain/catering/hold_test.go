package catering

import (
	"strings"
	"testing"

	"fairday/domain/when"
)

// The limits at each edge, a minute before and after, for what is known and what is not:
// USDA two hours, one above 90 °F (fsis.usda.gov, "Danger Zone"); FDA Food Code 3-501.16
// (hot at 135 F or above, cold at 41 F or below) and 3-501.19 (four hours from either;
// six only from cold and never above 70 F).
func TestHolding(t *testing.T) {
	out := 1000 * when.Hour
	for _, c := range []struct {
		held  Hold
		air   Air
		mins  when.Instant
		state HoldState
		left  int64
		says  string
	}{
		{Hot, AirMild, 0, HoldFine, 240, "2 h left of 2 h"}, {Hot, AirMild, 90, HoldFine, 150, "30 min left of 2 h"},
		{Hot, AirMild, 91, HoldSoon, 149, "29 min left of 2 h"}, {Hot, AirMild, 119, HoldSoon, 121, "1 min left"},
		{Hot, AirMild, 120, HoldSoon, 120, "up to 4 h only where the caterer"}, {Hot, AirMild, 239, HoldSoon, 1, "written procedure"},
		{Hot, AirMild, 240, HoldOver, 0, "throw it away"}, {Hot, AirMild, 300, HoldOver, -60, "Out for 5 h, the limit is 4 h"},
		{Cold, AirMild, 239, HoldSoon, 1, ""}, {Cold, AirMild, 240, HoldOver, 0, ""},
		{ColdWatched, AirMild, 240, HoldSoon, 120, "up to 6 h"}, {ColdWatched, AirMild, 359, HoldSoon, 1, ""}, {ColdWatched, AirMild, 360, HoldOver, 0, ""},
		{Hot, AirHot, 30, HoldFine, 210, "left of 1 h"}, {Hot, AirHot, 31, HoldSoon, 209, "29 min left of 1 h"}, {Hot, AirHot, 60, HoldSoon, 180, "past 1 h"},
		{Hot, "", 59, HoldFine, 181, "left of 2 h"}, {Hot, "", 60, HoldSoon, 180, "not known how warm"}, {Hot, "", 119, HoldSoon, 121, "not known how warm"},
		{Hot, "", 120, HoldSoon, 120, "past 2 h"},
		{"", AirMild, 0, HoldUnknown, 120, "not known how it was kept"}, {"", AirMild, 90, HoldUnknown, 30, ""}, {"", AirMild, 91, HoldSoon, 29, ""},
		{"", AirMild, 119, HoldSoon, 1, ""}, {"", AirMild, 120, HoldOver, 0, "the limit is 2 h"},
		{"", AirHot, 59, HoldSoon, 1, ""}, {"", AirHot, 60, HoldOver, 0, "the limit is 1 h"},
		{"", "", 59, HoldUnknown, 61, ""}, {"", "", 60, HoldSoon, 60, "above 90 °F (32 °C) the limit of 1 h is past"}, {"", "", 120, HoldOver, 0, ""},
		{"lukewarm", AirMild, 0, HoldUnknown, 120, ""}, // what nobody knows is not known
		{Hot, AirMild, -5, HoldFine, 245, "Out for 0 min"},
	} {
		w := Holding(Standing{c.held, c.air, out}, out+c.mins*when.Minute)
		if w.State != c.state || w.Left != c.left || w.Until != out+(c.mins+when.Instant(c.left))*when.Minute || !strings.Contains(w.Text, c.says) {
			t.Errorf("%q, %q after %d min: %+v", c.held, c.air, c.mins, w)
		}
		if w.Source != sourceUSDA && w.Source != sourceFDA {
			t.Errorf("%q after %d min has no source", c.held, c.mins)
		}
	}
	for _, held := range append(Holds(), "") {
		if w := Holding(Standing{held, AirMild, 0}, out); w.State != HoldUnknown || w.Until != 0 || !strings.Contains(w.Text, "not known since when") {
			t.Errorf("%q since nobody knows when: %+v", held, w)
		}
	}
}

// Whatever is known, food never reads as fine past the stricter limit, nor where nobody
// knows how it was kept; and a warning never grows milder as time passes.
func TestHoldingNeverGrowsMilder(t *testing.T) {
	rank := map[HoldState]int{HoldFine: 0, HoldUnknown: 0, HoldSoon: 1, HoldOver: 2}
	for _, held := range append(Holds(), "") {
		for _, air := range append(Airs(), "") {
			last := 0
			for m := range when.Instant(500) {
				w := Holding(Standing{held, air, when.Hour}, when.Hour+m*when.Minute)
				strict := when.Instant(120)
				if air != AirMild {
					strict = 60
				}
				if w.State == HoldFine && (held == "" || m >= strict) || rank[w.State] < last {
					t.Fatalf("%q, %q after %d min: %+v", held, air, m, w)
				}
				last = rank[w.State]
			}
			if last != 2 {
				t.Errorf("%q, %q is never over", held, air)
			}
		}
	}
}

package sun

import (
	"testing"

	"fairday/domain/when"
)

// A night in Oslo touches two of the sun's days. Sunset 22:43:47 and the end of civil
// twilight 00:27:44 of 21 June 2023, and sunrise 03:53:49, are NOAA's solar calculator's
// (gml.noaa.gov/grad/solcalc); at the solstice the next sunrise is that of the day
// before within half a minute.
func TestNightShootKnowsTheNextSunrise(t *testing.T) {
	oslo := Place{59 + 55./60, 10 + 44./60}
	from, to := utc(t, "2023-06-21T20:00:00+02:00"), utc(t, "2023-06-22T06:00:00+02:00")
	days, err := Between(from, to, oslo)
	if err != nil || len(days) != 2 {
		t.Fatalf("%d days, %v", len(days), err)
	}
	for what, c := range map[string]struct {
		got  Crossing
		want string
		by   when.Instant
	}{
		"sunset":  {days[0].Set, "2023-06-21T22:43:47+02:00", 60},
		"dusk":    {days[0].Dusk, "2023-06-22T00:27:44+02:00", 60},
		"sunrise": {days[1].Rise, "2023-06-22T03:53:49+02:00", 90},
	} {
		if off := c.got.At - utc(t, c.want); c.got.Standing != Crosses || off > c.by*when.Second || off < -c.by*when.Second {
			t.Errorf("%s is off by %d s", what, off/when.Second)
		}
	}
	// A window to the east has that sunrise, one to the west the sunset before.
	_, in, err := Sky{Place: oslo}.Shines(from, to, []Window{{Bearing: 60, Width: 3, Head: 2.5, Depth: 2, Height: 1}, {Bearing: 310, Width: 3, Head: 2.5, Depth: 2, Height: 1}})
	if err != nil || len(in[0]) != 1 || len(in[1]) != 1 || in[0][0].From < days[1].Rise.At || in[1][0].To > days[0].Set.At {
		t.Errorf("%v, %v", in, err)
	}
}

// On each side of the date line, and in zones that stand hours off their sun, a date has
// the noon that its clocks say, and what it touches follows without a gap.
func TestDatesAtTheDateLine(t *testing.T) {
	for _, c := range []struct {
		zone  when.Zone
		place Place
	}{
		{"Pacific/Kiritimati", Place{1.87, -157.43}}, // 14 h ahead of UTC, west of the meridian of the date line
		{"Pacific/Honolulu", Place{21.31, -157.86}},  // the same longitude, a date behind
		{"Pacific/Apia", Place{-13.83, -171.77}},
		{"Pacific/Pago_Pago", Place{-14.28, -170.7}},
		{"Pacific/Chatham", Place{-43.95, -176.55}},
		{"Pacific/Fiji", Place{-16.8, 179.99}},
		{"Pacific/Fiji", Place{-16.8, -179.99}},
		{"Asia/Kamchatka", Place{53.02, 158.65}},
		{"America/Adak", Place{51.88, -176.66}},
		{"Asia/Shanghai", Place{39.47, 75.99}}, // noon after three
		{"Antarctica/McMurdo", Place{-77.85, 166.67}},
		{"Arctic/Longyearbyen", Place{78.22, 15.65}},
	} {
		for _, date := range []when.Date{"2026-01-01", "2026-03-20", "2026-06-21", "2026-12-31"} {
			d := dayOn(t, date, c.zone, c.place)
			local, clock, _ := c.zone.Local(d.Noon)
			if local != date || clock < 10*60 || clock > 15*60+30 {
				t.Errorf("%s %s: noon is on %s at %s", c.zone, date, local, clock)
			}
			from, _ := c.zone.At(date, 0)
			to, _ := c.zone.At(date, 36*60)
			days, err := Between(from, to, c.place)
			if err != nil || len(days) < 2 || days[0].From > from || days[len(days)-1].To < to {
				t.Errorf("%s %s: %d days, %v", c.zone, date, len(days), err)
			}
			for i, day := range days[1:] {
				if gap := day.From - days[i].To; gap < -1 || gap > 1 {
					t.Errorf("%s %s: %d ms between two days", c.zone, date, gap)
				}
			}
		}
	}
}

// Where the sun does not set, one stretch in a window to the north runs over the sun's
// own midnight; in the polar night there is none, and no error.
func TestSunOverMidnight(t *testing.T) {
	z, tromso := when.Zone("Europe/Oslo"), Place{69.65, 18.96}
	w := []Window{{Bearing: 0, Width: 3, Head: 2.4, Height: 1}}
	from, _ := z.At("2026-06-21", 12*60)
	to, _ := z.At("2026-06-21", 36*60)
	clear, in, err := Sky{Place: tromso}.Shines(from, to, w)
	if err != nil || len(in[0]) != 1 || len(clear) != 1 || clear[0] != (Stretch{from, to}) {
		t.Errorf("summer: %v clear, %v in the window, %v", clear, in, err)
	}
	from, _ = z.At("2026-12-21", 0)
	clear, in, err = Sky{Place: tromso}.Shines(from, from+36*when.Hour, w)
	if err != nil || clear != nil || in[0] != nil {
		t.Errorf("winter: %v clear, %v in the window, %v", clear, in, err)
	}
}

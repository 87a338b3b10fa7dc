package overtime

import (
	"slices"
	"testing"
	"time"

	"fairday/domain/money"
	"fairday/domain/when"
)

// changing are zones whose clocks change in unusual ways: by half an hour (Lord
// Howe), by two (Troll), at midnight (Gaza, Beirut, Havana, Sao Paulo, Asuncion),
// for a month (Casablanca), for good by half an hour (Caracas, Pyongyang), and over
// a whole day (Apia and Fakaofo skipped 2011-12-30; Kwajalein 1993-08-21, IANA tz
// database).
var changing = []when.Zone{"America/New_York", "Europe/London", "Australia/Lord_Howe", "Antarctica/Troll", "Asia/Gaza", "Asia/Beirut", "America/Havana",
	"America/Sao_Paulo", "America/Asuncion", "Africa/Casablanca", "America/Caracas", "Asia/Pyongyang", "Pacific/Apia", "Pacific/Fakaofo", "Pacific/Kwajalein",
	"America/St_Johns", "Asia/Kathmandu"}

// changes are the minutes at which the zone's clocks change, as Go's own copy of the
// tz database has them, from 2005 on; of Kwajalein the day it skipped.
func changes(t *testing.T, z when.Zone) (loc *time.Location, out []int64) {
	loc, err := time.LoadLocation(string(z))
	if err != nil {
		t.Skip("this machine has no tz database: ", err)
	}
	at := time.Date(2005, 1, 1, 0, 0, 0, 0, time.UTC)
	if z == "Pacific/Kwajalein" {
		at = time.Date(1993, 8, 1, 0, 0, 0, 0, time.UTC)
	}
	for at.Year() < 2028 {
		_, end := at.In(loc).ZoneBounds()
		if end.IsZero() {
			break
		}
		out, at = append(out, end.Unix()/60), end
	}
	return loc, append(out, time.Date(2026, 7, 1, 0, 0, 0, 0, time.UTC).Unix()/60)
}

// A window of the day is read on the wall clock, minute by minute, also on days on
// which the clocks change, with edges inside the changed hour.
func TestWindowsOnTheWall(t *testing.T) {
	windows := [][2]when.Clock{{22 * 60, 6 * 60}, {90, 150}, {150, 90}, {60, 120}, {120, 60}, {105, 115}, {1410, 30}, {0, 45}, {15, 0}, {1439, 1}, {600, 1000}}
	days := 0
	for _, z := range changing {
		loc, all := changes(t, z)
		for _, change := range all {
			for _, start := range []int64{change - 20*60, change - 30, change + 40} {
				k := newClockCache()
				wall := make([]int, longestDay)
				for i := range wall {
					at := time.Unix((start+int64(i))*60, 0).In(loc)
					wall[i] = at.Hour()*60 + at.Minute()
				}
				for _, w := range windows {
					spans, err := k.window(z, start, w[0], w[1])
					if err != nil {
						t.Fatal(err)
					}
					if again, _ := k.window(z, start, w[0], w[1]); !slices.Equal(again, spans) {
						t.Fatal("remembered otherwise")
					}
					for i := range wall {
						m := start + int64(i)
						got := slices.ContainsFunc(spans, func(s span) bool { return s.from <= m && m < s.to })
						if want := inWindow(wall[i], Night{From: w[0], To: w[1]}); got != want {
							t.Fatalf("%s, %s to %s: %v at %s, want %v: %v", z, w[0], w[1], got, time.Unix(m*60, 0).In(loc), want, spans)
						}
					}
					for i := 1; i < len(spans); i++ {
						if spans[i].from <= spans[i-1].to {
							t.Fatalf("%s: %v touch", z, spans)
						}
					}
				}
				days++
			}
		}
	}
	if days < 1000 {
		t.Errorf("only %d days were looked at", days)
	}
}

// Since when a clock reads a later time than another is found by walking back.
func TestClockSinceOnTheWall(t *testing.T) {
	for _, z := range changing {
		loc, all := changes(t, z)
		local := func(m int64) int64 { // minutes on the wall since 1970
			_, ahead := time.Unix(m*60, 0).In(loc).Zone()
			return m + int64(ahead/60)
		}
		for _, change := range all {
			for m := change - 100; m < change+200; m += 7 {
				for _, other := range []when.Clock{0, 15, 60, 90, 119, 120, 150, 180} {
					midnight := local(m) - local(m)%dayLong
					if local(m) <= midnight+int64(other) {
						continue
					}
					back := m
					for l := midnight + int64(other); local(back) != l && (local(back-1) >= l || local(back) < l); {
						back--
					}
					now, since, err := newClockCache().clock(z, m, other)
					if err != nil || int64(now) != local(m)%dayLong || since != back {
						t.Fatalf("%s at %s since %s: %d, want %d: %v", z, time.Unix(m*60, 0).In(loc), other, m-since, m-back, err)
					}
				}
			}
		}
	}
}

// Nights on days with a change, by hand (clock changes: IANA tz database). $60 an
// hour, half of it extra at night.
func TestNightsOverClockChanges(t *testing.T) {
	night := func(from, to when.Clock) Terms {
		return Terms{Basis: Hourly, Rate: usd(6000), Night: Night{from, to, money.Ratio{Num: 1, Den: 2}}}
	}
	for _, c := range []struct {
		say      string
		zone     when.Zone
		in       string
		hours    int
		from, to when.Clock
		want     []int64 // minutes of each night line
	}{
		{"New York goes back at 02:00: the night is an hour longer", "America/New_York", "2026-10-31T21:00:00-04:00", 12, 22 * 60, 6 * 60, []int64{9 * 60}},
		{"and goes forward: an hour shorter", "America/New_York", "2026-03-07T21:00:00-05:00", 12, 22 * 60, 6 * 60, []int64{7 * 60}},
		{"a night until 01:30 is passed twice", "America/New_York", "2026-10-31T21:00:00-04:00", 12, 22 * 60, 90, []int64{210, 30}},
		{"a night from 01:30 starts twice", "America/New_York", "2026-10-31T21:00:00-04:00", 12, 90, 6 * 60, []int64{30, 270}},
		{"a night from 02:30 starts as the clock jumps over it", "America/New_York", "2026-03-07T21:00:00-05:00", 12, 150, 6 * 60, []int64{180}},
		{"a night until 02:30 ends as it does", "America/New_York", "2026-03-07T21:00:00-05:00", 12, 22 * 60, 150, []int64{240}},
		{"Lord Howe goes back half an hour at 02:00", "Australia/Lord_Howe", "2026-04-04T21:00:00+11:00", 12, 22 * 60, 6 * 60, []int64{8*60 + 30}},
		{"Apia has no 30 December 2011: one night", "Pacific/Apia", "2011-12-29T20:00:00-10:00", 12, 22 * 60, 6 * 60, []int64{8 * 60}},
		{"Apia, two nights around a day in between", "Pacific/Apia", "2011-12-29T01:00:00-10:00", 30, 22 * 60, 6 * 60, []int64{5 * 60, 8 * 60}},
		{"Kwajalein has no 21 August 1993", "Pacific/Kwajalein", "1993-08-20T20:00:00-12:00", 12, 22 * 60, 6 * 60, []int64{8 * 60}},
	} {
		in, err := time.Parse(time.RFC3339, c.in)
		if err != nil {
			t.Fatal(err)
		}
		h := Hours{In: when.FromTime(in), Zone: c.zone}
		h.Out = h.In + when.Instant(c.hours)*when.Hour
		var got []int64
		for _, l := range pay(t, night(c.from, c.to), h).Lines {
			if l.Kind == KindNight {
				got = append(got, l.Minutes)
			}
		}
		same(t, c.say, got, c.want)
	}
}

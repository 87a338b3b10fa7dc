package when_test

import (
	"encoding/json"
	"testing"
	"time"

	"fairday/domain/when"
)

func at(t *testing.T, z when.Zone, d when.Date, clock string) when.Instant {
	t.Helper()
	c, err := when.ParseClock(clock)
	if err != nil {
		t.Fatal(err)
	}
	i, err := z.At(d, c)
	if err != nil {
		t.Fatal(err)
	}
	return i
}

func utc(t *testing.T, s string) when.Instant {
	t.Helper()
	v, err := time.Parse(time.RFC3339, s)
	if err != nil {
		t.Fatal(err)
	}
	return when.FromTime(v)
}

func TestWallClockToInstant(t *testing.T) {
	for _, c := range []struct {
		zone when.Zone
		date when.Date
		wall string
		want string
		why  string
	}{
		// RFC 5545, section 3.3.5, form 3: both New York examples.
		{"America/New_York", "2007-11-04", "01:30", "2007-11-04T05:30:00Z", "twice: the first, EDT"},
		{"America/New_York", "2007-03-11", "02:30", "2007-03-11T07:30:00Z", "in the gap: reads 03:30 EDT"},
		{"Europe/London", "2026-10-25", "01:30", "2026-10-25T00:30:00Z", "twice: the first, BST"},
		{"Europe/Berlin", "2026-03-29", "02:30", "2026-03-29T01:30:00Z", "in the gap"},
		{"America/New_York", "2026-10-31", "26:30", "2026-11-01T07:30:00Z", "past midnight, after the change: EST"},
		{"Pacific/Auckland", "2026-07-01", "00:05", "2026-06-30T12:05:00Z", "far east of UTC"},
	} {
		if got := at(t, c.zone, c.date, c.wall); got != utc(t, c.want) {
			t.Errorf("%s %s %s = %s, want %s (%s)", c.zone, c.date, c.wall, got.Time(), c.want, c.why)
		}
	}
}

// A night call on the evening clocks go back lasts as long as it lasts
// (transition times from the tz database: New York 2026-11-01T06:00Z).
func TestNightAcrossClockChange(t *testing.T) {
	ny := when.Zone("America/New_York")
	if got := when.Minutes(at(t, ny, "2026-10-31", "20:00"), at(t, ny, "2026-11-01", "06:00")); got != 11*60 {
		t.Errorf("back: %d min, want 11 h", got)
	}
	if got := when.Minutes(at(t, ny, "2026-03-07", "20:00"), at(t, ny, "2026-03-07", "30:00")); got != 9*60 {
		t.Errorf("forward: %d min, want 9 h", got)
	}
	for _, c := range []struct {
		zone when.Zone
		at   string
	}{
		{"America/New_York", "2026-03-08T07:00:00Z"}, {"America/New_York", "2026-11-01T06:00:00Z"},
		{"America/New_York", "2027-03-14T07:00:00Z"}, {"America/New_York", "2027-11-07T06:00:00Z"},
		{"Europe/London", "2026-03-29T01:00:00Z"}, {"Europe/Paris", "2026-10-25T01:00:00Z"},
		{"Europe/Berlin", "2027-03-28T01:00:00Z"}, {"Europe/London", "2027-10-31T01:00:00Z"},
	} {
		i := utc(t, c.at)
		_, before, _ := c.zone.Local(i - when.Minute)
		_, after, _ := c.zone.Local(i)
		if step := int(after) - int(before); step != 61 && step != -59 {
			t.Errorf("%s at %s: the wall clock moved %d minutes", c.zone, c.at, step)
		}
	}
}

func TestText(t *testing.T) {
	d := when.Date("2026-11-25")
	z := when.Zone("Europe/Lisbon")
	for clock, want := range map[string]string{"14:05": "14:05", "26:10": "02:10 +1"} {
		if got := z.ClockOn(d, at(t, z, d, clock)); got != want {
			t.Errorf("ClockOn(%s) = %q, want %q", clock, got, want)
		}
	}
	for mins, want := range map[int64]string{0: "0 min", 45: "45 min", 180: "3 h", 185: "3 h 05 min", -5: "−5 min"} {
		if got := when.Elapsed(mins); got != want {
			t.Errorf("Elapsed(%d) = %q, want %q", mins, got, want)
		}
	}
	if d.Weekday() != "Wednesday" || d.Add(6) != "2026-12-01" || d.Long() != "Wednesday 25 November 2026" {
		t.Errorf("date arithmetic: %s, %s, %s", d.Weekday(), d.Add(6), d.Long())
	}
	var c when.Clock
	if err := json.Unmarshal([]byte(`"07:05"`), &c); err != nil || c != 425 {
		t.Errorf("clock from JSON: %v, %v", c, err)
	}
	if b, err := json.Marshal(when.Clock(1575)); err != nil || string(b) != `"26:15"` {
		t.Errorf("clock to JSON: %s, %v", b, err)
	}
}

func TestRefused(t *testing.T) {
	for _, s := range []string{"", "7", "7:5", "25:60", "48:00", "-1:00", "aa:bb", "07:30:00", "123:00"} {
		if c, err := when.ParseClock(s); err == nil {
			t.Errorf("ParseClock(%q) = %v", s, c)
		}
	}
	for _, s := range []string{"", "2026-02-30", "25.11.2026", "26-1-1", "1900-01-01"} {
		if _, err := when.ParseDate(s); err == nil {
			t.Errorf("ParseDate(%q) passed", s)
		}
	}
	for _, z := range []when.Zone{"", "Local", "Mars/Base", "../etc/passwd"} {
		if err := z.Check(); err == nil {
			t.Errorf("zone %q passed", z)
		}
	}
	if _, err := json.Marshal(when.Clock(-1)); err == nil {
		t.Error("a negative clock was written")
	}
}

// Dates are read and written by hand; package time reads and writes the same, and
// refuses the same nonsense.
func TestDatesAgainstLayouts(t *testing.T) {
	const layout = "2006-01-02"
	for day := time.Date(1969, 12, 30, 0, 0, 0, 0, time.UTC); day.Year() < 2202; day = day.AddDate(0, 0, 1) {
		s := day.Format(layout)
		d := when.Date(s)
		if d.Valid() != (day.Year() >= 1970 && day.Year() <= 2200) || d.Add(1) != when.Date(day.AddDate(0, 0, 1).Format(layout)) ||
			d.Long() != day.Format("Monday 2 January 2006") || d.Weekday() != day.Weekday().String() {
			t.Fatal(s, d.Valid(), d.Add(1), d.Long())
		}
	}
	for _, s := range []string{"", "2026", "2026-02-29", "2026-13-01", "2026-00-10", "2026-01-00", "2026-1-1", "2026/01/01", "2026-01-01 ", "+026-01-01", "20 6-01-01",
		"2026-01-0\u0661", "2026-01-32", "0000-00-00", "２０２６-01-01"} {
		if _, err := time.Parse(layout, s); err == nil || when.Date(s).Valid() || when.Date(s).Add(1) != when.Date(s) || when.Date(s).Weekday() != "" || when.Date(s).Long() != s {
			t.Errorf("%q: %v, %v", s, err, when.Date(s).Valid())
		}
	}
}

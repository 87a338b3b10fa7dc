package when

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// Date is a calendar day without a zone, written as in ISO 8601: "2026-11-25".
type Date string

// ParseDate reads an ISO 8601 calendar date.
func ParseDate(s string) (Date, error) {
	t, err := Date(s).time()
	if err != nil || t.Year() < 1970 || t.Year() > 2200 {
		return "", fmt.Errorf("%q is not a date; write it as year-month-day, like 2026-11-25", s)
	}
	return Date(s), nil
}

var errDate = errors.New("not a date")

// time is midnight UTC of the date. It is read by hand: the layouts of package time
// are a twentieth of what a phone has to load before it shows anything.
func (d Date) time() (time.Time, error) {
	n := [3]int{}
	if len(d) != len("2006-01-02") {
		return time.Time{}, errDate
	}
	for i, part := range [...]string{string(d[:4]), string(d[5:7]), string(d[8:])} {
		for _, c := range []byte(part) {
			if c < '0' || c > '9' {
				return time.Time{}, errDate
			}
			n[i] = n[i]*10 + int(c-'0')
		}
	}
	t := time.Date(n[0], time.Month(n[1]), n[2], 0, 0, 0, 0, time.UTC)
	if d[4] != '-' || d[7] != '-' || n[1] == 0 || n[2] == 0 || int(t.Month()) != n[1] || t.Day() != n[2] {
		return time.Time{}, errDate
	}
	return t, nil
}

// dateOf is the date that a time reads.
func dateOf(t time.Time) Date {
	y, m, d := t.Date()
	b := []byte("0000-00-00")
	for _, p := range [...]struct{ at, n int }{{3, y}, {6, int(m)}, {9, d}} {
		for i := p.at; p.n > 0 && i >= 0; i-- {
			b[i] = byte('0' + p.n%10)
			p.n /= 10
		}
	}
	return Date(b)
}

// Valid tells whether the date is one.
func (d Date) Valid() bool { _, err := ParseDate(string(d)); return err == nil }

// Add gives the date some days later (earlier when negative). An invalid date
// stays as it is.
func (d Date) Add(days int) Date {
	t, err := d.time()
	if err != nil {
		return d
	}
	return dateOf(t.AddDate(0, 0, days))
}

// Weekday is the English name of the day, or "" for an invalid date.
func (d Date) Weekday() string {
	t, err := d.time()
	if err != nil {
		return ""
	}
	return t.Weekday().String()
}

// Long writes the date for people: "Wednesday 25 November 2026".
func (d Date) Long() string {
	t, err := d.time()
	if err != nil {
		return string(d)
	}
	return t.Weekday().String() + " " + strconv.Itoa(t.Day()) + " " + t.Month().String() + " " + strconv.Itoa(t.Year())
}

// Clock is a wall-clock time in minutes after local midnight of a shoot's date,
// 0 to 2879: 24:00 and later is the morning after, so that a night shoot has one
// date. Its text and JSON form is "07:30" or "26:15".
type Clock int

// MaxClock is the last minute a Clock can name, 47:59.
const MaxClock Clock = 48*60 - 1

// ParseClock reads "07:30" or, for the morning after, "26:15".
func ParseClock(s string) (Clock, error) {
	bad := fmt.Errorf("%q is not a time of day; write hours and minutes, like 07:30 (26:15 is a quarter past two the next morning)", s)
	hs, ms, ok := strings.Cut(s, ":")
	if !ok || len(hs) < 1 || len(hs) > 2 || len(ms) != 2 {
		return 0, bad
	}
	h, err := strconv.ParseUint(hs, 10, 8)
	if err != nil {
		return 0, bad
	}
	m, err := strconv.ParseUint(ms, 10, 8)
	if err != nil || m > 59 || h > 47 {
		return 0, bad
	}
	return Clock(h*60 + m), nil
}

// Valid tells whether the clock lies within its two days.
func (c Clock) Valid() bool { return c >= 0 && c <= MaxClock }

// String writes "07:30" or "26:15".
func (c Clock) String() string { return fmt.Sprintf("%02d:%02d", int(c)/60, int(c)%60) }

// MarshalText writes the clock as String does.
func (c Clock) MarshalText() ([]byte, error) {
	if !c.Valid() {
		return nil, fmt.Errorf("clock of %d minutes is out of range", int(c))
	}
	return []byte(c.String()), nil
}

// UnmarshalText reads what MarshalText writes.
func (c *Clock) UnmarshalText(b []byte) error {
	v, err := ParseClock(string(b))
	if err != nil {
		return err
	}
	*c = v
	return nil
}

// Zone is the IANA name of a time zone, like "America/New_York".
type Zone string

// ErrZone says that a zone's name is not in the tz database.
var ErrZone = errors.New("unknown time zone")

func (z Zone) location() (*time.Location, error) {
	// The empty name and "Local" would mean the machine's own setting, which
	// differs from phone to phone.
	if z == "" || z == "Local" {
		return nil, fmt.Errorf("%w %q; use a name like Europe/Lisbon", ErrZone, string(z))
	}
	loc, err := load(string(z))
	if err != nil {
		return nil, fmt.Errorf("%w %q; use a name like Europe/Lisbon", ErrZone, string(z))
	}
	return loc, nil
}

// Check returns ErrZone when the name is not a zone.
func (z Zone) Check() error { _, err := z.location(); return err }

// At resolves a wall-clock time on a date. Where clocks go back and a time
// happens twice it is the first; where they go forward and it does not happen,
// the offset before the gap counts (RFC 5545, 3.3.5).
func (z Zone) At(d Date, c Clock) (Instant, error) {
	r, err := z.Load()
	if err != nil {
		return 0, err
	}
	return r.At(d, c)
}

// Local gives the wall-clock date and time of an instant, the clock below 24:00.
func (z Zone) Local(i Instant) (Date, Clock, error) {
	r, err := z.Load()
	if err != nil {
		return "", 0, err
	}
	date, c := r.Local(i)
	return date, c, nil
}

// ClockOn writes an instant as the wall clock reads it, with the number of days
// it lies from the shoot's date: "14:05", "02:10 +1". An unknown zone is written
// in UTC and says so.
func (z Zone) ClockOn(d Date, i Instant) string { return z.Reader().ClockOn(d, i) }

// Reader reads and resolves times on the wall clock of one zone. It has loaded the zone's
// rules, so that many readings cost little.
type Reader struct {
	loc    *time.Location
	suffix string // says that the zone is not known
}

// Reader loads the zone's rules; those of an unknown zone are UTC's.
func (z Zone) Reader() Reader {
	r, err := z.Load()
	if err != nil {
		return Reader{time.UTC, " UTC"}
	}
	return r
}

// Load is Reader for a zone that has to be known; it returns ErrZone.
func (z Zone) Load() (Reader, error) {
	loc, err := z.location()
	return Reader{loc: loc}, err
}

// At is Zone.At, in UTC for an unknown zone.
func (r Reader) At(d Date, c Clock) (Instant, error) {
	day, err := d.time()
	if err != nil {
		return 0, fmt.Errorf("%q is not a date", string(d))
	}
	if !c.Valid() {
		return 0, fmt.Errorf("clock of %d minutes is out of range", int(c))
	}
	wall := day.Add(time.Duration(c) * time.Minute) // the wall time, read as if it were UTC
	// Offsets in force a day before and after bracket any single change.
	_, before := wall.Add(-24 * time.Hour).In(r.loc).Zone()
	_, after := wall.Add(24 * time.Hour).In(r.loc).Zone()
	best, found := time.Time{}, false
	for _, off := range [...]int{before, after} {
		t := wall.Add(-time.Duration(off) * time.Second)
		if _, real := t.In(r.loc).Zone(); real == off && (!found || t.Before(best)) {
			best, found = t, true
		}
	}
	if !found { // in a gap
		best = wall.Add(-time.Duration(before) * time.Second)
	}
	return FromTime(best), nil
}

// Local is Zone.Local, in UTC for an unknown zone.
func (r Reader) Local(i Instant) (Date, Clock) {
	t := i.Time().In(r.loc)
	return dateOf(t), Clock(t.Hour()*60 + t.Minute())
}

// Offset is by how many minutes the wall clock is ahead of UTC at a minute since
// 1970, and from which minute until which it is; the ends are far off where it never
// changes.
func (r Reader) Offset(minute int64) (ahead, from, until int64) {
	t := time.Unix(minute*60, 0).In(r.loc)
	_, seconds := t.Zone()
	from, until = math.MinInt64/2, math.MaxInt64/2
	start, end := t.ZoneBounds()
	if !start.IsZero() {
		from = start.Unix() / 60
	}
	if !end.IsZero() {
		until = end.Unix() / 60
	}
	return int64(seconds / 60), from, until
}

// ClockOn is Zone.ClockOn.
func (r Reader) ClockOn(d Date, i Instant) string {
	suffix := r.suffix
	day, c := r.Local(i)
	if day != d {
		a, errA := d.time()
		b, errB := day.time()
		if errA == nil && errB == nil {
			suffix = fmt.Sprintf(" %+d%s", int(b.Sub(a)/(24*time.Hour)), suffix)
		}
	}
	return c.String() + suffix
}

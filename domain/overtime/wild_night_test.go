package overtime_test

import (
	"math/rand/v2"
	"testing"
	"time"
	_ "time/tzdata"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/when"
)

// changing are zones whose clocks go by an hour, by half of one, at midnight, or
// over a whole day.
var changing = []string{
	"America/New_York", "Europe/London", "Australia/Lord_Howe", "Pacific/Apia", "Pacific/Kwajalein", "America/Havana", "Africa/Cairo",
	"Asia/Beirut", "America/Asuncion", "Asia/Tehran", "America/Caracas", "Asia/Pyongyang", "Antarctica/Troll", "Africa/Casablanca", "America/St_Johns", "Pacific/Fakaofo",
}

// TestNightsReadOnTheWallClock counts the minutes of a night by asking what time it
// is at each of them, on days around every change of the clock since 2000.
func TestNightsReadOnTheWallClock(t *testing.T) {
	r := rand.New(rand.NewPCG(32, 0))
	checked := 0
	for _, name := range changing {
		loc, err := time.LoadLocation(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, change := range changesOf(loc) {
			for range 3 {
				nightOnTheWall(t, r, name, loc, change)
				checked++
			}
		}
	}
	if checked < 500 {
		t.Errorf("only %d days", checked)
	}
}

// changesOf finds the minutes at which a zone's offset changes, 2000 to 2030.
func changesOf(loc *time.Location) (out []time.Time) {
	at := time.Date(2000, 1, 3, 0, 0, 0, 0, time.UTC)
	offset := func(i time.Time) int { _, o := i.In(loc).Zone(); return o }
	for at.Year() < 2030 {
		next := at.Add(24 * time.Hour)
		if offset(at) != offset(next) {
			for m := at; m.Before(next); m = m.Add(time.Minute) {
				if offset(m) != offset(m.Add(time.Minute)) {
					out = append(out, m.Add(time.Minute))
				}
			}
		}
		at = next
	}
	return out
}

func nightOnTheWall(t *testing.T, r *rand.Rand, name string, loc *time.Location, change time.Time) {
	t.Helper()
	from, to := when.Clock(r.IntN(24*60)), when.Clock(r.IntN(24*60))
	if chance(r, 50) { // an edge inside the changed time
		local := change.In(loc)
		from = when.Clock((local.Hour()*60 + local.Minute() + r.IntN(121) - 60 + 24*60) % (24 * 60))
	}
	if from == to {
		to = (to + 1) % (24 * 60)
	}
	terms := overtime.Terms{Basis: overtime.Hourly, Rate: money.Of(6000, "USD"), Night: overtime.Night{From: from, To: to, Extra: times(1, 2)}}
	if chance(r, 30) {
		terms.Night2 = overtime.Night{From: to, To: from, Extra: times(1, 4)}
	}
	in := when.FromTime(change) - when.Instant(r.IntN(20*60))*when.Minute
	h := overtime.Hours{In: in, Out: in + when.Instant(1+r.IntN(30*60))*when.Minute, Zone: when.Zone(name)}
	if rest := in + when.Instant(r.IntN(600))*when.Minute; rest+40*when.Minute < h.Out {
		h.Meals = []overtime.Break{{From: rest, To: rest + 40*when.Minute}}
	}
	slip, err := overtime.Pay(terms, h)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	got := int64(0)
	for _, l := range slip.Lines {
		if l.Kind == overtime.KindNight {
			got += l.Minutes * l.Times.Num * 4 / l.Times.Den
		}
	}
	want := int64(0)
	for m := h.In; m < h.Out; m += when.Minute {
		if len(h.Meals) > 0 && m >= h.Meals[0].From && m < h.Meals[0].To {
			continue
		}
		local := m.Time().In(loc)
		clock := when.Clock(local.Hour()*60 + local.Minute())
		if within(clock, from, to) {
			want += 2
		} else if terms.Night2 != (overtime.Night{}) {
			want++
		}
	}
	if got != want {
		t.Fatalf("%s around %v, night %v to %v, in %v out %v: quarters of a minute %d, on the wall %d", name, change.In(loc), from, to, h.In.Time().In(loc), h.Out.Time().In(loc), got, want)
	}
}

func within(c, from, to when.Clock) bool {
	if from < to {
		return c >= from && c < to
	}
	return c >= from || c < to
}

package overtime

import (
	"fairday/domain/when"
)

// clockCache remembers what clocks on the wall were found to mean, so that many
// people on one day look it up once. A window of the day is every minute at which
// the wall reads a time in it: where clocks go back an edge in the changed hour is
// passed twice, and where they go forward over one it is passed as they jump.
type clockCache struct {
	zones map[when.Zone]when.Reader
	dark  []darkness
	today today
}

// today is the date that a wall last read.
type today struct {
	zone    when.Zone
	day     int64 // since 1970
	date    when.Date
	weekday string
}

// darkness is the stretches of a window of the day from a day of UTC on.
type darkness struct {
	zone     when.Zone
	day      int64
	from, to when.Clock
	spans    []span
}

const dayLong = 24 * 60

func newClockCache() *clockCache { return &clockCache{zones: map[when.Zone]when.Reader{}} }

// zone loads the rules of a zone once.
func (k *clockCache) zone(z when.Zone) (when.Reader, error) {
	if r, ok := k.zones[z]; ok {
		return r, nil
	}
	r, err := z.Load()
	if err == nil {
		k.zones[z] = r
	}
	return r, err
}

// clock is what the wall reads at a minute, and when it last read another time of
// that day or jumped over it; before that minute, where it lies later in the day.
func (k *clockCache) clock(z when.Zone, m int64, other when.Clock) (now when.Clock, since int64, err error) {
	r, err := k.zone(z)
	if err != nil {
		return 0, 0, err
	}
	ahead, from, _ := r.Offset(m)
	local := m + ahead
	now = when.Clock(local - floorDay(local)*dayLong)
	local += int64(other - now)
	if since = local - ahead; since < from { // before the clocks were changed
		before, _, _ := r.Offset(from - 1)
		since = min(local-before, from)
	}
	return now, since, nil
}

// date is the date and the day of the week that the wall reads at a minute.
func (k *clockCache) date(z when.Zone, m int64) (when.Date, string, error) {
	r, err := k.zone(z)
	if err != nil {
		return "", "", err
	}
	ahead, _, _ := r.Offset(m)
	if day := floorDay(m + ahead); k.today.zone != z || k.today.day != day {
		date, _ := r.Local(instant(m))
		k.today = today{z, day, date, date.Weekday()}
	}
	return k.today.date, k.today.weekday, nil
}

// window gives the stretches of a window of the day that the longest day from a
// minute on could touch, in order. One that runs over midnight is one stretch.
func (k *clockCache) window(z when.Zone, start int64, from, to when.Clock) ([]span, error) {
	day := floorDay(start)
	for i := range k.dark {
		if x := &k.dark[i]; x.zone == z && x.day == day && x.from == from && x.to == to {
			return x.spans, nil
		}
	}
	r, err := k.zone(z)
	if err != nil {
		return nil, err
	}
	var out []span
	end := (day+1)*dayLong + longestDay
	for m := day * dayLong; m < end; {
		ahead, _, until := r.Offset(m)
		until = min(until, end)
		for d := floorDay(m+ahead) - 1; d*dayLong-ahead < until; d++ {
			x := span{d*dayLong + int64(from) - ahead, d*dayLong + int64(to) - ahead}
			if to < from {
				x.to += dayLong
			}
			if x = (span{max(x.from, m), min(x.to, until)}); x.from >= x.to {
				continue
			}
			if n := len(out); n > 0 && out[n-1].to == x.from {
				out[n-1].to = x.to
			} else {
				out = append(out, x)
			}
		}
		m = until
	}
	k.dark = append(k.dark, darkness{z, day, from, to, out})
	return out, nil
}

// floorDay is the day that a minute lies in.
func floorDay(m int64) int64 {
	d := m / dayLong
	if m%dayLong < 0 {
		d--
	}
	return d
}

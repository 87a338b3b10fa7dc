package overtime

import (
	"errors"

	"fairday/domain/when"
)

// walls remembers what clocks on the wall were found to mean, so that many
// people on one day look it up once.
type walls struct {
	known map[wall]int64
	zones map[when.Zone]when.Reader
	dates []localDay
	dark  []darkness
}

// localDay is from when until when a zone has a date.
type localDay struct {
	span
	zone when.Zone
	date when.Date
}

// darkness is the nights around a date.
type darkness struct {
	zone   when.Zone
	date   when.Date
	rule   Night
	nights [4]span
}

// wall is a clock on a date in a zone.
type wall struct {
	zone  when.Zone
	date  when.Date
	clock when.Clock
}

func newWalls() *walls {
	return &walls{known: map[wall]int64{}, zones: map[when.Zone]when.Reader{}}
}

// zone loads the rules of a zone once.
func (k *walls) zone(z when.Zone) (when.Reader, error) {
	if r, ok := k.zones[z]; ok {
		return r, nil
	}
	r, err := z.Load()
	if err == nil {
		k.zones[z] = r
	}
	return r, err
}

// at is the minute at which the wall reads the clock.
func (k *walls) at(z when.Zone, d when.Date, c when.Clock) (int64, error) {
	key := wall{z, d, c}
	if m, ok := k.known[key]; ok {
		return m, nil
	}
	r, err := k.zone(z)
	if err != nil {
		return 0, err
	}
	i, err := r.At(d, c)
	if err != nil {
		return 0, err
	}
	k.known[key] = minute(i)
	return minute(i), nil
}

// date is the local date of a minute.
func (k *walls) date(z when.Zone, m int64) (when.Date, error) {
	for i := range k.dates {
		if d := &k.dates[i]; d.zone == z && d.from <= m && m < d.to {
			return d.date, nil
		}
	}
	r, err := k.zone(z)
	if err != nil {
		return "", err
	}
	d, _ := r.Local(instant(m))
	from, err1 := k.at(z, d, 0)
	to, err2 := k.at(z, d.Add(1), 0)
	if err1 == nil && err2 == nil {
		k.dates = append(k.dates, localDay{span{from, to}, z, d})
	}
	return d, nil
}

// nights gives the nights from the date before to two dates after.
func (k *walls) nights(z when.Zone, d when.Date, n Night) ([4]span, error) {
	for i := range k.dark {
		if x := &k.dark[i]; x.zone == z && x.date == d && x.rule == n {
			return x.nights, nil
		}
	}
	to := n.To
	if to < n.From {
		to += 24 * 60
	}
	x := darkness{zone: z, date: d, rule: n}
	for i := range x.nights {
		from, err1 := k.at(z, d.Add(i-1), n.From)
		until, err2 := k.at(z, d.Add(i-1), to)
		if err := errors.Join(err1, err2); err != nil {
			return x.nights, err
		}
		x.nights[i] = span{from, until}
	}
	k.dark = append(k.dark, x)
	return x.nights, nil
}

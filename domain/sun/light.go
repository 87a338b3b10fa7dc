package sun

import (
	"slices"

	"fairday/domain/sorting"
	"fairday/domain/when"
)

// Light is what the sky gives, for a picture of the day.
type Light string

// The kinds of light.
const (
	Night    Light = "night"    // the sun is more than 6 degrees below
	Twilight Light = "twilight" // civil twilight, morning or evening
	Daylight Light = "daylight" // between rise and set
)

// Stretch is a length of time from one moment to another.
type Stretch struct{ From, To when.Instant }

// Band is a stretch of one light.
type Band struct {
	Stretch
	Light Light
}

const longestLight = 7 * 24 * when.Hour

// LightOn gives the light of a local date, from midnight to midnight on the
// clock.
func LightOn(d when.Date, z when.Zone, p Place) ([]Band, error) {
	if _, err := twelve(d, z); err != nil {
		return nil, err
	}
	from, _ := z.At(d, 0) // the date and zone are good
	to, _ := z.At(d, 24*60)
	return LightBetween(from, to, p)
}

// LightBetween gives the light from one moment to another, at most a week: bands
// that follow each other without a gap, no two neighbours alike.
func LightBetween(from, to when.Instant, p Place) ([]Band, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	if err := checkRange(from, to); err != nil {
		return nil, err
	}
	o := p.observer()
	var bands []Band
	for _, s := range cut(from, to, p) {
		light := o.light(s.From + (s.To-s.From)/2)
		if n := len(bands); n > 0 && bands[n-1].Light == light {
			bands[n-1].To = s.To
			continue
		}
		bands = append(bands, Band{s, light})
	}
	return bands, nil
}

func checkRange(from, to when.Instant) error {
	if err := checkTime(from); err != nil {
		return err
	}
	if err := checkTime(to); err != nil {
		return err
	}
	if to <= from || to-from > longestLight {
		return fail(CodeRange, "The light is shown for a stretch of up to a week; let the end come after the start.")
	}
	return nil
}

// cut divides a stretch where the sun crosses a height.
func cut(from, to when.Instant, p Place) (pieces []Stretch) {
	var cuts []when.Instant
	for _, day := range p.days(from, to) {
		for _, c := range []Crossing{day.Dawn, day.Rise, day.Set, day.Dusk} {
			if c.Standing == Crosses && c.At > from && c.At < to {
				cuts = append(cuts, c.At)
			}
		}
		cuts = append(cuts, inside(from, to, day.From, day.Noon, day.To)...)
	}
	sorting.Up(cuts)
	cuts = slices.Compact(cuts)
	for _, c := range append(cuts, to) {
		pieces = append(pieces, Stretch{from, c})
		from = c
	}
	return pieces
}

func inside(from, to when.Instant, at ...when.Instant) []when.Instant {
	return slices.DeleteFunc(at, func(i when.Instant) bool { return i <= from || i >= to })
}

func (o observer) light(at when.Instant) Light {
	up := o.look(at).up
	day, _ := sincos(horizon)
	dusk, _ := sincos(civil)
	switch {
	case up >= day:
		return Daylight
	case up >= dusk:
		return Twilight
	}
	return Night
}

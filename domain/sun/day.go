package sun

import (
	"math"

	"fairday/domain/when"
)

// Standing says whether the sun crosses a height, or why it does not.
type Standing string

// The standings.
const (
	Crosses    Standing = "crosses"
	NeverRises Standing = "never-rises" // below it even at noon
	NeverSets  Standing = "never-sets"  // above it from noon to the midnight on that side
)

// Crossing is one passage of the sun's centre through a height.
type Crossing struct {
	Standing Standing
	At       when.Instant // set when it Crosses, and only then
}

// Day is the sun's day about one noon, from the midnight of the sun before it to
// the one after. Dawn and rise lie before noon, set and dusk after; in summer dusk
// may come after the clock's midnight and still belongs to the day it ends.
type Day struct {
	From, To   when.Instant // the sun's own midnights
	Noon       when.Instant // the sun crosses the meridian
	Elevation  float64      // at noon, degrees, without refraction
	Dawn, Dusk Crossing     // civil twilight, 6 degrees below
	Rise, Set  Crossing     // 50 minutes of arc below
	place      Place
}

const (
	horizon = -50. / 60 // degrees
	civil   = -6.
	halfDay = 12 * when.Hour
)

// On gives the sun's day of a local date: that of the noon nearest to twelve on
// the clock. Within a degree of a pole, where a day lasts half a year and noon is a
// matter of longitude, the one rise of the year may fall between two such days.
func On(d when.Date, z when.Zone, p Place) (Day, error) {
	if err := p.Check(); err != nil {
		return Day{}, err
	}
	noon, err := twelve(d, z)
	if err != nil {
		return Day{}, err
	}
	return p.dayAbout(noon), nil
}

// Between gives the sun's days that a stretch of at most a week touches, in order: a
// night shoot touches two, and so has the sunset it starts under and the sunrise it
// ends in.
func Between(from, to when.Instant, p Place) ([]Day, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	if err := checkRange(from, to); err != nil {
		return nil, err
	}
	return p.days(from, to), nil
}

// days follow each other without a gap, hence those that begin before the end and end
// after the start cover it.
func (p Place) days(from, to when.Instant) (all []Day) {
	for d := p.dayAbout(from - halfDay); d.From < to; d = p.dayAbout(d.Noon + 2*halfDay) {
		if d.To > from {
			all = append(all, d)
		}
	}
	return all
}

func twelve(d when.Date, z when.Zone) (when.Instant, error) {
	if !d.Valid() {
		return 0, fail(CodeDate, "%q is not a date; write it as year-month-day, like 2026-11-25.", string(d))
	}
	noon, err := z.At(d, 12*60)
	if err != nil {
		return 0, fail(CodeZone, "%q is not a time zone; use a name like Europe/Lisbon.", string(z))
	}
	return noon, checkTime(noon)
}

func (p Place) dayAbout(guess when.Instant) Day {
	o := p.observer()
	d := Day{Noon: o.transit(guess, 0), place: p}
	d.From, d.To = o.transit(d.Noon-halfDay, 180), o.transit(d.Noon+halfDay, 180)
	d.Elevation = o.look(d.Noon).elevation()
	d.Dawn, d.Dusk = o.crossing(d.From, d.Noon, civil), o.crossing(d.To, d.Noon, civil)
	d.Rise, d.Set = o.crossing(d.From, d.Noon, horizon), o.crossing(d.To, d.Noon, horizon)
	return d
}

// transit is the moment nearest to a guess at which the sun has an hour angle. The
// first step is right within the half minute by which days differ, the third
// within a millisecond.
func (o observer) transit(guess when.Instant, hourAngle float64) when.Instant {
	for range 3 {
		off := signed(o.hourAngle(guess, geocentric(centuries(guess))) - hourAngle)
		guess -= when.Instant(math.Floor(mul(off, 240000) + 0.5))
	}
	return guess
}

// crossing finds when the sun passes a height between a midnight and noon, in
// either order, by halving down to a millisecond.
func (o observer) crossing(midnight, noon when.Instant, height float64) Crossing {
	bar, _ := sincos(height)
	above := func(at when.Instant) bool { return o.look(at).up >= bar }
	switch {
	case !above(noon):
		return Crossing{Standing: NeverRises}
	case above(midnight):
		return Crossing{Standing: NeverSets}
	}
	low, high := midnight, noon
	for high-low > 1 || low-high > 1 {
		if mid := low + (high-low)/2; above(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return Crossing{Crosses, high}
}

// up gives the stretch in which the sun is above the horizon.
func (d Day) up() (Stretch, bool) {
	s := Stretch{d.From, d.To}
	if d.Rise.Standing == NeverRises {
		return Stretch{}, false
	}
	if d.Rise.Standing == Crosses {
		s.From = d.Rise.At
	}
	if d.Set.Standing == Crosses {
		s.To = d.Set.At
	}
	return s, true
}

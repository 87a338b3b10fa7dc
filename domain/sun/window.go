package sun

import (
	"math"

	"fairday/domain/when"
)

// Stretch is a length of time from one moment to another.
type Stretch struct{ From, To when.Instant }

// Window is an opening in an upright wall, and the spot in the room that the sun
// is wanted on or to be kept off: straight in from the middle of the window.
// Lengths are in metres; nothing outside shades the window.
type Window struct {
	Bearing float64 // degrees from true north that one faces who looks out at a right angle
	Width   float64
	Sill    float64 // lower edge above the floor
	Head    float64 // upper edge above the floor
	Depth   float64 // of the spot, in from the window; 0 is in the opening itself
	Height  float64 // of the spot above the floor: a table top; 0 is the floor
}

// Check returns CodeWindow for what cannot be.
func (w Window) Check() error {
	const longest = 1000 // metres
	for _, v := range []struct {
		what  string
		value float64
	}{{"width", w.Width}, {"sill", w.Sill}, {"head", w.Head}, {"depth", w.Depth}, {"height", w.Height}} {
		if !(v.value >= 0 && v.value <= longest) {
			return fail(CodeWindow, "A window's %s of %g m cannot be; measure it in metres.", v.what, v.value)
		}
	}
	switch {
	case !(w.Bearing >= 0 && w.Bearing <= 360):
		return fail(CodeWindow, "A bearing of %g is not on the compass; give degrees from north, 0 to 360.", w.Bearing)
	case w.Width == 0:
		return fail(CodeWindow, "The window has no width; measure it in metres.")
	case w.Head <= w.Sill:
		return fail(CodeWindow, "The window's head at %g m is not above its sill at %g m; measure both from the floor.", w.Head, w.Sill)
	}
	return nil
}

// lets tells whether the window lets the sun's centre onto the spot; sin and cos
// are of its bearing. For each metre forward that the spot lies from the wall, the
// ray onto it passes the wall lifted/forward higher and aside/forward to the side.
func (w Window) lets(v sight, sin, cos float64) bool {
	elevation := v.elevation()
	lifted, flat := sincos(elevation + refraction(elevation))
	level := math.Sqrt(mul(v.east, v.east) + mul(v.north, v.north))
	if lifted <= 0 || level == 0 {
		return false
	}
	forward := mul((mul(v.east, sin)+mul(v.north, cos))/level, flat)
	aside := mul((mul(v.east, cos)-mul(v.north, sin))/level, flat)
	rise := mul(w.Depth, lifted)
	return forward > 0 &&
		mul(w.Depth, math.Abs(aside)) <= mul(w.Width/2, forward) &&
		mul(w.Sill-w.Height, forward) <= rise && rise <= mul(w.Head-w.Height, forward)
}

// Through gives the stretches of whole minutes in which direct sun falls through
// the window onto its spot. Each starts and ends on a minute at which it does, so
// that less than a minute is left out at either end.
func (d Day) Through(w Window) ([]Stretch, error) {
	if err := w.Check(); err != nil {
		return nil, err
	}
	up, ok := d.up()
	if !ok {
		return nil, nil
	}
	o := d.place.observer()
	sin, cos := sincos(w.Bearing)
	var found []Stretch
	open := false
	at := up.From + when.Minute - 1
	for at -= at % when.Minute; at <= up.To; at += when.Minute {
		switch lit := w.lets(o.look(at), sin, cos); {
		case lit && open:
			found[len(found)-1].To = at
		case lit:
			found = append(found, Stretch{at, at})
			open = true
		default:
			open = false
		}
	}
	return longEnough(found), nil
}

// longEnough leaves out what is shorter than a minute.
func longEnough(all []Stretch) (kept []Stretch) {
	for _, s := range all {
		if s.To > s.From {
			kept = append(kept, s)
		}
	}
	return kept
}

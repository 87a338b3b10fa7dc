package sun

import "math"

// Window is an opening in an upright wall, the spot in the room that the sun is
// wanted on or to be kept off, straight in from the middle of the window, and what
// stands in the way of the sun outside. Lengths are in metres; what is 0 is not there.
type Window struct {
	Bearing float64 // degrees from true north that one faces who looks out at a right angle
	Width   float64
	Sill    float64 // lower edge above the floor
	Head    float64 // upper edge above the floor
	Depth   float64 // of the spot, in from the window; 0 is in the opening itself
	Height  float64 // of the spot above the floor: a table top; 0 is the floor

	Reveal   float64 // how thick the wall is: the same opening again, that much further out
	Overhang float64 // how far a balcony, canopy or eave juts out from the face of the wall, endless to both sides
	Above    float64 // from the head up to the underside of the overhang
	WallHigh float64 // the top of a wall opposite, above the floor of the room; it runs along the window, endless to both sides
	WallFar  float64 // from the face of the wall to the wall opposite
	Arcs     []Arc   // what else stands outside, as seen from the window
}

// Check returns CodeWindow for what cannot be.
func (w Window) Check() error {
	const longest = 1000 // metres
	for _, v := range []struct {
		what  string
		value float64
	}{{"width", w.Width}, {"sill", w.Sill}, {"head", w.Head}, {"depth", w.Depth}, {"height", w.Height}, {"reveal", w.Reveal},
		{"overhang", w.Overhang}, {"height of its overhang", w.Above}, {"height of the wall opposite", w.WallHigh}, {"distance of the wall opposite", w.WallFar}} {
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
	case w.Above > 0 && w.Overhang == 0:
		return fail(CodeWindow, "The overhang does not jut out; measure how far it does, or leave out how high above the head it is.")
	case (w.WallHigh == 0) != (w.WallFar == 0):
		return fail(CodeWindow, "The wall opposite wants both measures; say how high it is above the floor of the room and how far away.")
	}
	return CheckArcs(w.Arcs)
}

// ray is the direction that sunlight comes from as it looks through the air.
type ray struct {
	east, north  float64 // of its level part, which is of length 1
	lifted, flat float64 // sine and cosine of the elevation
	elevation    float64 // degrees
}

// ray is false when the sun's centre is not above the true horizon, or straight up.
func (v sight) ray() (ray, bool) {
	elevation := v.elevation()
	elevation += refraction(elevation)
	lifted, flat := sincos(elevation)
	level := math.Sqrt(mul(v.east, v.east) + mul(v.north, v.north))
	if lifted <= 0 || level == 0 {
		return ray{}, false
	}
	return ray{v.east / level, v.north / level, lifted, flat, elevation}, true
}

// pane is a window made ready to be looked through many times.
type pane struct {
	Window
	sin, cos float64 // of its bearing
}

func (w Window) pane() pane {
	sin, cos := sincos(w.Bearing)
	return pane{w, sin, cos}
}

// lets tells whether the sun's centre shines onto the spot. For each metre forward
// that something lies from the spot, the ray passes it lifted/forward higher and
// aside/forward to the side.
func (w pane) lets(r ray) bool {
	forward := mul(mul(r.east, w.sin)+mul(r.north, w.cos), r.flat)
	aside := math.Abs(mul(mul(r.east, w.cos)-mul(r.north, w.sin), r.flat))
	if forward <= 0 {
		return false
	}
	over := func(far, height float64) bool { return mul(far, r.lifted) >= mul(height-w.Height, forward) }
	under := func(far, height float64) bool { return mul(far, r.lifted) <= mul(height-w.Height, forward) }
	for _, far := range [...]float64{w.Depth, w.Depth + w.Reveal} {
		if mul(far, aside) > mul(w.Width/2, forward) || !over(far, w.Sill) || !under(far, w.Head) {
			return false
		}
	}
	face := w.Depth + w.Reveal
	return (w.Overhang == 0 || under(face+w.Overhang, w.Head+w.Above)) &&
		(w.WallFar == 0 || over(face+w.WallFar, w.WallHigh)) && clears(r, w.Arcs)
}

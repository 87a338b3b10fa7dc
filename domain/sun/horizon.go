package sun

import "fairday/domain/when"

// Arc is what stands before the sky over some bearings: a hill, a tower, a row of
// houses, as a compass and a clinometer tell it.
type Arc struct {
	From, To float64 // bearings from true north in degrees, clockwise from one to the other; 0 to 360 is all round
	Up       float64 // degrees above the horizon up to which the sun is behind it
}

const mostArcs = 36

// CheckArcs returns CodeWindow for what cannot stand anywhere.
func CheckArcs(all []Arc) error {
	if len(all) > mostArcs {
		return fail(CodeWindow, "There are %d arcs; up to %d fit. Put neighbours together.", len(all), mostArcs)
	}
	for _, a := range all {
		switch {
		case !(a.From >= 0 && a.From <= 360) || !(a.To >= 0 && a.To <= 360):
			return fail(CodeWindow, "An arc from %g to %g is not on the compass; give degrees from north, 0 to 360.", a.From, a.To)
		case turn(a.From) == turn(a.To) && a.To-a.From != 360:
			return fail(CodeWindow, "An arc from %g to %g is no arc; give the bearings of its two ends, 0 to 360 for all round.", a.From, a.To)
		case !(a.Up > 0 && a.Up <= 90):
			return fail(CodeWindow, "Something that stands %g degrees high cannot be; give degrees above the horizon, up to 90.", a.Up)
		}
	}
	return nil
}

// hides tells whether a bearing and an elevation are behind it.
func (a Arc) hides(bearing, elevation float64) bool {
	wide := turn(a.To - a.From)
	return elevation < a.Up && (wide == 0 || turn(bearing-a.From) <= wide)
}

// clears tells whether the sun's centre stands over all of them.
func clears(r ray, all []Arc) bool {
	if len(all) == 0 {
		return true
	}
	bearing := turn(arc(r.east, r.north))
	for _, a := range all {
		if a.hides(bearing, r.elevation) {
			return false
		}
	}
	return true
}

// Sky is a place and what stands round it for every window there: the hills, the
// other side of the valley.
type Sky struct {
	Place
	Horizon []Arc
}

// Check returns CodePlace or CodeWindow for what cannot be.
func (k Sky) Check() error {
	if err := k.Place.Check(); err != nil {
		return err
	}
	return CheckArcs(k.Horizon)
}

// Shines gives, for a stretch of at most a week, the stretches of whole minutes in
// which the sun's centre clears the horizon of the place, and for each window those
// in which direct sun falls through it onto its spot. Each starts and ends on a minute
// at which it does, so that less than a minute is left out at either end.
func (k Sky) Shines(from, to when.Instant, windows []Window) (clear []Stretch, in [][]Stretch, err error) {
	if err := k.Check(); err != nil {
		return nil, nil, err
	}
	if err := checkRange(from, to); err != nil {
		return nil, nil, err
	}
	var panes []pane
	for _, w := range windows {
		if err := w.Check(); err != nil {
			return nil, nil, err
		}
		panes = append(panes, w.pane())
	}
	in = make([][]Stretch, len(windows))
	o := k.observer()
	for _, d := range k.days(from, to) {
		up, _ := d.up()
		for at := wholeMinute(max(up.From, from)); at <= min(up.To, to); at += when.Minute {
			r, ok := o.look(at).ray()
			if !ok || !clears(r, k.Horizon) {
				continue
			}
			clear = lengthen(clear, at)
			for i, w := range panes {
				if w.lets(r) {
					in[i] = lengthen(in[i], at)
				}
			}
		}
	}
	for i := range in {
		in[i] = longEnough(in[i])
	}
	return longEnough(clear), in, nil
}

// wholeMinute is the first one that is not before a moment.
func wholeMinute(at when.Instant) when.Instant {
	at += when.Minute - 1
	return at - at%when.Minute
}

// lengthen adds a minute to stretches in order of time.
func lengthen(all []Stretch, at when.Instant) []Stretch {
	if n := len(all); n > 0 && at-all[n-1].To <= when.Minute {
		all[n-1].To = at
		return all
	}
	return append(all, Stretch{at, at})
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

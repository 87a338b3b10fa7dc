package catering

import (
	"fmt"

	"fairday/domain/when"
)

// Hold is how food was kept before it was set out; "" is not known.
type Hold string

// The ways of holding food.
const (
	Hot         Hold = "hot"          // kept at 135 F (57 C) or above until set out
	Cold        Hold = "cold"         // kept at 41 F (5 C) or below until set out
	ColdWatched Hold = "cold-watched" // the same, and measured since: never above 70 F (21 C)
)

// Holds lists the ways of holding food.
func Holds() []Hold { return []Hold{Hot, Cold, ColdWatched} }

// Label says how food was kept.
func (h Hold) Label() string {
	switch h {
	case Hot:
		return "Hot, at 135 °F (57 °C) or above"
	case Cold:
		return "Cold, at 41 °F (5 °C) or below"
	case ColdWatched:
		return "Cold, and measured since: never above 70 °F (21 °C)"
	}
	return "Not known"
}

// Air is how warm it is where food stands; "" is not known.
type Air string

// What the air may be like.
const (
	AirMild Air = "mild" // 90 F (32 C) or below
	AirHot  Air = "hot"  // above
)

// Airs lists what the air may be like.
func Airs() []Air { return []Air{AirMild, AirHot} }

// Label says how warm the air is.
func (a Air) Label() string {
	switch a {
	case AirMild:
		return "90 °F (32 °C) or below"
	case AirHot:
		return "Above 90 °F (32 °C)"
	}
	return "Not known"
}

// Standing is food that is out of its holding temperature, as far as anybody said.
type Standing struct {
	Held  Hold
	Air   Air
	Since when.Instant // when it was plated or set out; 0 is not known
}

// Where the limits are from.
const (
	sourceUSDA = "U.S. Department of Agriculture: from 40 to 140 °F for 2 h at most, 1 h where the air is above 90 °F"
	sourceFDA  = "FDA Food Code 3-501.16 and 3-501.19"
)

// anywhere is how long any food may stand, in minutes, by the United States Department
// of Agriculture (fsis.usda.gov, "Danger Zone (40 °F - 140 °F)"): two hours, and one
// where the air is above 90 F. Not knowing counts as two, with a word of warning after
// one.
func (s Standing) anywhere() int64 {
	if s.Air == AirHot {
		return 60
	}
	return 2 * 60
}

// byTime is how long food may stand by time alone, in minutes, where a caterer works by a
// written procedure (FDA Food Code 3-501.19): four hours from 135 F or from 41 F, as
// 3-501.16 has it held; six from 41 F if it is measured and never above 70 F. False
// where nobody knows how it was held.
func (s Standing) byTime() (int64, bool) {
	switch s.Held {
	case Hot, Cold:
		return 4 * 60, true
	case ColdWatched:
		return 6 * 60, true
	}
	return 0, false
}

// HoldState is how food stands against its limits.
type HoldState string

// The states.
const (
	HoldFine    HoldState = "fine"
	HoldSoon    HoldState = "soon"    // less than half an hour left, or past the stricter limit
	HoldOver    HoldState = "over"    // at the last limit or past it
	HoldUnknown HoldState = "unknown" // not known how it was held or since when; never reads as fine
)

// soon is how long before the limit a warning starts, in minutes.
const soon = 30

// Warning is what to tell the people who serve.
type Warning struct {
	State  HoldState
	Until  when.Instant // when it must not be served any more; 0 where unknown
	Left   int64        // whole minutes until then, below zero past it
	Text   string
	Source string
}

// Holding warns about food. A local code may be stricter, and decides.
func Holding(s Standing, now when.Instant) Warning {
	if s.Since == 0 {
		return Warning{State: HoldUnknown, Text: "It is not known since when it has been out. Ask who set it out; if nobody knows, do not serve it.", Source: sourceUSDA}
	}
	first := s.anywhere()
	last, known := s.byTime()
	if !known {
		last = first
	}
	out := when.Minutes(s.Since, now)
	w := Warning{Until: s.Since + when.Instant(last)*when.Minute, Source: sourceUSDA}
	w.Left = when.Minutes(now, w.Until)
	length := when.Elapsed(max(out, 0))
	switch left := first - out; {
	case out >= last:
		w.State = HoldOver
		w.Text = fmt.Sprintf("Out for %s, the limit is %s: do not serve it, throw it away.", length, when.Elapsed(last))
		if known {
			w.Source = sourceFDA
		}
	case left <= 0:
		w.State, w.Source = HoldSoon, sourceFDA
		w.Text = fmt.Sprintf("Out for %s, past %s. It may stand up to %s only where the caterer works by time with a written procedure; else throw it away.", length, when.Elapsed(first), when.Elapsed(last))
	case s.Air == "" && out >= 60:
		w.State = HoldSoon
		w.Text = fmt.Sprintf("Out for %s. It is not known how warm it is there: above 90 °F (32 °C) the limit of 1 h is past; else %s left of %s.", length, when.Elapsed(left), when.Elapsed(first))
	case left < soon:
		w.State = HoldSoon
		w.Text = fmt.Sprintf("Out for %s, %s left of %s: serve it now or put it away.", length, when.Elapsed(left), when.Elapsed(first))
	case !known:
		w.State = HoldUnknown
		w.Text = fmt.Sprintf("Out for %s. It is not known how it was kept before: at most %s left of %s.", length, when.Elapsed(left), when.Elapsed(first))
	default:
		w.State = HoldFine
		w.Text = fmt.Sprintf("Out for %s, %s left of %s.", length, when.Elapsed(left), when.Elapsed(first))
	}
	return w
}

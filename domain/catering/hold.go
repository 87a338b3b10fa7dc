package catering

import (
	"fmt"

	"fairday/domain/when"
)

// Hold is how food was kept before it was set out.
type Hold string

// The ways of holding food.
const (
	Hot         Hold = "hot"          // kept at 135 F (57 C) or above until set out
	Cold        Hold = "cold"         // kept at 41 F (5 C) or below until set out
	ColdWatched Hold = "cold-watched" // the same, and measured since: never above 70 F (21 C)
)

// HoldLimit is how long food may stand once it is out of its holding
// temperature.
type HoldLimit struct {
	Hold    Hold
	Minutes int64
	Text    string
	Source  string
}

// HoldLimits are the limits of the FDA Food Code, one for each way of holding. A
// local code may be stricter, and decides.
func HoldLimits() []HoldLimit {
	const source = "FDA Food Code 3-501.16 and 3-501.19"
	return []HoldLimit{
		{Hot, 4 * 60, "Hot food stays at 135 °F (57 °C) or above; set out from there, it is eaten or thrown away within 4 h.", source},
		{Cold, 4 * 60, "Cold food stays at 41 °F (5 °C) or below; set out from there, it is eaten or thrown away within 4 h.", source},
		{ColdWatched, 6 * 60, "Cold food set out from 41 °F (5 °C) may stand 6 h only if it is measured and never above 70 °F (21 °C).", source},
	}
}

// HoldState is how food stands against its limit.
type HoldState string

// The states.
const (
	HoldFine    HoldState = "fine"
	HoldSoon    HoldState = "soon"    // less than half an hour left
	HoldOver    HoldState = "over"    // at the limit or past it
	HoldUnknown HoldState = "unknown" // not known how it was held or since when; never reads as fine
)

// soon is how long before the limit a warning starts, in minutes.
const soon = 30

// Warning is what to tell the people who serve.
type Warning struct {
	State  HoldState
	Until  when.Instant // the limit; 0 where unknown
	Left   int64        // whole minutes until then, below zero past it
	Text   string
	Source string
}

// Holding warns about food that has been out of its holding temperature since
// an instant.
func Holding(kind Hold, since, now when.Instant) Warning {
	for _, l := range HoldLimits() {
		if l.Hold == kind && since != 0 {
			return l.warn(since, now)
		}
	}
	return Warning{State: HoldUnknown, Text: "It is not known how this food was held or since when. Ask the caterer; if nobody knows, do not serve it."}
}

func (l HoldLimit) warn(since, now when.Instant) Warning {
	w := Warning{State: HoldFine, Until: since + when.Instant(l.Minutes)*when.Minute, Source: l.Source}
	w.Left = when.Minutes(now, w.Until)
	switch {
	case now >= w.Until:
		w.State = HoldOver
		w.Text = fmt.Sprintf("Out for %s, the limit is %s: do not serve it, throw it away.", when.Elapsed(when.Minutes(since, now)), when.Elapsed(l.Minutes))
	case w.Left < soon:
		w.State = HoldSoon
		w.Text = fmt.Sprintf("%s left of %s: serve it now or throw it away in time.", when.Elapsed(w.Left), when.Elapsed(l.Minutes))
	default:
		w.Text = fmt.Sprintf("%s left of %s. %s", when.Elapsed(w.Left), when.Elapsed(l.Minutes), l.Text)
	}
	return w
}

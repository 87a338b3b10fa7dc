package pace

import (
	"fmt"
	"math"
)

// What is believed before the day has said anything, on the log scale. Common
// practice, no source.
const (
	PriorSD = 0.25 // of the day's pace: two days in three run between 0.78 and 1.28 times their plan
	ShotSD  = 0.30 // of one shot about the day's pace
)

// farthest is how far from its plan a finished shot is believed, as a factor
// either way. Beyond it a tap came late or was forgotten; it counts as that far.
const farthest = 4

// longest is more minutes than one shot or change is planned at or takes.
const longest = 36 * 60

// Finished is a captured shot. Lengths are minutes.
type Finished struct {
	Planned int64 // with the set-up change before it
	Took    int64 // worked since the capture before it, or since the first call
	Stopped int64 // between the two, for what nobody planned
}

// Pace is how fast the day runs, as a normal distribution of its logarithm, and
// what says so.
type Pace struct {
	Mean, SD float64 // of the log pace: 0 is to plan, above is slower
	Shot     float64 // standard deviation of one shot about it
	Late     float64 // chance that a tap is late
	Shots    int     // finished ones that count
	Planned  int64   // minutes they were planned at
	Took     int64   // minutes they took
}

// Percent is how much of its planned time a shot takes from here on, in the
// middle of what is likely: 118 for 1.18 times.
func (p Pace) Percent() int64 { return int64(math.Floor(float64(expOf(p.Mean)*100) + 0.5)) }

// Observed is what the finished shots took of their plan together, in percent;
// 100 where there are none.
func (p Pace) Observed() int64 {
	if p.Planned == 0 {
		return 100
	}
	return (p.Took*200 + p.Planned) / (2 * p.Planned)
}

// Reason says why the pace is what it is.
func (p Pace) Reason() string {
	if p.Shots == 0 {
		return "no shot is finished yet, so this is the plan"
	}
	shots := "1 shot, with the time before it, took"
	whose := "its"
	if p.Shots > 1 {
		shots, whose = fmt.Sprintf("%d shots, with the time between them, took", p.Shots), "their"
	}
	o := p.Observed()
	return fmt.Sprintf("%s %d.%02d times %s plan", shots, o/100, o%100, whose)
}

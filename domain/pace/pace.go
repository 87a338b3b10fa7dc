package pace

import (
	"fmt"
	"math"
)

// What is believed before the day has said anything, on the log scale. Common
// practice, no source.
const (
	PriorSD = 0.20 // of the day's pace: two days in three run between 0.82 and 1.22 times their plan
	ShotSD  = 0.30 // of one shot about the day's pace
)

// farthest is how far from its plan a finished shot is believed, as a factor
// either way. Beyond it a tap came late or was forgotten; it counts as that far.
const farthest = 4

// longest is more minutes than one shot or change is planned at or takes.
const longest = 36 * 60

// Finished is a captured shot. Lengths are minutes.
type Finished struct {
	Planned int64
	Took    int64 // from opened to captured, with meals and other interruptions taken out
}

// Pace is how fast the day runs, as a normal distribution of its logarithm, and
// what says so.
type Pace struct {
	Mean, SD float64 // of the log pace: 0 is to plan, above is slower
	Shots    int     // finished ones that count
	Planned  int64   // minutes they were planned at
	Took     int64   // minutes they took
}

// Learn gives the pace from the shots that are finished. A shot planned at no
// time says nothing and is left out. It fails with CodePlanned or CodeTook.
func Learn(done []Finished) (Pace, error) {
	p := Pace{}
	sum := 0.0
	for i, f := range done {
		if f.Planned < 0 || f.Planned > longest {
			return Pace{}, fail(CodePlanned, "finished shot %d was planned at %d min; correct the plan to between 0 min and 36 h", i+1, f.Planned)
		}
		if f.Took < 0 || f.Took > 2*longest {
			return Pace{}, fail(CodeTook, "finished shot %d took %d min; correct when it was opened or captured", i+1, f.Took)
		}
		if f.Planned == 0 {
			continue
		}
		ratio := float64(f.Took) / float64(f.Planned)
		sum += logOf(min(max(ratio, 1.0/farthest), farthest))
		p.Shots++
		p.Planned += f.Planned
		p.Took += f.Took
	}
	const shot, prior = 1 / (ShotSD * ShotSD), 1 / (PriorSD * PriorSD)
	precision := prior + float64(float64(p.Shots)*shot)
	p.Mean = float64(sum*shot) / precision
	p.SD = math.Sqrt(1 / precision)
	return p, nil
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
	shots, whose := "shots", "their"
	if p.Shots == 1 {
		shots, whose = "shot", "its"
	}
	o := p.Observed()
	return fmt.Sprintf("%d %s took %d.%02d times %s plan", p.Shots, shots, o/100, o%100, whose)
}

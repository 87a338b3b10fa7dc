package pace

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

var simulated = flag.Int("pace.simulated", 0, "days with windows, stays and meals to simulate by a million draws each")

// boundDay is a day in the middle, on which some shots wait for light, some for people
// who come late or have to go, and two meals are still to come.
func boundDay(r *rand.Rand) Day {
	d := Day{Now: 660 + r.Int64N(60)}
	for range 3 + r.IntN(4) {
		d.Finished = append(d.Finished, Finished{20 + r.Int64N(30), 20 + r.Int64N(40), 0})
	}
	lunch := d.Now + 30 + r.Int64N(60)
	d.Meals = []Meal{{lunch, 45}, {lunch + 180 + r.Int64N(90), 20}}
	from := d.Now + 60 + r.Int64N(180)
	light := []Stretch{{from, from + 60 + r.Int64N(60)}, {from + 200, from + 320}}
	comes := d.Now + r.Int64N(120)
	goes := d.Now + 120 + r.Int64N(240)
	for i := range 6 + r.IntN(8) {
		s := Remaining{Key: fmt.Sprint(i), Planned: 10 + r.Int64N(40)}
		if r.IntN(3) == 0 {
			s.Change = 5 + r.Int64N(20)
		}
		switch r.IntN(5) {
		case 0:
			s.Windows = light
		case 1:
			s.Windows = []Stretch{{d.Now - 1, goes}}
		case 2:
			s.Windows = []Stretch{{comes, comes + 600}}
		}
		d.Remaining = append(d.Remaining, s)
	}
	if r.IntN(2) == 0 {
		d.Remaining[0] = Remaining{Key: "up", Planned: 30, Open: true, Elapsed: r.Int64N(30)}
	}
	return d
}

// The minutes by which the day wraps, and each shot is up, are those of a million days
// that are walked by the clock on the wall: to one minute, or as near as a million draws
// tell apart where hardly any day wraps about that minute.
func TestBoundDaysAgainstSimulation(t *testing.T) {
	days, draws := *simulated, 1_000_000
	if days == 0 {
		days, draws = 3, 60_000
	}
	noise := 4 * math.Sqrt(0.25/float64(draws))
	r := rand.New(rand.NewPCG(8, 15))
	for n := range days {
		d := boundDay(r)
		f := predict(t, d)
		fit := make([]int64, len(d.Remaining))
		for i, s := range d.Remaining {
			fit[i] = int64(math.Round(float64(s.Planned) * math.Exp(f.Pace.Mean)))
		}
		wraps, starts, one := make([]int64, 0, draws), make([][]int64, len(d.Remaining)), make([]int64, len(d.Remaining))
		for len(wraps) < draws {
			w, ok := draw(r, d, f.Pace.Mean+f.Pace.SD*r.NormFloat64(), f.Pace.Shot, f.Pace.Late, fit, one)
			if !ok {
				continue
			}
			wraps = append(wraps, w)
			for i, s := range one {
				starts[i] = append(starts[i], s)
			}
		}
		slices.Sort(wraps)
		worst := 0.0
		for m := f.From; m < f.From+int64(len(f.Parts)); m++ {
			before, _ := slices.BinarySearch(wraps, m)
			after, _ := slices.BinarySearch(wraps, m+2)
			p := float64(f.ChanceBy(m)) / Whole
			off := max(float64(before)/float64(draws)-p, p-float64(after)/float64(draws))
			if worst = max(worst, off); off > noise {
				t.Errorf("day %d: by %d %.4f, sampled between %.4f and %.4f a minute to either side\n%+v", n, m, p, float64(before)/float64(draws), float64(after)/float64(draws), d)
				break
			}
		}
		t.Logf("day %d, %d shots: wrap %d/%d, sampled %d/%d; beyond a minute by a chance of %.5f at worst", n, len(d.Remaining), f.Wrap50, f.Wrap80, wraps[draws/2], wraps[draws/5*4], worst)
		for i, l := range f.Starts {
			if s := starts[i]; !d.Remaining[i].Open {
				slices.Sort(s)
				for _, q := range []struct{ at, of int64 }{{l.P50, 50}, {l.P80, 80}} {
					before, _ := slices.BinarySearch(s, q.at-1)
					after, _ := slices.BinarySearch(s, q.at+2)
					if p := float64(q.of) / 100; float64(before)/float64(draws) > p+noise || float64(after)/float64(draws) < p-noise {
						t.Errorf("day %d: shot %s is up by %d with %d %%, sampled %.4f to %.4f", n, l.Key, q.at, q.of, float64(before)/float64(draws), float64(after)/float64(draws))
					}
				}
			}
		}
	}
}

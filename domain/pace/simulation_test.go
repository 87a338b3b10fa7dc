package pace

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// draw is one sampled day: it walks the clock on the wall, with the library's
// functions, and shares nothing with the convolution. ok is false where a shot
// that is up would have ended already. fit is how long each shot with windows is
// believed to take when it looks for one.
func draw(r *rand.Rand, d Day, logPace, shotSD, late float64, fit, starts []int64) (wrap int64, ok bool) {
	take := func(planned int64) int64 {
		if planned == 0 {
			return 0
		}
		return int64(math.Round(float64(planned) * math.Exp(logPace+shotSD*r.NormFloat64())))
	}
	now := d.Now
	awake := func() { // not in a meal
		for _, m := range d.Meals {
			if now >= m.At && now < m.At+m.Minutes {
				now = m.At + m.Minutes
			}
		}
	}
	work := func(minutes int64) {
		for _, m := range d.Meals {
			if minutes > 0 && now <= m.At && now+minutes > m.At {
				minutes -= m.At - now
				now = m.At + m.Minutes
			}
		}
		now += minutes
	}
	for i, s := range d.Remaining {
		if s.Open {
			minutes := take(s.Planned) - s.Elapsed
			if minutes > 0 {
				work(minutes)
			} else if now += minutes; r.Float64() >= late {
				return 0, false
			}
			continue
		}
		work(take(s.Change))
		now = max(now, s.Earliest)
		awake()
		if len(s.Windows) > 0 {
			now = waits(d, s.Windows, now, fit[i])
			awake()
		}
		starts[i] = now
		work(take(s.Planned))
	}
	return now, true
}

// waits is when a shot starts that waits for a window: for the first that it fits into,
// and else where it is the least late.
func waits(d Day, windows []Stretch, now, fit int64) int64 {
	best, least := now, int64(math.MaxInt64)
	for _, w := range windows {
		from, left := max(now, w.From), fit
		at := from
		for ; left > 0; at++ { // minute by minute, over meals
			if !slices.ContainsFunc(d.Meals, func(m Meal) bool { return at >= m.At && at < m.At+m.Minutes }) {
				left--
			}
		}
		if at <= w.To {
			return from
		}
		if at-w.To < least {
			best, least = from, at-w.To
		}
	}
	return best
}

func TestAgainstSimulation(t *testing.T) {
	if testing.Short() {
		t.Skip("a million draws")
	}
	d := Day{Now: 700, Finished: []Finished{{30, 41, 0}, {25, 30, 0}, {40, 38, 0}, {20, 29, 0}},
		Meals: []Meal{{At: 790, Minutes: 45}, {At: 1000, Minutes: 20}},
		Remaining: []Remaining{{Key: "up", Planned: 25, Open: true, Elapsed: 22}, {Key: "b", Planned: 35, Change: 15}, {Key: "c", Planned: 20},
			{Key: "d", Planned: 45, Change: 10, Earliest: 900}, {Key: "e", Planned: 12}, {Key: "f", Planned: 50, Change: 25}}}
	f := predict(t, d)
	const draws = 1_000_000
	r := rand.New(rand.NewPCG(1, 2))
	wraps, starts, one := make([]int64, 0, draws), make([][]int64, len(d.Remaining)), make([]int64, len(d.Remaining))
	cost := func(m int64) int64 { return max((m-1020+29)/30, 0) * 4500 }
	paid := 0.0
	for len(wraps) < draws {
		w, ok := draw(r, d, f.Pace.Mean+f.Pace.SD*r.NormFloat64(), f.Pace.Shot, f.Pace.Late, nil, one)
		if !ok {
			continue
		}
		wraps = append(wraps, w)
		paid += float64(cost(w)) / draws
		for i, s := range one {
			starts[i] = append(starts[i], s)
		}
	}
	slices.Sort(wraps)
	for _, q := range []int64{5, 20, 50, 80, 95, 99} {
		if got, want := f.By(Whole/100*q), wraps[draws/100*q]; max(got-want, want-got) > 1 {
			t.Errorf("%d %%: %d, sampled %d", q, got, want)
		}
	}
	for m := f.Wrap50 - 60; m <= f.Wrap80+60; m += 7 {
		n, _ := slices.BinarySearch(wraps, m+1)
		if got, want := float64(f.ChanceBy(m))/Whole, float64(n)/draws; math.Abs(got-want) > 0.0025 {
			t.Errorf("by %d: %.4f, sampled %.4f", m, got, want)
		}
	}
	if got := f.Expected(cost).float(); math.Abs(got/paid-1) > 0.005 {
		t.Errorf("expected %.1f, sampled %.1f", got, paid)
	} else {
		t.Logf("wrap %d/%d, sampled %d/%d; expected %.1f, sampled %.1f", f.Wrap50, f.Wrap80, wraps[draws/2], wraps[draws/5*4], got, paid)
	}
	for i, l := range f.Starts[1:] {
		s := starts[i+1]
		slices.Sort(s)
		if p50, p80 := s[draws/2], s[draws/5*4]; max(l.P50-p50, p50-l.P50) > 1 || max(l.P80-p80, p80-l.P80) > 1 {
			t.Errorf("%+v, sampled %d, %d", l, p50, p80)
		}
	}
}

// On 1,000 generated days whose pace is known, the 80 percent wrap should hold
// on about 800 in the morning, and on somewhat more at midday, since days turn and
// these do not; and at the middle of the shots the forecast should be nearer the
// wrap than the plan plus the delay so far.
func TestCalibration(t *testing.T) {
	if testing.Short() {
		t.Skip("a thousand days")
	}
	const days = 1000
	r := rand.New(rand.NewPCG(3, 4))
	var held50, held80, early80 int
	var ours, theirs float64
	for range days {
		pace := PriorSD * r.NormFloat64()
		morning := Day{Now: 540, Meals: []Meal{{At: 780, Minutes: 45}}}
		plan := int64(540 + 45)
		for range 10 + r.IntN(16) {
			s := Remaining{Planned: 10 + r.Int64N(40)}
			if r.IntN(3) == 0 {
				s.Change = 5 + r.Int64N(20)
			}
			plan += s.Change + s.Planned
			morning.Remaining = append(morning.Remaining, s)
		}
		if w, _ := draw(r, morning, pace, ShotSD, 0, nil, make([]int64, 99)); w <= predict(t, morning).Wrap80 {
			early80++
		}
		day, delay := halfway(r, morning, pace)
		wrap, _ := draw(r, day, pace, ShotSD, 0, nil, make([]int64, 99))
		f := predict(t, day)
		if wrap <= f.Wrap50 {
			held50++
		}
		if wrap <= f.Wrap80 {
			held80++
		}
		ours += math.Abs(float64(wrap-f.Wrap50)) / days
		theirs += math.Abs(float64(wrap-plan-delay)) / days
	}
	t.Logf("of %d days: by the 80 %% wrap %d from the morning, %d from midday; by the 50 %% wrap %d; mean absolute error %.1f min, plan plus delay %.1f min",
		days, early80, held80, held50, ours, theirs)
	if early80 < 760 || early80 > 840 || held80 < 800 || held80 > 900 || held50 < 450 || held50 > 550 {
		t.Error("not calibrated")
	}
	if ours >= theirs {
		t.Error("plan plus delay so far is nearer")
	}
}

// halfway shoots half of a day's shots and gives what is left of it, and how far
// behind its plan it is.
func halfway(r *rand.Rand, d Day, pace float64) (Day, int64) {
	half := len(d.Remaining) / 2
	planned := int64(540)
	for _, s := range d.Remaining[:half] {
		took := int64(math.Round(float64(s.Planned)*math.Exp(pace+ShotSD*r.NormFloat64()))) +
			int64(math.Round(float64(s.Change)*math.Exp(pace+ShotSD*r.NormFloat64())))
		d.Finished = append(d.Finished, Finished{s.Planned + s.Change, took, 0})
		d.Now += took
		planned += s.Planned + s.Change
	}
	delay := d.Now - planned           // both without the meal
	if m := d.Meals[0]; d.Now > m.At { // it was taken
		d.Now += m.Minutes
		d.Meals = nil
	}
	d.Remaining = d.Remaining[half:]
	return d, delay
}

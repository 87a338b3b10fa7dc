package pace

import "math"

// Limits that tell a slip of the keyboard from a day.
const (
	mostShots   = 500
	mostMinutes = 3 * 24 * 60 // planned, or from now to a window or a meal
)

// Remaining is a shot that is still to be captured, in the order of shooting.
// Lengths are minutes.
type Remaining struct {
	Key      string // says which it is; never read here
	Planned  int64
	Change   int64 // the set-up change before it; over if the shot is up
	Open     bool  // it is up
	Elapsed  int64 // for how long, interruptions taken out, where Open
	Passed   bool  // another was opened after it: most likely it is made, and nobody has said so
	Earliest int64 // the minute before which it cannot start, 0 for none: a person's call
	// Windows are stretches in one of which it is to be made, in order of time; none
	// for at any time. It waits for the first that it still fits into at the middle
	// of the pace; where there is none it is late rather than left out.
	Windows []Stretch
}

// Day is what a forecast is made from.
type Day struct {
	Now       int64
	Finished  []Finished
	Since     int64 // minutes worked since the last capture, or since the first call
	Unopened  int   // finished ones that nobody said were up
	Remaining []Remaining
	// Meals are those still to be taken: of one that is late and not taken yet,
	// the caller says when it will be.
	Meals []Meal
}

// Predict gives the chance of every minute at which the day may wrap. With
// nothing left that is now. It fails with any of the codes.
func Predict(d Day) (Forecast, error) {
	pace, err := Learn(d.Finished)
	if err != nil {
		return Forecast{}, err
	}
	if err := d.check(); err != nil {
		return Forecast{}, err
	}
	c, err := newClock(d.Now, d.Meals)
	if err != nil {
		return Forecast{}, err
	}
	f := Forecast{Pace: pace}
	if len(d.Remaining) == 0 {
		f.From, f.Parts = d.Now, []int64{Whole}
		f.Wrap50, f.Wrap80 = d.Now, d.Now
		return f, nil
	}
	left := d.believed(&f)
	wrap, starts := run(pace, left, c, d.credit(pace))
	f.setWrap(wrap, c)
	for i, r := range d.Remaining {
		l := Likely{r.Key, d.Now - r.Elapsed, d.Now - r.Elapsed}
		if !r.Open {
			parts := starts[i].parts()
			l.P50 = c.starts(starts[i].from + index(parts, Whole/2))
			l.P80 = c.starts(starts[i].from + index(parts, Whole/5*4))
		}
		f.Starts = append(f.Starts, l)
	}
	return f, nil
}

func (d Day) check() *Error {
	total := int64(0)
	for i, r := range d.Remaining {
		switch {
		case r.Planned < 0 || r.Planned > longest:
			return fail(CodePlanned, "remaining shot %d is planned at %d min; correct the plan to between 0 min and 36 h", i+1, r.Planned)
		case r.Change < 0 || r.Change > longest:
			return fail(CodePlanned, "the set-up change before remaining shot %d is planned at %d min; correct it to between 0 min and 36 h", i+1, r.Change)
		case r.Elapsed < 0:
			return fail(CodeElapsed, "remaining shot %d was opened after now; correct when it was opened, or the clock of the phone that did", i+1)
		case !r.Open && r.Elapsed > 0:
			return fail(CodeElapsed, "remaining shot %d is not up and has been for %d min; open it, or take the time out", i+1, r.Elapsed)
		case r.Earliest != 0 && r.Earliest-d.Now > mostMinutes:
			return fail(CodeRange, "remaining shot %d waits for longer than three days; correct its window", i+1)
		}
		total += r.Planned + r.Change
	}
	if len(d.Remaining) > mostShots || total > mostMinutes {
		return fail(CodeRange, "%d shots with %d min are more than one day can hold; move some to another day", len(d.Remaining), total)
	}
	return nil
}

// believed is what remains, with shots that are up for longer than can be
// believed, since yesterday perhaps, as if just opened; it names those.
func (d Day) believed(f *Forecast) []Remaining {
	left := append([]Remaining(nil), d.Remaining...)
	for i, r := range left {
		if r.Open && believable(r.Planned, r.Elapsed) != r.Elapsed {
			f.Doubtful = append(f.Doubtful, r.Key)
		}
		left[i].Elapsed = believable(r.Planned, r.Elapsed)
	}
	return left
}

// believable is for how long a shot is believed to be up.
func believable(planned, elapsed int64) int64 {
	if elapsed > max(farthest*planned, 30) {
		return 0
	}
	return elapsed
}

// credit is what was worked since the last capture while nobody said that anything
// is up, as minutes that are already behind: the change to the next, and the next
// itself where people do not say what is up.
func (d Day) credit(p Pace) []may {
	if len(d.Remaining) == 0 {
		return []may{{certain(0), 1}}
	}
	next := d.Remaining[0]
	if next.Open || len(next.Windows) > 0 || next.Earliest > d.Now || d.Since == 0 {
		return []may{{certain(0), 1}}
	}
	changed := min(d.Since, p.of(next.Change))
	begun := min(d.Since, 2*p.of(next.Change+next.Planned))
	share := (float64(d.Unopened) + 0.5) / (float64(len(d.Finished)) + 2)
	return []may{{certain(-begun), share}, {certain(-changed), 1 - share}}
}

// setWrap turns the working minutes of the wrap into minutes.
func (f *Forecast) setWrap(wrap spread, c clock) {
	f.From = c.ends(wrap.from)
	f.Parts = make([]int64, c.ends(wrap.from+int64(len(wrap.p))-1)-f.From+1)
	for i, p := range wrap.parts() {
		f.Parts[c.ends(wrap.from+int64(i))-f.From] = p
	}
	f.Wrap50, f.Wrap80 = f.By(Whole/2), f.By(Whole/5*4)
}

// run sums the day over the pace: the wrap and the start of each shot, in working
// minutes.
func run(pace Pace, left []Remaining, c clock, credit []may) (wrap spread, starts []spread) {
	starts = make([]spread, len(left))
	waits := make([]during, len(left))
	for i, r := range left {
		waits[i] = c.during(r.Windows)
	}
	ahead, _ := oneOf(credit)
	points := int64(pointsFor(pace, left))
	for i := -points; i <= points; i++ {
		z := float64(4*i) / float64(points)
		if outlying(z) {
			continue
		}
		at := atPace{pace: pace.Mean + float64(z*pace.SD), sd: pace.Shot, known: map[int64]spread{}}
		weight := expOf(-float64(z*z) / 2)
		rests := make([]spread, len(left))
		for i, r := range left {
			if r.Open {
				var chance float64
				rests[i], chance = oneOf(pace.rest(r, at.pace))
				weight = max(float64(weight*chance), 1e-280) // whatever is up, some pace must be left
			}
		}
		s := ahead
		for i, r := range left {
			if r.Open {
				s = s.plus(rests[i])
				continue
			}
			s = s.plus(at.lasts(r.Change))
			if r.Earliest > c.now {
				s = s.notBefore(c.work(r.Earliest))
			}
			if in := waits[i]; in != nil {
				s = s.moved(func(at int64) int64 { at, _ = in.start(c, at, pace.of(r.Planned)); return at })
			}
			starts[i].add(s.notBefore(0), weight)
			s = s.plus(at.lasts(r.Planned))
		}
		wrap.add(s.notBefore(leastLeft(left)), weight)
	}
	return wrap, starts
}

// leastLeft is how many working minutes are left at least.
func leastLeft(left []Remaining) int64 {
	for _, r := range left {
		if r.Planned+r.Change > 0 {
			return 1
		}
	}
	return 0
}

// outlying paces are left out: all of them together are one day in five thousand.
func outlying(z float64) bool { return z > 3.75 || z < -3.75 }

// pointsFor is how many points of the pace there are on either side, out to four
// standard deviations: as many as keep them within two standard deviations of what the day varies by at each.
func pointsFor(pace Pace, left []Remaining) int {
	total, squares := 0.0, 0.0
	for _, r := range left {
		for _, m := range []int64{r.Planned, r.Change} {
			total += float64(m)
			squares += float64(float64(m) * float64(m))
		}
	}
	if squares == 0 {
		return 1
	}
	return int(min(max(math.Ceil(4*pace.SD*total/(2*pace.Shot*math.Sqrt(squares))), 6), 48))
}

// atPace remembers how long things take at one pace.
type atPace struct {
	pace  float64
	sd    float64
	known map[int64]spread
}

func (a atPace) lasts(planned int64) spread {
	s, ok := a.known[planned]
	if !ok {
		s = lasts(planned, a.pace, a.sd)
		a.known[planned] = s
	}
	return s
}

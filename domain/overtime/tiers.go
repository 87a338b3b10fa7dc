package overtime

import (
	"slices"

	"fairday/domain/money"
	"fairday/domain/sorting"
	"fairday/domain/when"
)

// cut is a sheet as it counts for a wrap at minute w. Ordinary time is what is
// worked once the rest before the day is over; bands and steps count it.
type cut struct {
	*sheet
	Included int64 // of this day
	d        day
	w        int64
	worked   int64
	early    int64 // worked before the rest was over
	ordinary int64
	paid     int64 // ordinary minutes that are paid, included ones with them
	tiers    []tier
	stops    []stop

	restTimes  money.Ratio // what a minute of a short rest before the next call was last paid at
	restMinute money.Piece // and comes to
}

// tier is a stretch of ordinary time that is paid alike.
type tier struct {
	from, to int64 // ordinary minutes
	times    money.Ratio
	minute   money.Piece
	source   source
	extra    bool // of time that a minimum call pays already: times and minute are what the band adds
}

// stop is a minute at which ordinary time stands still for a while, and what a
// step has counted by then beyond what was worked.
type stop struct {
	at            int64
	worked, steps int64 // ordinary minutes
}

// source is the rule that a tier comes from.
type source struct {
	rule  rule
	after int64 // its threshold, in minutes
}

// rule orders what can say how often a minute is paid.
type rule int

const (
	noBand rule = iota
	byWorked
	byElapsed
	byWeek
	byRun
)

// cutAt reckons how much is worked and paid for a wrap at minute w.
func (s *sheet) cutAt(w int64) (*cut, error) {
	c := &cut{sheet: s, d: s.day.cutAt(w), Included: s.Included}
	if s.Continuous > 0 && (len(c.d.meals) == 0 || c.d.meals[0].from > c.d.start-c.d.credit+s.Continuous) {
		c.Included = s.Continuous
	}
	c.move(w)
	return c, c.retier()
}

// move goes to another wrap for which the day's breaks count as they do now.
func (c *cut) move(w int64) {
	c.w = max(w, c.d.start)
	c.worked = c.d.worked(c.w, c.MealPaid)
	if c.rested > c.d.start {
		c.early = c.earlyAt(c.w)
	}
	c.ordinary = c.worked - c.early
	c.paid = c.Included + max(c.counted(max(c.ordinary-c.Included, 0)), c.Minimum)
}

// earlyAt is how much is worked up to a minute before the rest is over.
func (c *cut) earlyAt(m int64) int64 {
	return c.d.worked(min(m, c.rested), c.MealPaid) - c.d.credit
}

// retier cuts the paid time beyond what is included into tiers. They stay what
// they are until work goes on after a break or after the rest before the day.
func (c *cut) retier() error {
	c.tiers = c.tiers[:0]
	if c.endless() {
		return nil
	}
	starts, elapsed := c.thresholds()
	c.tiers = slices.Grow(c.tiers, len(starts))
	for i, from := range starts {
		if i+1 < len(starts) && max(from, c.Included) >= starts[i+1] {
			continue
		}
		from = max(from, c.Included)
		times, src := c.source(from, elapsed)
		if n := len(c.tiers); n > 0 {
			if c.tiers[n-1].source == src {
				continue
			}
			c.tiers[n-1].to = from
		}
		minute, err := c.worth(times)
		if err != nil {
			return err
		}
		c.tiers = append(c.tiers, tier{from: from, to: forever, times: times, minute: minute, source: src})
	}
	if len(c.Week) > 0 && c.Basis != Hourly {
		if err := c.payIncluded(starts, elapsed); err != nil {
			return err
		}
	}
	if c.Minimum > 0 && (c.premium(&c.tiers[0]) || c.tiers[0].to < c.Minimum) {
		return c.payMinimum()
	}
	return nil
}

// payMinimum pays for the minimum call at the base, whatever of it was worked, and
// for what was worked of it in a band what the band adds. So no premium is paid on
// time that nobody worked, and none is lost.
func (c *cut) payMinimum() error {
	minute, err := c.worth(money.Whole(1))
	if err != nil {
		return err
	}
	out := []tier{{from: 0, to: c.Minimum, times: money.Whole(1), minute: minute}}
	for _, t := range c.tiers {
		if more, err := t.times.Sub(money.Whole(1)); err != nil {
			return err
		} else if t.from < c.Minimum && more.Sign() > 0 {
			if minute, err = c.worth(more); err != nil {
				return err
			}
			out = append(out, tier{t.from, min(t.to, c.Minimum), more, minute, t.source, true})
		}
		if t.to > c.Minimum {
			t.from = max(t.from, c.Minimum)
			out = append(out, t)
		}
	}
	c.tiers = out
	return nil
}

// payIncluded adds to the included time what bands by the week add to it: the rate has
// paid for it once, or as often as the run of days says.
func (c *cut) payIncluded(starts, elapsed []int64) error {
	var out []tier
	once := money.Whole(1)
	if c.run.Cmp(once) > 0 {
		once = c.run
	}
	for i, from := range starts {
		to := c.Included
		if i+1 < len(starts) {
			to = min(to, starts[i+1])
		}
		if from >= to {
			continue
		}
		times, src := c.weekly(from)
		more, err := times.Sub(once)
		if err != nil {
			return err
		}
		if more.Sign() <= 0 {
			continue
		}
		if n := len(out); n > 0 && out[n-1].source == src {
			out[n-1].to = to
			continue
		}
		minute, err := c.worth(more)
		if err != nil {
			return err
		}
		out = append(out, tier{from, to, more, minute, src, true})
	}
	c.tiers = append(out, c.tiers...)
	return nil
}

// weekly is what the bands by the week pay for an ordinary minute.
func (c *cut) weekly(k int64) (times money.Ratio, src source) {
	for _, b := range c.Week {
		if c.inWeek(b.After) <= k {
			times, src = b.Times, source{byWeek, b.After}
		}
	}
	return times, src
}

// thresholds gives the ordinary minutes at which something may change, in order
// and each once, and those of the bands by elapsed time, one for each.
func (c *cut) thresholds() (starts, elapsed []int64) {
	starts = make([]int64, 1, 2+len(c.bands)+len(c.Week))
	stopped := false
	for _, b := range c.bands {
		at := b.After
		if b.Elapsed {
			if !stopped {
				c.stop()
				stopped = true
			}
			at = c.elapsed(b.After)
			elapsed = append(elapsed, at)
		}
		starts = append(starts, max(at, 0))
	}
	for _, b := range c.Week {
		starts = append(starts, c.inWeek(b.After))
	}
	if !slices.IsSorted(starts) {
		sorting.Up(starts)
	}
	return slices.Compact(starts), elapsed
}

// stop finds where ordinary time stood still up to the wrap, and last where it
// stands still if the day ends there.
func (c *cut) stop() {
	c.stops = c.stops[:0]
	add := func(at, worked int64) {
		c.stops = append(c.stops, stop{at, worked, c.Included + c.counted(max(worked-c.Included, 0))})
	}
	if c.rested > c.d.start {
		add(c.d.start, c.d.credit)
		if c.w <= c.rested {
			return
		}
	}
	if !c.MealPaid {
		for _, m := range c.d.meals {
			if m.from >= c.w {
				break
			}
			if m.from > c.rested || c.rested == c.d.start {
				add(m.from, c.d.worked(m.from, false)-c.early)
			}
			if c.w <= m.to {
				return
			}
		}
	}
	add(c.w, c.ordinary)
}

// elapsed is how much ordinary time lies before so many minutes on the clock.
// What a step counts beyond the work follows on from it as if work had gone on,
// and stays there when work goes on later.
func (c *cut) elapsed(after int64) int64 {
	at := c.d.start - c.d.credit + after
	if at <= c.d.start {
		return after // within what a late call is credited
	}
	last := &c.stops[len(c.stops)-1]
	k := last.worked + at - last.at
	if at <= last.at {
		k = c.d.worked(at, c.MealPaid) - c.earlyAt(at)
	}
	if c.Step > 1 || c.First > 0 {
		for i := range c.stops {
			if s := &c.stops[i]; s.at < at {
				k = max(k, min(s.steps, s.worked+at-s.at))
			}
		}
	}
	return k
}

// inWeek is the ordinary minute from which on a band by the week counts. What a
// late call is credited comes before the work of the day, and so does what a step
// counts on it; what is worked before the rest is over comes next.
func (c *cut) inWeek(after int64) int64 {
	k := max(after-c.before.Week, 0)
	first := c.d.credit
	if first > c.Included {
		first = c.Included + c.counted(first-c.Included)
	}
	if c.early > 0 && k >= first {
		k = max(k-c.early, first)
	}
	return k
}

// source finds which rule pays an ordinary minute, and how often.
func (c *cut) source(k int64, elapsed []int64) (money.Ratio, source) {
	times, src := money.Whole(1), source{}
	for _, b := range c.bands {
		if !b.Elapsed && b.After <= k {
			times, src = b.Times, source{byWorked, b.After}
		}
	}
	raise := func(to money.Ratio, by source) {
		if to.Cmp(times) > 0 {
			times, src = to, by
		}
	}
	for _, b := range c.bands {
		if b.Elapsed {
			if elapsed[0] <= k {
				raise(b.Times, source{byElapsed, b.After})
			}
			elapsed = elapsed[1:]
		}
	}
	raise(c.weekly(k))
	raise(c.run, source{byRun, 0})
	return times, src
}

// reached is the minute by which so much ordinary time has been worked. What a
// late call is credited takes none.
func (c *cut) reached(ordinary int64, after bool) int64 {
	return c.d.reached(c.early+max(ordinary, c.d.credit), c.MealPaid, after)
}

// premium tells whether a tier is overtime and not straight time.
func (c *cut) premium(t *tier) bool { return t.source.rule != noBand || c.Basis != Hourly }

// minutes is how much of a tier is paid.
func (c *cut) minutes(t *tier) int64 { return max(min(c.upTo(t), t.to)-t.from, 0) }

// upTo is how far time is paid, as a tier has it.
func (c *cut) upTo(t *tier) int64 {
	switch {
	case !t.extra:
		return c.paid
	case c.Basis == Hourly:
		return c.counted(c.ordinary)
	}
	return c.ordinary
}

// why says in words what so many minutes of a tier come to.
func (c *cut) why(t *tier, n int64) string {
	after := ""
	switch t.source.rule {
	case byElapsed:
		after = "after " + when.Elapsed(t.source.after) + " on the clock: "
	case byWeek:
		after = "after " + when.Elapsed(t.source.after) + " in the week: "
	case byRun:
		after = c.runs + ": "
	default:
		after = "after " + when.Elapsed(t.from) + ": "
		if t.from == 0 {
			after = "from the start: "
		}
	}
	if t.extra {
		name := "the minimum call"
		if c.Basis != Hourly {
			name = "the rate"
		}
		after += "on top of " + name + ": "
	}
	return after + c.product(n, t.times)
}

// meal is one that was due, and when it started or the day ended without it.
type meal struct {
	number  int
	due, at int64 // minutes
}

// late gives the meals that are late when the day ends at minute w, with the
// breaks as they count now.
func (c *cut) late(w int64) []meal {
	if c.Meal.IsZero() {
		return nil
	}
	var out []meal
	due := c.d.start + c.Meal.Due
	if eaten := c.d.breakfasted; eaten > 0 {
		due = eaten + c.Meal.Due
	}
	for i, m := range c.d.meals {
		if at := min(m.from, w); at > due+c.Meal.Grace {
			out = append(out, meal{i + 1, due, at})
		}
		if c.Meal.Next == 0 {
			return out
		}
		due = m.to + c.Meal.Next
	}
	if w > due+c.Meal.Grace {
		out = append(out, meal{len(c.d.meals) + 1, due, w})
	}
	return out
}

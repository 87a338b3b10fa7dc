package overtime

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"fairday/domain/money"
	"fairday/domain/when"
)

// Engagement is somebody, a place or a thing on the day. With a sign-out its
// cost is fixed; without one it is on the clock, or will be from its call, until
// the wrap.
type Engagement struct {
	Key   string // says whose a step is; never read here
	Label string // names it in errors
	Terms Terms
	Hours Hours
}

// Curve is overtime and penalties against the minute of the wrap, in one
// currency, exact at every minute from From to To. It never falls.
type Curve struct {
	Currency money.Currency
	From, To when.Instant
	Base     money.Amount // at From
	Steps    []Step       // after From, in order
}

// Step is a minute at which the exposure goes up: a wrap before At does not cost
// it.
type Step struct {
	At     when.Instant
	Amount money.Amount // by how much
	Total  money.Amount // to how much
	Keys   []string     // of whom, in the order of the engagements
}

// At is the exposure if the day wraps then. Before From it is that of From, after
// To that of To.
func (c Curve) At(wrap when.Instant) money.Amount {
	i, _ := slices.BinarySearchFunc(c.Steps, wrap+1, func(s Step, at when.Instant) int { return cmp.Compare(s.At, at) })
	if i == 0 {
		return c.Base
	}
	return c.Steps[i-1].Total
}

// Next is the first step after an instant; ok is false where none is left.
func (c Curve) Next(after when.Instant) (step Step, ok bool) {
	i, _ := slices.BinarySearchFunc(c.Steps, after+1, func(s Step, at when.Instant) int { return cmp.Compare(s.At, at) })
	if i == len(c.Steps) {
		return Step{}, false
	}
	return c.Steps[i], true
}

// longestCurve is how far a curve may reach, in minutes.
const longestCurve = 72 * 60

// Expose gives one curve for each currency, in the order of their codes.
// Engagements that make no sense are left out and named in the error, which then
// joins one *EngagementError for each; the curves hold for all the others.
func Expose(engagements []Engagement, from, to when.Instant) ([]Curve, error) {
	first, last := minute(from), minute(to)
	if last < first || last-first > longestCurve {
		return nil, fail(CodeRange, "exposure can be shown for up to %s, from earlier to later; choose other ends", when.Elapsed(longestCurve))
	}
	drafts := map[money.Currency]*draft{}
	var errs []error
	for i, e := range engagements {
		run, err := e.trace(first, last)
		if err != nil {
			errs = append(errs, &EngagementError{Key: e.Key, Label: e.Label, Err: err})
			continue
		}
		c := e.Terms.Rate.Currency
		if drafts[c] == nil {
			drafts[c] = &draft{currency: c, base: money.Of(0, c)}
		}
		if err := drafts[c].add(i, run); err != nil {
			return nil, err
		}
	}
	var curves []Curve
	for _, d := range drafts {
		c, err := d.curve(engagements, first, last)
		if err != nil {
			return nil, err
		}
		curves = append(curves, c)
	}
	slices.SortFunc(curves, func(a, b Curve) int { return cmp.Compare(a.Currency, b.Currency) })
	return curves, errors.Join(errs...)
}

// EngagementError says whose terms or hours could not be reckoned.
type EngagementError struct {
	Key, Label string
	Err        error // an *Error or a *money.Error
}

// Error gives the sentence with the name in front.
func (e *EngagementError) Error() string { return fmt.Sprintf("%s: %v", e.Label, e.Err) }

// Unwrap gives the reason.
func (e *EngagementError) Unwrap() error { return e.Err }

// rise is by how much one engagement's exposure goes up at a minute.
type rise struct {
	at    int64
	minor int64 // units of the engagement's currency
}

// run is one engagement's exposure: at the first minute, and how it rises.
type run struct {
	base  money.Amount
	rises []rise
}

// trace follows one engagement from one wrap minute to another.
func (e Engagement) trace(first, last int64) (run, error) {
	r, err := e.Terms.tariff()
	if err != nil {
		return run{}, err
	}
	d, bad := e.Hours.day()
	if bad != nil {
		return run{}, bad
	}
	if d.out != 0 {
		s, err := r.slip(d)
		if err != nil {
			return run{}, err
		}
		base, err := s.Overtime.Add(s.Penalty)
		return run{base: base}, err
	}
	if last-d.start > longestDay {
		return run{}, fail(CodeHoursLong, "on the clock for %s by the end of the picture; sign out, or look at less", when.Elapsed(last-d.start))
	}
	out := run{base: money.Of(0, r.Rate.Currency), rises: make([]rise, 0, 16+(last-first)/max(r.Step, 1))}
	if err := r.traceOvertime(d, first, last, &out); err != nil {
		return run{}, err
	}
	return out, r.traceMeals(d, first, last, &out)
}

// traceOvertime visits each minute at which another count of overtime is due.
func (r *tariff) traceOvertime(d day, first, last int64, out *run) error {
	if len(r.tiers) == 0 {
		return nil
	}
	over := max(d.worked(first, r.MealPaid)-r.Included, 0)
	done, whole, now, err := r.overtime(0, money.Of(0, r.Rate.Currency), over)
	if err != nil {
		return err
	}
	if out.base, err = out.base.Add(now); err != nil {
		return err
	}
	for {
		over = r.nextCount(over)
		at := d.reached(r.Included+over, r.MealPaid, false)
		if at > last {
			return nil
		}
		before := now
		if done, whole, now, err = r.overtime(done, whole, over); err != nil {
			return err
		}
		if err := out.rise(at, before, now); err != nil {
			return err
		}
	}
}

// overtime is what so many minutes of overtime come to. The first done tiers
// are known to be full and to come to whole; it hands back both for the next,
// longer, time.
func (r *tariff) overtime(done int, whole money.Amount, over int64) (int, money.Amount, money.Amount, error) {
	upTo := r.Included + r.counted(over)
	now := whole
	for i := done; i < len(r.tiers) && r.tiers[i].from < upTo; i++ {
		s := r.tiers[i]
		if s.premium {
			a, err := r.amount(s, upTo)
			if err == nil {
				now, err = now.Add(a)
			}
			if err != nil {
				return done, whole, now, err
			}
		}
		if s.to <= upTo {
			done, whole = i+1, now
		}
	}
	return done, whole, now, nil
}

// traceMeals visits each minute at which another penalty period starts.
func (r *tariff) traceMeals(d day, first, last int64, out *run) error {
	for _, m := range r.late(d, last) {
		now, n, err := r.penalty(min(m.at, first) - m.due)
		if err != nil {
			return err
		}
		if out.base, err = out.base.Add(now); err != nil {
			return err
		}
		for at := m.due + n*r.Meal.Every + 1; at <= m.at; at += r.Meal.Every {
			before := now
			if now, _, err = r.penalty(at - m.due); err != nil {
				return err
			}
			if err := out.rise(at, before, now); err != nil {
				return err
			}
		}
	}
	return nil
}

// rise notes the difference between two amounts, if there is one.
func (o *run) rise(at int64, before, now money.Amount) error {
	by, err := now.Sub(before)
	if err == nil && !by.IsZero() {
		o.rises = append(o.rises, rise{at, by.Minor})
	}
	return err
}

// draft gathers the runs of one currency.
type draft struct {
	currency money.Currency
	base     money.Amount
	runs     []owned
}

// owned is a run and the index of its engagement.
type owned struct {
	run
	who int
}

func (d *draft) add(who int, r run) (err error) {
	d.base, err = d.base.Add(r.base)
	d.runs = append(d.runs, owned{r, who})
	return err
}

// curve puts the rises into the order of their minutes, with one pass to make
// room and one to fill it.
func (d *draft) curve(engagements []Engagement, first, last int64) (Curve, error) {
	minutes := last - first + 1
	room := make([]int, minutes+1) // room[m+1] counts, then room[m] is where the keys of minute m start
	for _, r := range d.runs {
		for _, x := range r.rises {
			room[x.at-first+1]++
		}
	}
	for m := range minutes {
		room[m+1] += room[m]
	}
	keys := make([]string, room[minutes])
	owner := make([]int, minutes) // who was last in a minute, plus one
	used := make([]int, minutes)
	by := make([]money.Amount, minutes)
	steps := 0
	for _, r := range d.runs {
		for _, x := range r.rises {
			m := x.at - first
			var err error
			if by[m], err = by[m].Add(money.Of(x.minor, d.currency)); err != nil {
				return Curve{}, err
			}
			if owner[m] == r.who+1 {
				continue // overtime and a penalty at one minute
			}
			if used[m] == 0 {
				steps++
			}
			keys[room[m]+used[m]] = engagements[r.who].Key
			used[m]++
			owner[m] = r.who + 1
		}
	}
	c := Curve{Currency: d.currency, From: instant(first), To: instant(last), Base: d.base, Steps: make([]Step, 0, steps)}
	total := d.base
	for m, n := range used {
		if n == 0 {
			continue
		}
		var err error
		if total, err = total.Add(by[m]); err != nil {
			return Curve{}, err
		}
		c.Steps = append(c.Steps, Step{At: instant(first + int64(m)), Amount: by[m], Total: total,
			Keys: keys[room[m] : room[m]+n : room[m]+n]})
	}
	return c, nil
}

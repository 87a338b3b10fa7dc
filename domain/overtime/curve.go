package overtime

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"fairday/domain/money"
	"fairday/domain/sorting"
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
	Next  when.Instant // their next call, 0 for none known: a late wrap may leave too little rest before it
	Group string       // its department, or whatever shares are to be summed by; never read here
}

// Curve is what running on costs, against the minute of the wrap, in one currency,
// exact at every minute from From to To: overtime and penalties, with what a short
// rest costs the day after; straight time by the hour beyond the minimum call; and
// what a whole day costs more than half of one. The costs on all of them are in it.
// What is owed however short the day is not. It never falls.
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
	return expose(engagements, from, to, nil)
}

// ExposeEach is Expose that also hands out the curve of each engagement, by its
// place in the list; the zero Curve for those that are left out. Each is followed
// once.
func ExposeEach(engagements []Engagement, from, to when.Instant) (all, each []Curve, err error) {
	each = make([]Curve, len(engagements))
	all, err = expose(engagements, from, to, each)
	return all, each, err
}

func expose(engagements []Engagement, from, to when.Instant, each []Curve) ([]Curve, error) {
	first, last := minute(from), minute(to)
	if last < first || last-first > longestCurve {
		return nil, fail(CodeRange, "exposure can be shown for up to %s, from earlier to later; choose other ends", when.Elapsed(longestCurve))
	}
	drafts := map[money.Currency]*draft{}
	var errs []error
	by, known := make([]int64, last-first+1), newClockCache()
	for i, e := range engagements {
		base, err := e.trace(first, last, by, known)
		if err != nil {
			errs = append(errs, &EngagementError{Key: e.Key, Label: e.Label, Err: err})
			continue
		}
		c := e.Terms.Rate.Currency
		if drafts[c] == nil {
			drafts[c] = newDraft(c, len(engagements), len(by))
		}
		if err := drafts[c].add(i, base, by); err != nil {
			return nil, err
		}
		if each != nil {
			if each[i], err = e.curve(base, by, first, last); err != nil {
				return nil, err
			}
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
	sorting.By(curves, func(a, b Curve) int { return cmp.Compare(a.Currency, b.Currency) })
	return curves, errors.Join(errs...)
}

// EngagementError says whose terms or hours could not be reckoned.
type EngagementError struct {
	Key, Label string
	Err        error // an *Error
}

// Error gives the sentence with the name in front.
func (e *EngagementError) Error() string { return fmt.Sprintf("%s: %v", e.Label, e.Err) }

// Unwrap gives the reason.
func (e *EngagementError) Unwrap() error { return e.Err }

// trace follows one engagement from one wrap minute to another, in minor units.
// It gives the exposure at the first and puts into by how much it rises at each
// minute.
func (e Engagement) trace(first, last int64, by []int64, k *clockCache) (int64, error) {
	clear(by)
	s, err := newSheet(e.Terms, e.Hours, k)
	if err != nil {
		return 0, err
	}
	if s.day.out != 0 {
		m, err := s.meter(s.day.out, s.day.out, minute(e.Next))
		if err != nil {
			return 0, err
		}
		return m.at(s.day.out, s.day.out)
	}
	if last-s.day.start > longestDay {
		return 0, fail(CodeHoursLong, "on the clock for %s by the end of the picture; sign out, or look at less", when.Elapsed(last-s.day.start))
	}
	m, err := s.meter(first, last, minute(e.Next))
	if err != nil {
		return 0, err
	}
	base, err := m.at(first, last)
	before := base
	for w := first + 1; w <= last && err == nil; w++ {
		var now int64
		now, err = m.at(w, last)
		by[w-first] = now - before
		if n := min(m.ahead(w), last-w); n > 0 && err == nil {
			if len(m.growing) == 0 {
				w += n
			} else if then, ok := m.run(by[w-first+1 : w-first+1+n]); ok {
				w, now = w+n, then
			}
		}
		before = now
	}
	return base, err
}

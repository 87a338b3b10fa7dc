package pace

import (
	"cmp"
	"slices"

	"fairday/domain/sorting"
)

// Taps is what people have told of the day so far, as late and as incomplete as
// they do. Minutes count from where the Plan's do.
type Taps struct {
	Call     int64     // the first call of the day
	Captures []Capture // also of shots that were put back since
	Stops    []Stretch // pauses, and waits for what was not there; they may overlap
	Planned  []Stretch // waits that the plan knew of: for a window, for a person's call
	Meals    []TappedMeal
}

// Capture is a shot that was reported as made.
type Capture struct {
	At      int64
	Planned int64 // with the set-up change before it
	Opened  bool  // somebody said before that it was up
	Again   bool  // it was captured before, and put back
}

// TappedMeal is a meal of the plan and what was told of it.
type TappedMeal struct {
	PlannedMeal
	Begun, Over bool
	From, To    int64 // when that was told
}

// Read fills in what the taps say of a plan: what is finished, how long has been
// worked since, and the meals that are still to come. It gives the keys of meals
// that nobody told of and that the day has a gap for.
func (p *Plan) Read(t Taps) (assumed []string) {
	sorting.By(t.Captures, func(a, b Capture) int { return cmp.Compare(a.At, b.At) })
	known := slices.Clone(t.Planned) // all stops but those that nobody planned
	var untold []PlannedMeal
	for _, m := range t.Meals {
		end := m.From + m.Minutes
		switch {
		case m.Over:
			if slices.ContainsFunc(t.Captures, func(c Capture) bool { return c.At > end && c.At < m.To }) {
				m.To = end // they were at work before somebody told
			}
			known = append(known, Stretch{m.From, m.To})
		case m.Begun && p.Now >= end:
			known = append(known, Stretch{m.From, end}) // nobody told of the end
		case m.Begun:
			known = append(known, Stretch{m.From, p.Now})
			m.On, m.At = true, m.From
			p.Meals = append(p.Meals, m.PlannedMeal)
		case m.At+m.Minutes > t.Call: // else it was before the work
			untold = append(untold, m.PlannedMeal)
		}
	}
	sorting.By(untold, func(a, b PlannedMeal) int { return cmp.Compare(a.At, b.At) })
	for _, m := range untold {
		if s, ok := t.gap(m, p.Now, slices.Concat(known, t.Stops)); ok {
			known = append(known, s)
			assumed = append(assumed, m.Key)
		} else {
			p.Meals = append(p.Meals, m)
		}
	}
	stops := slices.Concat(known, t.Stops)
	from := t.Call
	for i, c := range t.Captures {
		if i == 0 {
			from = min(from, c.At)
		}
		if c.Again {
			c.Planned = 0 // nobody planned to make it twice, and it may happen again
		}
		took := worked(from, c.At, stops)
		p.Finished = append(p.Finished, Finished{c.Planned, took, worked(from, c.At, known) - took})
		if from = max(from, c.At); !c.Opened {
			p.Unopened++
		}
	}
	p.Since, p.stops = worked(from, max(p.Now, from), stops), stops
	return assumed
}

// gap is where a meal that nobody told of fits: between two captures about its
// time that are further apart than what was made between them takes, by most of
// the meal. As long as nothing was captured after it, it is still to come.
func (t Taps) gap(m PlannedMeal, now int64, stops []Stretch) (Stretch, bool) {
	best, at := int64(0), Stretch{}
	planned, took, from := int64(0), int64(0), t.Call
	for _, c := range t.Captures {
		planned, took, from = planned+c.Planned, took+worked(from, max(from, c.At), stops), max(from, c.At)
	}
	from = t.Call
	for i, c := range t.Captures {
		if c.At >= m.At+m.Minutes/2 && from <= m.At+m.Minutes && i+1 < len(t.Captures) {
			work := worked(from, max(from, c.At), stops)
			expected := c.Planned
			if rest := planned - c.Planned; rest > 0 {
				expected = c.Planned * min(max(took-work, rest/2), 2*rest) / rest
			}
			if over := work - expected; over > best {
				best, at = over, Stretch{from, min(from+m.Minutes, c.At)}
			}
		}
		from = max(from, c.At)
	}
	return at, best >= m.Minutes*3/5 && m.Minutes > 0 && now >= m.At+m.Minutes
}

// worked is how many minutes between two were not stopped.
func worked(from, to int64, stops []Stretch) int64 {
	stops = slices.Clone(stops)
	sorting.By(stops, func(a, b Stretch) int { return cmp.Compare(a.From, b.From) })
	left := to - from
	for _, s := range stops {
		if f, t := max(s.From, from), min(s.To, to); t > f {
			left -= t - f
			from = t
		}
	}
	return left
}

// Elapsed is for how long what was opened at a minute is up. Where that is before
// the last capture, either that was told late or this was opened early: the middle.
func (p *Plan) Elapsed(opened int64) int64 {
	up := worked(opened, max(p.Now, opened), p.stops)
	if up > p.Since {
		return (up + p.Since) / 2
	}
	return up
}

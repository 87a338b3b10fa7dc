package pace

import (
	"cmp"
	"slices"

	"fairday/domain/sorting"
)

// Meal stops the work from minute At for so many Minutes.
type Meal struct {
	At, Minutes int64
}

// clock turns minutes into working minutes after now and back: it stands still
// over meals.
type clock struct {
	now   int64
	meals []stop
}

// stop is a meal as the clock sees it.
type stop struct {
	at      int64 // working minute
	minutes int64
}

// newClock takes the meals in any order. One that is over counts as taken, of one
// that is on the rest is taken.
func newClock(now int64, meals []Meal) (clock, error) {
	c := clock{now: now}
	meals = slices.Clone(meals)
	sorting.By(meals, func(a, b Meal) int { return cmp.Compare(a.At, b.At) })
	end, held := now, int64(0)
	for i, m := range meals {
		if m.Minutes < 0 || m.Minutes > 12*60 {
			return c, fail(CodeMeal, "a meal of %d min is not possible; write how long it takes, like 45", m.Minutes)
		}
		if m.At-now > mostMinutes {
			return c, fail(CodeMeal, "a meal is due %d min from now, which is on another day; correct its time", m.At-now)
		}
		if i > 0 && m.At < meals[i-1].At+meals[i-1].Minutes {
			return c, fail(CodeMeal, "two meals overlap; give the later one a time after the first is over")
		}
		from, to := max(m.At, end), m.At+m.Minutes
		if to <= from {
			continue
		}
		c.meals = append(c.meals, stop{from - now - held, to - from})
		end, held = to, held+to-from
	}
	return c, nil
}

// work is the working minute at a minute from now on.
func (c clock) work(minute int64) int64 {
	w := minute - c.now
	for _, s := range c.meals {
		if w <= s.at {
			break
		}
		w = max(s.at, w-s.minutes)
	}
	return w
}

// ends is the minute at which work that is done in so many working minutes ends:
// before a meal that is due then.
func (c clock) ends(work int64) int64 {
	at := c.now + work
	for _, s := range c.meals {
		if work > s.at {
			at += s.minutes
		}
	}
	return at
}

// starts is the minute at which what comes after so many working minutes starts:
// after a meal that is due then.
func (c clock) starts(work int64) int64 { return c.ends(work+1) - 1 }

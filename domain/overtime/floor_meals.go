package overtime

import (
	"slices"

	"fairday/domain/when"
)

// Waived are the meals that an employee agreed to go without, under
// Labor Code 512: the first where the day is no longer than 6 h, the second
// where it is no longer than 12 h and the first was taken.
type Waived struct {
	First  bool `json:"first,omitempty"`
	Second bool `json:"second,omitempty"`
}

// say names what was waived.
func (w Waived) say() string {
	switch {
	case w.First && w.Second:
		return " (waived where the law lets it: the first and the second meal)"
	case w.First:
		return " (waived where the law lets it: the first meal)"
	case w.Second:
		return " (waived where the law lets it: the second meal)"
	}
	return ""
}

// What the meal premium leaves out, and how it reads the law.
var (
	leavesMeals = []string{"whether the employee was free of all duty", "on-duty meal agreements"}
	readsMeals  = []string{"a break under 30 min is work and no meal", "a break before any work is no meal", "a contract's meal penalty counts towards the premium"}
)

// mealLeast is how short a meal may be.
const mealLeast = 30 * when.Minute

// start is when work starts.
func (h Hours) start() when.Instant { return max(h.In, h.Call) }

// pausing tells whether nobody said when a break of a day ended that has ended.
func (h Hours) pausing() bool {
	return h.Out != 0 && slices.ContainsFunc(h.Meals, func(b Break) bool { return b.To == 0 })
}

// meals are the breaks of a day that are long enough for a meal and after which
// work goes on, to the millisecond since meal punches may not be rounded (Donohue v.
// AMN, 2021, from memory), and when work ended.
func (h Hours) meals() (meals []Break, out when.Instant) {
	out = h.Out
	for i := len(h.Meals) - 1; i >= 0 && h.Meals[i].To >= out; i-- {
		out = min(out, h.Meals[i].From)
	}
	for _, m := range h.Meals {
		if n := len(meals); n > 0 && meals[n-1].To == m.From {
			meals[n-1].To = m.To // breaks that touch are one
		} else if m.To <= out && m.To > h.start() {
			meals = append(meals, m)
		}
	}
	long := meals[:0]
	for _, m := range meals {
		if m.To-m.From >= mealLeast {
			long = append(long, m)
		}
	}
	return long, max(out, h.start())
}

// missedGeneral says which meal of Labor Code 512 did not come in time. A meal is
// in time when it starts by the end of the fifth hour of work, the second by the end
// of the tenth (Brinker), both without the meals before them.
func missedGeneral(h Hours, w Waived) string {
	meals, out := h.meals()
	worked := out - h.start()
	var starts []when.Instant // in time worked
	taken := when.Instant(0)
	for _, m := range meals {
		from := max(m.From, h.start())
		if before := from - h.start() - taken; before > 0 { // what comes before any work is no meal in it
			starts = append(starts, before)
		}
		taken += m.To - from
	}
	worked -= taken
	switch {
	case worked <= 5*when.Hour, w.First && worked <= 6*when.Hour:
		return ""
	case len(starts) == 0 || starts[0] > 5*when.Hour:
		return "no meal of 30 min before the end of the fifth hour"
	case worked <= 10*when.Hour, w.Second && worked <= 12*when.Hour:
		return ""
	case len(starts) < 2 || starts[1] > 10*when.Hour:
		return "no second meal of 30 min before the end of the tenth hour"
	}
	return ""
}

// missedPicture says which meal of Wage Order 12 did not come in time.
func missedPicture(h Hours) string {
	meals, out := h.meals()
	since, which := h.start(), "the first meal"
	for _, m := range append(meals, Break{From: out, To: out}) {
		if m.From-since > 6*when.Hour {
			return "over 6 h of work before " + which
		}
		since, which = m.To, "the next meal"
	}
	return ""
}

package overtime

import (
	"fmt"

	"fairday/domain/money"
	"fairday/domain/when"
)

// MealLaw says which of California's meal rules holds.
type MealLaw string

// The rules.
const (
	// CaliforniaGeneral is Labor Code 512: work over 5 h needs a meal, over 10 h a
	// second one.
	CaliforniaGeneral MealLaw = "california"
	// CaliforniaMotionPicture is section 11 of Wage Order 12: no work over 6 h
	// without a meal, the next within 6 h of the end of the last.
	CaliforniaMotionPicture MealLaw = "california-motion-picture"
)

// Waived are the meals that an employee agreed to go without, under
// CaliforniaGeneral: the first where the day is no longer than 6 h, the second
// where it is no longer than 12 h and the first was taken.
type Waived struct{ First, Second bool }

// CaliforniaMeals is the premium of Labor Code 226.7: one more hour at the
// regular rate, once a workday, where a meal that was owed did not come in time.
// A meal is 30 minutes at least. Times are taken to the millisecond, since meal
// punches may not be rounded. The regular rate is that of CaliforniaDay.
func CaliforniaMeals(law MealLaw, t Terms, h Hours, w Waived) (Floor, error) {
	s, err := closed(t, h)
	if err != nil {
		return Floor{}, err
	}
	rate, err := s.regular()
	if err != nil {
		return Floor{}, err
	}
	var missed string
	switch law {
	case CaliforniaGeneral:
		missed = missedGeneral(h, w)
	case CaliforniaMotionPicture:
		missed = missedPicture(h)
	default:
		return Floor{}, fail(CodeFloor, "%q is not a meal rule we know; use california or california-motion-picture", string(law))
	}
	f := Floor{Law: "California meal premium", Source: "California Labor Code 512 and 226.7", Caution: CautionFloor,
		Least: money.Of(0, s.Rate.Currency), Extra: money.Of(0, s.Rate.Currency), Say: "every meal that was owed came in time"}
	if law == CaliforniaMotionPicture {
		f.Source = "California Wage Order 12 section 11 and Labor Code 226.7"
	}
	if missed == "" {
		return f, nil
	}
	f.Least = rate.times(60, money.Whole(1))
	f.Extra, f.Say = f.Least, fmt.Sprintf("%s: one more hour at the regular rate of %s, once a day", missed, rate.hour())
	return f, rate.err
}

// mealLeast is how short a meal may be.
const mealLeast = 30 * when.Minute

// start is when work starts.
func (h Hours) start() when.Instant { return max(h.In, h.Call) }

// missedGeneral says which meal of Labor Code 512 did not come in time.
func missedGeneral(h Hours, w Waived) string {
	var length when.Instant = h.Out - h.start()
	var starts []when.Instant // of the meals that are long enough
	for _, m := range h.Meals {
		if length -= m.To - m.From; m.To-m.From >= mealLeast {
			starts = append(starts, m.From-h.start())
		}
	}
	switch {
	case length <= 5*when.Hour, w.First && length <= 6*when.Hour:
		return ""
	case len(starts) == 0 || starts[0] > 5*when.Hour:
		return "no meal of 30 min before the end of the fifth hour"
	case length <= 10*when.Hour, w.Second && length <= 12*when.Hour:
		return ""
	case len(starts) < 2 || starts[1] > 10*when.Hour:
		return "no second meal of 30 min before the end of the tenth hour"
	}
	return ""
}

// missedPicture says which meal of Wage Order 12 did not come in time.
func missedPicture(h Hours) string {
	since, which := h.start(), "the first meal"
	for _, m := range append(h.Meals[:len(h.Meals):len(h.Meals)], Break{h.Out, h.Out + mealLeast}) {
		switch {
		case m.To-m.From < mealLeast && m.To < h.Out:
			continue
		case m.From-since > 6*when.Hour:
			return "over 6 h of work before " + which
		}
		since, which = m.To, "the next meal"
	}
	return ""
}

// NewYorkSpread is the hour at minimum wage that New York owes on top where a
// day, breaks and all, spreads over more than ten hours (12 NYCRR 142-2.4). The
// minimum wage, by the hour, is stated by the caller. In most cases it is owed to
// those paid near it alone.
func NewYorkSpread(h Hours, minimum money.Amount) (Floor, error) {
	d, bad := h.day(0)
	if bad != nil {
		return Floor{}, bad
	}
	if h.Out == 0 || minimum.Minor <= 0 {
		return Floor{}, fail(CodeFloor, "the spread of hours needs a sign-out and the minimum wage; write both")
	}
	spread := d.out - d.start
	f := Floor{Law: "New York spread of hours", Least: money.Of(0, minimum.Currency), Source: "12 NYCRR 142-2.4", Caution: CautionFloor,
		Say: fmt.Sprintf("a spread of %s is not over 10 h", when.Elapsed(spread))}
	f.Extra = f.Least
	if spread > 10*60 {
		f.Least, f.Extra = minimum, minimum
		f.Say = fmt.Sprintf("a spread of %s is over 10 h: one more hour at the minimum wage of %s", when.Elapsed(spread), minimum.Format())
	}
	return f, nil
}

package overtime

import "fairday/domain/money"

// Basis is what a rate buys.
type Basis string

// The bases.
const (
	Day    Basis = "day"    // a person, by the day
	AllIn  Basis = "all-in" // a fee that covers the day; without Included, however long it gets
	Hire   Basis = "hire"   // a place or equipment, by the day
	Hourly Basis = "hourly" // by the hour
)

// Divisor says what the rate is divided by to give the hourly base.
type Divisor string

// The divisors. The empty Divisor is ByIncluded.
const (
	ByIncluded Divisor = "included" // the included hours
	// ByWeighted divides by the included hours, each counted as often as its
	// band pays it: with a band x1.5 after 8 h, 10 included hours are
	// 8 + 1.5 x 2 = 11.
	ByWeighted Divisor = "weighted"
)

// StepRule says how a started step of overtime is counted.
type StepRule string

// The rules. The empty StepRule is StepUp.
const (
	StepUp      StepRule = "up"      // a started step counts whole
	StepNearest StepRule = "nearest" // from half a step on it counts, below it does not
)

// Terms are what a person, a place or a piece of equipment is engaged on. All
// lengths are minutes.
type Terms struct {
	Basis      Basis        `json:"basis"`
	Rate       money.Amount `json:"rate"`               // for the day, or the agreed Days; for an hour where Hourly
	Included   int64        `json:"included,omitempty"` // worked time that the rate covers, each day
	Days       int64        `json:"days,omitempty"`     // agreed days that the rate covers together; 0 or 1 for one
	Divisor    Divisor      `json:"divisor,omitempty"`
	Base       money.Amount `json:"base,omitzero"`       // the hourly base where it is agreed outright; then there is no divisor
	Bands      []Band       `json:"bands,omitempty"`     // by the time of the day, shortest first
	Week       []Band       `json:"week,omitempty"`      // by the worked time of the week
	MealPaid   bool         `json:"mealPaid,omitempty"`  // meals count as worked time
	MealLeast  int64        `json:"mealLeast,omitempty"` // a shorter break is worked time and no meal
	Step       int64        `json:"step,omitempty"`      // of overtime: 6, 15, 30 or 60; 0 or 1 for the exact minute
	StepRule   StepRule     `json:"stepRule,omitempty"`  // for steps over a minute
	Grace      int64        `json:"grace,omitempty"`     // overtime this short is not due
	Minimum    int64        `json:"minimum,omitempty"`   // time that is paid at least, where Hourly
	Half       HalfDay      `json:"half,omitzero"`
	LateCall   LateCall     `json:"lateCall,omitzero"`
	Meal       MealRule     `json:"meal,omitzero"`
	Turnaround Turnaround   `json:"turnaround,omitzero"`
	Sixth      RunDay       `json:"sixth,omitzero"`   // from the sixth working day in a row on
	Seventh    RunDay       `json:"seventh,omitzero"` // from the seventh on
	Night      Night        `json:"night,omitzero"`
	Agency     Agency       `json:"agency,omitzero"`
	OnCosts    []OnCost     `json:"onCosts,omitempty"`

	// Since version 3 of terms.set. Common practice, no source.
	First      int64      `json:"first,omitempty"`      // overtime that begins is at least this long
	Inclusive  int64      `json:"inclusive,omitempty"`  // the day is on the clock: Included and this much for the meal, taken or not
	Continuous int64      `json:"continuous,omitempty"` // where Inclusive, a day on the clock in which no meal began by then is this long
	Night2     Night      `json:"night2,omitzero"`      // a second window, on top of the first where they meet
	EarlyCall  Night      `json:"earlyCall,omitzero"`   // a window in which the day has to start
	Weekend    Weekend    `json:"weekend,omitzero"`
	Extras     []Extra    `json:"extras,omitempty"` // kit, mileage, per diem: no pay, free of fees and on-costs
	Usage      []Extra    `json:"usage,omitempty"`  // part of the rate for the agency's fee
	Other      []OtherDay `json:"other,omitempty"`  // days that are not shoot days
	Cancel     []Notice   `json:"cancel,omitempty"`
	Postpone   []Notice   `json:"postpone,omitempty"`
}

// WithNewer keeps what an older page could not say from the terms as they were.
func (t Terms) WithNewer(was Terms) Terms {
	t.First, t.Inclusive, t.Continuous, t.Night2, t.EarlyCall, t.Weekend = was.First, was.Inclusive, was.Continuous, was.Night2, was.EarlyCall, was.Weekend
	t.Extras, t.Usage, t.Other, t.Cancel, t.Postpone = was.Extras, was.Usage, was.Other, was.Cancel, was.Postpone
	if !t.Meal.IsZero() {
		t.Meal.Grace, t.Meal.Breakfast = was.Meal.Grace, was.Meal.Breakfast
	}
	return t
}

// Band is how many times the hourly base a minute is worth after so many worked
// minutes, until the next band. Where bands by worked and by elapsed time, by
// the week and by the run of days meet, a minute is paid at the highest.
type Band struct {
	After   int64       `json:"after"`
	Times   money.Ratio `json:"times"`
	Elapsed bool        `json:"elapsed,omitempty"` // meals count towards After, whether they are paid or not
}

// MealRule says when meals are due and what a late one costs: either by the
// started period, or one hour at the base for the day however many are late.
// The zero MealRule is none.
type MealRule struct {
	Due     int64          `json:"due"`            // after the clock starts
	Next    int64          `json:"next,omitempty"` // after the end of a meal; 0 where only the first is ruled
	Every   int64          `json:"every"`          // length of a penalty period; a started one counts
	Amounts []money.Amount `json:"amounts"`        // for the first period, the second ...; the last one repeats
	Hour    bool           `json:"hour,omitempty"` // one hour at the base instead of periods

	Grace     int64 `json:"grace,omitempty"`     // a meal this late costs nothing, a later one all of it
	Breakfast int64 `json:"breakfast,omitempty"` // a break that begins within this time of the start is worked, and the first meal is due from its end
}

// IsZero tells whether there is no rule.
func (m MealRule) IsZero() bool {
	return m.Due == 0 && m.Next == 0 && m.Every == 0 && len(m.Amounts) == 0 && !m.Hour && m.Grace == 0 && m.Breakfast == 0
}

// endless is a fee that covers the day however long it gets.
func (t *Terms) endless() bool { return t.Basis == AllIn && t.Included == 0 }

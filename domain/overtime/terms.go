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
	Basis    Basis        `json:"basis"`
	Rate     money.Amount `json:"rate"`               // for the day; for an hour where Hourly
	Included int64        `json:"included,omitempty"` // worked time that the rate covers
	Divisor  Divisor      `json:"divisor,omitempty"`
	Base     money.Amount `json:"base,omitzero"`      // the hourly base where it is agreed outright; then there is no divisor
	Bands    []Band       `json:"bands,omitempty"`    // by worked time, shortest first
	MealPaid bool         `json:"mealPaid,omitempty"` // meals count as worked time
	Step     int64        `json:"step,omitempty"`     // of overtime: 6, 15, 30 or 60; 0 or 1 for the exact minute
	StepRule StepRule     `json:"stepRule,omitempty"` // for steps over a minute
	Grace    int64        `json:"grace,omitempty"`    // overtime this short is not due
	Meal     MealRule     `json:"meal,omitzero"`
}

// Band is how many times the hourly base a minute is worth after so many worked
// minutes, until the next band.
type Band struct {
	After int64       `json:"after"`
	Times money.Ratio `json:"times"`
}

// MealRule says when meals are due and what a late one costs. The zero MealRule
// is none.
type MealRule struct {
	Due     int64          `json:"due"`            // after the clock starts
	Next    int64          `json:"next,omitempty"` // after the end of a meal; 0 where only the first is ruled
	Every   int64          `json:"every"`          // length of a penalty period; a started one counts
	Amounts []money.Amount `json:"amounts"`        // for the first period, the second ...; the last one repeats
}

// IsZero tells whether there is no rule.
func (m MealRule) IsZero() bool {
	return m.Due == 0 && m.Next == 0 && m.Every == 0 && len(m.Amounts) == 0
}

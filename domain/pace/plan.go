package pace

import (
	"slices"

	"fairday/domain/sorting"
)

// Priority says what becomes of a shot when time runs short.
type Priority string

// The priorities. What is none of them is a Want.
const (
	Must  Priority = "must"  // never cut
	Want  Priority = "want"  // cut where it has to be
	Spare Priority = "spare" // made if there is time
)

// Plan is what is left of a day, with all that speaks for one order of its shots
// or another. Minutes count from where the caller's do, lengths are minutes.
type Plan struct {
	Now      int64
	Setup    string           // the set-up that stands; empty where none does
	Changes  map[string]int64 // how long it takes to change into each set-up; one that is not named takes no time
	Finished []Finished
	Since    int64  // minutes worked since the last capture, or since the first call
	Unopened int    // finished ones that nobody said were up
	Tasks    []Task // still to be captured, in their present order
	Meals    []PlannedMeal
	By       int64 // the planned wrap

	stops []Stretch // meals as they were, pauses and waits
}

// Task is a shot that is still to be captured.
type Task struct {
	Key      string // names it; no two are alike
	Setup    string // where it is made; empty needs no change and leaves standing what stands
	Planned  int64
	Open     bool  // it is up: it stays first
	Elapsed  int64 // for how long, interruptions taken out, where Open
	Passed   bool  // another was opened after it: most likely it is made, and nobody has said so
	Priority Priority
	Fallback int64    // what it takes by its fallback idea; 0 where it has none or is made by it already
	Limits   []Limit  // it must be made from start to end within a stretch of each
	Holds    []Hold   // heroes that do not keep
	After    []string // keys of tasks that come before it; those that are not left are over
	Movable  bool     // it could be made on another day of the shoot
}

// Limit is something that is there at some times only: sun in a window or none
// of it, a person. Opens and Closes are said in reasons: "the sun comes in", "the
// sun leaves"; "Ansel arrives", "Ansel has to go".
type Limit struct {
	Opens, Closes string
	During        []Stretch // in order of time, apart from each other
}

// Stretch is from one minute to another.
type Stretch struct{ From, To int64 }

// Hold is a hero that keeps for so long, food most of all. One that is confirmed
// keeps until Until. One that is not is made when the first shot that needs it
// starts, and all shots with the same What must be over Minutes after that.
type Hold struct {
	What    string // as people call it
	Minutes int64
	Until   int64 // the minute it runs out where it is confirmed, 0 where it is still to be made
}

// PlannedMeal is a meal that is still to be taken, or on. One whose time has come
// and that is not on is late and taken now.
type PlannedMeal struct {
	Key              string
	At, Minutes      int64
	Earliest, Latest int64 // when it may start by its rules; both 0 where it cannot be moved
	On               bool  // it began at At
	Shortest         int64 // how short it may be; 0 where it cannot be shortened
}

// Forecast is what Predict says of the plan in its present order.
func (p Plan) Forecast() (Forecast, error) {
	w, err := p.work()
	if err != nil {
		return Forecast{}, err
	}
	return Predict(w.day(w.present()))
}

// Day is what a Forecast of the plan is made from, in its present order.
func (p Plan) Day() (Day, error) {
	w, err := p.work()
	if err != nil {
		return Day{}, err
	}
	return w.day(w.present()), nil
}

// meals are the meals of the plan as the clock wants them: late ones now, one
// after the other.
func (p Plan) meals() []Meal {
	var out []Meal
	now := p.Now
	for _, m := range p.Meals {
		if m.On {
			out = append(out, Meal{m.At, m.Minutes})
			now = max(now, m.At+m.Minutes)
		}
	}
	rest := slices.Clone(p.Meals)
	sorting.By(rest, func(a, b PlannedMeal) int { return int(max(-1, min(1, a.At-b.At))) })
	for _, m := range rest {
		if m.On {
			continue
		}
		at := m.At
		if at <= p.Now || at < now {
			at = max(at, now) // it is late, or was to be while another is still on
		}
		out = append(out, Meal{at, m.Minutes})
		now = max(now, at+m.Minutes)
	}
	return out
}

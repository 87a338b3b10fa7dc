package day

import (
	"fairday/domain/view"
	"fairday/domain/when"
)

// Overtime is what the day costs beyond what was agreed, now and at any wrap.
// Where Known is false there is nothing but Say.
type Overtime struct {
	Day         view.DayHead  `json:"day"`
	Known       bool          `json:"known"`
	Say         string        `json:"say"`
	Warning     *Warning      `json:"warning,omitempty"` // of a step that is near
	Expected    Expected      `json:"expected"`          // by the forecast
	Now         Figure        `json:"now"`
	Wrap        Figure        `json:"wrap"` // at the planned wrap
	Next        *NextStep     `json:"next,omitempty"`
	NextSay     string        `json:"nextSay"`
	Drag        Drag          `json:"drag"`
	Curves      []Curve       `json:"curves"` // one for each currency
	Left        []LeftOut     `json:"left"`   // what could not be reckoned and is not in any sum
	LeftSay     string        `json:"leftSay"`
	People      []OvertimeRow `json:"people"`      // people, places and things
	Departments []view.Line   `json:"departments"` // overtime so far
	Approvals   Approvals     `json:"approvals"`
	Floors      string        `json:"floors"` // of how many people no floor is looked at, or ""
}

// Warning is about the next step that somebody should act on. Mark and Say stay
// the same from minute to minute; In counts down.
type Warning struct {
	Mark  view.Mark `json:"mark"`
	In    string    `json:"in"`    // "In 8 min"
	Count string    `json:"count"` // "8 min"
	Say   string    `json:"say"`   // "17:31: +$26.25 (Hattie Knoxfell)"
}

// Expected is what the day likely comes to. Where Known is false there is nothing but
// Say, which tells why.
type Expected struct {
	Known   bool   `json:"known"`
	Say     string `json:"say"`
	Notice  string `json:"notice"`  // that it passes what is approved, or ""
	Wrap    Figure `json:"wrap"`    // what a wrap at the likely minute costs
	Average Figure `json:"average"` // overtime and penalties on average, over every wrap there may be
}

// Figure is an amount at a minute.
type Figure struct {
	Label  string    `json:"label"`
	Clock  string    `json:"clock"`
	Amount string    `json:"amount"`
	Say    string    `json:"say"` // "4 h 10 min from now"
	Tone   view.Tone `json:"tone"`
}

// NextStep is the next minute at which the day gets dearer.
type NextStep struct {
	Clock  string `json:"clock"`
	In     string `json:"in"`     // "in 25 min"
	Amount string `json:"amount"` // "+$120.00"
	Whose  string `json:"whose"`
	Total  string `json:"total"`
}

// Drag is the minute that a person moves to ask what a wrap there would cost.
// From, To, Step and At are for the slider; the rest is to be read.
type Drag struct {
	From   when.Instant `json:"from"`
	To     when.Instant `json:"to"`
	Step   when.Instant `json:"step"`
	At     when.Instant `json:"at"`
	Figure Figure       `json:"figure"`
	Whose  []view.Line  `json:"whose"` // who costs how much there, dearest first
}

// Curve is exposure against the wrap minute, ready to draw in a box of 1000 by
// 1000 whose origin is at the bottom left.
type Curve struct {
	Currency string  `json:"currency"`
	Points   []Point `json:"points"` // corners of the step line, left to right
	X        []Tick  `json:"x"`
	Y        []Tick  `json:"y"`
	Now      int     `json:"now"` // x, or -1 outside
	Wrap     int     `json:"wrap"`
	Drag     int     `json:"drag"`
	Say      string  `json:"say"` // the curve in a sentence
}

// Point is a corner of a curve.
type Point struct {
	X int `json:"x"`
	Y int `json:"y"`
}

// Tick is a place on an axis and its label.
type Tick struct {
	At    int    `json:"at"`
	Label string `json:"label"`
}

// LeftOut is somebody whose terms or hours could not be reckoned.
type LeftOut struct {
	ID   string `json:"id"`
	Name string `json:"name"`
	Say  string `json:"say"`
}

// OvertimeRow is one person, place or thing.
type OvertimeRow struct {
	ID       string    `json:"id"`
	Name     string    `json:"name"`
	Job      string    `json:"job"`
	Mark     view.Mark `json:"mark"`
	Hours    string    `json:"hours"`    // "in 07:28", "in 07:28, out 18:10", "called 08:00"
	Worked   string    `json:"worked"`   // "9 h 40 min"
	Overtime string    `json:"overtime"` // so far
	AtWrap   string    `json:"atWrap"`   // if the day wraps as planned
	Next     string    `json:"next"`     // "19:30, +$60.00", or "no further step"

	Slips []PaySlip `json:"slips"` // at the planned wrap, then at the present
	Floor FloorSay  `json:"floor"`

	Beyond string `json:"beyond"` // what of theirs lies after the approved time, "" for nothing
}

// FloorSay is a person's floors in a few sentences, for beside their figures. Say is ""
// for who is not marked as an employee.
type FloorSay struct {
	Say    string   `json:"say"`    // "The floor may be higher: ..."
	Count  string   `json:"count"`  // "9 things are not reckoned"
	Leaves []string `json:"leaves"` // they
}

// FloorNote is a floor of labour law beside the contract: of pay, of rest or of a
// break. It says what was not reckoned, so that "not above" is not read as more.
type FloorNote struct {
	Law     string `json:"law"`
	Amount  string `json:"amount"` // "+$60.00", "not above", "too short", "kept", "not known"
	Say     string `json:"say"`
	Source  string `json:"source"`
	Caution string `json:"caution"`
	Leaves  string `json:"leaves"` // "Not reckoned: ..."
	Reads   string `json:"reads"`  // "Read so: ...", where the law can be read in more than one way

	above, short, unknown string // what it is called within a sentence: of pay, of rest, or not known
	leaves                []string
	order                 int
}

// PaySlip is pay that can be followed with a pencil: the amounts of the lines
// add up to the total, and with those of the costs to the cost.
type PaySlip struct {
	Title  string    `json:"title"`  // "Planned wrap 18:00"
	Worked string    `json:"worked"` // "9 h 10 min"
	Meals  []string  `json:"meals"`  // "13:00 to 14:00"
	Lines  []PayLine `json:"lines"`
	Total  string    `json:"total"`
	Costs  []PayLine `json:"costs"`  // what is paid on top to others
	Cost   string    `json:"cost"`   // "" without costs
	Beyond string    `json:"beyond"` // the part that is overtime and penalties, with the costs on them

	Tomorrow *PayLine    `json:"tomorrow,omitempty"` // what the next call costs for too little rest, in the curve and not in the total
	Exposed  string      `json:"exposed"`            // Beyond and Tomorrow: what the curve shows of them; "" without Tomorrow
	Floors   []FloorNote `json:"floors"`
}

// PayLine is one line of a slip. Span is "" where a line is not about a time,
// and so are Hours and Times where they say nothing.
type PayLine struct {
	Span   string `json:"span"`  // "18:00 to 19:00"
	Hours  string `json:"hours"` // paid for: "1 h"
	Times  string `json:"times"` // "× 1.5"
	Amount string `json:"amount"`
	Why    string `json:"why"`
}

// Approvals is what was allowed and what lies beyond it.
type Approvals struct {
	Say     string      `json:"say"`    // "Approved until 20:00 and up to $600.00", "Nothing is approved yet"
	Beyond  string      `json:"beyond"` // what is over at the planned wrap, or ""
	Tone    view.Tone   `json:"tone"`
	Lines   []string    `json:"lines"`
	Approve view.Action `json:"approve"` // with a form
	Ask     view.Action `json:"ask"`     // the same, of the client
}

package view

import (
	"encoding/json"

	"fairday/domain/when"
)

// Tone says how pressing something is. It may choose a colour, and is never the
// only thing that tells a state.
type Tone string

// The tones.
const (
	ToneCalm Tone = "calm" // nothing to do
	ToneGood Tone = "good" // done, or as it should be
	ToneWarn Tone = "warn" // look at it soon
	ToneStop Tone = "stop" // in the way of something
)

// Shape names a figure that tells a state without colour. No two states that can
// be seen side by side share one.
type Shape string

// The shapes. The comment says what to draw.
const (
	ShapeBar         Shape = "bar"          // thick level bar: shot held
	ShapeRing        Shape = "ring"         // circle, outline: shot ready
	ShapeHalfDisc    Shape = "half-disc"    // circle, left half filled: shot open
	ShapeDisc        Shape = "disc"         // circle, filled: shot shooting
	ShapeSquare      Shape = "square"       // square, filled: shot captured
	ShapeDiamond     Shape = "diamond"      // square on its corner, outline: queried
	ShapeSlash       Shape = "slash"        // one falling stroke: shot cut
	ShapeHexagonLine Shape = "hexagon-line" // hexagon, outline: hero not read
	ShapeHalfHexagon Shape = "half-hexagon" // hexagon, left half filled: hero read by one of two
	ShapeHexagon     Shape = "hexagon"      // hexagon, filled: hero confirmed
	ShapeWedge       Shape = "wedge"        // triangle, point down, filled: confirmation lapsed
	ShapeSplit       Shape = "split"        // two triangles, points apart: plate misread
	ShapeChevron     Shape = "chevron"      // open angle pointing right: hero off set
	ShapeCross       Shape = "cross"        // two crossing strokes: hero refused
	ShapeLensLine    Shape = "lens-line"    // flat ellipse, outline: meal planned
	ShapeLens        Shape = "lens"         // flat ellipse, filled: meal being served
	ShapeLensBar     Shape = "lens-bar"     // flat ellipse with a bar below: meal over
	ShapeBowl        Shape = "bowl"         // bowl, filled: food within its time
	ShapeBowlLine    Shape = "bowl-line"    // bowl, outline: its time runs out
	ShapeBowlDown    Shape = "bowl-down"    // bowl upside down, filled: not to be served
	ShapePostLine    Shape = "post-line"    // upright bar, outline: not signed in yet
	ShapePost        Shape = "post"         // upright bar, filled: on the clock
	ShapePostFoot    Shape = "post-foot"    // upright bar, outline, on a foot: signed out
	ShapePostGap     Shape = "post-gap"     // upright bar, filled, a gap in the middle: at the meal
	ShapeSignLine    Shape = "sign-line"    // a line to write on, empty: not signed
	ShapeSign        Shape = "sign"         // a stroke of the pen on a line: signed
	ShapeSignGap     Shape = "sign-gap"     // the stroke, the line below it broken: signed, then changed
	ShapeFlagLine    Shape = "flag-line"    // flag on a pole, outline: asked, waits
	ShapeFlag        Shape = "flag"         // flag on a pole, filled: approved
	ShapeFlagDown    Shape = "flag-down"    // filled flag at the foot of its pole: declined
	ShapeFlagPole    Shape = "flag-pole"    // a pole without a flag: taken back
	ShapeStepLine    Shape = "step-line"    // one step upwards, a line: dearer within 30 minutes
	ShapeStep        Shape = "step"         // one step upwards, filled below: dearer within 10 minutes
	ShapeLinkLive    Shape = "link-live"    // two ends, joined: phone on line
	ShapeLinkAway    Shape = "link-away"    // two ends, nothing between: phone out of reach
	ShapeUnknown     Shape = "unknown"      // question mark: not known
)

// Mark tells a state by a word and a shape; the tone may add a colour.
type Mark struct {
	Word  string `json:"word"`
	Shape Shape  `json:"shape"`
	Tone  Tone   `json:"tone"`
}

// Made is when something happened and who said so. Received is "" unless it
// reached the server more than two minutes off; then both are to be shown.
type Made struct {
	Happened string `json:"happened"` // "14:05"
	Received string `json:"received"` // "received 14:31"
	By       string `json:"by"`
}

// Action is a button. A press sends the intent Name with Args, after the
// question in Confirm, if any; where there is a Form, it is filled in first and
// Fill gives the arguments. One that is left for later stands for what would be
// large on a screen that has many of it: Open gives the action to go on with.
type Action struct {
	Label   string          `json:"label"`
	Name    string          `json:"name"`
	Args    json.RawMessage `json:"args"`
	Enabled bool            `json:"enabled"`
	Why     string          `json:"why"` // why it is not enabled
	Confirm string          `json:"confirm"`
	Danger  bool            `json:"danger"`
	Form    *Form           `json:"form,omitempty"`
	Later   bool            `json:"later,omitempty"`
}

// Form asks for what an action needs besides its arguments.
type Form struct {
	Title    string    `json:"title"`
	Say      string    `json:"say"`
	Submit   string    `json:"submit"` // label of the button that sends it
	Fields   []Field   `json:"fields"`
	Date     when.Date `json:"date"`     // that clocks are read on
	Zone     when.Zone `json:"zone"`     // that clocks are read in
	Currency string    `json:"currency"` // of amounts
	Fresh    bool      `json:"fresh"`    // the arguments get an id of their own
}

// Kind is how a field is painted.
type Kind string

// The kinds of field.
const (
	KindText   Kind = "text"   // one line
	KindLines  Kind = "lines"  // several lines
	KindNumber Kind = "number" // whole number
	KindTime   Kind = "time"   // clock as text, "07:30" or, for the morning after, "26:15"
	KindMoney  Kind = "money"  // amount as text, "1250.00"
	KindChoice Kind = "choice" // one of the options
	KindTicks  Kind = "ticks"  // any of the options
)

// Field is one thing that a form asks for. What a person enters comes back to
// Fill under its key, as a list of texts. The key is the place in the arguments:
// "plate.finish" is the finish within the plate.
type Field struct {
	Key     string   `json:"key"`
	Label   string   `json:"label"`
	Kind    Kind     `json:"kind"`
	Value   string   `json:"value"`
	Options []Option `json:"options"`
	Hint    string   `json:"hint"`
	Needed  bool     `json:"needed"`
	As      As       `json:"as"`              // for Fill; nothing to paint
	Group   string   `json:"group,omitempty"` // fields of one group stand together and are folded away
	List    string   `json:"list,omitempty"`  // names a list of the screen whose options come before its own; Value says which are on, apart by spaces
}

// Option is one thing to choose or tick.
type Option struct {
	Value string `json:"value"`
	Label string `json:"label"`
	On    bool   `json:"on"`
}

// Line is a label and a value.
type Line struct {
	Label string `json:"label"`
	Value string `json:"value"`
}

// ChangeLine is one thing that changed; "nothing" stands where there was none.
type ChangeLine struct {
	What string `json:"what"`
	From string `json:"from"`
	To   string `json:"to"`
}

// DayHead names the day that a screen shows. ID is "" where the shoot has none.
type DayHead struct {
	ID   string `json:"id"`
	Name string `json:"name"`
	Date string `json:"date"` // "Wednesday 25 November 2026"
	Zone string `json:"zone"` // that all clocks are in
}

// DayTab is one day to choose.
type DayTab struct {
	ID     string `json:"id"`
	Name   string `json:"name"`
	Date   string `json:"date"`
	Word   string `json:"word"` // "today", "past", "to come"
	Chosen bool   `json:"chosen"`
}

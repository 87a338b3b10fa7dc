package day

import (
	"encoding/json"
	"fairday/domain/view"
)

// RunOfDay is the day as it runs: when it may wrap, why, and what would help.
type RunOfDay struct {
	Day     view.DayHead `json:"day"`
	Line    string       `json:"line"`              // "Likely wrap 18:40, by 19:20 four times in five."
	Pace    string       `json:"pace"`              // "5 shots took 1.18 times their plan."
	Plan    string       `json:"plan"`              // "Done by the planned wrap at 18:00: 3 times in 10."
	Money   string       `json:"money"`             // overtime on average; for the producer, else ""
	Doubts  []string     `json:"doubts"`            // what the forecast could not believe
	Unmet   []string     `json:"unmet"`             // shots that miss their light or their people, and why
	Light   []string     `json:"light"`             // the day's light in words
	Picture *Picture     `json:"picture,omitempty"` // nothing where the day has no shots
	Starts  []RunStart   `json:"starts"`            // when each remaining shot is likely up

	Levers    []Lever       `json:"levers"`    // best first
	Back      []view.Action `json:"back"`      // what goes back to before the last change of order or meals
	LeversSay string        `json:"leversSay"` // where there is none
	Release   []string      `json:"release"`   // who could go early and what that saves; for the producer
	Report    string        `json:"report"`    // path of the wrap report on the server; "" for who does not run the day
	Waits     string        `json:"waits"`     // "Waiting since 14:05: the courier.", or ""
	Actions   []view.Action `json:"actions"`   // to mark that the shoot waits, or goes on
}

// RunStart is when a shot is likely up.
type RunStart struct {
	ID     string `json:"id"`
	Number string `json:"number"`
	Title  string `json:"title"`
	Say    string `json:"say"` // "about 14:20, by 14:45 four times in five; planned 13:50"
}

// Picture is the run of the day, ready to draw. Places along it are thousandths
// of its width; -1 is outside.
type Picture struct {
	Hours  []Tick    `json:"hours"`
	Now    int       `json:"now"`
	Plan   int       `json:"plan"`   // planned wrap
	Wrap50 int       `json:"wrap50"` // -1 where there is no forecast
	Wrap80 int       `json:"wrap80"`
	Rows   []RunRow  `json:"rows"`
	Stops  []Band    `json:"stops"` // meals and pauses, over all rows
	Sky    []Band    `json:"sky"`   // night, twilight and daylight, without gaps; empty where the place is not known
	Suns   []SunBand `json:"suns"`  // sun in each window
	Steps  []int     `json:"steps"` // where overtime gets dearer; for the producer
	Say    string    `json:"say"`   // the picture in a sentence
}

// RunRow is a shot in the picture.
type RunRow struct {
	ID     string `json:"id"`
	Number string `json:"number"`
	Plan   Bar    `json:"plan"`
	Likely Bar    `json:"likely"` // what it took, or is likely to
	Done   bool   `json:"done"`   // it is over: Likely is what it took
	Late   int    `json:"late"`   // by where it is up four times in five, -1 for a shot that was or is up
	Say    string `json:"say"`
}

// Bar is from one place to another; both -1 where there is none.
type Bar struct {
	From int `json:"from"`
	To   int `json:"to"`
}

// Band is a stretch with a name.
type Band struct {
	From int    `json:"from"`
	To   int    `json:"to"`
	Kind string `json:"kind"` // meal, pause, night, twilight or daylight
	Word string `json:"word"`
}

// SunBand is when the sun comes in by a window.
type SunBand struct {
	Name string `json:"name"`
	In   []Bar  `json:"in"`
}

// Lever is one change that would help. Take sends it; Undo takes it back.
type Lever struct {
	Key   string      `json:"key"`
	Title string      `json:"title"` // "Cut shot 7"
	Saves string      `json:"saves"` // "25 min earlier"
	Say   string      `json:"say"`   // "Done by 18:00: 3 times in 10, now 5 times in 10."
	Costs string      `json:"costs"` // "One shot is lost.", "No shot is lost."
	Money string      `json:"money"` // for the producer, else ""
	Why   []string    `json:"why"`   // a reason beside each move
	Take  view.Action `json:"take"`
	Undo  Undo        `json:"undo"`

	dear bool // another day pays for it
}

// Undo is the edit that takes a lever back once it was taken.
type Undo struct {
	Label string          `json:"label"`
	Name  string          `json:"name"`
	Args  json.RawMessage `json:"args"`
}

package day

import (
	"fairday/domain/view"
)

// Settle is what needs a decision: contradictions between what people reported,
// and edits of this phone that did not go through.
type Settle struct {
	Say     string      `json:"say"`
	Open    []QueryCard `json:"open"`
	Stuck   []StuckCard `json:"stuck"`
	Settled []Closed    `json:"settled"` // newest first
}

// QueryCard is one open query with both sides.
type QueryCard struct {
	ID      string        `json:"id"`
	Title   string        `json:"title"`
	Mark    view.Mark     `json:"mark"`
	Said    QuerySide     `json:"said"`
	Against QuerySide     `json:"against"`
	Raised  string        `json:"raised"`
	Actions []view.Action `json:"actions"`
	Say     string        `json:"say"` // who settles it, where that is not this person
}

// QuerySide is one of the two things that do not go together.
type QuerySide struct {
	Label string    `json:"label"`
	Text  string    `json:"text"`
	Made  view.Made `json:"made"`
}

// Closed is a query that was settled.
type Closed struct {
	Title string `json:"title"`
	Say   string `json:"say"`
}

// StuckCard is an edit of this phone that was refused, or kept with a flag.
type StuckCard struct {
	Seq     uint64    `json:"seq"`   // to discard it by
	Title   string    `json:"title"` // "Open shot 3"
	Word    string    `json:"word"`  // "Refused", "Kept, with a remark"
	Tone    view.Tone `json:"tone"`
	Made    string    `json:"made"`
	Say     string    `json:"say"`
	Yours   string    `json:"yours"`
	Theirs  string    `json:"theirs"`
	Next    string    `json:"next"`    // what to do now
	Discard string    `json:"discard"` // label of the button
	Confirm string    `json:"confirm"` // question to ask first
}

package day

import (
	"fairday/domain/view"
)

// CallSheet is the newest published call sheet of a day, what it means for this
// person, their hours, and, for who prepares it, the draft.
type CallSheet struct {
	Day         view.DayHead      `json:"day"`
	Published   bool              `json:"published"`
	Title       string            `json:"title"` // "Call sheet 3"
	When        string            `json:"when"`  // "Published Tuesday 18:20 by Ada"; where nothing is, what that means
	Earlier     string            `json:"earlier"`
	MyCall      string            `json:"myCall"`    // "07:30", or "" when not called
	MyCallSay   string            `json:"myCallSay"` // "Your call", "You are not called on this day"
	Changed     []view.ChangeLine `json:"changed"`   // for this person, since the version they saw last
	ChangedSay  string            `json:"changedSay"`
	Seen        view.Action       `json:"seen"`
	SeenSay     string            `json:"seenSay"` // "You have seen this version, 18:42"
	Place       string            `json:"place"`
	Address     string            `json:"address"`
	GeneralCall string            `json:"generalCall"`
	PlannedWrap string            `json:"plannedWrap"`
	Emergency   string            `json:"emergency"`
	Safety      string            `json:"safety"`
	Notes       string            `json:"notes"`
	Departments []Department      `json:"departments"`
	Hours       MyHours           `json:"hours"`
	Crew        *CrewHours        `json:"crew,omitempty"`   // only for who may punch for others
	Unseen      *Unseen           `json:"unseen,omitempty"` // the same
	Draft       *DraftSheet       `json:"draft,omitempty"`  // only for who prepares it
}

// Department is the people of one department.
type Department struct {
	Name   string    `json:"name"`
	People []CallRow `json:"people"`
}

// CallRow is one person's call.
type CallRow struct {
	ID    string     `json:"id"`
	Name  string     `json:"name"`
	Job   string     `json:"job"`
	Call  string     `json:"call"` // "07:30", "not called"
	Phone string     `json:"phone"`
	Tel   string     `json:"tel"` // link to call it, "tel:5550101", or ""
	Me    bool       `json:"me"`
	Reach *view.Mark `json:"reach,omitempty"` // whether the phone is on line; not for one's own
}

// MyHours is this person's day on the clock.
type MyHours struct {
	Mark    view.Mark     `json:"mark"`
	Worked  string        `json:"worked"` // "3 h 05 min on the clock so far, meals left out"
	Punches []PunchRow    `json:"punches"`
	Actions []view.Action `json:"actions"`
	Sign    view.Mark     `json:"sign"` // whether they are signed
	Lead    string        `json:"lead"` // words on the way to one's own day
}

// PunchRow is one punch.
type PunchRow struct {
	Say  string    `json:"say"` // "Signed in"
	Made view.Made `json:"made"`
}

// CrewHours is everybody's day on the clock.
type CrewHours struct {
	Say       string        `json:"say"` // "7 on the clock, 2 at the meal, 9 away"
	Everybody []view.Action `json:"everybody"`
	Rows      []CrewRow     `json:"rows"`
}

// CrewRow is one person on the clock or off it.
type CrewRow struct {
	ID      string        `json:"id"`
	Name    string        `json:"name"`
	Job     string        `json:"job"`
	Mark    view.Mark     `json:"mark"`
	Say     string        `json:"say"` // "in 07:28", "in 07:28, out 18:10"
	Punches []PunchRow    `json:"punches"`
	Actions []view.Action `json:"actions"`
}

// Unseen is who has not seen the newest version.
type Unseen struct {
	Say    string    `json:"say"` // "3 of 17 have not seen version 4"
	People []CallRow `json:"people"`
}

// DraftSheet is the call sheet being prepared.
type DraftSheet struct {
	Say     string            `json:"say"` // "Changed since version 3", "As published"
	Changes []view.ChangeLine `json:"changes"`
	Text    view.Action       `json:"text"` // with a form
	Calls   []CallEdit        `json:"calls"`
	Publish view.Action       `json:"publish"`
}

// CallEdit is one person's call in the draft.
type CallEdit struct {
	ID   string      `json:"id"`
	Name string      `json:"name"`
	Job  string      `json:"job"`
	Call string      `json:"call"` // "07:30", "not called"
	Edit view.Action `json:"edit"` // with a form
}

package day

import (
	"fairday/domain/view"
)

// OwnDay is a person's own hours of a day, what they are shown of their pay, and
// their word on both; for who runs the day also everybody's word.
type OwnDay struct {
	Day   view.DayHead `json:"day"`
	Hours OwnHours     `json:"hours"`
	Pay   *OwnPay      `json:"pay,omitempty"` // only where the producer shows it
	Asks  *AskBox      `json:"asks,omitempty"`
	Crew  *SignOffs    `json:"crew,omitempty"` // only for who runs the day
}

// OwnHours is what is to be signed.
type OwnHours struct {
	Mark    view.Mark     `json:"mark"` // of the signature
	Say     string        `json:"say"`
	Lines   []view.Line   `json:"lines"`  // in, meals, out, worked
	Words   []string      `json:"words"`  // what was disputed, and what came of it
	Undone  []string      `json:"undone"` // punches that were taken back
	Actions []view.Action `json:"actions"`
}

// OwnPay is one's own pay lines.
type OwnPay struct {
	Mark    view.Mark     `json:"mark"`
	Say     string        `json:"say"`
	Slip    *PaySlip      `json:"slip,omitempty"` // once there is one
	Words   []string      `json:"words"`
	Actions []view.Action `json:"actions"`
	Caution string        `json:"caution"`
}

// SignOffs is who has signed and who has not.
type SignOffs struct {
	Say    string        `json:"say"` // "3 of 8 have signed, 1 disputes"
	Share  []view.Action `json:"share"`
	Floors string        `json:"floors"` // of how many people no floor of labour law is looked at, or ""
	Rows   []SignOffRow  `json:"rows"`
}

// SignOffRow is one person's word. Pay is nothing where their lines are not shown.
type SignOffRow struct {
	ID      string        `json:"id"`
	Name    string        `json:"name"`
	Job     string        `json:"job"`
	Hours   string        `json:"hours"` // "in 08:00, out 18:10"
	Mark    view.Mark     `json:"mark"`
	Say     string        `json:"say"` // "18:12", what is disputed
	Pay     *view.Mark    `json:"pay,omitempty"`
	PaySay  string        `json:"paySay"`
	Floor   FloorSay      `json:"floor"` // for the producer
	Actions []view.Action `json:"actions"`
}

// AskBox is the overtime that was asked for on a day.
type AskBox struct {
	Say   string       `json:"say"`
	Cards []AskCard    `json:"cards"`         // newest first
	Ask   *view.Action `json:"ask,omitempty"` // with a form
}

// AskCard is one ask and what became of it.
type AskCard struct {
	ID      string        `json:"id"`
	Title   string        `json:"title"` // "May we run until 20:00?"
	Mark    view.Mark     `json:"mark"`
	Amount  string        `json:"amount"` // "up to $600.00", "no amount named"
	Note    string        `json:"note"`
	Say     string        `json:"say"`   // who asked and when
	Reply   string        `json:"reply"` // who answered, when and with which words; "" while it waits
	Actions []view.Action `json:"actions"`
}

package day

import (
	"fairday/domain/view"
)

// Heroes is how the heroes of a day stand.
type Heroes struct {
	Day    view.DayHead `json:"day"`
	Counts string       `json:"counts"` // "2 of 4 confirmed"
	Heroes []Hero       `json:"heroes"` // in the order that the shots need them
}

// Hero is one hero's card.
type Hero struct {
	ID        string        `json:"id"`
	Name      string        `json:"name"`
	Mark      view.Mark     `json:"mark"`
	Say       string        `json:"say"`            // how it stands, in a sentence
	Needs     string        `json:"needs"`          // "Needs two people to read its plate"
	Confirmed []Signed      `json:"confirmed"`      // the confirmations that count
	Readers   []Reader      `json:"readers"`        // the others whose reading it waits for; none where it waits for none
	Holds     string        `json:"holds"`          // "Holds until 12:30, 18 min left", or ""
	Hold      *Hold         `json:"hold,omitempty"` // of food: as something to eat, which it is not once it was styled
	HoldsTone view.Tone     `json:"holdsTone"`
	Plate     []string      `json:"plate"` // what is to be read, without the values
	Checklist []string      `json:"checklist"`
	Brief     []view.Line   `json:"brief"` // what the brief says; only for who wrote it
	Misread   *Misread      `json:"misread,omitempty"`
	Shots     []string      `json:"shots"` // those that wait for it: "3, Lamp by the window"
	Caution   string        `json:"caution"`
	Actions   []view.Action `json:"actions"`
	History   []HeroLine    `json:"history"` // newest first
}

// Reader is somebody who can read a plate, and whether their phone is on line.
type Reader struct {
	Name  string    `json:"name"`
	Reach view.Mark `json:"reach"`
}

// Signed is one person's word and when it was given.
type Signed struct {
	Name string `json:"name"`
	At   string `json:"at"`
}

// Misread is a reading that is not what the brief says; both values of each row
// are to be shown large.
type Misread struct {
	Say  string       `json:"say"`
	Rows []MisreadRow `json:"rows"`
	By   string       `json:"by"`
	At   string       `json:"at"`
}

// MisreadRow is one thing on the plate that differs from the brief.
type MisreadRow struct {
	Field string `json:"field"` // "Finish"
	Read  string `json:"read"`
	Brief string `json:"brief"`
}

// HeroLine is one line of a hero's history.
type HeroLine struct {
	At  string `json:"at"`
	Say string `json:"say"`
}

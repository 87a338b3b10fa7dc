package day

import (
	"fairday/domain/view"
)

// Shots is a day's run of shots.
type Shots struct {
	Day     view.DayHead `json:"day"`
	Counts  string       `json:"counts"` // "5 of 16 captured, 3 held"
	Now     []Shot       `json:"now"`    // what is up
	NowSay  string       `json:"nowSay"` // "Nothing is up." where nothing is
	Next    []Shot       `json:"next"`   // the next shot that may open, one at most
	NextSay string       `json:"nextSay"`
	Groups  []SetupGroup `json:"groups"` // every shot, in order
}

// SetupGroup is shots of one set-up that follow each other.
type SetupGroup struct {
	Key    string `json:"key"`
	Setup  string `json:"setup"`
	Change string `json:"change"` // "20 min to change over"
	Shots  []Shot `json:"shots"`
}

// Shot is one shot's card.
type Shot struct {
	ID         string        `json:"id"`
	Number     string        `json:"number"`
	Title      string        `json:"title"`
	Setup      string        `json:"setup"`
	Priority   string        `json:"priority"` // "Must have"
	Minutes    string        `json:"minutes"`  // "30 min planned"
	Crop       string        `json:"crop"`
	Mark       view.Mark     `json:"mark"`
	Why        []string      `json:"why"` // why it is held or queried, in sentences
	Heroes     []ShotHero    `json:"heroes"`
	ToHeroes   bool          `json:"toHeroes"` // this person has the Heroes screen to go to
	Talent     []string      `json:"talent"`
	Times      []string      `json:"times"` // "opened 10:02", "captured 10:31 by Mara Vint"
	Frames     string        `json:"frames"`
	Fallback   string        `json:"fallback"`
	OnFallback bool          `json:"onFallback"`
	Notes      string        `json:"notes"`
	Approved   string        `json:"approved"` // "Approved 11:02 by Jo Penhale", or ""
	Actions    []view.Action `json:"actions"`
	Order      []view.Action `json:"order"` // up and down
}

// ShotHero is how a hero stands that a shot needs.
type ShotHero struct {
	ID   string    `json:"id"`
	Name string    `json:"name"`
	Mark view.Mark `json:"mark"`
}

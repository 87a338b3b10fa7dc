package day

import (
	"fairday/domain/view"
)

// Shell is what surrounds every screen.
type Shell struct {
	Title   string        `json:"title"`
	Me      Me            `json:"me"`
	Day     view.DayHead  `json:"day"` // chosen, or today's
	Clock   string        `json:"clock"`
	Days    []view.DayTab `json:"days"`
	Tabs    []Tab         `json:"tabs"`
	Opens   view.Screen   `json:"opens"`   // the tab this role starts on
	Plan    []view.Screen `json:"plan"`    // the screens with a way to the plan
	Asks    []AskCard     `json:"asks"`    // overtime that is asked for, to show on that screen
	Wrap    string        `json:"wrap"`    // when the day may wrap, or ""
	Waiting string        `json:"waiting"` // "3 edits wait on this phone", or ""
}

// Me is the person who holds the phone.
type Me struct {
	ID        string `json:"id"`
	Name      string `json:"name"`
	RoleLabel string `json:"roleLabel"`
}

// Tab leads to a screen.
type Tab struct {
	Screen  view.Screen `json:"screen"`
	Label   string      `json:"label"`
	Count   string      `json:"count"`    // "3", or "" for none; minutes where something is about to happen
	Say     string      `json:"countSay"` // the count for a screen reader: "3 to settle"
	Caution string      `json:"caution"`  // one line to show on the screen, or ""
	Under   view.Screen `json:"under"`    // the screen that leads to it; "" for a tab of its own
}

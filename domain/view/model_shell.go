package view

// Shell is what surrounds every screen.
type Shell struct {
	Title   string    `json:"title"`
	Me      Me        `json:"me"`
	Day     DayHead   `json:"day"` // chosen, or today's
	Clock   string    `json:"clock"`
	Days    []DayTab  `json:"days"`
	Tabs    []Tab     `json:"tabs"`
	Opens   Screen    `json:"opens"`   // the tab this role starts on
	Plan    []Screen  `json:"plan"`    // the screens with a way to the plan
	Asks    []AskCard `json:"asks"`    // overtime that is asked for, to show on that screen
	Wrap    string    `json:"wrap"`    // when the day may wrap, or ""
	Waiting string    `json:"waiting"` // "3 edits wait on this phone", or ""
}

// Me is the person who holds the phone.
type Me struct {
	ID        string `json:"id"`
	Name      string `json:"name"`
	RoleLabel string `json:"roleLabel"`
}

// DayTab is one day to choose.
type DayTab struct {
	ID     string `json:"id"`
	Name   string `json:"name"`
	Date   string `json:"date"`
	Word   string `json:"word"` // "today", "past", "to come"
	Chosen bool   `json:"chosen"`
}

// Screen names one of the screens that Make makes.
type Screen string

// The screens.
const (
	ScreenShell     Screen = "shell"
	ScreenCallSheet Screen = "callsheet"
	ScreenShots     Screen = "shots"
	ScreenHeroes    Screen = "heroes"
	ScreenCatering  Screen = "catering"
	ScreenOvertime  Screen = "overtime"
	ScreenSettle    Screen = "settle"
	ScreenHours     Screen = "hours"
	ScreenDay       Screen = "day"
	ScreenPlan      Screen = "plan"
)

// Tab leads to a screen.
type Tab struct {
	Screen  Screen `json:"screen"`
	Label   string `json:"label"`
	Count   string `json:"count"`    // "3", or "" for none; minutes where something is about to happen
	Say     string `json:"countSay"` // the count for a screen reader: "3 to settle"
	Caution string `json:"caution"`  // one line to show on the screen, or ""
	Under   Screen `json:"under"`    // the screen that leads to it; "" for a tab of its own
}

package view

import (
	"cmp"
	"encoding/json"
	"strconv"

	"fairday/domain/shoot"
	"fairday/domain/when"
)

// named is what the arguments of all intents name things by.
type named struct {
	ID     string           `json:"id"`
	Day    shoot.DayID      `json:"day"`
	Shot   shoot.ShotID     `json:"shot"`
	Hero   shoot.HeroID     `json:"hero"`
	Meal   shoot.MealID     `json:"meal"`
	Query  shoot.QueryID    `json:"query"`
	Person shoot.PersonID   `json:"person"`
	People []shoot.PersonID `json:"people"`
	Kind   string           `json:"kind"`
	Name   string           `json:"name"`
	Number json.RawMessage  `json:"number"` // a text of a shot, a number of a sheet
	Title  string           `json:"title"`
	Delta  int              `json:"delta"`
	On     bool             `json:"on"`
	Call   *when.Clock      `json:"call"`
	Ruling shoot.Ruling     `json:"ruling"`
	Yes    bool             `json:"approve"`
}

// Describe says what an intent is in a few words, for the list of what waits:
// "Open shot 3". Arguments that make no sense are passed over.
func Describe(s *shoot.State, name string, args json.RawMessage) string {
	var a named
	_ = json.Unmarshal(args, &a) // what can be read is read
	shot := "shot " + s.Floor.Shots[a.Shot].Number
	hero := cmp.Or(s.Floor.Heroes[a.Hero].Name, "a hero")
	day := cmp.Or(s.Floor.Days[a.Day].Name, "a day")
	switch name {
	case "shot.open":
		return "Open " + shot
	case "shot.start":
		return "First frame of " + shot
	case "shot.capture":
		return "Capture of " + shot
	case "shot.frames":
		return "Frames of " + shot
	case "shot.cut":
		return "Cut " + shot
	case "shot.reset":
		return "Put " + shot + " back to planned"
	case "shot.fallback":
		if a.On {
			return "Take the fallback of " + shot
		}
		return "Take the first idea of " + shot
	case "shot.approve":
		return "Approve " + shot
	case "shot.order":
		return "Order of the shots, " + day
	case "shot.set":
		return "Plan of shot " + unquoted(a.Number)
	case "shot.wishes":
		return "Light and order of " + shot
	case "hero.read":
		return "Reading of " + hero
	case "hero.swap":
		return hero + " swapped"
	case "hero.away":
		return hero + " off set"
	case "hero.back":
		return hero + " back on set"
	case "hero.refuse":
		return "Refusal of " + hero
	case "punch":
		return describePunch(s, a)
	case "punch.undo", "hours.sign", "hours.dispute", "pay.share", "pay.sign", "pay.dispute", "pay.settle":
		return describeHours(s, name, a, day)
	case "meal.guests", "meal.serve", "meal.count", "meal.start", "meal.end", "meal.range":
		return describeMeal(s, name, a)
	case "pause.start":
		return "The shoot waits, " + day
	case "pause.end":
		return "The shoot goes on, " + day
	case "query.settle", "report.settle":
		if a.Ruling == shoot.Keep {
			return "Settled: keep"
		}
		return "Settled: drop"
	}
	return describePlan(s, name, a, day)
}

// describeMeal is for what the kitchen does and is told.
func describeMeal(s *shoot.State, name string, a named) string {
	meal := cmp.Or(s.Floor.Meals[a.Meal].Name, "a meal")
	switch name {
	case "meal.guests":
		return signed(a.Delta, "guest", "guests") + " at " + meal
	case "meal.serve":
		return signed(a.Delta, "plate", "plates") + " at " + meal
	case "meal.count":
		return "Last count of " + meal
	case "meal.start":
		return "Start of " + meal
	case "meal.end":
		return "End of " + meal
	}
	return "When " + meal + " may start"
}

// describePlan is for what is prepared rather than reported.
func describePlan(s *shoot.State, name string, a named, day string) string {
	person := nameOf(s, a.Person)
	switch name {
	case "sheet.set":
		return "Call sheet draft, " + day
	case "sheet.publish":
		return "Publish call sheet " + unquoted(a.Number) + ", " + day
	case "sheet.seen":
		return "Call sheet " + unquoted(a.Number) + " seen, " + day
	case "call.set":
		if a.Call == nil {
			return person + " not called, " + day
		}
		return "Call for " + person + ": " + a.Call.String() + ", " + day
	case "stay.until":
		return "When " + person + " has to go, " + day
	case "light.set":
		return "Place and windows for the light, " + day
	case "diet.set":
		return "What " + person + " eats"
	case "overtime.ask":
		return "Ask for overtime, " + day
	case "overtime.unask":
		return "Ask for overtime taken back"
	case "overtime.answer":
		if a.Yes {
			return "Overtime approved"
		}
		return "Overtime declined"
	case "overtime.approve":
		return "Approval of overtime, " + day
	case "terms.set":
		return "Terms of " + person
	case "person.access":
		return "Access of " + person
	case "currency.set":
		return "Currency of the shoot"
	case "meal.drop":
		return "Drop " + cmp.Or(s.Floor.Meals[a.Meal].Name, "a meal")
	case "shoot.set":
		return "Title of the shoot"
	case "day.set", "person.set", "setup.set", "hero.set", "meal.set", "hire.set":
		return "Plan of " + cmp.Or(a.Name, "something")
	}
	return "An edit that this version does not know"
}

// describeHours is for what people say of hours and pay.
func describeHours(s *shoot.State, name string, a named, day string) string {
	switch name {
	case "punch.undo":
		return nameOf(s, a.Person) + " not meant: " + said(shoot.MarkKind(a.Kind))
	case "hours.sign":
		return "Hours signed, " + day
	case "hours.dispute":
		return "Hours disputed, " + day
	case "pay.sign":
		return "Pay lines signed, " + day
	case "pay.dispute":
		return "Pay lines disputed, " + day
	case "pay.settle":
		return "Answer about the pay of " + nameOf(s, a.Person)
	}
	if a.On {
		return "Show pay lines to " + count(len(a.People), "person", "people")
	}
	return "Take pay lines away from " + count(len(a.People), "person", "people")
}

func describePunch(s *shoot.State, a named) string {
	who := count(len(a.People), "person", "people")
	if len(a.People) == 1 {
		who = nameOf(s, a.People[0])
	}
	return who + " " + said(shoot.MarkKind(a.Kind))
}

// unquoted writes a JSON number or text as people read it.
func unquoted(raw json.RawMessage) string {
	if s, err := strconv.Unquote(string(raw)); err == nil {
		return s
	}
	return string(raw)
}

// signed writes a change of a count: "+1 guest", "-2 guests".
func signed(n int, one, many string) string {
	if n < 0 {
		return "-" + count(-n, one, many)
	}
	return "+" + count(n, one, many)
}

package view

import (
	"cmp"
	"encoding/json"
	"strconv"
	"strings"

	"fairday/domain/shoot"
	"fairday/domain/when"
)

// named is what the arguments of all intents name things by.
type named struct {
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
	Delta  int              `json:"delta"`
	On     bool             `json:"on"`
	Call   *when.Clock      `json:"call"`
	Ruling shoot.Ruling     `json:"ruling"`
	Yes    bool             `json:"approve"`
}

// Describe says what an intent is in a few words, for the list of what waits:
// "Open shot 3". The words stand in the intent's own row. Arguments that make no
// sense are passed over.
func Describe(s *shoot.State, name string, args json.RawMessage) string {
	var a named
	_ = json.Unmarshal(args, &a) // what can be read is read
	words := cmp.Or(shoot.Words(name), "An edit that this version does not know")
	yes, no, two := strings.Cut(words, "|")
	if two && !a.On && !a.Yes && a.Ruling != shoot.Keep && a.Call == nil {
		yes = no
	}
	var out strings.Builder
	for {
		before, rest, more := strings.Cut(yes, "{")
		out.WriteString(before)
		if !more {
			return out.String()
		}
		key, after, _ := strings.Cut(rest, "}")
		out.WriteString(a.word(s, key))
		yes = after
	}
}

// word says what the arguments name under a key of a row's words.
func (a named) word(s *shoot.State, key string) string {
	switch key {
	case "shot":
		return "shot " + s.Floor.Shots[a.Shot].Number
	case "hero":
		return cmp.Or(Apart(s.Floor.Heroes[a.Hero].Name), "a hero")
	case "day":
		return cmp.Or(Apart(s.Floor.Days[a.Day].Name), "a day")
	case "meal":
		return cmp.Or(Apart(s.Floor.Meals[a.Meal].Name), "a meal")
	case "person":
		return nameOf(s, a.Person)
	case "people":
		if len(a.People) == 1 {
			return nameOf(s, a.People[0])
		}
		return Count(len(a.People), "person", "people")
	case "how many":
		return Count(len(a.People), "person", "people")
	case "name":
		return cmp.Or(Apart(a.Name), "something")
	case "number":
		return unquoted(a.Number)
	case "guests":
		return signed(a.Delta, "guest", "guests")
	case "plates":
		return signed(a.Delta, "plate", "plates")
	case "call":
		if a.Call != nil {
			return a.Call.String()
		}
		return "no time"
	case "punched":
		return Said(shoot.MarkKind(a.Kind))
	}
	return "?"
}

// Said tells of a punch in words.
func Said(k shoot.MarkKind) string {
	switch k {
	case shoot.MarkIn:
		return "signed in"
	case shoot.MarkMealOut:
		return "went to the meal"
	case shoot.MarkMealIn:
		return "came back from the meal"
	case shoot.MarkOut:
		return "signed out"
	}
	return string(k)
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
		return "-" + Count(-n, one, many)
	}
	return "+" + Count(n, one, many)
}

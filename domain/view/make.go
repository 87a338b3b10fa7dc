package view

import (
	"encoding/json"
	"reflect"

	"fairday/domain/fault"
	"fairday/domain/shoot"
	"fairday/domain/when"
)

// Context is what a view needs to know besides the shoot.
type Context struct {
	Me      shoot.PersonID
	Now     when.Instant
	Day     shoot.DayID  // the chosen day, "" for today's
	Stuck   []Stuck      // edits of this phone to look at
	Waiting int          // edits of this phone that the server has not ruled on
	Terms   string       // the person or the hire whose terms are asked for on the overtime screen, "" for nobody's
	At      when.Instant // the wrap minute that is asked about, 0 for the planned one
	Memo    *Memo        // keeps the forecast between screens, or nil

	Present map[shoot.PersonID]bool // whose phones are on line; nil when this phone cannot know
}

// Stuck is an edit of this phone that was refused, or accepted with a flag.
type Stuck struct {
	Seq    uint64
	Name   string
	Args   json.RawMessage
	Made   when.Instant
	Code   shoot.Code
	Say    string
	Yours  string
	Theirs string
	Flag   bool // kept, with a remark
}

// The codes of an Error. They are only ever added to.
const (
	CodeScreen = "view-screen" // no screen of that name
	CodePerson = "view-person" // nobody of that id on the shoot
)

// Error is why there is no view.
type Error = fault.Error

// Make gives the model of a screen: a *Shell, *CallSheet, *Shots, *Heroes,
// *Catering, *Overtime, *Settle, *OwnDay, *RunOfDay or *Plan. The error is always an *Error.
func Make(screen string, s *shoot.State, c Context) (any, error) {
	m, err := newMaker(s, c)
	if err != nil {
		return nil, err
	}
	var out any
	switch Screen(screen) {
	case ScreenShell:
		out = m.shell()
	case ScreenCallSheet:
		out = m.callSheet()
	case ScreenShots:
		out = m.shots()
	case ScreenHeroes:
		out = m.heroes()
	case ScreenCatering:
		out = m.catering()
	case ScreenOvertime:
		out = m.overtime()
	case ScreenSettle:
		out = m.settle()
	case ScreenHours:
		out = m.ownDay()
	case ScreenDay:
		out = m.runOfDay()
	case ScreenPlan:
		out = m.plan()
	default:
		return nil, fault.New(CodeScreen, "There is no screen called %q. Reload the page.", screen)
	}
	complete(reflect.ValueOf(out).Elem())
	return out, nil
}

// newMaker makes what makes a screen for a person; the error is CodePerson.
func newMaker(s *shoot.State, c Context) (*maker, error) {
	me, ok := s.Floor.People[c.Me]
	if !ok {
		return nil, fault.New(CodePerson, "You are not on this shoot as this phone knows it. Wait for the connection, or ask the producer for a new link.")
	}
	m := &maker{s: s, c: c, me: me}
	m.day = m.choose()
	m.at = m.day.Zone.Reader()
	return m, nil
}

// completed is complete for one action.
func completed(a Action) Action {
	complete(reflect.ValueOf(&a).Elem())
	return a
}

// complete puts an empty list wherever a model has none, and empty arguments
// where an action has none, so that JSON never says null for them.
func complete(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			complete(v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			complete(v.Field(i))
		}
	case reflect.Slice:
		if v.Type() == reflect.TypeFor[json.RawMessage]() {
			if v.IsNil() {
				v.SetBytes([]byte("{}"))
			}
			return
		}
		if v.IsNil() {
			v.Set(reflect.MakeSlice(v.Type(), 0, 0))
		}
		for i := range v.Len() {
			complete(v.Index(i))
		}
	}
}

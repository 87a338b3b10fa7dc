package view

import (
	"encoding/json"
	"reflect"

	"fairday/domain/fault"
	"fairday/domain/shoot"
	"fairday/domain/when"
)

// Context is what every screen needs to know besides the shoot.
type Context struct {
	Me  shoot.PersonID
	Now when.Instant
	Day shoot.DayID // the chosen day, "" for today's
}

// The codes of an Error. They are only ever added to.
const (
	CodeScreen = "view-screen" // no screen of that name
	CodePerson = "view-person" // nobody of that id on the shoot
	CodeRole   = "view-role"   // a screen that is not for what this person does
)

// Error is why there is no view.
type Error = fault.Error

// Rules decide intents: shoot.Decide at a desk, shoot.DecideNear on a phone.
type Rules func(*shoot.State, shoot.Intent) (shoot.Decision, error)

// NewMaker makes what makes a screen for a person; the error is CodePerson.
func NewMaker(s *shoot.State, c Context, decide Rules) (Maker, error) {
	me, ok := s.Floor.People[c.Me]
	if !ok {
		return Maker{}, fault.New(CodePerson, "You are not on this shoot as this phone knows it. Wait for the connection, or ask the producer for a new link.")
	}
	m := Maker{State: s, c: c, Me: me, decide: decide}
	m.Day = m.choose()
	m.At = m.Day.Zone.Reader()
	return m, nil
}

// On is a maker for another day, so that its clocks are that day's; for one that
// is not there it stays.
func (m Maker) On(id shoot.DayID) Maker {
	if day, ok := m.State.Floor.Days[id]; ok {
		m.Day, m.At = day, day.Zone.Reader()
	}
	return m
}

// NoScreen is the error for a screen that there is not.
func NoScreen(name string) error {
	return fault.New(CodeScreen, "There is no screen called %q. Reload the page.", name)
}

// Complete puts an empty list wherever a model has none, and empty arguments
// where an action has none, so that JSON never says null for them.
func Complete(model any) { complete(reflect.ValueOf(model).Elem()) }

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

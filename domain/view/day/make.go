// Package day makes the near screens: what a set without signal needs. The phone's
// engine makes them, and so does the server for what it prints.
package day

import (
	"encoding/json"

	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/when"
)

// Context is what a near screen needs to know besides the shoot.
type Context struct {
	view.Context
	Stuck   []Stuck      // edits of this phone to look at
	Waiting int          // edits of this phone that the server has not ruled on
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

// maker makes one near screen.
type maker struct {
	view.Maker
	c    Context
	seen *outlook // the forecast, once it was made
}

func newMaker(s *shoot.State, c Context) (*maker, error) {
	base, err := view.NewMaker(s, c.Context, shoot.DecideNear)
	if err != nil {
		return nil, err
	}
	return &maker{Maker: base, c: c}, nil
}

// Make gives the model of a screen: a *Shell, *CallSheet, *Shots, *Heroes,
// *Catering, *Overtime, *Settle, *OwnDay or *RunOfDay. The error is always an *Error.
func Make(screen string, s *shoot.State, c Context) (any, error) {
	m, err := newMaker(s, c)
	if err != nil {
		return nil, err
	}
	var out any
	switch view.Screen(screen) {
	case view.ScreenShell:
		out = m.shell()
	case view.ScreenCallSheet:
		out = m.callSheet()
	case view.ScreenShots:
		out = m.shots()
	case view.ScreenHeroes:
		out = m.heroes()
	case view.ScreenCatering:
		out = m.catering()
	case view.ScreenOvertime:
		out = m.overtime()
	case view.ScreenSettle:
		out = m.settle()
	case view.ScreenHours:
		out = m.ownDay()
	case view.ScreenDay:
		out = m.runOfDay()
	default:
		return nil, view.NoScreen(screen)
	}
	view.Complete(out)
	return out, nil
}

// Package office makes the far screens: what is done at a desk. The server makes them
// for one person at a time; no phone's engine holds them, and an edit that only they
// offer has no effect on a phone before the server has ruled on it. The wrap report,
// which is drawn by the server alone, is made here too.
package office

import (
	"fairday/domain/shoot"
	"fairday/domain/view"
)

// Context is what a far screen needs to know besides the shoot.
type Context struct {
	view.Context
	Of string // the person or the hire whose terms are asked for, "" for nobody's
}

// maker makes one far screen.
type maker struct {
	view.Maker
	c Context
}

// Make gives the model of a far screen: a *Plan or a *TermsSheet. The error is
// always an *Error.
func Make(screen string, s *shoot.State, c Context) (any, error) {
	base, err := view.NewMaker(s, c.Context)
	if err != nil {
		return nil, err
	}
	m := &maker{base, c}
	var out any
	switch view.Screen(screen) {
	case view.ScreenPlan:
		out = m.plan()
	case view.ScreenTerms:
		out = m.terms()
	default:
		return nil, view.NoScreen(screen)
	}
	view.Complete(out)
	return out, nil
}

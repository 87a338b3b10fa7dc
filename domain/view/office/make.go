// Package office makes the far screens: what is done at a desk. The server makes them
// for one person at a time; no phone's engine holds them, and an edit that only they
// offer has no effect on a phone before the server has ruled on it. The wrap report,
// which is drawn by the server alone, is made here too.
package office

import (
	"slices"

	"fairday/domain/fault"
	"fairday/domain/shoot"
	"fairday/domain/sorting"
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

// screen is what is fixed about a far screen.
type screen struct {
	who    []shoot.Role // whom it is for
	whose  string       // the same in words, for the others
	offers []string     // the names of the edits that it offers
	make   func(*maker) any
}

func screens() map[view.Screen]screen {
	return map[view.Screen]screen{
		view.ScreenPlan: {
			who: []shoot.Role{shoot.Producer, shoot.ArtDirector}, whose: "The producer and the art director change the plan.",
			offers: []string{"shot.set", "shot.drop", "shot.order", "setup.set", "hero.set", "hero.drop", "meal.set", "meal.drop", "meal.range",
				"person.set", "person.access", "day.set", "day.kind", "day.off", "shoot.set", "light.set"},
			make: func(m *maker) any { return m.plan() },
		},
		view.ScreenTerms: {
			who: []shoot.Role{shoot.Producer}, whose: "What people work for is for the producer.",
			offers: []string{"terms.set", "hire.set"},
			make:   func(m *maker) any { return m.terms() },
		},
	}
}

// Screens lists the far screens by name.
func Screens() []view.Screen { return sorting.Keys(screens()) }

// Offers names the edits that a far screen may offer, so that those which wait on a
// phone can be counted on it; none for a screen that there is not.
func Offers(name string) []string { return screens()[view.Screen(name)].offers }

// Make gives the model of a far screen: a *Plan or a *TermsSheet. The error is
// always an *Error: CodeScreen, CodePerson, or CodeRole for whom it is not.
func Make(name string, s *shoot.State, c Context) (any, error) {
	base, err := view.NewMaker(s, c.Context, shoot.Decide)
	if err != nil {
		return nil, err
	}
	far, ok := screens()[view.Screen(name)]
	switch {
	case !ok:
		return nil, view.NoScreen(name)
	case !slices.Contains(far.who, base.Me.Role):
		return nil, fault.New(view.CodeRole, "%s", far.whose)
	}
	out := far.make(&maker{base, c})
	view.Complete(out)
	return out, nil
}

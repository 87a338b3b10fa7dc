package day

import (
	"strconv"

	"fairday/domain/shoot"
	"fairday/domain/view"
)

func (m *maker) shell() *Shell {
	out := &Shell{
		Title: m.State.Floor.Shoot.Title,
		Me:    Me{ID: string(m.Me.ID), Name: m.Me.Name, RoleLabel: m.Me.Role.Label()},
		Day:   m.Head(), Days: m.DayTabs(), Clock: m.Clock(m.c.Now), Opens: opens(m.Me.Role), Tabs: m.tabs(), Asks: m.pressing(), Wrap: m.wrapLine(),
	}
	switch m.Me.Role {
	case shoot.ArtDirector:
		out.Plan = []view.Screen{view.ScreenCallSheet, view.ScreenShots, view.ScreenHeroes}
	case shoot.Producer:
		out.Plan = []view.Screen{view.ScreenCallSheet, view.ScreenShots, view.ScreenHeroes, view.ScreenCatering}
	}
	if n := m.c.Waiting; n > 0 {
		out.Waiting = view.Count(n, "edit waits", "edits wait") + " on this phone"
	}
	return out
}

// opens is the screen that a role starts on.
func opens(r shoot.Role) view.Screen {
	switch r {
	case shoot.ArtDirector, shoot.Photographer, shoot.Digitech:
		return view.ScreenShots
	case shoot.PropStylist, shoot.FoodStylist, shoot.Client:
		return view.ScreenHeroes
	case shoot.Caterer:
		return view.ScreenCatering
	case shoot.Producer:
		return view.ScreenOvertime
	}
	return view.ScreenCallSheet
}

// tabs lists the screens of a role in their order.
func (m *maker) tabs() []Tab {
	tab := func(s view.Screen, label string) Tab { return Tab{Screen: s, Label: label, Caution: view.Caution(s)} }
	out := []Tab{tab(view.ScreenCallSheet, "Call sheet")}
	if m.Me.Role != shoot.Caterer {
		run := tab(view.ScreenDay, "The day")
		run.Under = view.ScreenShots
		out = append(out, tab(view.ScreenShots, "Shots"), run)
	}
	if m.seesHeroes() {
		out = append(out, tab(view.ScreenHeroes, "Heroes"))
	}
	out = append(out, tab(view.ScreenCatering, "Catering"))
	if m.Me.Role == shoot.Producer {
		out = append(out, m.tabWarning(tab(view.ScreenOvertime, "Overtime")))
	}
	mine := tab(view.ScreenHours, "My hours")
	mine.Under = view.ScreenCallSheet
	out = append(out, mine)
	if m.Lead() {
		plan := tab(view.ScreenPlan, "The plan")
		plan.Under = view.ScreenCallSheet
		out = append(out, plan)
	}
	if n := m.toSettle(); n > 0 || m.Lead() {
		t := tab(view.ScreenSettle, "Settle")
		if n > 0 {
			t.Count, t.Say = strconv.Itoa(n), strconv.Itoa(n)+" to settle"
		}
		out = append(out, t)
	}
	return out
}

// seesHeroes tells whether there is a Heroes screen for this person.
func (m *maker) seesHeroes() bool {
	switch m.Me.Role {
	case shoot.Caterer, shoot.Crew, shoot.Talent:
		return false
	}
	return true
}

// toSettle counts what waits for this person's decision.
func (m *maker) toSettle() int {
	n := len(m.stuck())
	if m.Lead() {
		n += len(m.openQueries()) + len(m.payDisputes(true)) + len(m.reports(true))
	}
	return n
}

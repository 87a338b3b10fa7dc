package view

import (
	"strconv"

	"fairday/domain/shoot"
)

func (m *maker) shell() *Shell {
	out := &Shell{
		Title: m.s.Floor.Shoot.Title,
		Me:    Me{ID: string(m.me.ID), Name: m.me.Name, RoleLabel: m.me.Role.Label()},
		Day:   m.head(), Days: m.dayTabs(), Clock: m.clock(m.c.Now), Opens: opens(m.me.Role), Tabs: m.tabs(), Asks: m.pressing(), Wrap: m.wrapLine(),
	}
	switch m.me.Role {
	case shoot.ArtDirector:
		out.Plan = []Screen{ScreenCallSheet, ScreenShots, ScreenHeroes}
	case shoot.Producer:
		out.Plan = []Screen{ScreenCallSheet, ScreenShots, ScreenHeroes, ScreenCatering}
	}
	if n := m.c.Waiting; n > 0 {
		out.Waiting = count(n, "edit waits", "edits wait") + " on this phone"
	}
	return out
}

// dayTabs are the days to choose from.
func (m *maker) dayTabs() (out []DayTab) {
	for _, day := range m.s.DaysInOrder() {
		word := "to come"
		switch today := m.dateIn(day.Zone); {
		case day.Date == today:
			word = "today"
		case day.Date < today:
			word = "past"
		}
		out = append(out, DayTab{ID: string(day.ID), Name: day.Name, Date: day.Date.Long(), Word: word, Chosen: day.ID == m.day.ID})
	}
	return out
}

// opens is the screen that a role starts on.
func opens(r shoot.Role) Screen {
	switch r {
	case shoot.ArtDirector, shoot.Photographer, shoot.Digitech:
		return ScreenShots
	case shoot.PropStylist, shoot.FoodStylist, shoot.Client:
		return ScreenHeroes
	case shoot.Caterer:
		return ScreenCatering
	case shoot.Producer:
		return ScreenOvertime
	}
	return ScreenCallSheet
}

// tabs lists the screens of a role in their order.
func (m *maker) tabs() []Tab {
	tab := func(s Screen, label string) Tab { return Tab{Screen: s, Label: label, Caution: caution(s)} }
	out := []Tab{tab(ScreenCallSheet, "Call sheet")}
	if m.me.Role != shoot.Caterer {
		run := tab(ScreenDay, "The day")
		run.Under = ScreenShots
		out = append(out, tab(ScreenShots, "Shots"), run)
	}
	if m.seesHeroes() {
		out = append(out, tab(ScreenHeroes, "Heroes"))
	}
	out = append(out, tab(ScreenCatering, "Catering"))
	if m.me.Role == shoot.Producer {
		out = append(out, m.tabWarning(tab(ScreenOvertime, "Overtime")))
	}
	mine := tab(ScreenHours, "My hours")
	mine.Under = ScreenCallSheet
	out = append(out, mine)
	if m.lead() {
		plan := tab(ScreenPlan, "The plan")
		plan.Under = ScreenCallSheet
		out = append(out, plan)
	}
	if n := m.toSettle(); n > 0 || m.lead() {
		t := tab(ScreenSettle, "Settle")
		if n > 0 {
			t.Count, t.Say = strconv.Itoa(n), strconv.Itoa(n)+" to settle"
		}
		out = append(out, t)
	}
	return out
}

// seesHeroes tells whether there is a Heroes screen for this person.
func (m *maker) seesHeroes() bool {
	switch m.me.Role {
	case shoot.Caterer, shoot.Crew, shoot.Talent:
		return false
	}
	return true
}

// toSettle counts what waits for this person's decision.
func (m *maker) toSettle() int {
	n := len(m.stuck())
	if m.lead() {
		n += len(m.openQueries()) + len(m.payDisputes(true)) + len(m.reports(true))
	}
	return n
}

// caution is the line that a screen shows beside what it says.
func caution(s Screen) string {
	switch s {
	case ScreenCallSheet:
		return "Electrics, heat and exits: the venue's rules and local code decide. Minors: permits and hours are set by local law."
	case ScreenHeroes:
		return "Food that was styled or held under lights is not for eating."
	case ScreenCatering:
		return "Allergen counts do not replace asking the person and the kitchen."
	case ScreenOvertime:
		return "These figures are estimates: contracts, agreements, local law and a licensed payroll or employment professional decide."
	}
	return ""
}

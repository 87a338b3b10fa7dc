package view

import (
	"strings"

	"fairday/domain/shoot"
	"fairday/domain/when"
)

// punches are the four punches in the order of a day, each with its button and
// what it says afterwards.
func punches() []struct {
	kind              shoot.MarkKind
	button, all, said string
} {
	return []struct {
		kind              shoot.MarkKind
		button, all, said string
	}{
		{shoot.MarkIn, "Sign in", "Sign everybody in", "signed in"},
		{shoot.MarkMealOut, "Go to the meal", "Everybody to the meal", "went to the meal"},
		{shoot.MarkMealIn, "Back from the meal", "Everybody back", "came back from the meal"},
		{shoot.MarkOut, "Sign out", "Sign everybody out", "signed out"},
	}
}

func said(k shoot.MarkKind) string {
	for _, p := range punches() {
		if p.kind == k {
			return p.said
		}
	}
	return string(k)
}

// notNow says why a punch does not go with where a person is; "" where it does.
func notNow(at shoot.Presence, k shoot.MarkKind) string {
	switch {
	case k == shoot.MarkIn && at != shoot.Away:
		return "Signed in already."
	case k == shoot.MarkMealIn && at != shoot.AtMeal:
		return "Not at the meal."
	case k == shoot.MarkIn, k == shoot.MarkMealIn, at == shoot.OnClock:
		return ""
	case at == shoot.AtMeal:
		return "Come back from the meal first."
	}
	return "Sign in first."
}

// opened says why nobody can sign in now on this day; "" where they can. A night
// shoot runs on into the next date.
func (m *maker) opened() string {
	if today := m.dateIn(m.day.Zone); m.day.ID == "" || (today != m.day.Date && today != m.day.Date.Add(1)) {
		return sentence("signing in is for the day itself: " + m.head().Date)
	}
	return ""
}

func (m *maker) hours(p shoot.PersonID) shoot.Hours {
	return m.s.Floor.Hours[shoot.KeyOf(m.day.ID, p)]
}

func presenceMark(h shoot.Hours) Mark {
	switch h.Presence() {
	case shoot.OnClock:
		return Mark{"On the clock", ShapePost, ToneGood}
	case shoot.AtMeal:
		return Mark{"At the meal", ShapePostGap, ToneCalm}
	}
	if len(h.Marks) > 0 {
		return Mark{"Signed out", ShapePostFoot, ToneCalm}
	}
	return Mark{"Not signed in", ShapePostLine, ToneCalm}
}

func (m *maker) myHours() MyHours {
	h := m.hours(m.c.Me)
	out := MyHours{Mark: presenceMark(h), Punches: m.punchRows(h), Worked: "Not signed in yet"}
	if len(h.Marks) > 0 {
		out.Worked = lasts(worked(h, m.c.Now)) + " on the clock, meals left out"
	}
	out.Actions = m.punchActions(m.me, h, true)
	out.Sign, out.Lead = signMark(m.s.SignOff(m.day.ID, m.c.Me)), "My hours and my signature"
	if m.lead() {
		out.Lead = "My hours, and who has signed theirs"
	}
	return out
}

// worked is the minutes on the clock up to now, without meals.
func worked(h shoot.Hours, now when.Instant) int64 {
	total := int64(0)
	length := func(sp shoot.Span) int64 {
		if sp.To == 0 {
			sp.To = max(now, sp.From)
		}
		return int64((sp.To/when.Minute - sp.From/when.Minute)) // as the clock reads
	}
	for _, sp := range h.Stretches() {
		total += length(sp)
	}
	for _, sp := range h.Meals() {
		total -= length(sp)
	}
	return max(total, 0)
}

func (m *maker) punchRows(h shoot.Hours) []PunchRow {
	var out []PunchRow
	for _, k := range h.Marks {
		out = append(out, PunchRow{sentenceWord(said(k.Kind)), m.made(k.At, k.Received, k.By)})
	}
	return out
}

// sentenceWord starts with a capital.
func sentenceWord(s string) string { return strings.TrimSuffix(sentence(s), ".") }

// punchActions are a person's punches; all of them, or only those that go with
// where they are; and one for a time that is not now.
func (m *maker) punchActions(p shoot.Person, h shoot.Hours, all bool) []Action {
	var out []Action
	for _, k := range punches() {
		why := notNow(h.Presence(), k.kind)
		if k.kind == shoot.MarkIn && why == "" {
			why = m.opened()
		}
		if why != "" && !all {
			continue
		}
		a := m.action(k.button, "punch", fields{"day": m.day.ID, "people": []shoot.PersonID{p.ID}, "kind": k.kind})
		if k.kind == shoot.MarkIn && len(h.Marks) > 0 { // the button that was pressed to sign out stood here
			a = a.confirm("Signed out " + m.clock(h.Marks[len(h.Marks)-1].At) + " already. Sign in again?")
		}
		m.offer(&out, a.off(why))
	}
	if m.day.ID == "" {
		return out
	}
	m.offer(&out, m.undo(p, h)...)
	kinds := Field{Key: "kind", Label: "What happened", Kind: KindChoice, Needed: true, As: AsText}
	for _, k := range punches() {
		kinds.Options = append(kinds.Options, Option{Value: string(k.kind), Label: sentenceWord(k.said)})
	}
	m.offer(&out, m.entry("Enter another time", "punch", fields{"day": m.day.ID, "people": []shoot.PersonID{p.ID}}, Form{
		Title: "Hours of " + p.Name, Submit: "Enter",
		Say: "For what was not entered at the time. Where it does not go with the other times it is kept, and the art director or the producer settles it.",
		Fields: []Field{kinds, {Key: "at", Label: "When", Kind: KindTime, Needed: true, As: AsInstant,
			Hint: "On " + m.day.Date.Long() + "; " + nextMorning}},
	}))
	return out
}

// crewHours is everybody on the day, for who may punch for them.
func (m *maker) crewHours(sheet shoot.Sheet) *CrewHours {
	out := &CrewHours{}
	at := map[shoot.Presence][]shoot.PersonID{}
	var due []shoot.PersonID // called and never signed in
	for _, p := range m.there() {
		h := m.hours(p.ID)
		_, called := sheet.Calls[p.ID]
		if !called && len(h.Marks) == 0 {
			continue
		}
		at[h.Presence()] = append(at[h.Presence()], p.ID)
		if len(h.Marks) == 0 {
			due = append(due, p.ID)
		}
		out.Rows = append(out.Rows, CrewRow{ID: string(p.ID), Name: p.Name, Job: job(p), Mark: presenceMark(h),
			Say: m.inOut(h, sheet.Calls[p.ID].At), Punches: m.punchRows(h), Actions: m.punchActions(p, h, false)})
	}
	out.Say = count(len(at[shoot.OnClock]), "person", "people") + " on the clock, " + itoa(len(at[shoot.AtMeal])) + " at the meal, " + itoa(len(at[shoot.Away])) + " not on the clock"
	for _, k := range punches() {
		people, none := at[shoot.OnClock], "Nobody is on the clock."
		switch k.kind {
		case shoot.MarkIn:
			people, none = due, "Everybody who is called has signed in."
		case shoot.MarkMealIn:
			people, none = at[shoot.AtMeal], "Nobody is at the meal."
		}
		people = append([]shoot.PersonID{}, people...) // never null
		a := m.action(k.all, "punch", fields{"day": m.day.ID, "people": people, "kind": k.kind}).
			confirm(k.all + ": " + count(len(people), "person", "people") + ", now?")
		switch {
		case len(people) == 0:
			a = a.off(none)
		case k.kind == shoot.MarkIn:
			a = a.off(m.opened())
		}
		m.offer(&out.Everybody, a)
	}
	return out
}

// inOut says in short how a person's day went: "in 07:28, out 18:10".
func (m *maker) inOut(h shoot.Hours, call when.Instant) string {
	var words []string
	for _, sp := range h.Stretches() {
		words = append(words, "in "+m.clock(sp.From))
		if sp.To != 0 {
			words = append(words, "out "+m.clock(sp.To))
		}
	}
	if len(words) == 0 && call != 0 {
		words = append(words, "called "+m.clock(call))
	}
	return strings.Join(words, ", ")
}

package day

import (
	"strings"

	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/when"
)

// punches are the four punches in the order of a day, each with its buttons.
func punches() []struct {
	kind        shoot.MarkKind
	button, all string
} {
	return []struct {
		kind        shoot.MarkKind
		button, all string
	}{
		{shoot.MarkIn, "Sign in", "Sign everybody in"},
		{shoot.MarkMealOut, "Go to the meal", "Everybody to the meal"},
		{shoot.MarkMealIn, "Back from the meal", "Everybody back"},
		{shoot.MarkOut, "Sign out", "Sign everybody out"},
	}
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
	if today := m.DateIn(m.Day.Zone); m.Day.ID == "" || (today != m.Day.Date && today != m.Day.Date.Add(1)) {
		return view.Sentence("signing in is for the day itself: " + m.Head().Date)
	}
	return ""
}

func presenceMark(h shoot.Hours) view.Mark {
	switch h.Presence() {
	case shoot.OnClock:
		return view.Mark{Word: "On the clock", Shape: view.ShapePost, Tone: view.ToneGood}
	case shoot.AtMeal:
		return view.Mark{Word: "At the meal", Shape: view.ShapePostGap, Tone: view.ToneCalm}
	}
	if len(h.Marks) > 0 {
		return view.Mark{Word: "Signed out", Shape: view.ShapePostFoot, Tone: view.ToneCalm}
	}
	return view.Mark{Word: "Not signed in", Shape: view.ShapePostLine, Tone: view.ToneCalm}
}

func (m *maker) myHours() MyHours {
	h := m.Hours(m.c.Me)
	out := MyHours{Mark: presenceMark(h), Punches: m.punchRows(h), Worked: "Not signed in yet"}
	if len(h.Marks) > 0 {
		out.Worked = view.Lasts(worked(h, m.c.Now)) + " on the clock, meals left out"
	}
	out.Actions = m.punchActions(m.Me, h, true)
	out.Sign, out.Lead = signMark(m.State.SignOff(m.Day.ID, m.c.Me)), "My hours and my signature"
	if m.Lead() {
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
		out = append(out, PunchRow{view.Capital(view.Said(k.Kind)), m.Made(k.At, k.Received, k.By)})
	}
	return out
}

// punchActions are a person's punches; all of them, or only those that go with
// where they are; and one for a time that is not now.
func (m *maker) punchActions(p shoot.Person, h shoot.Hours, all bool) []view.Action {
	var out []view.Action
	for _, k := range punches() {
		why := notNow(h.Presence(), k.kind)
		if k.kind == shoot.MarkIn && why == "" {
			why = m.opened()
		}
		if why != "" && !all {
			continue
		}
		a := m.Action(k.button, "punch", view.Fields{"day": m.Day.ID, "people": []shoot.PersonID{p.ID}, "kind": k.kind})
		if k.kind == shoot.MarkIn && len(h.Marks) > 0 { // the button that was pressed to sign out stood here
			a = a.Confirming("Signed out " + m.Clock(h.Marks[len(h.Marks)-1].At) + " already. Sign in again?")
		}
		m.Offer(&out, a.Off(why))
	}
	if m.Day.ID == "" {
		return out
	}
	m.Offer(&out, m.undo(p, h)...)
	kinds := view.Field{Key: "kind", Label: "What happened", Kind: view.KindChoice, Needed: true, As: view.AsText}
	for _, k := range punches() {
		kinds.Options = append(kinds.Options, view.Option{Value: string(k.kind), Label: view.Capital(view.Said(k.kind))})
	}
	m.Offer(&out, m.Entry("Enter another time", "punch", view.Fields{"day": m.Day.ID, "people": []shoot.PersonID{p.ID}}, view.Form{
		Title: "Hours of " + view.Apart(p.Name), Submit: "Enter",
		Say: "For what was not entered at the time. Where it does not go with the other times it is kept, and the art director or the producer settles it.",
		Fields: []view.Field{kinds, {Key: "at", Label: "When", Kind: view.KindTime, Needed: true, As: view.AsInstant,
			Hint: "On " + m.Day.Date.Long() + "; " + view.NextMorning}},
	}))
	return out
}

// crewHours is everybody on the day, for who may punch for them.
func (m *maker) crewHours(sheet shoot.Sheet) *CrewHours {
	out := &CrewHours{}
	at := map[shoot.Presence][]shoot.PersonID{}
	var due []shoot.PersonID // called and never signed in
	for _, p := range m.There() {
		h := m.Hours(p.ID)
		_, called := sheet.Calls[p.ID]
		if !called && len(h.Marks) == 0 {
			continue
		}
		mark := presenceMark(h)
		if _, off := m.State.OffOn(m.Day.ID, string(p.ID)); off {
			mark = calledOffMark()
		} else {
			at[h.Presence()] = append(at[h.Presence()], p.ID)
			if len(h.Marks) == 0 {
				due = append(due, p.ID)
			}
		}
		out.Rows = append(out.Rows, CrewRow{ID: string(p.ID), Name: p.Name, Job: view.Job(p), Mark: mark,
			Say: m.inOut(h, sheet.Calls[p.ID].At), Punches: m.punchRows(h), Actions: m.punchActions(p, h, false)})
	}
	out.Say = view.Count(len(at[shoot.OnClock]), "person", "people") + " on the clock, " + view.Itoa(len(at[shoot.AtMeal])) + " at the meal, " + view.Itoa(len(at[shoot.Away])) + " not on the clock"
	for _, k := range punches() {
		people, none := at[shoot.OnClock], "Nobody is on the clock."
		switch k.kind {
		case shoot.MarkIn:
			people, none = due, "Everybody who is called has signed in."
		case shoot.MarkMealIn:
			people, none = at[shoot.AtMeal], "Nobody is at the meal."
		}
		people = append([]shoot.PersonID{}, people...) // never null
		a := m.Action(k.all, "punch", view.Fields{"day": m.Day.ID, "people": people, "kind": k.kind}).
			Confirming(k.all + ": " + view.Count(len(people), "person", "people") + ", now?")
		switch {
		case len(people) == 0:
			a = a.Off(none)
		case k.kind == shoot.MarkIn:
			a = a.Off(m.opened())
		}
		m.Offer(&out.Everybody, a)
	}
	return out
}

// inOut says in short how a person's day went: "in 07:28, out 18:10".
func (m *maker) inOut(h shoot.Hours, call when.Instant) string {
	var words []string
	for _, sp := range h.Stretches() {
		words = append(words, "in "+m.Clock(sp.From))
		if sp.To != 0 {
			words = append(words, "out "+m.Clock(sp.To))
		}
	}
	if len(words) == 0 && call != 0 {
		words = append(words, "called "+m.Clock(call))
	}
	return strings.Join(words, ", ")
}

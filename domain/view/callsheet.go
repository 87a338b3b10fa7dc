package view

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"strings"

	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/when"
)

func (m *maker) callSheet() *CallSheet {
	out := &CallSheet{Day: m.head(), Hours: m.myHours()}
	sheet, published := m.s.SheetNow(m.day.ID)
	if published {
		m.readSheet(out, sheet)
	} else {
		out.Title, out.When = "Call sheet", "No call sheet has been published for this day yet."
		out.MyCallSay = "Your call is not known yet"
		out.Seen = Action{Label: "I have seen this", Name: "sheet.seen"}.off("There is no call sheet to see yet.")
	}
	out.Departments = m.departments(sheet, published)
	if m.lead() {
		out.Crew = m.crewHours(sheet)
		if published {
			out.Unseen = m.unseen(sheet)
		}
	}
	if m.s.Office != nil && m.day.ID != "" {
		out.Draft = m.draft(sheet)
	}
	return out
}

func (m *maker) readSheet(out *CallSheet, sheet shoot.Sheet) {
	n := strconv.Itoa(sheet.Number)
	out.Published = true
	out.Title = "Call sheet " + n
	out.When = "Published " + m.moment(sheet.At) + " by " + m.who(sheet.By)
	if sheet.Number > 1 {
		out.Earlier = count(sheet.Number-1, "earlier version", "earlier versions")
	}
	out.Place, out.Address = sheet.Place.Name, sheet.Place.Address
	out.GeneralCall, out.PlannedWrap = m.clock(sheet.General), m.clock(sheet.Wrap)
	out.Emergency, out.Safety, out.Notes = sheet.Emergency, sheet.Safety, sheet.Notes
	if call, ok := sheet.Calls[m.c.Me]; ok {
		out.MyCall, out.MyCallSay = m.clock(call.At), "Your call"
	} else {
		out.MyCallSay = "You are not called on this day"
	}
	last := m.lastSeen(sheet)
	out.Seen = m.action("I have seen version "+n, "sheet.seen", fields{"day": m.day.ID, "number": sheet.Number})
	switch {
	case last == sheet.Number:
		at := m.s.Floor.Acks[shoot.AckOf(shoot.SheetOf(m.day.ID, last), m.c.Me)]
		out.SeenSay = "You have seen this version, " + m.moment(at) + "."
		out.Seen = out.Seen.off(out.SeenSay)
	case last == 0:
		out.SeenSay = "You have not seen a call sheet for this day yet."
	default:
		out.SeenSay = "You saw version " + strconv.Itoa(last) + " last."
		out.Changed = m.changedSince(last, sheet.Number)
		out.ChangedSay = "Changed for you since version " + strconv.Itoa(last)
		if len(out.Changed) == 0 {
			out.ChangedSay = "Nothing has changed for you since version " + strconv.Itoa(last) + "."
		}
	}
}

// lastSeen is the newest version that this person has seen, 0 for none.
func (m *maker) lastSeen(sheet shoot.Sheet) int {
	for n := sheet.Number; n > 0; n-- {
		if _, ok := m.s.Floor.Acks[shoot.AckOf(shoot.SheetOf(m.day.ID, n), m.c.Me)]; ok {
			return n
		}
	}
	return 0
}

// changedSince runs the changes for this person together over several versions.
func (m *maker) changedSince(from, to int) []ChangeLine {
	var out []ChangeLine
	for n := from + 1; n <= to; n++ {
		for _, c := range m.s.Floor.Sheets[shoot.SheetOf(m.day.ID, n)].Changes[m.c.Me] {
			i := slices.IndexFunc(out, func(l ChangeLine) bool { return l.What == c.What })
			if i < 0 {
				i = len(out)
				out = append(out, ChangeLine{What: c.What, From: c.From})
			}
			out[i].To = c.To
		}
	}
	out = slices.DeleteFunc(out, func(l ChangeLine) bool { return l.From == l.To })
	for i := range out {
		out[i].From, out[i].To = cmp.Or(out[i].From, "nothing"), cmp.Or(out[i].To, "nothing")
	}
	return out
}

// departments lists who is called, by department; where nothing is published,
// everybody.
func (m *maker) departments(sheet shoot.Sheet, published bool) []Department {
	var out []Department
	for _, p := range m.people() { // in the order of roles, which orders the departments too
		call, called := sheet.Calls[p.ID]
		if published && !called {
			continue
		}
		row := m.callRow(p)
		if called {
			row.Call = m.clock(call.At)
		}
		name := cmp.Or(p.Department, "Others")
		i := slices.IndexFunc(out, func(d Department) bool { return d.Name == name })
		if i < 0 {
			i = len(out)
			out = append(out, Department{Name: name})
		}
		out[i].People = append(out[i].People, row)
	}
	for _, d := range out {
		sorting.By(d.People, func(a, b CallRow) int {
			return cmp.Compare(sheet.Calls[shoot.PersonID(a.ID)].At, sheet.Calls[shoot.PersonID(b.ID)].At)
		})
	}
	return out
}

func (m *maker) callRow(p shoot.Person) CallRow {
	return CallRow{ID: string(p.ID), Name: p.Name, Job: job(p), Call: "not called", Phone: p.Phone, Tel: tel(p.Phone), Me: p.ID == m.c.Me, Reach: m.reach(p.ID)}
}

// tel makes a link that calls a number.
func tel(phone string) string {
	digits := strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' || r == '+' {
			return r
		}
		return -1
	}, phone)
	if digits == "" {
		return ""
	}
	return "tel:" + digits
}

// unseen lists who is called and has not seen the newest version.
func (m *maker) unseen(sheet shoot.Sheet) *Unseen {
	out, called := &Unseen{}, 0
	for _, p := range m.people() {
		call, ok := sheet.Calls[p.ID]
		if !ok {
			continue
		}
		called++
		if _, seen := m.s.Floor.Acks[shoot.AckOf(shoot.SheetOf(m.day.ID, sheet.Number), p.ID)]; !seen {
			row := m.callRow(p)
			row.Call = m.clock(call.At)
			out.People = append(out.People, row)
		}
	}
	v := "version " + strconv.Itoa(sheet.Number)
	out.Say = strconv.Itoa(len(out.People)) + " of " + strconv.Itoa(called) + " have not seen " + v
	if len(out.People) == 0 {
		out.Say = "Everybody who is called has seen " + v
	}
	return out
}

// draft is the call sheet being prepared and how it differs from what is out.
func (m *maker) draft(sheet shoot.Sheet) *DraftSheet {
	d := m.s.Office.Drafts[m.day.ID]
	out := &DraftSheet{Text: m.draftText(d), Changes: m.draftChanges(d, sheet)}
	next := strconv.Itoa(sheet.Number + 1)
	switch {
	case sheet.Number == 0:
		out.Say = "Not published yet"
	case d.Changed:
		out.Say = "Changed since version " + strconv.Itoa(sheet.Number)
	default:
		out.Say = "As published in version " + strconv.Itoa(sheet.Number)
	}
	for _, p := range m.people() {
		out.Calls = append(out.Calls, m.callEdit(p, d))
	}
	out.Publish = m.action("Publish version "+next, "sheet.publish", fields{"day": m.day.ID, "number": sheet.Number + 1}).
		confirm("Publish version " + next + " to " + count(len(d.Calls), "person", "people") + "? Everybody is told what changed for them.")
	return out
}

func (m *maker) draftText(d shoot.Draft) Action {
	clock := func(c when.Clock) string {
		if d.Version == 0 {
			return ""
		}
		return c.String()
	}
	return m.entry("Edit the call sheet", "sheet.set", fields{"day": m.day.ID, "base": d.Version}, Form{
		Title: "Call sheet", Submit: "Keep in the draft", Say: "Nobody sees this before it is published.",
		Fields: []Field{
			{Key: "place.name", Label: "Place", Kind: KindText, Value: d.Place.Name, Needed: true, As: AsText},
			{Key: "place.address", Label: "Address", Kind: KindLines, Value: d.Place.Address, As: AsText},
			{Key: "generalCall", Label: "General call", Kind: KindTime, Value: clock(d.GeneralCall), Needed: true, As: AsClock, Hint: nextMorning},
			{Key: "plannedWrap", Label: "Planned wrap", Kind: KindTime, Value: clock(d.PlannedWrap), Needed: true, As: AsClock, Hint: nextMorning},
			{Key: "emergency", Label: "Emergency", Kind: KindLines, Value: d.Emergency, As: AsText, Hint: "The nearest emergency department, and how to get there."},
			{Key: "safety", Label: "Safety", Kind: KindLines, Value: d.Safety, As: AsText},
			{Key: "notes", Label: "Notes", Kind: KindLines, Value: d.Notes, As: AsText},
		},
	})
}

func (m *maker) callEdit(p shoot.Person, d shoot.Draft) CallEdit {
	out := CallEdit{ID: string(p.ID), Name: p.Name, Job: job(p), Call: "not called"}
	var was any
	value := ""
	if c, ok := d.Calls[p.ID]; ok {
		was, value, out.Call = c, c.String(), c.String()
	} else if d.Version > 0 {
		value = d.GeneralCall.String()
	}
	out.Edit = m.entry("Change", "call.set", fields{"day": m.day.ID, "person": p.ID, "was": was, "call": nil}, Form{
		Title: "Call for " + p.Name, Submit: "Keep in the draft",
		Fields: []Field{{Key: "call", Label: "Call time", Kind: KindTime, Value: value, As: AsMaybe,
			Hint: "Leave it empty for not called. " + nextMorning}},
	})
	return out
}

// draftChanges lists how the draft differs from the newest version.
func (m *maker) draftChanges(d shoot.Draft, sheet shoot.Sheet) []ChangeLine {
	if sheet.Number == 0 || !d.Changed {
		return nil
	}
	var out []ChangeLine
	add := func(what, from, to string) {
		if from != to {
			out = append(out, ChangeLine{what, cmp.Or(from, "nothing"), cmp.Or(to, "nothing")})
		}
	}
	add("Place", sheet.Place.Name, d.Place.Name)
	add("Address", sheet.Place.Address, d.Place.Address)
	add("General call", sheet.GeneralCall.String(), d.GeneralCall.String())
	add("Planned wrap", sheet.PlannedWrap.String(), d.PlannedWrap.String())
	add("Emergency", sheet.Emergency, d.Emergency)
	add("Safety", sheet.Safety, d.Safety)
	add("Notes", sheet.Notes, d.Notes)
	was := map[shoot.PersonID]when.Clock{}
	for p, c := range sheet.Calls {
		was[p] = c.Clock
	}
	both := maps.Clone(was)
	maps.Copy(both, d.Calls)
	ids := sorting.Keys(both)
	sorting.By(ids, func(a, b shoot.PersonID) int { return cmp.Compare(m.who(a), m.who(b)) })
	for _, p := range ids {
		add("Call for "+m.who(p), callOf(was, p), callOf(d.Calls, p))
	}
	return out
}

func callOf(calls map[shoot.PersonID]when.Clock, p shoot.PersonID) string {
	if c, ok := calls[p]; ok {
		return c.String()
	}
	return "not called"
}

package day

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"strings"

	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/view"
	"fairday/domain/when"
)

func (m *maker) callSheet() *CallSheet {
	out := &CallSheet{Day: m.Head(), Hours: m.myHours()}
	sheet, published := m.State.SheetNow(m.Day.ID)
	if published {
		m.readSheet(out, sheet)
	} else {
		out.Title, out.When = "Call sheet", "No call sheet has been published for this day yet."
		out.MyCallSay = "Your call is not known yet"
		out.Seen = view.Action{Label: "I have seen this", Name: "sheet.seen"}.Off("There is no call sheet to see yet.")
	}
	out.Departments = m.departments(sheet, published)
	if m.Lead() {
		out.Crew = m.crewHours(sheet)
		if published {
			out.Unseen = m.unseen(sheet)
		}
	}
	if m.State.Office != nil && m.Day.ID != "" {
		out.Draft = m.draft(sheet)
	}
	return out
}

func (m *maker) readSheet(out *CallSheet, sheet shoot.Sheet) {
	n := strconv.Itoa(sheet.Number)
	out.Published = true
	out.Title = "Call sheet " + n
	out.When = "Published " + m.Moment(sheet.At) + " by " + m.Who(sheet.By)
	if sheet.Number > 1 {
		out.Earlier = view.Count(sheet.Number-1, "earlier version", "earlier versions")
	}
	out.Place, out.Address = sheet.Place.Name, sheet.Place.Address
	out.GeneralCall, out.PlannedWrap = m.Clock(sheet.General), m.Clock(sheet.Wrap)
	out.Emergency, out.Safety, out.Notes = sheet.Emergency, sheet.Safety, sheet.Notes
	if call, ok := sheet.Calls[m.c.Me]; ok {
		out.MyCall, out.MyCallSay = m.Clock(call.At), "Your call"
	} else {
		out.MyCallSay = "You are not called on this day"
	}
	last := m.lastSeen(sheet)
	out.Seen = m.Action("I have seen version "+n, "sheet.seen", view.Fields{"day": m.Day.ID, "number": sheet.Number})
	switch {
	case last == sheet.Number:
		at := m.State.Floor.Acks[shoot.AckOf(shoot.SheetOf(m.Day.ID, last), m.c.Me)]
		out.SeenSay = "You have seen this version, " + m.Moment(at) + "."
		out.Seen = out.Seen.Off(out.SeenSay)
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
		if _, ok := m.State.Floor.Acks[shoot.AckOf(shoot.SheetOf(m.Day.ID, n), m.c.Me)]; ok {
			return n
		}
	}
	return 0
}

// changedSince runs the changes for this person together over several versions.
func (m *maker) changedSince(from, to int) []view.ChangeLine {
	var out []view.ChangeLine
	for n := from + 1; n <= to; n++ {
		for _, c := range m.State.Floor.Sheets[shoot.SheetOf(m.Day.ID, n)].Changes[m.c.Me] {
			i := slices.IndexFunc(out, func(l view.ChangeLine) bool { return l.What == c.What })
			if i < 0 {
				i = len(out)
				out = append(out, view.ChangeLine{What: c.What, From: c.From})
			}
			out[i].To = c.To
		}
	}
	out = slices.DeleteFunc(out, func(l view.ChangeLine) bool { return l.From == l.To })
	for i := range out {
		out[i].From, out[i].To = cmp.Or(out[i].From, "nothing"), cmp.Or(out[i].To, "nothing")
	}
	return out
}

// departments lists who is called, by department; where nothing is published,
// everybody.
func (m *maker) departments(sheet shoot.Sheet, published bool) []Department {
	var out []Department
	for _, p := range m.People() { // in the order of roles, which orders the departments too
		call, called := sheet.Calls[p.ID]
		if published && !called {
			continue
		}
		row := m.callRow(p)
		if called {
			row.Call = m.Clock(call.At)
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
	return CallRow{ID: string(p.ID), Name: p.Name, Job: view.Job(p), Call: "not called", Phone: p.Phone, Tel: tel(p.Phone), Me: p.ID == m.c.Me, Reach: m.reach(p.ID)}
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
	for _, p := range m.People() {
		call, ok := sheet.Calls[p.ID]
		if !ok {
			continue
		}
		called++
		if _, seen := m.State.Floor.Acks[shoot.AckOf(shoot.SheetOf(m.Day.ID, sheet.Number), p.ID)]; !seen {
			row := m.callRow(p)
			row.Call = m.Clock(call.At)
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
	d := m.State.Office.Drafts[m.Day.ID]
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
	for _, p := range m.People() {
		out.Calls = append(out.Calls, m.callEdit(p, d))
	}
	out.Publish = m.Action("Publish version "+next, "sheet.publish", view.Fields{"day": m.Day.ID, "number": sheet.Number + 1}).
		Confirming("Publish version " + next + " to " + view.Count(len(d.Calls), "person", "people") + "? Everybody is told what changed for them.")
	return out
}

func (m *maker) draftText(d shoot.Draft) view.Action {
	clock := func(c when.Clock) string {
		if d.Version == 0 {
			return ""
		}
		return c.String()
	}
	return m.Entry("Edit the call sheet", "sheet.set", view.Fields{"day": m.Day.ID, "base": d.Version}, view.Form{
		Title: "Call sheet", Submit: "Keep in the draft", Say: "Nobody sees this before it is published.",
		Fields: []view.Field{
			{Key: "place.name", Label: "Place", Kind: view.KindText, Value: d.Place.Name, Needed: true, As: view.AsText},
			{Key: "place.address", Label: "Address", Kind: view.KindLines, Value: d.Place.Address, As: view.AsText},
			{Key: "generalCall", Label: "General call", Kind: view.KindTime, Value: clock(d.GeneralCall), Needed: true, As: view.AsClock, Hint: view.NextMorning},
			{Key: "plannedWrap", Label: "Planned wrap", Kind: view.KindTime, Value: clock(d.PlannedWrap), Needed: true, As: view.AsClock, Hint: view.NextMorning},
			{Key: "emergency", Label: "Emergency", Kind: view.KindLines, Value: d.Emergency, As: view.AsText, Hint: "The nearest emergency department, and how to get there."},
			{Key: "safety", Label: "Safety", Kind: view.KindLines, Value: d.Safety, As: view.AsText},
			{Key: "notes", Label: "Notes", Kind: view.KindLines, Value: d.Notes, As: view.AsText},
		},
	})
}

func (m *maker) callEdit(p shoot.Person, d shoot.Draft) CallEdit {
	out := CallEdit{ID: string(p.ID), Name: p.Name, Job: view.Job(p), Call: "not called"}
	var was any
	value := ""
	if c, ok := d.Calls[p.ID]; ok {
		was, value, out.Call = c, c.String(), c.String()
	} else if d.Version > 0 {
		value = d.GeneralCall.String()
	}
	out.Edit = m.Entry("Change", "call.set", view.Fields{"day": m.Day.ID, "person": p.ID, "was": was, "call": nil}, view.Form{
		Title: "Call for " + view.Apart(p.Name), Submit: "Keep in the draft",
		Fields: []view.Field{{Key: "call", Label: "Call time", Kind: view.KindTime, Value: value, As: view.AsMaybe,
			Hint: "Leave it empty for not called. " + view.NextMorning}},
	})
	return out
}

// draftChanges lists how the draft differs from the newest version.
func (m *maker) draftChanges(d shoot.Draft, sheet shoot.Sheet) []view.ChangeLine {
	if sheet.Number == 0 || !d.Changed {
		return nil
	}
	var out []view.ChangeLine
	add := func(what, from, to string) {
		if from != to {
			out = append(out, view.ChangeLine{What: what, From: cmp.Or(from, "nothing"), To: cmp.Or(to, "nothing")})
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
	sorting.By(ids, func(a, b shoot.PersonID) int { return cmp.Compare(m.Who(a), m.Who(b)) })
	for _, p := range ids {
		add("Call for "+m.Who(p), callOf(was, p), callOf(d.Calls, p))
	}
	return out
}

func callOf(calls map[shoot.PersonID]when.Clock, p shoot.PersonID) string {
	if c, ok := calls[p]; ok {
		return c.String()
	}
	return "not called"
}

package day

import (
	"cmp"
	"slices"
	"strings"

	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/view"
	"fairday/domain/when"
)

// The floors of labour law, beside the pay of those who are marked as employees.
// They are shown and never added to anything.

// floors are what labour law asks for, beside what a day's slip says: what is not
// kept first, then what is not known. None for who is not marked as an employee.
func (m *maker) floors(e engaged, h overtime.Hours) []FloorNote {
	law := e.employee.Law
	if law == "" {
		return nil
	}
	elsewhere := m.State.Elsewhere(m.Day, shoot.PersonID(e.id), e.Terms, m.c.Now)
	var found []overtime.Floor
	if law.Rest() {
		found = m.rests(e, h, elsewhere)
	} else {
		found = m.payFloors(e, h, elsewhere)
	}
	out := make([]FloorNote, 0, len(found))
	for _, f := range found {
		out = append(out, floorNote(f))
	}
	sorting.By(out, func(a, b FloorNote) int { return cmp.Compare(a.order, b.order) })
	return out
}

// payFloors are those of pay, of the day and of its week as this shoot knows it.
func (m *maker) payFloors(e engaged, h overtime.Hours, elsewhere []shoot.DayHours) []overtime.Floor {
	days := []shoot.DayHours{{Day: m.Day, Hours: h}}
	first := m.Day.Date.Add(1 - e.employee.WeekDay(m.Day.Date))
	for _, d := range elsewhere {
		if d.Day.Date >= first && d.Day.Date < first.Add(7) {
			days = append(days, d)
		}
	}
	sorting.By(days, func(a, b shoot.DayHours) int { return cmp.Compare(a.Day.Date, b.Day.Date) })
	w := overtime.Workweek{Law: e.employee.Law, Terms: e.Terms, Wage: e.employee.Wage}
	today := 0
	for i, d := range days {
		if d.Day.ID == m.Day.ID {
			today = i
		}
		w.Days = append(w.Days, overtime.Workday{Hours: d.Hours, Of: e.employee.WeekDay(d.Day.Date),
			Waived: e.employee.Waived, NoRest: slices.Contains(e.employee.NoRest, d.Day.Date)})
	}
	out := slices.DeleteFunc(w.Pay(), func(f overtime.Floor) bool { return f.Day >= 0 && f.Day != today })
	begins := "the workweek begins on " + cmp.Or(e.employee.Week, "Monday, as nobody says another day")
	for i := range out {
		out[i].Reads = append([]string{begins}, out[i].Reads...)
		if out[i].Day < 0 && out[i].Known() {
			out[i].Say = "over " + view.Count(len(days), "day", "days") + " of the week that this shoot knows: " + out[i].Say
		}
	}
	return out
}

// rests are those of rest: of the day, between it and the day before, and of the week.
func (m *maker) rests(e engaged, h overtime.Hours, elsewhere []shoot.DayHours) []overtime.Floor {
	days, before, last := []overtime.Hours{h}, -1, when.Instant(0)
	for _, d := range elsewhere {
		if start := max(d.Hours.In, d.Hours.Call); start < max(h.In, h.Call) && start > last {
			before, last = len(days), start
		}
		days = append(days, d.Hours)
	}
	from, err := m.State.WeekOf(m.Day)
	if err != nil {
		return []overtime.Floor{{Law: "rest", Missing: []string{err.Error()}}}
	}
	var out []overtime.Floor
	for _, f := range overtime.Rests(e.employee.Law, from, days) {
		switch {
		case f.Day <= 0:
			out = append(out, f)
		case f.Day == before && f.Law == "daily rest" && f.Rest != nil && f.Rest.Short():
			f.Say = "the day before: " + f.Say
			out = append(out, f)
		}
	}
	return out
}

// floorNote is a floor for the screen.
func floorNote(f overtime.Floor) FloorNote {
	n := FloorNote{Law: view.Capital(f.Law), Amount: "not above", Say: view.Sentence(view.Factors(f.Say)), Source: view.Sentence("source: " + f.Source), Caution: f.Caution, order: 2}
	n.leaves = f.Leaves
	if len(f.Leaves) > 0 {
		n.Leaves = "Not reckoned: " + strings.Join(f.Leaves, "; ") + "."
	}
	if len(f.Reads) > 0 {
		n.Reads = "Read so: " + strings.Join(f.Reads, "; ") + "."
	}
	switch {
	case !f.Known():
		n.Amount, n.order, n.unknown = "not known", 1, f.Law
		n.Say = view.Sentence("not known without: " + strings.Join(f.Missing, "; "))
	case f.Rest != nil:
		if n.Amount = "kept"; f.Rest.Short() {
			n.Amount, n.order, n.short = "too short", 0, f.Law
		}
	case f.Due().Minor > 0:
		n.Amount, n.order = "+"+f.Due().Format(), 0
		n.above = f.Law + " " + n.Amount
	}
	return n
}

// floorsAt is a person's floors if the day wraps then, beside the slip of that wrap.
func (m *maker) floorsAt(e engaged, wrap when.Instant, notes []FloorNote) FloorSay {
	out := floorSay(e, notes)
	if out.Say != "" && e.Hours.Out == 0 {
		out.Say = "If it wraps at " + m.Clock(wrap) + ": " + out.Say
	}
	return out
}

// notLooked says of how many people no floor is looked at, "" for none: silence is no
// word that all is well.
func notLooked(people int) string {
	if people == 0 {
		return ""
	}
	return "No floor of labour law is looked at for " + view.Count(people, "person who is not marked as an employee.", "people who are not marked as employees.")
}

// floorSay says it for one wrap.
func floorSay(e engaged, notes []FloorNote) FloorSay {
	if e.employee.Law == "" {
		return FloorSay{}
	}
	if len(notes) == 0 {
		return FloorSay{Say: e.employee.Law.Label() + ": not known, no floor could be looked at."}
	}
	var above, short, unknown, leaves, out []string
	add := func(to *[]string, word string) {
		if word != "" && !slices.Contains(*to, word) {
			*to = append(*to, word)
		}
	}
	for _, n := range notes {
		add(&above, n.above)
		add(&short, n.short)
		add(&unknown, n.unknown)
		for _, w := range n.leaves {
			add(&leaves, w)
		}
	}
	if len(above) > 0 {
		out = append(out, "The floor may be higher: "+view.List(above)+".")
	}
	if len(short) > 0 {
		out = append(out, "Too short by law: "+view.List(short)+".")
	}
	if len(unknown) > 0 {
		out = append(out, "Not known: "+view.List(unknown)+".")
	}
	if len(out) == 0 {
		out = append(out, e.employee.Law.Label()+": no floor is above this, as far as this shoot knows.")
	}
	return FloorSay{strings.Join(out, " "), view.Count(len(leaves), "thing is not reckoned", "things are not reckoned"), leaves}
}

package day

import (
	"slices"
	"strings"

	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/view"
	"fairday/domain/when"
)

func (m *maker) heroes() *Heroes {
	out := &Heroes{Day: m.Head()}
	confirmed := 0
	for _, h := range m.heroesOfDay() {
		card := m.heroCard(h)
		if h.StandingAt(m.c.Now).Confirmed {
			confirmed++
		}
		out.Heroes = append(out.Heroes, card)
	}
	out.Counts = view.Itoa(confirmed) + " of " + view.Itoa(len(out.Heroes)) + " confirmed"
	if len(out.Heroes) == 0 {
		out.Counts = "No shot of this day needs a hero."
	}
	return out
}

// heroesOfDay lists the heroes in the order that the day's shots need them, then
// those that no shot of any day needs yet.
func (m *maker) heroesOfDay() []shoot.Hero {
	var out []shoot.Hero
	seen := map[shoot.HeroID]bool{}
	for _, shot := range m.Run(m.Day) {
		for _, id := range shot.Heroes {
			if h, known := m.State.Floor.Heroes[id]; known && !seen[id] {
				out = append(out, h)
			}
			seen[id] = true
		}
	}
	for _, shot := range m.State.Floor.Shots {
		for _, id := range shot.Heroes {
			seen[id] = true
		}
	}
	var rest []shoot.Hero
	for id, h := range m.State.Floor.Heroes {
		if !seen[id] {
			rest = append(rest, h)
		}
	}
	sorting.By(rest, view.ByHeroName)
	return append(out, rest...)
}

// misreadStands tells whether the newest word on a hero is a wrong reading.
func misreadStands(st shoot.Standing) bool {
	return st.Misread != nil && st.Misread.At >= st.LapsedAt
}

// offSet tells whether a hero was taken off set and neither came back nor was
// read since.
func (m *maker) offSet(h shoot.Hero) bool {
	off := false
	for _, n := range h.History {
		if n.At > m.c.Now {
			break
		}
		switch {
		case n.What == shoot.NoteLapsed && n.Lapse == shoot.LapseAway:
			off = true
		case n.What == shoot.NoteConfirmed, n.What == shoot.NoteBack:
			off = false
		}
	}
	return off
}

func (m *maker) heroMark(h shoot.Hero, st shoot.Standing) view.Mark {
	switch {
	case misreadStands(st) && st.Confirmed:
		return view.Mark{Word: "Confirmed, then misread", Shape: view.ShapeSplit, Tone: view.ToneWarn}
	case st.Confirmed && st.Until != 0 && st.Until-m.c.Now <= soon:
		return view.Mark{Word: "Confirmed, runs out soon", Shape: view.ShapeHexagon, Tone: view.ToneWarn}
	case st.Confirmed:
		return view.Mark{Word: "Confirmed", Shape: view.ShapeHexagon, Tone: view.ToneGood}
	case misreadStands(st):
		return view.Mark{Word: "Misread", Shape: view.ShapeSplit, Tone: view.ToneStop}
	case st.Lapsed == shoot.LapseRefused:
		return view.Mark{Word: "Refused", Shape: view.ShapeCross, Tone: view.ToneStop}
	case m.offSet(h):
		return view.Mark{Word: "Off set", Shape: view.ShapeChevron, Tone: view.ToneStop}
	case st.Lapsed == shoot.LapseAway:
		return view.Mark{Word: "Back, not read", Shape: view.ShapeWedge, Tone: view.ToneStop}
	case st.Lapsed == shoot.LapseSwapped:
		return view.Mark{Word: "Swapped", Shape: view.ShapeWedge, Tone: view.ToneStop}
	case st.Lapsed == shoot.LapseHold:
		return view.Mark{Word: "Past its hold", Shape: view.ShapeWedge, Tone: view.ToneStop}
	case st.Lapsed == shoot.LapseBrief:
		return view.Mark{Word: "Brief changed", Shape: view.ShapeWedge, Tone: view.ToneStop}
	case st.Count > 0:
		return view.Mark{Word: view.Itoa(st.Count) + " of " + view.Itoa(h.Needs), Shape: view.ShapeHalfHexagon, Tone: view.ToneWarn}
	}
	return view.Mark{Word: "Not read", Shape: view.ShapeHexagonLine, Tone: view.ToneStop}
}

// heroSay tells in a sentence how a hero stands and what to do next.
func (m *maker) heroSay(h shoot.Hero, st shoot.Standing) string {
	note := ""
	if st.Note != "" {
		note = " " + view.Sentence(st.Note)
	}
	lapsed := " " + m.Clock(st.LapsedAt)
	if st.LapsedBy != "" {
		lapsed += " by " + m.Who(st.LapsedBy)
	}
	switch {
	case misreadStands(st) && st.Confirmed:
		return "Confirmed, but it was read differently since. Check that it is still the same object."
	case st.Confirmed && h.Food:
		return "Confirmed and within its hold time."
	case st.Confirmed:
		return "Confirmed and on set."
	case misreadStands(st):
		return "What was read is not what the brief says. Find the right object and read it again."
	case st.Lapsed == shoot.LapseRefused:
		return "Refused" + lapsed + "." + note + " Speak with the client, then read what is to be used."
	case m.offSet(h) && st.Lapsed != shoot.LapseAway:
		return "It is off set. Bring it back and read it again."
	case m.offSet(h):
		return "Taken off set" + lapsed + "." + note + " Bring it back and read it again."
	case st.Lapsed == shoot.LapseAway:
		return "It is back on set. Read its plate again."
	case st.Lapsed == shoot.LapseSwapped:
		return "Swapped" + lapsed + "." + note + " Read the plate of what stands there now."
	case st.Lapsed == shoot.LapseHold:
		return "Its hold time ran out" + lapsed + ". Plate a fresh one and read it."
	case st.Lapsed == shoot.LapseBrief:
		return "The brief was changed" + lapsed + ". Read the plate again."
	case st.Count > 0:
		return "One more person has to read its plate."
	}
	return "Nobody has read its plate yet."
}

// soon is how long before the end of a hold it is warned of.
const soon = 10 * when.Minute

func (m *maker) heroCard(h shoot.Hero) Hero {
	st := h.StandingAt(m.c.Now)
	out := Hero{ID: string(h.ID), Name: h.Name, Mark: m.heroMark(h, st), Say: m.heroSay(h, st), Needs: "Needs one person to read its plate",
		HoldsTone: view.ToneCalm, Checklist: slices.Clone(h.Checklist), Actions: m.heroActions(h, st), History: m.heroHistory(h)}
	if h.Needs > 1 {
		out.Needs = "Needs two people to read its plate"
	}
	for _, c := range st.Confirmations {
		out.Confirmed = append(out.Confirmed, Signed{m.WhoAt(c.By, c.At), m.Clock(c.At)})
	}
	for _, p := range view.Plate(h.Plate) {
		out.Plate = append(out.Plate, p.Label)
		if m.Lead() {
			out.Brief = append(out.Brief, view.Line{Label: p.Label, Value: p.Value})
		}
	}
	if h.Food {
		food, is := m.State.HeroFood(h, m.c.Now)
		out.Hold = m.hold(food, is)
		m.foodActions(&out.Actions, h.Name, ofHero(h.ID), food, is)
		out.Caution = "Styled or held under lights: not for eating."
		out.Holds = "Holds " + view.Lasts(int64(h.HoldMinutes)) + " from its first reading"
		if st.Until != 0 {
			left := when.Minutes(m.c.Now, st.Until)
			out.Holds = "Holds until " + m.Clock(st.Until) + ", " + view.Lasts(left) + " left"
			if st.Until-m.c.Now <= soon {
				out.HoldsTone = view.ToneWarn
			}
		}
	}
	if r := st.Misread; r != nil {
		out.Misread = m.misread(h, *r)
	}
	for _, shot := range m.Run(m.Day) {
		if shot.Progress == shoot.Planned && slices.Contains(shot.Heroes, h.ID) {
			out.Shots = append(out.Shots, shot.Number+", "+shot.Title)
		}
	}
	if !st.Confirmed && len(out.Shots) > 0 {
		out.Readers = m.readers(st)
	}
	return out
}

// misread tells how a reading differs from the brief, row by row.
func (m *maker) misread(h shoot.Hero, r shoot.Misread) *Misread {
	out := &Misread{Rows: misreadRows(r), By: m.WhoAt(r.By, r.At), At: m.Clock(r.At)}
	var names []string
	for _, row := range out.Rows {
		names = append(names, "the "+view.Lower(row.Field))
	}
	verb := " differs"
	if strings.Contains(r.Field, ",") {
		verb = " differ"
	}
	out.Say = "This is not " + view.Apart(h.Name) + ": " + view.List(names) + verb + " from the brief."
	return out
}

// misreadRows takes a reading's joined values apart. A value that holds the sign
// that joins them leaves all of them in one row.
func misreadRows(r shoot.Misread) []MisreadRow {
	fields, read, brief := strings.Split(r.Field, ", "), strings.Split(r.Read, "; "), strings.Split(r.Brief, "; ")
	if len(read) != len(fields) || len(brief) != len(fields) {
		return []MisreadRow{{view.Capital(r.Field), r.Read, r.Brief}}
	}
	var out []MisreadRow
	for i, f := range fields {
		out = append(out, MisreadRow{view.Capital(f), read[i], brief[i]})
	}
	return out
}

// heroActions are a hero's buttons. The form for reading never shows what the
// brief says: what is read has to come from the object.
func (m *maker) heroActions(h shoot.Hero, st shoot.Standing) []view.Action {
	it := view.Fields{"hero": h.ID}
	read := view.Form{Title: "Read the plate: " + view.Apart(h.Name), Submit: "That is what it says",
		Say: "Type what is on the object itself, not what you expect."}
	for _, p := range view.Plate(h.Plate) {
		read.Fields = append(read.Fields, view.Field{Key: p.Key, Label: p.Label, Kind: view.KindText, Needed: true, As: view.AsText})
	}
	if len(h.Checklist) > 0 {
		ticks := view.Field{Key: "checked", Label: "Checked", Kind: view.KindTicks, As: view.AsList, Hint: "Every line has to be ticked."}
		for _, line := range h.Checklist {
			ticks.Options = append(ticks.Options, view.Option{Value: line, Label: line})
		}
		read.Fields = append(read.Fields, ticks)
	}
	reading := m.Entry("Read the plate", "hero.read", view.Fields{"hero": h.ID, "checked": []string{}, "plate": view.Fields{}}, read)
	mine := slices.ContainsFunc(st.Confirmations, func(c shoot.Confirmation) bool { return c.By == m.c.Me })
	switch {
	case mine && !st.Confirmed:
		reading = reading.Off("You have read it already. A second person has to.")
	case mine:
		reading = reading.Off("You have read it already.")
	}
	lapse := func(label, name, title, hint string) view.Action {
		return m.Entry(label, name, it, view.Form{Title: title + ": " + view.Apart(h.Name), Submit: label, Fields: []view.Field{view.Note(hint)}})
	}
	var out []view.Action
	m.Offer(&out, reading, lapse("Swapped", "hero.swap", "Swapped", "What it was swapped for. It has to be read again."))
	if m.offSet(h) {
		m.Offer(&out, m.Action("Back on set", "hero.back", it))
	} else {
		m.Offer(&out, lapse("Off set", "hero.away", "Taken off set", "Where it is. It has to be read again."))
	}
	m.Offer(&out, lapse("Refuse", "hero.refuse", "Refused", "What is wrong with it. Captures made under this confirmation are queried.").Dangerous())
	return out
}

func (m *maker) heroHistory(h shoot.Hero) []HeroLine {
	var out []HeroLine
	for _, n := range slices.Backward(h.History) {
		by := m.Who(n.By)
		say := ""
		switch n.What {
		case shoot.NoteConfirmed:
			say = "Read and confirmed by " + by
			if n.Until != 0 {
				say += ", holds until " + m.Clock(n.Until)
			}
		case shoot.NoteMisread:
			var rows []string
			for _, row := range misreadRows(*n.Misread) {
				rows = append(rows, view.Lower(row.Field)+" reads "+row.Read+", the brief says "+row.Brief)
			}
			say = "Misread by " + by + ": " + strings.Join(rows, "; ")
		case shoot.NoteBack:
			say = "Back on set, says " + by
		case shoot.NoteLapsed:
			say = map[shoot.Lapse]string{shoot.LapseSwapped: "Swapped by ", shoot.LapseAway: "Taken off set by ",
				shoot.LapseRefused: "Refused by ", shoot.LapseBrief: "Brief changed by "}[n.Lapse] + by
			if n.Note != "" {
				say += ": " + n.Note
			}
		}
		out = append(out, HeroLine{m.Moment(n.At), say})
	}
	return out
}

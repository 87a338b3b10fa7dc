package day

import (
	"cmp"
	"strings"

	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/view"
	"fairday/domain/when"
)

// signOffs is who has signed their hours, for who runs the day; and for the
// producer whose pay lines are shown to them and what they say to those.
func (m *maker) signOffs() *SignOffs {
	out := &SignOffs{}
	sheet, _ := m.State.SheetNow(m.Day.ID)
	counts := map[shoot.SignOff]int{}
	var hidden, shown []shoot.PersonID
	plain := 0 // who is not marked as an employee
	for _, p := range m.There() {
		h := m.Hours(p.ID)
		call, called := sheet.Calls[p.ID]
		if !called && len(h.Marks) == 0 {
			continue
		}
		row := m.signOffRow(p, h)
		counts[m.State.SignOff(m.Day.ID, p.ID)]++
		out.Rows = append(out.Rows, row)
		if m.State.Money == nil {
			continue
		}
		terms, paid := m.State.Money.Terms[p.ID]
		if _, off := m.State.OffOn(m.Day.ID, string(p.ID)); off {
			row.Say = "called off"
		} else if paid && terms.Employee.Law == "" {
			plain++
		} else if paid {
			row.Floor = m.floorOf(m.engaged(p, terms, call.At), sheet.Wrap)
		}
		out.Rows[len(out.Rows)-1] = row
		if m.State.Pay[shoot.KeyOf(m.Day.ID, p.ID)].Shared {
			shown = append(shown, p.ID)
		} else if paid {
			hidden = append(hidden, p.ID)
		}
	}
	sorting.By(out.Rows, func(a, b SignOffRow) int { return cmp.Compare(urgency(a), urgency(b)) })
	say := view.Itoa(counts[shoot.Signed]) + " of " + view.Itoa(len(out.Rows)) + " have signed"
	if n := counts[shoot.Lapsed]; n > 0 {
		say += ", " + view.Itoa(n) + " signed before the hours changed"
	}
	if n := counts[shoot.Disputed]; n > 0 {
		say += ", " + view.Count(n, "person disputes", "people dispute") + " them"
	}
	out.Say, out.Floors = view.Sentence(say), notLooked(plain)
	if len(hidden) > 0 {
		m.Offer(&out.Share, m.sharing("Show everybody their own pay", hidden, true).
			Confirming("Show "+view.Count(len(hidden), "person", "people")+" the pay lines of their own day? Each sees their own and nobody else's."))
	}
	if len(shown) > 0 {
		m.Offer(&out.Share, m.sharing("Take all pay lines away", shown, false).
			Confirming("Take the pay lines away from "+view.Count(len(shown), "person", "people")+"?"))
	}
	return out
}

// floorOf is a person's floors as the day went for them, or would if it wrapped as
// planned, or now where that has passed.
func (m *maker) floorOf(e engaged, wrap when.Instant) FloorSay {
	if wrap = max(wrap, m.c.Now); e.Hours.In == 0 && wrap == m.c.Now {
		return FloorSay{} // the day went without them
	}
	return m.floorsAt(e, wrap, m.floors(e, e.Hours.Wrapped(wrap)))
}

// urgency puts first who disputes, then whose signature lapsed, then who could
// sign, and last who has signed or is not through with the day.
func urgency(r SignOffRow) int {
	switch {
	case r.Mark == signMark(shoot.Disputed) || r.Pay != nil && *r.Pay == signMark(shoot.Disputed):
		return 0
	case r.Mark == signMark(shoot.Lapsed):
		return 1
	case r.Say == "":
		return 2
	}
	return 3
}

func (m *maker) sharing(label string, people []shoot.PersonID, on bool) view.Action {
	return m.Action(label, "pay.share", view.Fields{"day": m.Day.ID, "people": people, "on": on})
}

func (m *maker) signOffRow(p shoot.Person, h shoot.Hours) SignOffRow {
	state := m.State.SignOff(m.Day.ID, p.ID)
	row := SignOffRow{ID: string(p.ID), Name: p.Name, Job: view.Job(p), Hours: m.Day.InOut(h.Stamps()), Mark: signMark(state)}
	switch {
	case state == shoot.Signed, state == shoot.Lapsed:
		row.Say = "signed " + m.Moment(m.State.Floor.Signs[shoot.KeyOf(m.Day.ID, p.ID)].At)
	case state == shoot.Disputed:
		row.Say = strings.TrimSuffix(m.disputes(p.ID)[0], " Nobody has settled it yet.")
	case len(h.Marks) == 0:
		row.Say = "not signed in yet"
	case h.Presence() != shoot.Away:
		row.Say = "still on the clock"
	}
	if m.State.Money == nil {
		return row
	}
	pay, there := m.State.Pay[shoot.KeyOf(m.Day.ID, p.ID)]
	_, paid := m.State.Money.Terms[p.ID]
	switch {
	case pay.Shared:
		row.PaySay = "Pay lines are shown once they sign out"
		if mark := signMark(pay.SignOff()); pay.Slip != nil {
			row.Pay, row.PaySay = &mark, "Pay lines shown: "+pay.Slip.Total.Format()
		}
		m.Offer(&row.Actions, m.sharing("Take the pay lines away", []shoot.PersonID{p.ID}, false))
	case paid:
		row.PaySay = "Pay lines not shown"
		if there {
			row.PaySay = "Pay lines taken away"
		}
		m.Offer(&row.Actions, m.sharing("Show them their pay", []shoot.PersonID{p.ID}, true))
	}
	return row
}

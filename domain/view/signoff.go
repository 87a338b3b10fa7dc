package view

import (
	"cmp"
	"strings"

	"fairday/domain/shoot"
	"fairday/domain/sorting"
)

// signOffs is who has signed their hours, for who runs the day; and for the
// producer whose pay lines are shown to them and what they say to those.
func (m *maker) signOffs() *SignOffs {
	out := &SignOffs{}
	sheet, _ := m.s.SheetNow(m.day.ID)
	counts := map[shoot.SignOff]int{}
	var hidden, shown []shoot.PersonID
	for _, p := range m.there() {
		h := m.hours(p.ID)
		_, called := sheet.Calls[p.ID]
		if !called && len(h.Marks) == 0 {
			continue
		}
		row := m.signOffRow(p, h)
		counts[m.s.SignOff(m.day.ID, p.ID)]++
		out.Rows = append(out.Rows, row)
		if m.s.Money == nil {
			continue
		}
		if _, paid := m.s.Money.Terms[p.ID]; m.s.Pay[shoot.KeyOf(m.day.ID, p.ID)].Shared {
			shown = append(shown, p.ID)
		} else if paid {
			hidden = append(hidden, p.ID)
		}
	}
	sorting.By(out.Rows, func(a, b SignOffRow) int { return cmp.Compare(urgency(a), urgency(b)) })
	say := itoa(counts[shoot.Signed]) + " of " + itoa(len(out.Rows)) + " have signed"
	if n := counts[shoot.Lapsed]; n > 0 {
		say += ", " + itoa(n) + " signed before the hours changed"
	}
	if n := counts[shoot.Disputed]; n > 0 {
		say += ", " + count(n, "person disputes", "people dispute") + " them"
	}
	out.Say = sentence(say)
	if len(hidden) > 0 {
		m.offer(&out.Share, m.sharing("Show everybody their own pay", hidden, true).
			confirm("Show "+count(len(hidden), "person", "people")+" the pay lines of their own day? Each sees their own and nobody else's."))
	}
	if len(shown) > 0 {
		m.offer(&out.Share, m.sharing("Take all pay lines away", shown, false).
			confirm("Take the pay lines away from "+count(len(shown), "person", "people")+"?"))
	}
	return out
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

func (m *maker) sharing(label string, people []shoot.PersonID, on bool) Action {
	return m.action(label, "pay.share", fields{"day": m.day.ID, "people": people, "on": on})
}

func (m *maker) signOffRow(p shoot.Person, h shoot.Hours) SignOffRow {
	state := m.s.SignOff(m.day.ID, p.ID)
	row := SignOffRow{ID: string(p.ID), Name: p.Name, Job: job(p), Hours: m.day.InOut(h.Stamps()), Mark: signMark(state)}
	switch {
	case state == shoot.Signed, state == shoot.Lapsed:
		row.Say = "signed " + m.moment(m.s.Floor.Signs[shoot.KeyOf(m.day.ID, p.ID)].At)
	case state == shoot.Disputed:
		row.Say = strings.TrimSuffix(m.disputes(p.ID)[0], " Nobody has settled it yet.")
	case len(h.Marks) == 0:
		row.Say = "not signed in yet"
	case h.Presence() != shoot.Away:
		row.Say = "still on the clock"
	}
	if m.s.Money == nil {
		return row
	}
	pay, there := m.s.Pay[shoot.KeyOf(m.day.ID, p.ID)]
	_, paid := m.s.Money.Terms[p.ID]
	switch {
	case pay.Shared:
		row.PaySay = "Pay lines are shown once they sign out"
		if mark := signMark(pay.SignOff()); pay.Slip != nil {
			row.Pay, row.PaySay = &mark, "Pay lines shown: "+pay.Slip.Total.Format()
		}
		m.offer(&row.Actions, m.sharing("Take the pay lines away", []shoot.PersonID{p.ID}, false))
	case paid:
		row.PaySay = "Pay lines not shown"
		if there {
			row.PaySay = "Pay lines taken away"
		}
		m.offer(&row.Actions, m.sharing("Show them their pay", []shoot.PersonID{p.ID}, true))
	}
	return row
}

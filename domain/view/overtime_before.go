package view

import (
	"cmp"
	"slices"

	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/when"
)

// needsBefore tells whether terms look at the days before.
func needsBefore(t overtime.Terms) bool {
	return !t.Sixth.IsZero() || !t.Seventh.IsZero() || !t.Turnaround.IsZero() || len(t.Week) > 0 || t.Days > 1
}

// before is what a person's day takes from the earlier days of this shoot:
// others are not known. A day that is still to come counts as it is planned.
func (m *maker) before(p shoot.PersonID, t overtime.Terms) overtime.Before {
	out := overtime.Before{Run: 1, Day: 1}
	if !needsBefore(t) {
		return overtime.Before{}
	}
	next := m.day.Date
	days := m.days()
	slices.Reverse(days)
	for _, day := range days {
		if day.Date >= m.day.Date {
			continue
		}
		then := &maker{s: m.s, c: m.c, me: m.me, day: day, at: day.Zone.Reader()}
		h := then.hours(p)
		sheet, _ := m.s.SheetNow(day.ID)
		call, called := sheet.Calls[p]
		if len(h.Marks) == 0 && (!called || m.c.Now > sheet.Wrap) {
			continue // was not there
		}
		slip, end := then.ended(t, then.clocked(p, t, h, call.At), sheet.Wrap)
		if out.Day++; out.Day == 2 {
			out.Out, out.Times = end, slip.EndedOn()
		}
		if day.Date == next.Add(-1) {
			out.Run, next = out.Run+1, day.Date
		}
		if monday(day.Date) == monday(m.day.Date) {
			out.Week += slip.Worked
		}
	}
	return out
}

// ended is what a day came to and when it ended: at the sign-out, or as planned
// where nobody has signed in yet. The end is zero while it is not known.
func (m *maker) ended(t overtime.Terms, h overtime.Hours, wrap when.Instant) (overtime.Slip, when.Instant) {
	end := h.Out
	if h.In == 0 {
		end = wrap
	}
	slip, err := overtime.Pay(t, h.Wrapped(cmp.Or(end, m.c.Now)))
	if err != nil {
		return overtime.Slip{}, 0 // the day itself then says what is missing
	}
	return slip, end
}

// monday is the date that a week starts on.
func monday(d when.Date) when.Date {
	for back := range 7 {
		if first := d.Add(-back); first.Weekday() == "Monday" {
			return first
		}
	}
	return d
}

package overtime

import (
	"slices"

	"fairday/domain/when"
)

// Hours are one person's, place's or thing's time on one day. Zone and Before
// are only asked for where the terms need them.
type Hours struct {
	Call  when.Instant `json:"call"` // the clock does not start before it; 0 for no call
	In    when.Instant `json:"in"`   // signed in; 0 counts from the call
	Out   when.Instant `json:"out"`  // signed out; 0 while on the clock
	Meals []Break      `json:"meals"`

	Zone   when.Zone `json:"zone,omitempty"` // whose clock a night or a late call is read on
	Before Before    `json:"before,omitzero"`

	Kind string `json:"kind,omitempty"` // of the day, where it is no shoot day, see Terms.Other
}

// Counts tells whether a day of some kind counts as worked: to the hours of the week,
// to the days in a row and for the rest after it.
func (t Terms) Counts(kind string) bool {
	i := slices.IndexFunc(t.Other, func(o OtherDay) bool { return o.Kind == kind })
	return kind == "" || i < 0 || t.Other[i].Worked
}

// Break is a meal. To is zero while it lasts.
type Break struct {
	From when.Instant `json:"from"`
	To   when.Instant `json:"to"`
}

// Wrapped closes hours that are open as if the day ended at that instant: later
// meals are left out and a meal under way ends there. Who has not started yet
// has worked nothing. Hours with a sign-out are returned as they are.
func (h Hours) Wrapped(at when.Instant) Hours {
	if h.Out != 0 {
		return h
	}
	h.Out = max(at, h.In, h.Call)
	var meals []Break
	for _, m := range h.Meals {
		if m.From >= h.Out {
			continue
		}
		if m.To == 0 || m.To > h.Out {
			m.To = h.Out
		}
		meals = append(meals, m)
	}
	h.Meals = meals
	return h
}

// MealEnds gives a meal under way the end that is planned for it, so that the
// time after it can be reckoned.
func (h Hours) MealEnds(at when.Instant) Hours {
	h.Meals = slices.Clone(h.Meals)
	for i, m := range h.Meals {
		if m.To == 0 {
			h.Meals[i].To = max(at, m.From)
		}
	}
	return h
}

// minute is the minute an instant reads on a clock.
func minute(i when.Instant) int64 { return int64(i / when.Minute) }

func instant(minute int64) when.Instant { return when.Instant(minute) * when.Minute }

// day checks the hours and counts them in minutes. A break shorter than least
// is marked as short.
func (h Hours) day(least int64) (day, *Error) {
	in, call, out := minute(h.In), minute(h.Call), minute(h.Out)
	first := in // the earliest a meal can be
	if in <= 0 {
		first = call
	}
	d := day{start: max(in, call)}
	switch {
	case first <= 0:
		return d, fail(CodeHoursStart, "there is neither a sign-in nor a call; sign in first, or write the call")
	case h.Out != 0 && out < first:
		return d, fail(CodeOutBeforeIn, "signed out %s before the start; correct one of the two", when.Elapsed(first-out))
	case h.Out != 0 && out-d.start > longestDay:
		return d, fail(CodeHoursLong, "%s on one clock is more than a day can have; a sign-out may be missing, split the hours by day", when.Elapsed(out-d.start))
	}
	if h.Out != 0 {
		d.out = max(out, d.start)
	}
	last := int64(0)
	for i, m := range h.Meals {
		from, to := minute(m.From), minute(m.To)
		switch {
		case m.To == 0 && h.Out == 0:
			return d, fail(CodeMealOpen, "meal %d has no end yet; end it, or say when it is planned to end", i+1)
		case m.To == 0:
			to = out
		}
		switch {
		case from < first:
			return d, fail(CodeMealBeforeIn, "meal %d starts before the sign-in; correct one of the two", i+1)
		case h.Out != 0 && (from > out || to > out):
			return d, fail(CodeMealAfterOut, "meal %d ends after the sign-out; correct one of the two", i+1)
		case to < from || from < last:
			return d, fail(CodeMealOrder, "meal %d ends before it starts or overlaps the one before; correct its times", i+1)
		}
		last = to
		if n := len(d.meals); n > 0 && d.meals[n-1].to == from {
			d.meals[n-1].to = to // they are one
		} else {
			d.meals = append(d.meals, pause{from: from, to: to})
		}
	}
	d.judge(least)
	return d, nil
}

// judge marks the breaks that are too short, as long as they really were, and
// leaves out what of them lies before the start.
func (d *day) judge(least int64) {
	meals := d.meals[:0]
	for _, m := range d.meals {
		m.short = m.to-m.from < least
		if m.from = max(m.from, d.start); m.to > m.from {
			meals = append(meals, m)
			d.short = d.short || m.short
		}
	}
	d.meals = meals
}

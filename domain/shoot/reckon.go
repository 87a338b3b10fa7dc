package shoot

import (
	"cmp"
	"slices"

	"fairday/domain/overtime"
	"fairday/domain/sorting"
	"fairday/domain/when"
)

// Hours as they are reckoned for pay: out of punches, calls and planned meals.
// What the producer watches and what a person is shown of their own pay come
// from the same hours.

// DaysInOrder are the shoot's days by date.
func (s *State) DaysInOrder() []Day {
	return sorting.Values(s.Floor.Days, func(a, b Day) int {
		return cmp.Or(cmp.Compare(a.Date, b.Date), cmp.Compare(a.ID, b.ID))
	})
}

// Clocked turns a person's punches and call on a day into hours to reckon with
// under their terms. Time between a signing out and the next signing in counts as
// a break. While somebody is on the clock, the meals that are still to come are
// taken as planned; of somebody who has not punched at all, every meal is. A
// short one is eaten on the clock.
func (s *State) Clocked(day Day, p PersonID, t overtime.Terms, now when.Instant) overtime.Hours {
	h := s.Floor.Hours[KeyOf(day.ID, p)]
	sheet, _ := s.SheetNow(day.ID)
	out := overtime.Hours{Call: sheet.Calls[p].At, In: h.First(), Zone: day.Zone, Before: s.before(day, p, t, now), Kind: s.KindOf(day.ID, p)}
	for _, meal := range h.Meals() {
		out.Meals = append(out.Meals, overtime.Break(meal))
	}
	stretches := h.Stretches()
	for i := 1; i < len(stretches); i++ {
		out.Meals = append(out.Meals, overtime.Break{From: stretches[i-1].To, To: stretches[i].From})
	}
	if n := len(stretches); n > 0 {
		out.Out = stretches[n-1].To
	}
	sorting.By(out.Meals, func(a, b overtime.Break) int { return cmp.Compare(a.From, b.From) })
	if out.Out != 0 {
		return out
	}
	return s.planned(day, h, out, now)
}

// planned adds the meals that are still to come to hours that are open.
func (s *State) planned(day Day, h Hours, out overtime.Hours, now when.Instant) overtime.Hours {
	start := cmp.Or(out.In, out.Call)
	for _, meal := range s.MealsOf(day.ID) {
		length := when.Instant(meal.Minutes) * when.Minute
		if n := len(out.Meals); n > 0 && out.Meals[n-1].To == 0 && near(meal, out.Meals[n-1].From) {
			out = out.MealEnds(max(out.Meals[n-1].From+length, now))
		}
		taken := slices.ContainsFunc(out.Meals, func(b overtime.Break) bool {
			return near(meal, b.From) || (b.From < meal.From+length && b.To > meal.From)
		})
		from := meal.From
		if len(h.Marks) > 0 {
			taken = taken || meal.Service == MealDone || meal.From+length <= now
			from = max(from, now)
		}
		if taken || meal.From < start || meal.Minutes < shortest {
			continue
		}
		out.Meals = append(out.Meals, overtime.Break{From: from, To: from + length})
	}
	return out.MealEnds(now)
}

// shortest is how long a planned meal has to be, in minutes, to be reckoned as
// time off the clock: 30 are ordinarily enough, and a rest of up to 20 is worked
// time (29 CFR 785.19 and 785.18, from memory). A break that is punched counts
// whatever its length.
const shortest = 30

// near tells whether a break that starts then is this meal.
func near(meal Meal, at when.Instant) bool {
	const slack = 45 * when.Minute
	return at >= meal.From-slack && at < meal.From+when.Instant(meal.Minutes)*when.Minute
}

// LooksBack tells whether terms look at the days before.
func LooksBack(t overtime.Terms) bool {
	return !t.Sixth.IsZero() || !t.Seventh.IsZero() || !t.Turnaround.IsZero() || len(t.Week) > 0 || t.Days > 1
}

// before is what a person's day takes from the earlier days of this shoot:
// others are not known. A day that is still to come counts as it is planned.
func (s *State) before(today Day, p PersonID, t overtime.Terms, now when.Instant) overtime.Before {
	out := overtime.Before{Run: 1, Day: 1}
	if !LooksBack(t) {
		return overtime.Before{}
	}
	next, last := today.Date, false
	days := s.DaysInOrder()
	slices.Reverse(days)
	for _, day := range days {
		if day.Date >= today.Date {
			continue
		}
		h := s.Floor.Hours[KeyOf(day.ID, p)]
		sheet, _ := s.SheetNow(day.ID)
		_, called := sheet.Calls[p]
		_, off := s.OffOn(day.ID, string(p))
		if there := called || len(h.Marks) > 0; there && !off && !t.Counts(s.KindOf(day.ID, p)) {
			out.Day++ // it is one of the agreed days, and nothing else
			continue
		}
		if off || len(h.Marks) == 0 && (!called || now > sheet.Wrap) {
			continue // was not there
		}
		slip, end := ended(t, s.Clocked(day, p, t, now), sheet.Wrap, now)
		out.Day++
		if !last {
			out.Out, out.Times, last = end, slip.EndedOn(), true
		}
		if day.Date == next.Add(-1) {
			out.Run, next = out.Run+1, day.Date
		}
		if monday(day.Date) == monday(today.Date) {
			out.Week += slip.Worked
		}
	}
	return out
}

// ended is what a day came to and when it ended: at the sign-out, or as planned
// where nobody has signed in yet. The end is zero while it is not known.
func ended(t overtime.Terms, h overtime.Hours, wrap, now when.Instant) (overtime.Slip, when.Instant) {
	end := h.Out
	if h.In == 0 {
		end = wrap
	}
	slip, err := overtime.Pay(t, h.Wrapped(cmp.Or(end, now)))
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

// NextCall is when a person is called next after a day, on the sheets that are
// published; 0 where no later day calls them. A day that they are called off, or that
// does not count as worked, owes no rest before it.
func (s *State) NextCall(today Day, p PersonID) when.Instant {
	for _, day := range s.DaysInOrder() {
		if day.Date <= today.Date {
			continue
		}
		sheet, _ := s.SheetNow(day.ID)
		if _, off := s.OffOn(day.ID, string(p)); off || s.Money != nil && !s.Money.Terms[p].Counts(s.KindOf(day.ID, p)) {
			continue
		}
		if call, called := sheet.Calls[p]; called {
			return call.At
		}
	}
	return 0
}

// Elsewhere are a person's hours on the other days of this shoot, in their
// order. A day that has not ended counts as it is
// planned; nobody is on a day that passed without them.
func (s *State) Elsewhere(today Day, p PersonID, t overtime.Terms, now when.Instant) []DayHours {
	var out []DayHours
	for _, day := range s.DaysInOrder() {
		h := s.Floor.Hours[KeyOf(day.ID, p)]
		sheet, _ := s.SheetNow(day.ID)
		_, called := sheet.Calls[p]
		if _, off := s.OffOn(day.ID, string(p)); off || day.ID == today.ID || (len(h.Marks) == 0 && (!called || now > sheet.Wrap)) {
			continue
		}
		hours, end := s.Clocked(day, p, t, now), sheet.Wrap
		if hours.In != 0 {
			end = max(now, end) // still there
		}
		out = append(out, DayHours{Day: day, SameWeek: monday(day.Date) == monday(today.Date), Hours: hours.Wrapped(end)})
	}
	return out
}

// DayHours are the hours of one day, ended as it did or is planned to.
type DayHours struct {
	Day      Day
	SameWeek bool // as the day that was asked for; a week starts on Monday
	Hours    overtime.Hours
}

// WeekOf is the start of the week that a day is in.
func (s *State) WeekOf(day Day) (when.Instant, error) { return day.Zone.At(monday(day.Date), 0) }

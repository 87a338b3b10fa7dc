package overtime

import (
	"fmt"
	"slices"

	"fairday/domain/money"
	"fairday/domain/when"
)

// sheet is one day on one set of terms, ready to be reckoned for any wrap.
type sheet struct {
	tariff
	day    day
	before Before

	bands  []Band      // of this day
	run    money.Ratio // what a day late in a run is worth; zero for any other
	runs   string      // and its name
	rested int64       // minute at which the rest before the day is over, day.start at least
	early  money.Ratio // what the minutes before that are worth
	missed int64       // minutes of rest that cost a penalty
	nights []night
}

// night is a stretch of one of the windows in which a worked minute is worth more.
type night struct {
	span
	*Night
	name  string
	early bool // the window of an early call
}

// newSheet checks terms and hours and brings them together.
func newSheet(t Terms, h Hours, k *clockCache) (*sheet, error) {
	s := &sheet{tariff: tariff{Terms: t}, before: h.Before}
	if h.Kind != "" {
		if err := s.onDay(h.Kind); err != nil {
			return nil, err
		}
	}
	if err := s.ready(); err != nil {
		return nil, err
	}
	s.bands = s.Bands
	var bad *Error
	if s.day, bad = h.day(s.MealLeast); bad != nil {
		return nil, bad
	}
	s.day.breakfast(s.Meal.Breakfast)
	s.rested = s.day.start
	for _, add := range [...]func(*sheet, *Hours, *clockCache) *Error{(*sheet).addBefore, (*sheet).addLateCall, (*sheet).addRun,
		(*sheet).addWeekend, (*sheet).addTurnaround, (*sheet).addNights} {
		if bad := add(s, &h, k); bad != nil {
			return nil, bad
		}
	}
	return s, nil
}

// onDay makes the terms what they are on a day that is no shoot day, and says how its
// rate comes about. A kind that they say nothing of is paid like a shoot day.
func (r *tariff) onDay(kind string) error {
	i := slices.IndexFunc(r.Other, func(o OtherDay) bool { return o.Kind == kind })
	if i < 0 {
		r.unnamed = kind + " day, which the terms do not name: "
		return nil
	}
	if err := r.check(); err != nil {
		return err
	}
	t, o := &r.Terms, r.Other[i]
	r.other = fmt.Sprintf("%s day: %s × %s", kind, t.Rate.Format(), factor(o.Share))
	var err error
	if t.Rate, err = t.Rate.Times(o.Share, money.HalfUp); err == nil {
		t.Base, err = t.Base.Times(o.Share, money.HalfUp)
	}
	if !o.Worked {
		agency := t.Agency
		if agency.On = AgencyOnFee; t.Agency.On == AgencyOnOvertime || t.Agency.On == "" {
			agency = Agency{}
		}
		*t = Terms{Basis: AllIn, Rate: t.Rate, Days: t.Days, Agency: agency, OnCosts: t.OnCosts, Extras: t.Extras, Usage: t.Usage}
	}
	return err
}

func (s *sheet) addBefore(*Hours, *clockCache) *Error {
	b := s.before
	switch {
	case b.Run < 0 || b.Run > 366:
		return fail(CodeBefore, "%d is not a working day in a row; count from 1", b.Run)
	case b.Week < 0 || b.Week > longestBand:
		return fail(CodeBefore, "%s is not the work of a week; check the hours before this day", when.Elapsed(b.Week))
	case len(s.Week) > 0 && b.Run == 0:
		return fail(CodeBefore, "the terms count the hours of the week; say which working day in a row this is and what was worked before")
	case s.Days > 1 && (b.Day < 1 || b.Day > s.Days):
		return fail(CodeBefore, "the rate covers %d days and this is day %d of them; say which it is, or agree what a further day costs", s.Days, b.Day)
	}
	return nil
}

// addLateCall counts the time from the stated hour to a late call as worked.
func (s *sheet) addLateCall(h *Hours, k *clockCache) *Error {
	if s.LateCall == (LateCall{}) {
		return nil
	}
	call := minute(h.Call)
	if call <= 0 {
		call = minute(h.In)
	}
	now, since, err := k.clock(h.Zone, call, s.LateCall.From)
	if err != nil {
		return fail(CodeZone, "the terms start late calls at a stated hour: %v", err)
	}
	if now > s.LateCall.From && now <= s.LateCall.To {
		s.day.credit = call - since
	}
	return nil
}

// addRun finds what a sixth or seventh day is worth.
func (s *sheet) addRun(*Hours, *clockCache) *Error {
	sixth, seventh := !s.Sixth.IsZero(), !s.Seventh.IsZero()
	rule := RunDay{}
	switch run := s.before.Run; {
	case run == 0 && (sixth || seventh):
		return fail(CodeBefore, "the terms pay a sixth or seventh day differently; say which working day in a row this is, 1 for the first")
	case run >= 7 && seventh:
		rule, s.runs = s.Seventh, "seventh day in a row"
	case run >= 6 && sixth:
		rule, s.runs = s.Sixth, "sixth day in a row"
	}
	s.run = rule.Times
	if len(rule.Bands) > 0 {
		s.bands = rule.Bands
	}
	return nil
}

// addTurnaround finds how much of the rest before the day was missed.
func (s *sheet) addTurnaround(h *Hours, _ *clockCache) *Error {
	a, b := s.Turnaround, s.before
	if a.IsZero() {
		return nil
	}
	out := minute(b.Out)
	switch {
	case out == 0 && b.Run == 1:
		return nil
	case out == 0:
		return fail(CodeBefore, "the terms owe a rest between days; say when they were out the day before, or that this is the first day")
	case out > s.day.start:
		return fail(CodeBefore, "out the day before is %s after the start of this day; correct one of the two", when.Elapsed(out-s.day.start))
	case out+a.Rest <= s.day.start:
		return nil
	}
	if len(a.Amounts) > 0 {
		s.missed = out + a.Rest - s.day.start
	}
	if !a.paid() {
		return nil
	}
	s.rested, s.early = out+a.Rest, a.Times
	if a.Carry {
		s.early = b.Times
		if !share(b.Times, money.Whole(10)) {
			return fail(CodeBefore, "a short rest is paid at what the day before ended on; say what that was, like 1.5")
		}
	}
	return nil
}

// addNights finds the nights that the longest day could touch, and the window of an
// early call where the day starts in it.
func (s *sheet) addNights(h *Hours, k *clockCache) *Error {
	for _, n := range [...]struct {
		*Night
		name string
	}{{&s.Night, "night"}, {&s.Night2, "second night window"}, {&s.EarlyCall, "early call"}} {
		if *n.Night == (Night{}) {
			continue
		}
		around, err := k.window(h.Zone, s.day.start, n.From, n.To)
		if err != nil {
			return fail(CodeZone, "the terms pay for the %s: %v", n.name, err)
		}
		for _, x := range around {
			if n.Night == &s.EarlyCall && (x.from > s.day.start || x.to <= s.day.start) {
				continue
			}
			if x.from = max(x.from, s.day.start); x.to > x.from && x.from < s.day.start+longestDay {
				s.nights = append(s.nights, night{x, n.Night, n.name, n.Night == &s.EarlyCall})
			}
		}
	}
	return nil
}

// addWeekend finds what the day of the week, or a holiday, makes the day worth.
func (s *sheet) addWeekend(h *Hours, k *clockCache) *Error {
	w := s.Weekend
	if w.IsZero() {
		return nil
	}
	date, weekday, err := k.date(h.Zone, s.day.start)
	if err != nil {
		return fail(CodeZone, "the terms pay weekends and holidays differently: %v", err)
	}
	raise := func(to money.Ratio, name string) {
		if !to.IsZero() && to.Cmp(s.run) > 0 {
			s.run, s.runs = to, name
		}
	}
	switch weekday {
	case "Saturday":
		raise(w.Saturday, "Saturday")
	case "Sunday":
		raise(w.Sunday, "Sunday")
	}
	if slices.Contains(w.Holidays, date) {
		raise(w.Holiday, "holiday")
	}
	return nil
}

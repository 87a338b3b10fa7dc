package overtime

import (
	"slices"
	"strings"

	"fairday/domain/money"
	"fairday/domain/when"
)

// checkClock is about days on the clock, and overtime that begins.
func (t *Terms) checkClock() *Error {
	switch {
	case t.First < 0 || t.First > 240:
		return fail(CodeFirst, "a first length of overtime of %s is not possible; write minutes, like 60", when.Elapsed(t.First))
	case t.First > 0 && (t.Basis == Hourly || t.endless()):
		return fail(CodeFirst, "terms like these include no hours after which overtime could begin; leave its first length out")
	case t.Inclusive < 0 || t.Inclusive > 180:
		return fail(CodeClockDay, "%s for the meal in a day on the clock is not possible; write minutes, like 60", when.Elapsed(t.Inclusive))
	case t.Inclusive > 0 && (t.Basis == Hourly || t.Included == 0 || t.Included+t.Inclusive > longestDay):
		return fail(CodeClockDay, "a day on the clock needs included time, like 10 hours and 1 for the meal; leave the meal out, or write the hours")
	case t.Inclusive > 0 && t.MealPaid:
		return fail(CodeClockDay, "meals count as worked and the day is on the clock as well; keep one of the two")
	case t.Continuous < 0 || (t.Continuous > 0 && (t.Inclusive == 0 || t.Continuous > t.Included || t.Continuous <= t.Half.UpTo)):
		return fail(CodeClockDay, "a continuous day of %s does not go with the rest; write how long a day on the clock is without a meal, no longer than the hours included",
			when.Elapsed(t.Continuous))
	}
	return nil
}

func (t *Terms) checkWeekend() *Error {
	w := t.Weekend
	for _, d := range [...]struct {
		name  string
		times money.Ratio
	}{{"Saturday", w.Saturday}, {"Sunday", w.Sunday}, {"holiday", w.Holiday}} {
		if d.times != (money.Ratio{}) && (!share(d.times, money.Whole(10)) || d.times.Cmp(money.Whole(1)) < 0) {
			return fail(CodeWeekend, "a %s is worth %s times; write a number from 1 to 10, like 1.5%s", d.name, d.times, meant(d.times))
		}
	}
	if (w.Holiday == money.Ratio{}) != (len(w.Holidays) == 0) {
		return fail(CodeWeekend, "holidays need both, the dates and what such a day is worth; write them, or leave both out")
	}
	if len(w.Holidays) > 60 {
		return fail(CodeWeekend, "%d holidays are more than anybody has; write those of this shoot", len(w.Holidays))
	}
	for _, d := range w.Holidays {
		if !d.Valid() {
			return fail(CodeWeekend, "the holiday %q is not a date; write it as year-month-day, like 2026-12-25", string(d))
		}
	}
	return nil
}

func (t *Terms) checkExtras() *Error {
	for _, all := range [...][]Extra{t.Extras, t.Usage} {
		if len(all) > 12 {
			return fail(CodeExtra, "%d lines are more than a slip can show; put some of them together", len(all))
		}
		for i, e := range all {
			switch {
			case strings.TrimSpace(e.Name) == "" || len(e.Name) > 120 || slices.ContainsFunc(all[:i], func(o Extra) bool { return o.Name == e.Name }):
				return fail(CodeExtra, "a line has no name of its own (%q); name what it is, like kit", e.Name)
			case e.Amount.Currency != t.Rate.Currency:
				return fail(CodeCurrency, "%s is in %q and the rate in %s; use one currency", e.Name, string(e.Amount.Currency), t.Rate.Currency)
			case e.Amount.Minor <= 0 || e.Count < 0 || e.Count > 100_000:
				return fail(CodeExtra, "%s comes to nothing or to too many; write an amount, and how many where it is more than one", e.Name)
			}
			if _, err := e.whole(); err != nil {
				return fail(CodeExtra, "%s comes to more than can be reckoned; check the amount and how many", e.Name)
			}
		}
	}
	return nil
}

func (t *Terms) checkOther() *Error {
	if len(t.Other) > 8 {
		return fail(CodeOther, "%d kinds of days are more than anybody tells apart; put some of them together", len(t.Other))
	}
	for i, o := range t.Other {
		switch {
		case strings.TrimSpace(o.Kind) == "" || len(o.Kind) > 40 || slices.ContainsFunc(t.Other[:i], func(x OtherDay) bool { return x.Kind == o.Kind }):
			return fail(CodeOther, "a kind of day has no name of its own (%q); write one like prep, travel or rehearsal", o.Kind)
		case !share(o.Share, money.Whole(2)):
			return fail(CodeOther, "a %s day is %s of the rate; write a share above 0 and up to 2, like 0.5%s", o.Kind, o.Share, meant(o.Share))
		}
	}
	return nil
}

func (t *Terms) checkNotices() *Error {
	for _, x := range [...]struct {
		name string
		all  []Notice
	}{{"cancellation", t.Cancel}, {"postponement", t.Postpone}} {
		last := int64(0)
		for i, n := range x.all {
			switch {
			case n.Within <= last || n.Within > 366*dayLong:
				return fail(CodeNotice, "%s %d is within %s of the call, which is not longer than the one before; put the shortest first", x.name, i+1, when.Elapsed(n.Within))
			case !share(n.Share, money.Whole(1)):
				return fail(CodeNotice, "%s %d costs %s of the rate; write a share above 0 and up to 1, like 0.5%s", x.name, i+1, n.Share, meant(n.Share))
			case t.Basis == Hourly && t.Minimum == 0:
				return fail(CodeNotice, "an hourly rate without a minimum call has no day to pay a share of; write the minimum call")
			}
			last = n.Within
		}
		if len(x.all) > 12 {
			return fail(CodeNotice, "%d notices are more than a deal memo has; leave some of them out", len(x.all))
		}
	}
	return nil
}

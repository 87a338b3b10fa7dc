package overtime

import (
	"slices"
	"strings"

	"fairday/domain/money"
	"fairday/domain/when"
)

func (t *Terms) checkMeal() *Error {
	m := t.Meal
	switch {
	case m.IsZero():
		return nil
	case t.Basis == Hire:
		return fail(CodeMealRule, "a place or equipment takes no meals; leave the meal rule out")
	case m.Due <= 0 || m.Due > longestDay:
		return fail(CodeMealRule, "the meal rule does not say when the first meal is due; write minutes after the start, like 360")
	case m.Next < 0 || m.Next > longestDay:
		return fail(CodeMealRule, "the next meal cannot be due %s after the last; write minutes, like 360, or leave it out", when.Elapsed(m.Next))
	case m.Grace < 0 || m.Grace > 120:
		return fail(CodeMealRule, "a grace of %s for a meal is not possible; write minutes from 0 to 120", when.Elapsed(m.Grace))
	case m.Breakfast < 0 || m.Breakfast >= m.Due:
		return fail(CodeMealRule, "a paid breakfast within %s of the start would come after the first meal is due; write minutes, like 120", when.Elapsed(m.Breakfast))
	case m.Hour && (m.Every != 0 || len(m.Amounts) > 0):
		return fail(CodeMealRule, "a late meal costs an hour at the base and amounts by the period as well; keep one of the two")
	case m.Hour && t.endless():
		return fail(CodeMealRule, "all-in without included time has no hourly base for a late meal; write amounts, or how long a day it covers")
	case m.Hour:
		return nil
	}
	return t.checkSchedule(CodeMealRule, "meal penalty", m.Every, m.Amounts)
}

// checkSchedule holds penalties by the started period to sense.
func (t *Terms) checkSchedule(code, what string, every int64, amounts []money.Amount) *Error {
	switch {
	case every < 1 || every > 120:
		return fail(code, "%s periods of %d min are not possible; write 30 for half hours or 6 for tenths", what, every)
	case len(amounts) == 0:
		return fail(code, "the %s has no amounts; write what each started period costs, the last one repeats", what)
	}
	for i, a := range amounts {
		if a.Currency != t.Rate.Currency {
			return fail(CodeCurrency, "%s %d is in %q and the rate in %s; use one currency", what, i+1, string(a.Currency), t.Rate.Currency)
		}
		if a.Minor < 0 {
			return fail(code, "%s %d is below zero; write 0 for a period that costs nothing", what, i+1)
		}
	}
	return nil
}

func (t *Terms) checkLeast() *Error {
	switch {
	case t.MealLeast < 0 || t.MealLeast > 120:
		return fail(CodeMealLeast, "a shortest meal of %s is not possible; write minutes from 0 to 120", when.Elapsed(t.MealLeast))
	case t.MealLeast > 0 && t.Meal.IsZero() && (t.MealPaid || t.endless()):
		return fail(CodeMealLeast, "no meal is taken off or ruled, so the shortest meal says nothing; leave it out, or write the meal rule")
	}
	return nil
}

func (t *Terms) checkShortDay() *Error {
	first := int64(longestDay)
	for _, b := range t.Bands {
		first = min(first, b.After)
	}
	switch h := t.Half; {
	case t.Minimum < 0 || t.Minimum > longestDay:
		return fail(CodeMinimum, "a minimum call of %s is not possible; write minutes, like 240", when.Elapsed(t.Minimum))
	case t.Minimum > 0 && t.Basis != Hourly:
		return fail(CodeMinimum, "%s terms pay the whole day anyway; leave the minimum call out, or say what a half day is", t.Basis)
	case t.Minimum > first:
		return fail(CodeMinimum, "the minimum call of %s reaches into a band, so it would pay overtime that nobody worked; make it %s at most",
			when.Elapsed(t.Minimum), when.Elapsed(first))
	case h == HalfDay{}:
		return nil
	case t.Basis != Day && t.Basis != Hire || t.Days > 1:
		return fail(CodeHalfDay, "a half day goes with a day rate or a hire of one day; leave it out")
	case h.UpTo <= 0 || h.UpTo >= t.Included:
		return fail(CodeHalfDay, "a half day of up to %s is not shorter than the %s included; write how long it may be",
			when.Elapsed(h.UpTo), when.Elapsed(t.Included))
	case !share(h.Share, money.Whole(1)) || h.Share == money.Whole(1):
		return fail(CodeHalfDay, "a half day at %s of the rate is not possible; write a share below 1, like 0.6%s", h.Share, meant(h.Share))
	}
	return nil
}

func (t *Terms) checkLateCall() *Error {
	c := t.LateCall
	switch {
	case c == LateCall{}:
		return nil
	case c.From < 0 || c.To >= 24*60 || c.To <= c.From:
		return fail(CodeLateCall, "a late call lies between two times of one day; write both, like 11:00 and 17:00")
	}
	return nil
}

func (t *Terms) checkTurnaround() *Error {
	a := t.Turnaround
	switch {
	case a.IsZero():
		return nil
	case t.Basis == Hire:
		return fail(CodeTurnaround, "a place or equipment needs no rest; leave the turnaround out")
	case a.Rest < 1 || a.Rest > longestDay:
		return fail(CodeTurnaround, "a rest of %s between days is not possible; write minutes, like 600 or 660", when.Elapsed(a.Rest))
	case a.Carry && !a.Times.IsZero():
		return fail(CodeTurnaround, "time before the rest is over is paid at a stated number and at what the day before ended on; keep one of the two")
	case a.paid() && t.endless():
		return fail(CodeTurnaround, "all-in without included time has no hourly base for a short rest; write amounts, or how long a day it covers")
	case !a.Times.IsZero() && (!share(a.Times, money.Whole(10)) || a.Times.Cmp(money.Whole(1)) < 0):
		return fail(CodeTurnaround, "time before the rest is over is paid %s times the base; write a number from 1 to 10%s", a.Times, meant(a.Times))
	case !a.paid() && a.Every == 0 && len(a.Amounts) == 0:
		return fail(CodeTurnaround, "the turnaround does not say what a short rest costs; write times, carry or amounts")
	case a.Every == 0 && len(a.Amounts) == 0:
		return nil
	}
	return t.checkSchedule(CodeTurnaround, "turnaround penalty", a.Every, a.Amounts)
}

func (t *Terms) checkRun() *Error {
	for _, d := range [...]struct {
		name string
		RunDay
	}{{"sixth", t.Sixth}, {"seventh", t.Seventh}} {
		switch {
		case d.RunDay.IsZero():
			continue
		case t.Basis == Hire:
			return fail(CodeRun, "a place or equipment has no days in a row; leave the %s day out", d.name)
		case !share(d.Times, money.Whole(10)) || d.Times.Cmp(money.Whole(1)) < 0:
			return fail(CodeRun, "the %s day in a row is worth %s times; write a number from 1 to 10, like 1.5%s", d.name, d.Times, meant(d.Times))
		case len(d.Bands) > 0 && t.endless():
			return fail(CodeRun, "all-in without included time has no overtime, on the %s day neither; leave its bands out", d.name)
		}
		if err := checkBands("band of the "+d.name+" day", d.Bands); err != nil {
			return err
		}
		if len(d.Bands) > 0 && t.Minimum > d.Bands[0].After {
			return fail(CodeMinimum, "the minimum call of %s reaches into a band of the %s day; make it %s at most",
				when.Elapsed(t.Minimum), d.name, when.Elapsed(d.Bands[0].After))
		}
	}
	return nil
}

func (t *Terms) checkNight() *Error {
	for _, x := range [...]struct {
		name string
		Night
	}{{"night", t.Night}, {"second night window", t.Night2}, {"early call", t.EarlyCall}} {
		switch n := x.Night; {
		case n == Night{}:
		case t.endless():
			return fail(CodeNight, "all-in without included time has no hourly base for the %s; leave it out, or write how long a day it covers", x.name)
		case n.From < 0 || n.From >= 24*60 || n.To < 0 || n.To >= 24*60 || n.From == n.To:
			return fail(CodeNight, "the %s lies between two times of day; write both, like 22:00 and 06:00", x.name)
		case !share(n.Extra, money.Whole(10)):
			return fail(CodeNight, "the %s is worth %s of the base extra; write a share above 0, like 0.25%s", x.name, n.Extra, meant(n.Extra))
		}
	}
	if t.Night2 != (Night{}) && t.Night == (Night{}) {
		return fail(CodeNight, "there is a second night window and no first; write it as the night")
	}
	return nil
}

func (t *Terms) checkCosts() *Error {
	if a := t.Agency; a != (Agency{}) {
		switch {
		case !share(a.Share, money.Whole(1)):
			return fail(CodeAgency, "an agency fee of %s is not possible; write a share up to 1, like 0.2, or leave it out%s", a.Share, meant(a.Share))
		case !slices.Contains([]AgencyOn{AgencyOnFee, AgencyOnOvertime, AgencyOnBoth}, a.On):
			return fail(CodeAgency, "an agency fee on %q is not clear; write fee, overtime or both, or leave the agency out where none is charged", string(a.On))
		case a.On != AgencyOnFee && t.endless():
			return fail(CodeAgency, "all-in without included time has no overtime for an agency fee; put it on the fee")
		}
	}
	for i, c := range t.OnCosts {
		named := func(o OnCost) bool { return o.Name == c.Name }
		switch {
		case strings.TrimSpace(c.Name) == "" || len(c.Name) > 120 || slices.ContainsFunc(t.OnCosts[:i], named):
			return fail(CodeOnCost, "an on-cost has no name of its own (%q); name what it is, like pension", c.Name)
		case !share(c.Share, money.Whole(1)):
			return fail(CodeOnCost, "the on-cost %s is %s of the pay; write a share above 0 and up to 1, like 0.138%s", c.Name, c.Share, meant(c.Share))
		}
	}
	if len(t.OnCosts) > 12 {
		return fail(CodeOnCost, "%d on-costs are more than a slip can show; put some of them together", len(t.OnCosts))
	}
	return nil
}

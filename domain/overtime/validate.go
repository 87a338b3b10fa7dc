package overtime

import (
	"fmt"
	"slices"

	"fairday/domain/money"
	"fairday/domain/when"
)

// Limits that tell a slip of the keyboard from terms, in minutes.
const (
	longestDay  = 36 * 60  // on the clock without signing out
	longestBand = 168 * 60 // bands may count the hours of a week
)

// Validate tells what is wrong with the terms first, as an *Error, or nil.
func (t Terms) Validate() error {
	if err := t.check(); err != nil {
		return err
	}
	if err := t.checkAmounts(); err != nil {
		return err
	}
	return nil
}

func (t *Terms) check() *Error {
	for _, check := range [...]func(*Terms) *Error{(*Terms).checkRate, (*Terms).checkIncluded, (*Terms).checkBands, (*Terms).checkBase,
		(*Terms).checkSteps, (*Terms).checkMeal, (*Terms).checkLeast, (*Terms).checkShortDay, (*Terms).checkLateCall,
		(*Terms).checkTurnaround, (*Terms).checkRun, (*Terms).checkNight, (*Terms).checkCosts,
		(*Terms).checkClock, (*Terms).checkWeekend, (*Terms).checkExtras, (*Terms).checkOther, (*Terms).checkNotices} {
		if err := check(t); err != nil {
			return err
		}
	}
	return nil
}

func (t *Terms) checkRate() *Error {
	switch t.Basis {
	case Day, AllIn, Hire, Hourly:
	default:
		return fail(CodeBasis, "%q is not a way to be engaged; use day, all-in, hire or hourly", string(t.Basis))
	}
	if err := t.Rate.Check(); err != nil {
		return fail(CodeCurrency, "the rate needs a currency: %v", err)
	}
	switch {
	case t.Rate.Minor < 0:
		return fail(CodeRate, "the rate is below zero; write it as a positive amount")
	case t.Rate.Minor == 0 && t.Basis != AllIn:
		return fail(CodeRate, "the rate is missing; write what is paid, or make it all-in for 0 if nothing is")
	}
	return nil
}

func (t *Terms) checkIncluded() *Error {
	switch {
	case t.Included < 0 || t.Included > longestDay:
		return fail(CodeIncluded, "included time of %s is not possible; write how long a day the rate covers, up to %s",
			when.Elapsed(t.Included), when.Elapsed(longestDay))
	case t.Basis == Hourly && t.Included != 0:
		return fail(CodeIncluded, "an hourly rate includes no hours; leave the included time out, or make it a day rate")
	case t.Basis != Hourly && t.Basis != AllIn && t.Included == 0:
		return fail(CodeIncluded, "the included time is missing; write how long a day the rate covers, or make it all-in")
	case t.Days < 0 || t.Days > 366:
		return fail(CodeDays, "%d agreed days are not possible; write 1 or more, or leave it out for a single day", t.Days)
	case t.Days > 1 && t.Basis == Hourly:
		return fail(CodeDays, "an hourly rate covers no days; leave the days out")
	case t.endless() && (len(t.Bands) > 0 || t.Grace != 0 || t.Step != 0):
		return fail(CodeIncluded, "all-in without included time has no overtime; leave out bands, step and grace, or write how long a day it covers")
	}
	return nil
}

func (t *Terms) checkBands() *Error {
	if err := checkBands("band", t.Bands); err != nil {
		return err
	}
	if len(t.Week) > 0 && (t.Basis == Hire || t.endless()) {
		return fail(CodeWeek, "bands by the week go with people whose hours are counted; leave them out of %s terms like these", t.Basis)
	}
	for _, b := range t.Week {
		switch {
		case b.Elapsed:
			return fail(CodeWeek, "bands by the week count worked time; leave elapsed out")
		case b.Times.Cmp(money.Whole(1)) < 0:
			return fail(CodeBandTimes, "a band by the week pays %s times the base; write 1 or more", b.Times)
		}
	}
	return checkBands("week band", t.Week)
}

// checkBands holds bands by worked and by elapsed time to their order.
func checkBands(what string, bands []Band) *Error {
	worked, elapsed := int64(-1), int64(-1)
	most := money.Whole(1) // of those by elapsed time
	for i, b := range bands {
		last := &worked
		if b.Elapsed {
			last = &elapsed
		}
		switch {
		case b.After < 0:
			return fail(CodeBandOrder, "%s %d starts after %s; write hours from 0 on", what, i+1, when.Elapsed(b.After))
		case b.After <= *last:
			return fail(CodeBandOrder, "%s %d starts after %s, which is not later than the one before; put the shortest first", what, i+1, when.Elapsed(b.After))
		case b.After > longestBand:
			return fail(CodeBandOrder, "%s %d starts after %s, longer than a week; check the minutes", what, i+1, when.Elapsed(b.After))
		case b.Times.Check() == nil && b.Times.Den > 10_000:
			return fail(CodeBandTimes, "%s %d pays %s times the base, which has too many decimals; write up to four, like 1.3333", what, i+1, b.Times)
		case !share(b.Times, money.Whole(10)):
			return fail(CodeBandTimes, "%s %d pays %s times the base; write a number above 0 and up to 10, like 1.5%s", what, i+1, b.Times, meant(b.Times))
		case b.Elapsed && b.Times.Cmp(most) < 0:
			return fail(CodeBandTimes, "%s %d pays %s times the base, less than what comes before it; bands by elapsed time can only rise from 1", what, i+1, b.Times)
		}
		*last = b.After
		if b.Elapsed {
			most = b.Times
		}
	}
	return nil
}

// share tells whether a ratio is sound, above nought and no more than most.
func share(r, most money.Ratio) bool {
	return r.Check() == nil && r.Sign() > 0 && r.Cmp(most) <= 0 && r.Den <= 10_000
}

// meant asks back where a share reads as if a percentage was meant.
func meant(r money.Ratio) string {
	percent, err := r.Mul(money.Whole(100))
	if err != nil || r.Check() != nil || r.Cmp(money.Whole(1)) <= 0 || r.Cmp(money.Whole(1000)) > 0 {
		return ""
	}
	return fmt.Sprintf(" (it reads as %s%%; if %s%% was meant, write %s%%)", percent, r, r)
}

func (t *Terms) checkBase() *Error {
	switch t.Divisor {
	case "", ByIncluded, ByWeighted:
	default:
		return fail(CodeDivisor, "%q is not a divisor; use included or weighted", string(t.Divisor))
	}
	switch agreed := t.Base != (money.Amount{}); {
	case t.Divisor != "" && (t.Basis == Hourly || t.endless()):
		return fail(CodeDivisor, "there is nothing to divide for %s terms like these; leave the divisor out", t.Basis)
	case agreed && (t.Basis == Hourly || t.endless()):
		return fail(CodeBase, "there is no hourly base to agree for %s terms like these; leave it out", t.Basis)
	case agreed && t.Divisor != "":
		return fail(CodeBase, "the hourly base is agreed and divided as well; keep one of the two")
	case agreed && t.Base.Currency != t.Rate.Currency:
		return fail(CodeCurrency, "the hourly base is in %s and the rate in %s; use one currency", t.Base.Currency, t.Rate.Currency)
	case agreed && t.Base.Minor <= 0:
		return fail(CodeBase, "the agreed hourly base is not above zero; write what an hour is worth")
	case t.Divisor == ByWeighted && !slices.ContainsFunc(t.Bands, func(b Band) bool { return !b.Elapsed && b.After < t.Included }):
		return fail(CodeDivisor, "a weighted divisor needs a band that starts inside the %s included, like x1.5 after 8 h; add it, or divide by the included hours",
			when.Elapsed(t.Included))
	}
	return nil
}

func (t *Terms) checkSteps() *Error {
	switch t.Step {
	case 0, 1, 6, 15, 30, 60:
	default:
		return fail(CodeStep, "overtime cannot be counted in steps of %d min; use 6, 15, 30 or 60, or 0 for the exact minute", t.Step)
	}
	switch t.StepRule {
	case "", StepUp, StepNearest:
	default:
		return fail(CodeStepRule, "%q is not a rule for steps; use up or nearest", string(t.StepRule))
	}
	switch {
	case t.StepRule != "" && t.Step <= 1:
		return fail(CodeStepRule, "there is no step to count %s; write the step, or leave the rule out", t.StepRule)
	case t.Grace < 0 || t.Grace > 120:
		return fail(CodeGrace, "a grace of %s is not possible; write minutes from 0 to 120", when.Elapsed(t.Grace))
	case t.Grace > 0 && t.Basis == Hourly:
		return fail(CodeGrace, "an hourly rate has no grace, every hour is paid; leave it out")
	}
	return nil
}

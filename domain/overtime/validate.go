package overtime

import (
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
	for _, check := range []func() *Error{t.checkRate, t.checkIncluded, t.checkBands, t.checkBase, t.checkSteps, t.checkMeal} {
		if err := check(); err != nil {
			return err
		}
	}
	return nil
}

func (t Terms) checkRate() *Error {
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

func (t Terms) checkIncluded() *Error {
	switch {
	case t.Included < 0 || t.Included > longestDay:
		return fail(CodeIncluded, "included time of %s is not possible; write how long a day the rate covers, up to %s",
			when.Elapsed(t.Included), when.Elapsed(longestDay))
	case t.Basis == Hourly && t.Included != 0:
		return fail(CodeIncluded, "an hourly rate includes no hours; leave the included time out, or make it a day rate")
	case t.Basis != Hourly && t.Basis != AllIn && t.Included == 0:
		return fail(CodeIncluded, "the included time is missing; write how long a day the rate covers, or make it all-in")
	case t.endless() && (len(t.Bands) > 0 || t.Grace != 0 || t.Step != 0):
		return fail(CodeIncluded, "all-in without included time has no overtime; leave out bands, step and grace, or write how long a day it covers")
	}
	return nil
}

// endless is a fee that covers the day however long it gets.
func (t Terms) endless() bool { return t.Basis == AllIn && t.Included == 0 }

func (t Terms) checkBands() *Error {
	last := int64(-1)
	for i, b := range t.Bands {
		switch {
		case b.After <= last:
			return fail(CodeBandOrder, "band %d starts after %s, which is not later than the one before; put the shortest first", i+1, when.Elapsed(b.After))
		case b.After > longestBand:
			return fail(CodeBandOrder, "band %d starts after %s, longer than a week; check the minutes", i+1, when.Elapsed(b.After))
		case b.Times.Check() != nil || b.Times.Sign() <= 0 || b.Times.Cmp(money.Whole(10)) > 0 || b.Times.Den > 10_000:
			return fail(CodeBandTimes, "band %d pays %s times the base; write a number above 0 and up to 10, like 1.5", i+1, b.Times)
		}
		last = b.After
	}
	return nil
}

func (t Terms) checkBase() *Error {
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
	case t.Divisor == ByWeighted && (len(t.Bands) == 0 || t.Bands[0].After >= t.Included):
		return fail(CodeDivisor, "a weighted divisor needs a band that starts inside the %s included, like x1.5 after 8 h; add it, or divide by the included hours",
			when.Elapsed(t.Included))
	}
	return nil
}

func (t Terms) checkSteps() *Error {
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

func (t Terms) checkMeal() *Error {
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
	case m.Every < 1 || m.Every > 120:
		return fail(CodeMealRule, "penalty periods of %d min are not possible; write 30 for half hours or 6 for tenths", m.Every)
	case len(m.Amounts) == 0:
		return fail(CodeMealRule, "the meal rule has no amounts; write what each started period costs, the last one repeats")
	}
	for i, a := range m.Amounts {
		if a.Currency != t.Rate.Currency {
			return fail(CodeCurrency, "meal penalty %d is in %q and the rate in %s; use one currency", i+1, string(a.Currency), t.Rate.Currency)
		}
		if a.Minor < 0 {
			return fail(CodeMealRule, "meal penalty %d is below zero; write 0 for a period that costs nothing", i+1)
		}
	}
	return nil
}

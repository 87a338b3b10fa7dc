package plan

import (
	"errors"

	"go.yaml.in/yaml/v3"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
)

// Terms of people and hires. Where the file says hours, parts of an hour are
// decimals: 10.5 is ten and a half.

var termsKeys = append([]string{"basis", "rate", "hours", "divisor", "base", "bands", "meal-paid", "step", "step-rule", "grace", "meal"}, ruleKeys...)

// readNamedTerms keeps the terms that several people share.
func (r *reader) readNamedTerms(t *table) {
	r.terms = map[string]*table{}
	keys, rows, ok := t.named("terms", "terms", maxPeople, termsKeys...)
	r.termsLost = !ok
	for i, row := range rows {
		r.readTerms(row)
		r.terms[keys[i]] = row
	}
}

// readTermsOf reads a person's terms, if they have any.
func (r *reader) readTermsOf(row *table, id string) {
	if row.fields["terms"] == nil {
		if row.fields["employee"] != nil {
			row.wrong(row.at("employee"), CodeMissing, "An employee needs terms to hold a floor against. Write their terms, or leave employee out.")
		}
		return
	}
	at := *row
	at.bad = false
	terms, line := r.termsFor(&at)
	at.line = line
	employee := shoot.Employee{Law: choice(&at, "employee", overtime.Laws()), Wage: at.amount("minimum-wage")}
	r.add(&at, "", []string{id}, "terms.set", args{"person": id, "terms": terms, "employee": employee})
}

// termsFor reads the terms of a row, which may name shared ones, and the line
// they stand on.
func (r *reader) termsFor(row *table) (overtime.Terms, int) {
	n, line := row.fields["terms"], row.at("terms")
	if n.Kind != yaml.ScalarNode {
		t := r.open(n, line, "terms of the "+row.what, termsKeys...)
		terms := r.readTerms(t)
		row.bad = row.bad || t.bad
		return terms, line
	}
	shared, ok := r.terms[n.Value]
	switch {
	case ok && !shared.bad:
		return r.readTerms(shared), line
	case ok || r.termsLost: // it was told where they stand
		row.bad = true
	default:
		row.wrong(line, CodeReference, "No terms have the key “%s”. Name them under terms at the top of the file, or write them out here.", clip(n.Value))
	}
	return overtime.Terms{}, line
}

// readTerms reads terms and has them checked.
func (r *reader) readTerms(t *table) overtime.Terms {
	terms := r.draftTerms(t)
	if t.bad {
		return terms
	}
	if err := terms.Validate(); err != nil {
		t.wrong(t.line, CodeRefused, "The %s are refused: %v.", t.what, err)
	}
	return terms
}

func (r *reader) draftTerms(t *table) overtime.Terms {
	out := overtime.Terms{
		Divisor:  choice(t, "divisor", []overtime.Divisor{"", overtime.ByIncluded, overtime.ByWeighted}),
		StepRule: choice(t, "step-rule", []overtime.StepRule{"", overtime.StepUp, overtime.StepNearest}),
		Included: t.hours("hours"), MealPaid: t.flag("meal-paid"),
		Step: int64(t.number("step", 0)), Grace: int64(t.number("grace", 0)),
	}
	if t.needs("basis", "day") {
		out.Basis = choice(t, "basis", []overtime.Basis{overtime.Day, overtime.AllIn, overtime.Hire, overtime.Hourly})
	}
	if t.needs("rate", "640.00") {
		out.Rate = t.amount("rate")
	}
	if t.fields["base"] != nil {
		out.Base = t.amount("base")
	}
	out.Bands = t.bands("bands", "band", "10")
	t.inside("meal", "meal rule", func(row *table) {
		out.Meal = overtime.MealRule{Due: row.hours("due"), Next: row.hours("next"), Every: int64(row.number("every", 0)),
			Hour: row.flag("hour"), Amounts: row.amounts("amounts")}
	}, "due", "next", "every", "amounts", "hour")
	r.readRules(t, &out)
	return out
}

// amount reads money, in the shoot's currency where the field names none.
func (t *table) amount(key string) money.Amount {
	s := t.scalar(key)
	if s == "" {
		return money.Amount{}
	}
	a, err := money.Parse(s, t.currency)
	t.check(key, err)
	return a
}

var errHours = errors.New("hours come to a whole number of minutes; write them like 10 or 7.5")

// hours reads hours as minutes; 0 where they are not there.
func (t *table) hours(key string) int64 {
	s := t.scalar(key)
	if s == "" {
		return 0
	}
	hours, err := money.ParseRatio(s)
	minutes := money.Ratio{}
	if err == nil {
		minutes, err = hours.Mul(money.Whole(60))
	}
	if err == nil && minutes.Den != 1 {
		err = errHours
	}
	t.check(key, err)
	return minutes.Num
}

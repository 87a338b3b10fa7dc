package view

import (
	"strconv"
	"strings"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
)

// termsOf is whose terms are looked at, and the edit that changes them.
type termsOf struct {
	id, name string
	hire     bool
	terms    overtime.Terms
	employee shoot.Employee
	written  bool // there are terms
	intent   string
	args     fields
	extra    []Field // what the edit asks for besides terms
}

// termsSheet shows the terms of whom the context asks for.
func (m *maker) termsSheet() *TermsSheet {
	of, ok := m.termsOf(m.c.Terms)
	if !ok {
		return nil
	}
	out := &TermsSheet{ID: of.id, Name: of.name}
	currency := m.s.Money.Currency
	if of.written {
		currency = of.terms.Rate.Currency
		out.Rules = rules(of.terms)
		if of.employee.Law != "" {
			out.Rules = append(out.Rules, Line{"Labour law", of.employee.Law.Label()})
		}
		change := m.termsForm("Change these terms", of, of.terms, currency, "What was agreed decides. Rules that have no field here stay as they are.", "")
		out.Change = &change
	} else {
		out.Say = "No terms are written for them. Start from a card."
	}
	for _, c := range overtime.Cards() {
		if (c.Terms.Basis == overtime.Hire) != of.hire && c.Terms.Basis != overtime.AllIn {
			continue
		}
		example := "The card’s example is " + c.Terms.Rate.Format() + "."
		t := c.Terms
		t.Rate = money.Amount{Currency: currency}
		if of.written {
			t.Rate = of.terms.Rate
		}
		out.Cards = append(out.Cards, TermsCard{Name: sentenceWord(c.Name), Source: sentence("source: " + c.Source + ", as of " + itoa(c.Year)), Caution: c.Caution,
			Rules: rules(c.Terms), Start: m.termsForm("Start from this card", of, t, currency, c.Caution, example)})
	}
	return out
}

func (m *maker) termsOf(id string) (termsOf, bool) {
	if p, ok := m.s.Floor.People[shoot.PersonID(id)]; ok && !p.Revoked {
		t, written := m.s.Money.Terms[p.ID]
		return termsOf{id: id, name: p.Name, terms: t.Terms, employee: t.Employee, written: written, intent: "terms.set",
			args: fields{"person": p.ID, "base": t.Version, "employee": t.Employee}}, true
	}
	h, ok := m.s.Money.Hires[shoot.HireID(id)]
	if !ok {
		return termsOf{}, false
	}
	return termsOf{id: id, name: h.Name, hire: true, terms: h.Terms, written: true, intent: "hire.set", args: fields{"id": h.ID, "day": h.Day, "base": h.Version},
		extra: []Field{
			{Key: "name", Label: "Name", Kind: KindText, Value: h.Name, Needed: true, As: AsText},
			{Key: "from", Label: "Hours start at", Kind: KindTime, Value: h.From.String(), Needed: true, As: AsClock},
		}}, true
}

// termsForm asks for the terms that most people have; what has no field goes
// along as it stands.
func (m *maker) termsForm(label string, of termsOf, t overtime.Terms, c money.Currency, say, hint string) Action {
	args := fields{"terms": t}
	for k, v := range of.args {
		args[k] = v
	}
	asked := append(of.extra[:len(of.extra):len(of.extra)], termsFields(t, of.hire, hint)...)
	if !of.hire {
		asked = append(asked, employeeFields(of.employee, c)...)
	}
	a := m.entry(label, of.intent, args, Form{Title: "Terms of " + of.name, Submit: "Set the terms", Say: say, Currency: string(c),
		Fields: asked})
	if c == "" {
		return a.off("Set the currency of the shoot first.")
	}
	return a
}

func termsFields(t overtime.Terms, hire bool, hint string) []Field {
	bases := []Option{{Value: string(overtime.Day), Label: "By the day"}, {Value: string(overtime.Hourly), Label: "By the hour"}}
	if hire {
		bases = []Option{{Value: string(overtime.Hire), Label: "Hire by the day"}}
	}
	bases = append(bases, Option{Value: string(overtime.AllIn), Label: "All-in"})
	divisor, rule, step, rate := t.Divisor, t.StepRule, t.Step, ""
	if divisor == overtime.ByIncluded {
		divisor = ""
	}
	if rule == overtime.StepUp {
		rule = ""
	}
	if step == 1 {
		step = 0
	}
	if t.Rate.Minor != 0 {
		rate, _, _ = strings.Cut(t.Rate.String(), " ")
	}
	out := []Field{
		{Key: "terms.basis", Label: "Engaged", Kind: KindChoice, Value: string(t.Basis), Options: bases, Needed: true, As: AsText},
		{Key: "terms.rate", Label: "Rate, in " + string(t.Rate.Currency), Kind: KindMoney, Value: rate, Needed: true, As: AsAmount, Hint: hint},
		{Key: "terms.included", Label: "Hours included", Kind: KindText, Value: blankHours(t.Included), As: AsHours, Hint: "Like 10 or 10:30. Empty where the rate is by the hour, or all-in however long the day."},
		{Key: "terms.bands", Label: "Overtime", Kind: KindLines, Value: writeBands(t.Bands), As: AsBands,
			Hint: "One a line: 10 x 1.5 pays one and a half times after 10 hours. Write elapsed after it where meals count towards the hours."},
		{Key: "terms.divisor", Label: "An hour is the rate divided by", Kind: KindChoice, Value: string(divisor), As: AsText, Options: []Option{
			{Value: "", Label: "The hours included"}, {Value: string(overtime.ByWeighted), Label: "These hours, each as often as its overtime pays it"}}},
		{Key: "terms.step", Label: "Overtime counts in steps of", Kind: KindChoice, Value: strconv.FormatInt(step, 10), Needed: true, As: AsNumber, Options: []Option{
			{Value: "0", Label: "The exact minute"}, {Value: "6", Label: "6 min"}, {Value: "15", Label: "15 min"}, {Value: "30", Label: "30 min"}, {Value: "60", Label: "1 h"}}},
		{Key: "terms.stepRule", Label: "A started step counts", Kind: KindChoice, Value: string(rule), As: AsText, Options: []Option{
			{Value: "", Label: "Whole"}, {Value: string(overtime.StepNearest), Label: "From half of it on"}}},
		{Key: "terms.grace", Label: "Grace, in minutes", Kind: KindNumber, Value: strconv.FormatInt(t.Grace, 10), Needed: true, As: AsNumber, Hint: "Overtime this short is not due. Past it, all of it is."},
	}
	if hire {
		return out
	}
	out = append(out, Field{Key: "terms.mealPaid", Label: "Meals", Kind: KindChoice, Value: strconv.FormatBool(t.MealPaid), Needed: true, As: AsTruth, Options: []Option{
		{Value: "false", Label: "Are off the clock"}, {Value: "true", Label: "Count as worked"}}})
	return append(out, moreFields(t)...)
}

func blankHours(minutes int64) string {
	if minutes == 0 {
		return ""
	}
	return writeHours(minutes)
}

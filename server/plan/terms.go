package plan

import (
	"encoding/json"
	"errors"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/payrule"
	"fairday/domain/shoot"
	"fairday/domain/when"
)

// Terms of people and hires. Where the file says hours, parts of an hour are
// decimals: 10.5 is ten and a half.

var termsKeys = keysOf("")

// keysOf gives the keys of a table of terms, "" for the terms themselves.
func keysOf(table string) (out []string) {
	for _, r := range payrule.Rules() {
		key := r.Field()
		if r.Table() != table {
			if key = r.Table(); table != "" || key == "" {
				continue
			}
		}
		if !slices.Contains(out, key) {
			out = append(out, key)
		}
	}
	return out
}

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
	employee := shoot.Employee{Law: choice(&at, "employee", overtime.Laws()), Wage: at.amount("minimum-wage"), Week: at.scalar("workweek")}
	for _, w := range at.words("waived-meals", 2) {
		switch w {
		case "first":
			employee.Waived.First = true
		case "second":
			employee.Waived.Second = true
		default:
			at.wrong(at.at("waived-meals"), CodeValue, "“%s” is no meal that can be waived. Write first, second, or both.", clip(w))
		}
	}
	for _, d := range at.words("rest-not-given", 100) {
		employee.NoRest = append(employee.NoRest, when.Date(d))
	}
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
	r.names(terms)
	if t.bad {
		return terms
	}
	if err := terms.Validate(); err != nil {
		t.wrong(t.line, CodeRefused, "The %s are refused: %v.", t.what, err)
	}
	return terms
}

func (r *reader) draftTerms(t *table) (out overtime.Terms) {
	all := map[string]any{}
	for _, key := range termsKeys {
		if what := t.fields[key]; what == nil || !slices.ContainsFunc(payrule.Rules(), func(p payrule.Rule) bool { return p.Table() == key }) {
			continue
		}
		what := strings.ReplaceAll(key, "-", " ")
		if key == "meal" {
			what = "meal rule"
		}
		t.inside(key, what, func(row *table) { row.readRules(key, all) }, keysOf(key)...)
	}
	t.readRules("", all)
	raw, err := json.Marshal(all)
	if err == nil {
		err = json.Unmarshal(raw, &out)
	}
	if err != nil && !t.bad {
		t.wrong(t.line, CodeValue, "The %s could not be read: %v. Enter them again.", t.what, err)
	}
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

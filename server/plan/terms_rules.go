package plan

import (
	"fairday/domain/money"
	"fairday/domain/overtime"
)

// The rules that terms may have beyond a rate and its bands. Lengths of a day are
// hours, short ones minutes, as the keys of readTerms have them.

var ruleKeys = []string{"days", "week", "meal-least", "minimum", "half-day", "late-call", "turnaround", "sixth-day", "seventh-day",
	"night", "agency", "on-costs"}

func (r *reader) readRules(t *table, out *overtime.Terms) {
	out.Days = int64(t.number("days", 0))
	out.Week = t.bands("week", "week band", "40")
	out.MealLeast = int64(t.number("meal-least", 0))
	out.Minimum = t.hours("minimum")
	t.inside("half-day", "half day", func(row *table) {
		out.Half = overtime.HalfDay{UpTo: row.hours("up-to"), Share: row.ratio("share", "60%")}
	}, "up-to", "share")
	t.inside("late-call", "late call", func(row *table) {
		out.LateCall = overtime.LateCall{From: row.clock("from"), To: row.clock("to")}
	}, "from", "to")
	t.inside("turnaround", "turnaround", func(row *table) {
		out.Turnaround = overtime.Turnaround{Rest: row.hours("rest"), Carry: row.flag("carry"), Every: int64(row.number("every", 0)), Amounts: row.amounts("amounts")}
		if row.fields["times"] != nil {
			out.Turnaround.Times = row.ratio("times", "1.5")
		}
	}, "rest", "times", "carry", "every", "amounts")
	t.inside("sixth-day", "sixth day", func(row *table) { out.Sixth = row.runDay() }, "times", "bands")
	t.inside("seventh-day", "seventh day", func(row *table) { out.Seventh = row.runDay() }, "times", "bands")
	t.inside("night", "night", func(row *table) {
		out.Night = overtime.Night{From: row.clock("from"), To: row.clock("to"), Extra: row.ratio("extra", "25%")}
	}, "from", "to", "extra")
	t.inside("agency", "agency", func(row *table) {
		out.Agency = overtime.Agency{Share: row.ratio("share", "20%"),
			On: choice(row, "on", []overtime.AgencyOn{overtime.AgencyOnFee, overtime.AgencyOnOvertime, overtime.AgencyOnBoth})}
	}, "share", "on")
	for _, row := range t.rows("on-costs", "on-cost", 12, "name", "share") {
		out.OnCosts = append(out.OnCosts, overtime.OnCost{Name: row.text("name", "insurance"), Share: row.ratio("share", "13.8%")})
		t.bad = t.bad || row.bad
	}
}

// inside reads a table within a table, where there is one.
func (t *table) inside(key, what string, read func(*table), known ...string) {
	n := t.fields[key]
	if n == nil {
		return
	}
	row := t.open(n, t.at(key), what, known...)
	if row.shape {
		read(row)
	}
	t.bad = t.bad || row.bad
}

func (t *table) runDay() overtime.RunDay {
	return overtime.RunDay{Times: t.ratio("times", "1.5"), Bands: t.bands("bands", "band", "10")}
}

// bands reads a list of bands.
func (t *table) bands(key, what, example string) []overtime.Band {
	var out []overtime.Band
	for _, row := range t.rows(key, what, 12, "after", "times", "elapsed") {
		b := overtime.Band{Elapsed: row.flag("elapsed")}
		if row.needs("after", example) {
			b.After = row.hours("after")
		}
		b.Times = row.ratio("times", "1.5")
		t.bad = t.bad || row.bad
		out = append(out, b)
	}
	return out
}

// ratio reads a number or a share that must be there.
func (t *table) ratio(key, example string) money.Ratio {
	s := t.text(key, example)
	if s == "" {
		return money.Ratio{}
	}
	r, err := money.ParseRatio(s)
	t.check(key, err)
	return r
}

// amounts reads a list of money, in the shoot's currency where it names none.
func (t *table) amounts(key string) []money.Amount {
	var out []money.Amount
	for _, w := range t.words(key, 20) {
		a, err := money.Parse(w, t.currency)
		t.check(key, err)
		out = append(out, a)
	}
	return out
}

package view

import (
	"cmp"
	"strings"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/payrule"
)

// rules writes terms down, rule by rule.
func rules(t overtime.Terms) []Line {
	newer := map[string]bool{}
	for _, r := range payrule.Rules() {
		newer[r.Path] = r.Newer
	}
	var out []Line
	add := func(label, value string) {
		if value != "" {
			out = append(out, Line{label, value})
		}
	}
	out = append(out, Line{"Rate", rate(t)})
	add("An hour", base(t))
	add("Overtime", bands(t.Bands))
	add("Over the week", bands(t.Week))
	add("Counted", counted(t))
	if t.Minimum > 0 {
		add("At least", lasts(t.Minimum))
	}
	if t.MealPaid {
		add("Meals", "count as worked")
	}
	if t.MealLeast > 0 {
		add("Breaks", "under "+lasts(t.MealLeast)+" are worked")
	}
	add("Late meals", meals(t.Meal))
	if t.LateCall != (overtime.LateCall{}) {
		add("Late call", "after "+t.LateCall.From.String()+", to "+t.LateCall.To.String()+": the clock starts at "+t.LateCall.From.String())
	}
	if t.Half.UpTo > 0 {
		add("Half a day", "up to "+lasts(t.Half.UpTo)+": "+times(t.Half.Share))
	}
	add("Rest between days", rest(t.Turnaround))
	add("Sixth day", run(t.Sixth))
	add("Seventh day", run(t.Seventh))
	if t.Night != (overtime.Night{}) {
		add("Night", t.Night.From.String()+" to "+t.Night.To.String()+": "+times(t.Night.Extra)+" on top")
	}
	for _, f := range termsFields(t, false, "") {
		if newer[strings.TrimPrefix(f.Key, "terms.")] && f.Value != "" {
			add(f.Label, strings.ReplaceAll(f.Value, "\n", "; "))
		}
	}
	if t.Agency != (overtime.Agency{}) {
		on := map[overtime.AgencyOn]string{overtime.AgencyOnFee: "the rate", overtime.AgencyOnOvertime: "overtime"}[t.Agency.On]
		add("Agency fee", times(t.Agency.Share)+" of "+cmp.Or(on, "the rate and overtime"))
	}
	for _, c := range t.OnCosts {
		add(c.Name, times(c.Share)+" of all pay")
	}
	return out
}

func rate(t overtime.Terms) string {
	out := t.Rate.Format()
	switch t.Basis {
	case overtime.Hourly:
		return out + " an hour"
	case overtime.AllIn:
		out += " all-in"
	case overtime.Hire:
		out += " hire"
	}
	if t.Days > 1 {
		out += " for " + itoa(int(t.Days)) + " days"
	}
	if t.Included == 0 {
		return out + ", however long the day"
	}
	return out + ", " + lasts(t.Included) + " a day"
}

func base(t overtime.Terms) string {
	switch {
	case t.Base != (money.Amount{}):
		return t.Base.Format()
	case t.Basis == overtime.Hourly || t.Included == 0:
		return ""
	case t.Divisor == overtime.ByWeighted:
		return "the rate by the weighted hours"
	}
	return "the rate by the hours included"
}

func bands(all []overtime.Band) string {
	var words []string
	for _, b := range all {
		word := "after " + lasts(b.After) + " " + times(b.Times)
		if b.Elapsed {
			word += " with meals"
		}
		words = append(words, word)
	}
	return list(words)
}

func counted(t overtime.Terms) string {
	out := ""
	if t.Step > 1 {
		out = "in started steps of " + lasts(t.Step)
		if t.StepRule == overtime.StepNearest {
			out = "to the nearest " + lasts(t.Step)
		}
	}
	if t.Grace > 0 {
		out = list([]string{cmp.Or(out, "to the minute"), "after a grace of " + lasts(t.Grace)})
	}
	return out
}

func meals(m overtime.MealRule) string {
	if m.IsZero() {
		return ""
	}
	out := "due after " + lasts(m.Due)
	if m.Next > 0 {
		out += " and " + lasts(m.Next) + " after the last"
	}
	if m.Hour {
		return out + ", else an hour at the base"
	}
	return out + ", else " + amounts(m.Amounts) + " for each started " + lasts(m.Every)
}

func rest(t overtime.Turnaround) string {
	if t.IsZero() {
		return ""
	}
	out := lasts(t.Rest)
	switch {
	case t.Carry:
		out += ", else as the day before ended"
	case !t.Times.IsZero():
		out += ", else " + times(t.Times)
	}
	if len(t.Amounts) > 0 {
		out += ", " + amounts(t.Amounts) + " for each started " + lasts(t.Every) + " missed"
	}
	return out
}

func run(d overtime.RunDay) string {
	if d.IsZero() {
		return ""
	}
	if more := bands(d.Bands); more != "" {
		return times(d.Times) + ", " + more
	}
	return times(d.Times)
}

func amounts(all []money.Amount) string {
	var words []string
	for _, a := range all {
		words = append(words, a.Format())
	}
	return list(words)
}

// times writes a factor.
func times(r money.Ratio) string { return unbroken("× " + r.String()) }

// factors keeps the signs in a calculator's words with what follows them.
func factors(s string) string { return strings.ReplaceAll(s, "× ", "×\u00a0") }

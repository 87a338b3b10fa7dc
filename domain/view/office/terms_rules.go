package office

import (
	"cmp"
	"strings"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/payrule"
	"fairday/domain/view"
)

// rules writes terms down, rule by rule.
func rules(t overtime.Terms) []view.Line {
	newer := map[string]bool{}
	for _, r := range payrule.Rules() {
		newer[r.Path] = r.Newer
	}
	var out []view.Line
	add := func(label, value string) {
		if value != "" {
			out = append(out, view.Line{Label: label, Value: value})
		}
	}
	out = append(out, view.Line{Label: "Rate", Value: Rate(t)})
	add("An hour", base(t))
	add("Overtime", bands(t.Bands))
	add("Over the week", bands(t.Week))
	add("Counted", counted(t))
	if t.Minimum > 0 {
		add("At least", view.Lasts(t.Minimum))
	}
	if t.MealPaid {
		add("Meals", "count as worked")
	}
	if t.MealLeast > 0 {
		add("Breaks", "under "+view.Lasts(t.MealLeast)+" are worked")
	}
	add("Late meals", meals(t.Meal))
	if t.LateCall != (overtime.LateCall{}) {
		add("Late call", "after "+t.LateCall.From.String()+", to "+t.LateCall.To.String()+": the clock starts at "+t.LateCall.From.String())
	}
	if t.Half.UpTo > 0 {
		add("Half a day", "up to "+view.Lasts(t.Half.UpTo)+": "+view.Times(t.Half.Share))
	}
	add("Rest between days", rest(t.Turnaround))
	add("Sixth day", run(t.Sixth))
	add("Seventh day", run(t.Seventh))
	if t.Night != (overtime.Night{}) {
		add("Night", t.Night.From.String()+" to "+t.Night.To.String()+": "+view.Times(t.Night.Extra)+" on top")
	}
	for _, f := range termsFields(t, false, "") {
		if newer[strings.TrimPrefix(f.Key, "terms.")] && f.Value != "" {
			add(f.Label, strings.ReplaceAll(f.Value, "\n", "; "))
		}
	}
	if t.Agency != (overtime.Agency{}) {
		on := map[overtime.AgencyOn]string{overtime.AgencyOnFee: "the rate", overtime.AgencyOnOvertime: "overtime"}[t.Agency.On]
		add("Agency fee", view.Times(t.Agency.Share)+" of "+cmp.Or(on, "the rate and overtime"))
	}
	for _, c := range t.OnCosts {
		add(c.Name, view.Times(c.Share)+" of all pay")
	}
	return out
}

// Rate says what terms pay for a day or an hour, in a few words.
func Rate(t overtime.Terms) string {
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
		out += " for " + view.Itoa(int(t.Days)) + " days"
	}
	if t.Included == 0 {
		return out + ", however long the day"
	}
	return out + ", " + view.Lasts(t.Included) + " a day"
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
		word := "after " + view.Lasts(b.After) + " " + view.Times(b.Times)
		if b.Elapsed {
			word += " with meals"
		}
		words = append(words, word)
	}
	return view.List(words)
}

func counted(t overtime.Terms) string {
	out := ""
	if t.Step > 1 {
		out = "in started steps of " + view.Lasts(t.Step)
		if t.StepRule == overtime.StepNearest {
			out = "to the nearest " + view.Lasts(t.Step)
		}
	}
	if t.Grace > 0 {
		out = view.List([]string{cmp.Or(out, "to the minute"), "after a grace of " + view.Lasts(t.Grace)})
	}
	return out
}

func meals(m overtime.MealRule) string {
	if m.IsZero() {
		return ""
	}
	out := "due after " + view.Lasts(m.Due)
	if m.Next > 0 {
		out += " and " + view.Lasts(m.Next) + " after the last"
	}
	if m.Hour {
		return out + ", else an hour at the base"
	}
	return out + ", else " + amounts(m.Amounts) + " for each started " + view.Lasts(m.Every)
}

func rest(t overtime.Turnaround) string {
	if t.IsZero() {
		return ""
	}
	out := view.Lasts(t.Rest)
	switch {
	case t.Carry:
		out += ", else as the day before ended"
	case !t.Times.IsZero():
		out += ", else " + view.Times(t.Times)
	}
	if len(t.Amounts) > 0 {
		out += ", " + amounts(t.Amounts) + " for each started " + view.Lasts(t.Every) + " missed"
	}
	return out
}

func run(d overtime.RunDay) string {
	if d.IsZero() {
		return ""
	}
	if more := bands(d.Bands); more != "" {
		return view.Times(d.Times) + ", " + more
	}
	return view.Times(d.Times)
}

func amounts(all []money.Amount) string {
	var words []string
	for _, a := range all {
		words = append(words, a.Format())
	}
	return view.List(words)
}

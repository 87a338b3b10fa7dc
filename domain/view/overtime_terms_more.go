package view

import (
	"strconv"
	"strings"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
)

// moreFields are the rules that few terms have, folded away by what they are
// about.
func moreFields(t overtime.Terms) []Field {
	var out []Field
	group := func(name string, fields ...Field) {
		for _, f := range fields {
			f.Key, f.Group = "terms."+f.Key, name
			out = append(out, f)
		}
	}
	group("Late meals",
		hoursField("meal.due", "First meal due after", t.Meal.Due, "From the start of the day, like 6. Empty: late meals cost nothing."),
		hoursField("meal.next", "Next meal due after", t.Meal.Next, "From the end of the last meal."),
		Field{Key: "meal.hour", Label: "A late meal costs", Kind: KindChoice, Value: strconv.FormatBool(t.Meal.Hour), Needed: true, As: AsTruth, Options: []Option{
			{Value: "false", Label: "Amounts by the period"}, {Value: "true", Label: "One hour at the base, once a day"}}},
		minutesField("meal.every", "Length of a period, in minutes", t.Meal.Every, "Like 30 or 6. A started one counts."),
		amountsField("meal.amounts", "Amounts", t.Meal.Amounts))
	group("Rest between days",
		hoursField("turnaround.rest", "Rest owed", t.Turnaround.Rest, "Like 11. Empty: a short rest costs nothing."),
		ratioField("turnaround.times", "Work within that rest pays", t.Turnaround.Times, "So many times the base, like 1.5."),
		Field{Key: "turnaround.carry", Label: "It pays what the day before ended on", Kind: KindChoice, Value: strconv.FormatBool(t.Turnaround.Carry), Needed: true, As: AsTruth, Options: []Option{
			{Value: "false", Label: "No"}, {Value: "true", Label: "Yes"}}},
		minutesField("turnaround.every", "Length of a penalty period, in minutes", t.Turnaround.Every, "Where missed rest costs amounts."),
		amountsField("turnaround.amounts", "Amounts", t.Turnaround.Amounts))
	group("Sixth and seventh day",
		ratioField("sixth.times", "Sixth day in a row pays", t.Sixth.Times, "Times the rate, like 1.5."),
		bandsField("sixth.bands", "Overtime on the sixth day", t.Sixth.Bands),
		ratioField("seventh.times", "Seventh day in a row pays", t.Seventh.Times, "Times the rate, like 2."),
		bandsField("seventh.bands", "Overtime on the seventh day", t.Seventh.Bands))
	night := t.Night != overtime.Night{}
	group("Night",
		clockField("night.from", "Night from", night, t.Night.From.String()),
		clockField("night.to", "Night until", night, t.Night.To.String()),
		ratioField("night.extra", "A night hour adds", t.Night.Extra, "A share of the base, like 25%."))
	late := t.LateCall != overtime.LateCall{}
	group("Late call, minimum call and half day",
		clockField("lateCall.from", "Late calls are paid from", late, t.LateCall.From.String()),
		clockField("lateCall.to", "For calls until", late, t.LateCall.To.String()),
		hoursField("minimum", "Hours paid at least", t.Minimum, "Where the rate is by the hour."),
		hoursField("half.upTo", "Half day up to", t.Half.UpTo, "Hours worked. A longer day costs the whole rate."),
		ratioField("half.share", "A half day costs", t.Half.Share, "Share of the rate, like 60%."))
	group("Agency fee and on-costs",
		ratioField("agency.share", "Agency fee", t.Agency.Share, "Share on top, like 20%."),
		Field{Key: "agency.on", Label: "Agency fee is on", Kind: KindChoice, Value: string(t.Agency.On), As: AsText, Options: []Option{
			{Value: "", Label: "Nothing"}, {Value: string(overtime.AgencyOnFee), Label: "The rate"},
			{Value: string(overtime.AgencyOnOvertime), Label: "Overtime"}, {Value: string(overtime.AgencyOnBoth), Label: "Both"}}},
		Field{Key: "onCosts", Label: "On-costs", Kind: KindLines, Value: writeCosts(t.OnCosts), As: AsCosts, Hint: "On all pay, one a line: insurance 13.8%."})
	return out
}

// employeeFields ask under which law somebody is employed.
func employeeFields(e shoot.Employee, c money.Currency) []Field {
	law := Field{Key: "employee.law", Label: "Labour law", Kind: KindChoice, Value: string(e.Law), As: AsText, Group: "Employee",
		Hint: "Changes no pay. Where a floor of the law may be higher than these terms, it is shown beside the figure."}
	for _, l := range overtime.Laws() {
		law.Options = append(law.Options, Option{Value: string(l), Label: l.Label()})
	}
	wage := ""
	if (e.Wage != money.Amount{}) {
		wage, _, _ = strings.Cut(e.Wage.String(), " ")
	}
	return []Field{law, {Key: "employee.wage", Label: "Minimum wage an hour, in " + string(c), Kind: KindMoney, Value: wage, As: AsWage, Group: "Employee",
		Hint: "For New York alone, where a day spreads over more than 10 h."}}
}

func hoursField(key, label string, minutes int64, hint string) Field {
	return Field{Key: key, Label: label, Kind: KindText, Value: blankHours(minutes), As: AsHours, Hint: hint}
}

func minutesField(key, label string, minutes int64, hint string) Field {
	value := ""
	if minutes != 0 {
		value = strconv.FormatInt(minutes, 10)
	}
	return Field{Key: key, Label: label, Kind: KindNumber, Value: value, As: AsMinutes, Hint: hint}
}

func ratioField(key, label string, r money.Ratio, hint string) Field {
	value := ""
	if (r != money.Ratio{}) {
		value = r.String()
	}
	return Field{Key: key, Label: label, Kind: KindText, Value: value, As: AsRatio, Hint: hint}
}

func clockField(key, label string, set bool, value string) Field {
	if !set {
		value = ""
	}
	return Field{Key: key, Label: label, Kind: KindTime, Value: value, As: AsMaybe}
}

func bandsField(key, label string, b []overtime.Band) Field {
	return Field{Key: key, Label: label, Kind: KindLines, Value: writeBands(b), As: AsBands, Hint: "One a line, like 8 x 3. Empty: as on any day."}
}

func amountsField(key, label string, all []money.Amount) Field {
	var out []string
	for _, a := range all {
		value, _, _ := strings.Cut(a.String(), " ")
		out = append(out, value)
	}
	return Field{Key: key, Label: label, Kind: KindLines, Value: strings.Join(out, "\n"), As: AsAmounts,
		Hint: "One a line: for the first period, the second and so on. The last one repeats."}
}

func writeCosts(costs []overtime.OnCost) string {
	var out []string
	for _, c := range costs {
		out = append(out, c.Name+" "+c.Share.String())
	}
	return strings.Join(out, "\n")
}

package view

import (
	"strconv"
	"strings"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/when"
)

// employeeFields ask under which law somebody is employed.
func employeeFields(e shoot.Employee, c money.Currency) []Field {
	law := Field{Key: "employee.law", Label: "Labour law", Kind: KindChoice, Value: string(e.Law), As: AsText, Group: "Employee",
		Hint: "Changes no pay. Where a floor of the law may be higher than these terms, it is shown beside the figure."}
	for _, l := range overtime.Laws() {
		law.Options = append(law.Options, Option{Value: string(l), Label: l.Label()})
	}
	week := Field{Key: "employee.week", Label: "The workweek begins on", Kind: KindChoice, Value: e.Week, As: AsText, Group: "Employee",
		Hint: "For the laws of the United States.", Options: []Option{{Value: "", Label: "Monday, or not said"}}}
	for n := range 6 {
		name := when.Date("2026-11-24").Add(n).Weekday() // from Tuesday
		week.Options = append(week.Options, Option{Value: name, Label: name})
	}
	waived := func(key, label string, on bool) Field {
		return Field{Key: "employee.waived." + key, Label: label, Kind: KindChoice, Value: strconv.FormatBool(on), Needed: true, As: AsTruth, Group: "Employee",
			Hint: "For California alone, and only as far as Labor Code 512 lets it.", Options: []Option{{Value: "false", Label: "No"}, {Value: "true", Label: "Yes"}}}
	}
	var rests []string
	for _, d := range e.NoRest {
		rests = append(rests, string(d))
	}
	wage := ""
	if (e.Wage != money.Amount{}) {
		wage, _, _ = strings.Cut(e.Wage.String(), " ")
	}
	return []Field{law, {Key: "employee.wage", Label: "Minimum wage an hour, in " + string(c), Kind: KindMoney, Value: wage, As: AsWage, Group: "Employee",
		Hint: "For New York alone, where a day spreads over more than 10 h."},
		week, waived("first", "The first meal is waived", e.Waived.First), waived("second", "The second meal is waived", e.Waived.Second),
		{Key: "employee.noRest", Label: "Days on which a rest period was not given", Kind: KindLines, Value: strings.Join(rests, "\n"), As: AsLines, Group: "Employee",
			Hint: "For California alone. One date a line: 2027-12-25."}}
}

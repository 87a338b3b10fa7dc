package office

import (
	"strconv"
	"strings"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/when"
)

// employeeFields ask under which law somebody is employed.
func employeeFields(e shoot.Employee, c money.Currency) []view.Field {
	law := view.Field{Key: "employee.law", Label: "Labour law", Kind: view.KindChoice, Value: string(e.Law), As: view.AsText, Group: "Employee",
		Hint: "Changes no pay. Where a floor of the law may be higher than these terms, it is shown beside the figure."}
	for _, l := range overtime.Laws() {
		law.Options = append(law.Options, view.Option{Value: string(l), Label: l.Label()})
	}
	week := view.Field{Key: "employee.week", Label: "The workweek begins on", Kind: view.KindChoice, Value: e.Week, As: view.AsText, Group: "Employee",
		Hint: "For the laws of the United States.", Options: []view.Option{{Value: "", Label: "Monday, or not said"}}}
	for n := range 6 {
		name := when.Date("2026-11-24").Add(n).Weekday() // from Tuesday
		week.Options = append(week.Options, view.Option{Value: name, Label: name})
	}
	waived := func(key, label string, on bool) view.Field {
		return view.Field{Key: "employee.waived." + key, Label: label, Kind: view.KindChoice, Value: strconv.FormatBool(on), Needed: true, As: view.AsTruth, Group: "Employee",
			Hint: "For California alone, and only as far as Labor Code 512 lets it.", Options: []view.Option{{Value: "false", Label: "No"}, {Value: "true", Label: "Yes"}}}
	}
	var rests []string
	for _, d := range e.NoRest {
		rests = append(rests, string(d))
	}
	wage := ""
	if (e.Wage != money.Amount{}) {
		wage, _, _ = strings.Cut(e.Wage.String(), " ")
	}
	return []view.Field{law, {Key: "employee.wage", Label: "Minimum wage an hour, in " + string(c), Kind: view.KindMoney, Value: wage, As: view.AsWage, Group: "Employee",
		Hint: "For New York alone, where a day spreads over more than 10 h."},
		week, waived("first", "The first meal is waived", e.Waived.First), waived("second", "The second meal is waived", e.Waived.Second),
		{Key: "employee.noRest", Label: "Days on which a rest period was not given", Kind: view.KindLines, Value: strings.Join(rests, "\n"), As: view.AsLines, Group: "Employee",
			Hint: "For California alone. One date a line: 2027-12-25."}}
}

package view

import (
	"strings"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
)

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

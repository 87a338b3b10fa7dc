package shoot

import (
	"encoding/json"
	"strings"
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
)

// An amount that is too large is refused by the name of its field, wherever an intent
// takes one.
func TestTooLargeAnAmountIsNamed(t *testing.T) {
	huge := money.Of(overtime.MostMinor+1, "EUR")
	until := clock("20:00")
	terms := func(change func(*overtime.Terms)) termsSet {
		a := termsSet{Person: crew, Terms: overtime.Terms{Basis: overtime.Day, Rate: money.Of(100, "EUR"), Included: 600}}
		change(&a.Terms)
		return a
	}
	for _, c := range []struct {
		of   string
		args any
		says string
	}{
		{"terms.set", terms(func(o *overtime.Terms) { o.Rate = huge }), "the rate is more than anybody is paid: €10,000,000,000.01"},
		{"terms.set", termsSet{Person: crew, Terms: terms(func(*overtime.Terms) {}).Terms, Employee: Employee{Law: overtime.LawNewYork, Wage: huge}}, "The minimum wage is more than anybody is paid"},
		{"hire.set", hireSet{ID: HireID(id(71)), Day: day1, Name: "The hall", Terms: overtime.Terms{Basis: overtime.Hire, Rate: huge, Included: 600}}, "the rate is more"},
		{"overtime.approve", overtimeApprove{ID: ApprovalID(id(61)), Day: day1, Until: until, Amount: huge}, "The amount of the approval is more"},
		{"overtime.ask", overtimeAsk{ID: AskID(id(62)), Day: day1, Until: until, Amount: &huge}, "The amount of the ask is more"},
		{"terms.set", json.RawMessage(`{"person":"` + string(crew) + `","base":0,"terms":{"basis":"day","included":600,"rate":{"minor":99999999999999999999,"currency":"EUR"}}}`), "terms.rate.minor cannot be the number 99999999999999999999"},
	} {
		st := newStage(t)
		if r := st.refused(CodeBadArgs, ada, clock("09:00"), c.of, c.args); !strings.Contains(r.Say, c.says) {
			t.Errorf("%s: %q does not say %q", c.of, r.Say, c.says)
		}
	}
}

package shoot

import (
	"encoding/json"
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
)

// An older page knows nothing of employees: what it sends is taken, and takes
// nothing away. A newer one can take the mark back.
func TestTermsOfBothVersions(t *testing.T) {
	st := newStage(t)
	terms := st.s.Money.Terms[cam].Terms
	marked := Employee{Law: overtime.LawNewYork, Wage: money.Of(1700, "EUR")}
	st.must(ada, clock("06:00"), "terms.set", termsSet{cam, terms, 1, marked})
	old := json.RawMessage(mustJSON(t, map[string]any{"person": cam, "terms": terms, "base": 2}))
	dec, err := Decide(st.s, Intent{ID: IntentID(id(900)), Name: "terms.set", Version: 1, Args: old, Actor: ada, Happened: clock("06:01"), Received: clock("06:01")})
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range dec.Events {
		Apply(st.s, e)
	}
	if got := st.s.Money.Terms[cam]; got.Employee != marked || got.Version != 3 {
		t.Errorf("version 1 left %+v", got)
	}
	st.must(ada, clock("06:02"), "terms.set", termsSet{Person: cam, Terms: terms, Base: 3})
	if got := st.s.Money.Terms[cam]; got.Employee != (Employee{}) {
		t.Errorf("version 2 left %+v", got.Employee)
	}
}

func TestEmployeeRefusals(t *testing.T) {
	st := newStage(t)
	for name, e := range map[string]Employee{
		"a law we do not know":     {Law: "ohio"},
		"a wage without its law":   {Law: overtime.LawUK, Wage: money.Of(1700, "EUR")},
		"a wage below zero":        {Law: overtime.LawNewYork, Wage: money.Of(-1, "EUR")},
		"a wage in other currency": {Law: overtime.LawNewYork, Wage: money.Of(1700, "USD")},
		"a wage in no currency":    {Law: overtime.LawNewYork, Wage: money.Amount{Minor: 1700}},
	} {
		if r := st.refused(CodeBadArgs, ada, clock("06:00"), "terms.set", termsSet{cam, st.s.Money.Terms[cam].Terms, 1, e}); r.Say == "" {
			t.Error(name)
		}
	}
	for _, law := range overtime.Laws() {
		if law.Label() == string(law) || law.Check() != nil {
			t.Errorf("%q has no name", law)
		}
	}
}

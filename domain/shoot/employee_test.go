package shoot

import (
	"encoding/json"
	"reflect"
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/when"
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
	if got := st.s.Money.Terms[cam]; !reflect.DeepEqual(got.Employee, marked) || got.Version != 3 {
		t.Errorf("version 1 left %+v", got)
	}
	st.must(ada, clock("06:02"), "terms.set", termsSet{Person: cam, Terms: terms, Base: 3})
	if got := st.s.Money.Terms[cam]; !reflect.DeepEqual(got.Employee, Employee{}) {
		t.Errorf("version 2 left %+v", got.Employee)
	}
}

// A page of version 3 knows the law and the wage: it changes those, and what it
// cannot say stays where it still goes with them.
func TestEmployeeOfVersionThree(t *testing.T) {
	st := newStage(t)
	terms := st.s.Money.Terms[cam].Terms
	full := Employee{Law: overtime.LawCalifornia, Waived: overtime.Waived{First: true}, Week: "Sunday", NoRest: []when.Date{"2026-11-25"}}
	st.must(ada, clock("06:00"), "terms.set", termsSet{cam, terms, 1, full})
	for i, c := range []struct{ law, want Employee }{
		{Employee{Law: overtime.LawCalifornia}, full},
		{Employee{Law: overtime.LawUK}, Employee{Law: overtime.LawUK}},
	} {
		args := json.RawMessage(mustJSON(t, map[string]any{"person": cam, "terms": terms, "employee": c.law, "base": 2 + i}))
		if i == 0 {
			terms.Rate.Minor++ // or nothing would change
			args = json.RawMessage(mustJSON(t, map[string]any{"person": cam, "terms": terms, "employee": c.law, "base": 2}))
		}
		dec, err := Decide(st.s, Intent{ID: IntentID(id(910 + i)), Name: "terms.set", Version: 3, Args: args, Actor: ada, Happened: clock("06:01"), Received: clock("06:01")})
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range dec.Events {
			Apply(st.s, e)
		}
		if got := st.s.Money.Terms[cam].Employee; !reflect.DeepEqual(got, c.want) {
			t.Errorf("version 3 with %+v left %+v", c.law, got)
		}
	}
}

// 29 CFR 778.105: a workweek may begin on any day.
func TestWorkweekBegins(t *testing.T) {
	for week, want := range map[string]int{"": 3, "Sunday": 4, "Wednesday": 1, "Thursday": 7} {
		if got := (Employee{Week: week}).WeekDay("2026-11-25"); got != want { // a Wednesday
			t.Errorf("%q: %d, want %d", week, got, want)
		}
	}
}

func TestEmployeeRefusals(t *testing.T) {
	st := newStage(t)
	for name, e := range map[string]Employee{
		"a law we do not know":     {Law: "ohio"},
		"a wage without its law":   {Law: overtime.LawUK, Wage: money.Of(1700, "EUR")},
		"a wage below zero":        {Law: overtime.LawNewYork, Wage: money.Of(-1, "EUR")},
		"a wage in other currency": {Law: overtime.LawNewYork, Wage: money.Of(1700, "USD")},
		"meals of another law":     {Law: overtime.LawCaliforniaPictures, Waived: overtime.Waived{Second: true}},
		"rest of another law":      {Law: overtime.LawNewYork, NoRest: []when.Date{"2026-11-25"}},
		"rest on no date":          {Law: overtime.LawCalifornia, NoRest: []when.Date{"25 November"}},
		"a workweek of Europe":     {Law: overtime.LawEU, Week: "Sunday"},
		"a workweek of no day":     {Law: overtime.LawFederal, Week: "sunday"},
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

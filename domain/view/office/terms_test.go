package office

import (
	"errors"
	"fmt"
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/view/day"
)

// sheetOf shows the terms of somebody.
func sheetOf(st *stage, of string) *TermsSheet {
	st.T.Helper()
	v := shown[TermsSheet](st, shoot.Producer, "10:00", view.ScreenTerms, of)
	if v.ID != of || v.Cards == nil {
		st.T.Fatalf("no terms of %s: %s", of, v.Say)
	}
	return v
}

func card(t testing.TB, s *TermsSheet, name string) TermsCard {
	t.Helper()
	for _, c := range s.Cards {
		if c.Name == name {
			return c
		}
	}
	t.Fatalf("no card %q", name)
	return TermsCard{}
}

func TestChangingTerms(t *testing.T) {
	st := newStage(t)
	ada, crew := person(shoot.Producer), person(shoot.Crew)
	s := sheetOf(st, string(crew))
	same(t, "rules", s.Rules, []view.Line{{Label: "Rate", Value: "$450.00, 9 h a day"}, {Label: "An hour", Value: "the rate by the hours included"}, {Label: "Overtime", Value: "after 9 h × 2"}, {Label: "Counted", Value: "in started steps of 1 h"}})
	was := st.State.Money.Terms[crew].Terms
	st.Press(ada, "10:00", *s.Change, nil) // untouched, the form changes nothing
	same(t, "untouched", st.State.Money.Terms[crew].Terms, was)
	st.Press(ada, "10:01", *sheetOf(st, string(crew)).Change, map[string][]string{"terms.rate": {"500"}, "terms.included": {"8:30"}, "terms.bands": {"8:30 x 1.5\n14 × 2 elapsed"},
		"terms.step": {"15"}, "terms.stepRule": {"nearest"}, "terms.grace": {"10"}, "terms.mealPaid": {"true"}})
	same(t, "changed", st.State.Money.Terms[crew].Terms, overtime.Terms{Basis: overtime.Day, Rate: money.Of(500_00, "USD"), Included: 510, MealPaid: true,
		Bands: []overtime.Band{{After: 510, Times: money.Ratio{Num: 3, Den: 2}}, {After: 840, Times: money.Whole(2), Elapsed: true}}, Step: 15, StepRule: overtime.StepNearest, Grace: 10})
	same(t, "version", st.State.Money.Terms[crew].Version, 3)
	barnSheet := sheetOf(st, barn)
	same(t, "cards of a hire", len(barnSheet.Cards), 2)
	st.Press(ada, "10:02", *barnSheet.Change, map[string][]string{"from": {"06:30"}, "terms.rate": {"1200.50"}})
	same(t, "hire", fmt.Sprint(st.State.Money.Hires[shoot.HireID(barn)].From, st.State.Money.Hires[shoot.HireID(barn)].Terms.Rate), "06:30 1200.50 USD")
	args, err := view.Fill(*barnSheet.Change, nil, "")
	if err != nil {
		t.Fatal(err)
	}
	_, r := st.Late(ada, clock("10:03"), clock("10:03"), "hire.set", args)
	if r == nil || r.Code != shoot.CodeStale {
		t.Errorf("a second change of the same terms: %v", r)
	}
}

// Every card can be started from at a rate, by somebody with terms and without,
// and pay is then reckoned by the card.
func TestStartingFromCards(t *testing.T) {
	for _, c := range overtime.Cards() {
		for _, role := range []shoot.Role{shoot.Crew, shoot.Digitech} {
			st := newStage(t)
			id := string(person(role))
			if c.Terms.Basis == overtime.Hire {
				id = barn
			}
			s := sheetOf(st, id)
			if start := s.Change == nil; start != (role == shoot.Digitech && id != barn) || start != (s.Say != "") {
				t.Errorf("%s: change is %v, said %q", role, s.Change, s.Say)
			}
			one := card(t, s, view.Capital(c.Name))
			if one.Caution != c.Caution || one.Source == "" || len(one.Rules) < 1 {
				t.Errorf("%s: %+v", c.Key, one)
			}
			st.Press(person(shoot.Producer), "10:00", one.Start, map[string][]string{"terms.rate": {"800"}})
			want := c.Terms
			want.Rate = money.Of(800_00, "USD")
			got := st.State.Money.Terms[shoot.PersonID(id)].Terms
			if id == barn {
				got = st.State.Money.Hires[shoot.HireID(id)].Terms
			}
			same(t, c.Key, got, want)
			v := shown[day.Overtime](st, shoot.Producer, "10:00", view.ScreenOvertime)
			for _, l := range v.Left {
				if l.ID == id {
					t.Errorf("%s: %s", c.Key, l.Say)
				}
			}
		}
	}
}

// What makes no sense is named, in the form or by the rules.
func TestTermsRefusals(t *testing.T) {
	st := newStage(t)
	change := *sheetOf(st, string(person(shoot.Crew))).Change
	for _, c := range []struct {
		key, entered, problem, refused string
	}{
		{"terms.rate", "", "Rate, in USD is missing.", ""},
		{"terms.included", "ten", "Hours included: enter hours like 10, 10.5 or 10:30.", ""},
		{"terms.included", "10:3", "Hours included: enter hours like 10, 10.5 or 10:30.", ""},
		{"terms.included", "-1", "Hours included: enter hours like 10, 10.5 or 10:30.", ""},
		{"terms.bands", "10 x 1.5\n12 at double", "Overtime: “12 at double” cannot be read. Write one a line, like 10 x 1.5.", ""},
		{"terms.grace", "a little", "Grace, in minutes: enter a whole number.", ""},
		{"terms.night.from", "evening", "Night from: enter a time like 07:30; 26:15 is 02:15 the next morning.", ""},
		{"terms.agency.share", "a fifth", "Agency fee: enter a share like 25%, or 0.25.", ""},
		{"terms.night.extra", "5", "A night hour adds: 5 reads as 500%; write 5% if that was meant, or 500%.", ""},
		{"terms.agency.share", "1", "Agency fee: 1 reads as 100%; write 1% if that was meant, or 100%.", ""},
		{"terms.half.share", "60", "A half day costs: 60 reads as 6000%; write 60% if that was meant, or 6000%.", ""},
		{"terms.onCosts", "insurance 13.8", "On-costs: “insurance 13.8”: 13.8 reads as 1380%; write 13.8% if that was meant, or 1380%.", ""},
		{"terms.cancel", "24 x 50", "A day that is cancelled: “24 x 50”: 50 reads as 5000%; write 50% if that was meant, or 5000%.", ""},
		{"terms.other", "travel 50", "Days at another rate: “travel 50”: 50 reads as 5000%; write 50% if that was meant, or 5000%.", ""},
		{"terms.cancel", "soon x half", "A day that is cancelled: “soon x half” cannot be read. Write one a line, like 24 x 50%.", ""},
		{"terms.sixth.times", "twice", "Sixth day in a row pays: enter a number like 1.5, or 150%.", ""},
		{"terms.rate", "99999999999999999999", "Rate, in USD: that number is too big to reckon with; check the figures for a slip of the keyboard.", ""},
		{"terms.base", "99999999999999999999", "Hourly base, in USD: that number is too big to reckon with; check the figures for a slip of the keyboard.", ""},
		{"terms.meal.amounts", "20\n99999999999999999999", "Amounts: “99999999999999999999”: that number is too big to reckon with; check the figures for a slip of the keyboard.", ""},
		{"terms.extras", "kit 99999999999999999999", "Kit, mileage, per diem: “kit 99999999999999999999”: that number is too big to reckon with; check the figures for a slip of the keyboard.", ""},
		{"employee.wage", "99999999999999999999", "Minimum wage an hour, in USD: that number is too big to reckon with; check the figures for a slip of the keyboard.", ""},
		{"terms.rate", "99999999999999", "", "the rate is more than anybody is paid"},
		{"terms.base", "99999999999999", "", "the hourly base is more than anybody is paid"},
		{"terms.extras", "kit 99999999999999", "", "kit is more than anybody is paid"},
		{"terms.usage", "web 99999999 x 99999", "", "web is more than anybody is paid"},
		{"terms.weekend.sunday", "150", "", "if 150% was meant, write 150%"},
		{"terms.turnaround.times", "150", "", ""},
		{"terms.onCosts", "insurance", "On-costs: “insurance” cannot be read. Write one a line, like insurance 13.8%.", ""},
		{"terms.meal.every", "half", "Length of a period, in minutes: enter a whole number.", ""},
		{"terms.meal.due", "6", "", "meal"},
		{"terms.turnaround.rest", "11", "", "rest"},
		{"terms.sixth.times", "0.5", "", "sixth"},
		{"terms.night.from", "22:00", "", "night"},
		{"terms.lateCall.from", "11:00", "", "late call"},
		{"terms.half.upTo", "5", "", "half"},
		{"terms.agency.share", "20%", "", "agency"},
		{"terms.minimum", "4", "", "minimum"},
		{"employee.law", "ohio", "", "not a law"},
		{"employee.wage", "17", "", "New York"},
		{"terms.included", "", "", "the included time is missing"},
		{"terms.bands", "12 x 2\n10 x 1.5", "", "band"},
		{"terms.rate", "-5", "", "below zero"},
		{"terms.rate", "450 GBP", "", ""},
		{"terms.grace", "-5", "", "grace"},
		{"terms.basis", "hourly", "", "hourly rate includes no hours"},
	} {
		args, err := view.Fill(change, map[string][]string{c.key: {c.entered}}, id(900))
		var p *view.Problem
		if errors.As(err, &p); err != nil {
			same(t, c.entered, []string{p.Key, p.Say}, []string{c.key, c.problem})
			continue
		}
		same(t, c.key+" "+c.entered, "", c.problem)
		before := st.State.Money.Terms[person(shoot.Crew)].Version
		_, r := st.Late(person(shoot.Producer), clock("10:00"), clock("10:00"), change.Name, args)
		switch {
		case c.refused == "" && r == nil:
			change = *sheetOf(st, string(person(shoot.Crew))).Change
		case r == nil || r.Code != shoot.CodeBadArgs || st.State.Money.Terms[person(shoot.Crew)].Version != before:
			t.Errorf("%s %q: %v", c.key, c.entered, r)
		default:
			contains(t, c.key, r.Say, c.refused)
		}
	}
}

// A shoot without a currency, strangers, and everybody but the producer.
func TestTermsAreNotForOthers(t *testing.T) {
	st := newStage(t)
	for _, r := range shoot.Roles()[1:] {
		refused(st, r, view.ScreenTerms)
	}
	for _, of := range []string{"", "nobody"} {
		if v := shown[TermsSheet](st, shoot.Producer, "10:00", view.ScreenTerms, of); v.Say == "" || len(v.Rules)+len(v.Cards) > 0 || v.Change != nil {
			t.Errorf("terms of %q: %+v", of, v)
		}
	}
	st.State.Money.Currency = ""
	s := sheetOf(st, string(person(shoot.Digitech)))
	same(t, "without a currency", s.Cards[0].Start.Why, "Set the currency of the shoot first.")
}

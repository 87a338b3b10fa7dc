package office

import (
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/when"
)

// Every rule that a card or a file can set stands in the form, and comes back
// untouched.
func TestFormHoldsEveryRule(t *testing.T) {
	st := newStage(t)
	two := money.Whole(2)
	full := overtime.Terms{Basis: overtime.Day, Rate: money.Of(640_00, "USD"), Included: 600,
		Half: overtime.HalfDay{UpTo: 300, Share: money.Ratio{Num: 3, Den: 5}}, LateCall: overtime.LateCall{From: 660, To: 1020},
		Meal:       overtime.MealRule{Due: 360, Next: 360, Every: 30, Amounts: []money.Amount{money.Of(20_00, "USD"), money.Of(30_00, "USD")}},
		Turnaround: overtime.Turnaround{Rest: 660, Times: two}, Sixth: overtime.RunDay{Times: money.Ratio{Num: 3, Den: 2}},
		Seventh: overtime.RunDay{Times: two, Bands: []overtime.Band{{After: 480, Times: money.Whole(3)}}},
		Night:   overtime.Night{From: 1320, To: 360, Extra: money.Ratio{Num: 1, Den: 4}},
		Agency:  overtime.Agency{Share: money.Ratio{Num: 1, Den: 5}, On: overtime.AgencyOnBoth},
		OnCosts: []overtime.OnCost{{Name: "employer insurance", Share: money.Ratio{Num: 69, Den: 500}}}}
	law := shoot.Employee{Law: overtime.LawNewYork, Wage: money.Of(17_00, "USD")}
	ada, crew := person(shoot.Producer), person(shoot.Crew)
	st.Employ(shoot.Crew, full, law)
	st.Press(ada, "10:00", *sheetOf(st, string(crew)).Change, nil)
	got := st.State.Money.Terms[crew]
	same(t, "untouched", got.Terms, full)
	same(t, "employee", got.Employee, law)
	empty := map[string][]string{}
	for _, f := range sheetOf(st, string(crew)).Change.Form.Fields {
		if f.Group != "" && f.Kind != view.KindChoice {
			empty[f.Key] = []string{""}
		}
	}
	empty["terms.agency.on"], empty["employee.law"] = []string{""}, []string{""}
	st.Press(ada, "10:01", *sheetOf(st, string(crew)).Change, empty)
	same(t, "emptied", st.State.Money.Terms[crew].Terms, overtime.Terms{Basis: overtime.Day, Rate: full.Rate, Included: 600})
	same(t, "no employee", st.State.Money.Terms[crew].Employee, shoot.Employee{})
}

// The same for the rules that few deal memos have, and for what else has a field.
func TestFormHoldsTheRulesOfTheTrade(t *testing.T) {
	st := newStage(t)
	two, half := money.Whole(2), money.Ratio{Num: 1, Den: 2}
	usd := func(minor int64) money.Amount { return money.Of(minor, "USD") }
	full := overtime.Terms{Basis: overtime.Day, Rate: usd(640_00), Included: 600, Base: usd(70_00), Days: 3, MealLeast: 20, First: 60, Inclusive: 60, Continuous: 540,
		Week:      []overtime.Band{{After: 2400, Times: money.Ratio{Num: 3, Den: 2}}},
		Meal:      overtime.MealRule{Due: 360, Every: 30, Amounts: []money.Amount{usd(20_00)}, Grace: 12, Breakfast: 120},
		Night:     overtime.Night{From: 1320, To: 360, Extra: half},
		Night2:    overtime.Night{From: 0, To: 240, Extra: half},
		EarlyCall: overtime.Night{From: 180, To: 420, Extra: half},
		Weekend:   overtime.Weekend{Saturday: two, Sunday: two, Holiday: two, Holidays: []when.Date{"2027-12-25", "2027-12-26"}},
		Other:     []overtime.OtherDay{{Kind: "prep", Share: half, Worked: true}, {Kind: "long travel", Share: half}},
		Cancel:    []overtime.Notice{{Within: 1440, Share: money.Whole(1)}, {Within: 4320, Share: half}},
		Postpone:  []overtime.Notice{{Within: 1440, Share: half}},
		Extras:    []overtime.Extra{{Name: "kit: two bags", Amount: usd(45_00)}, {Name: "mileage", Amount: usd(67), Count: 40}},
		Usage:     []overtime.Extra{{Name: "one year, web", Amount: usd(900_00)}}}
	ada, crew := person(shoot.Producer), person(shoot.Crew)
	st.Employ(shoot.Crew, full, shoot.Employee{})
	st.Press(ada, "10:00", *sheetOf(st, string(crew)).Change, nil)
	same(t, "untouched", st.State.Money.Terms[crew].Terms, full)
	said := map[string]string{}
	for _, l := range sheetOf(st, string(crew)).Rules {
		said[l.Label] = l.Value
	}
	same(t, "in words", []string{said["A Saturday pays"], said["Days at another rate"], said["A day that is cancelled"], said["Kit, mileage, per diem"]},
		[]string{"2", "prep 0.5 worked; long travel 0.5", "24 x 1; 72 x 0.5", "kit: two bags 45.00; mileage 0.67 x 40"})
	empty := map[string][]string{}
	for _, f := range sheetOf(st, string(crew)).Change.Form.Fields {
		if f.Group != "" && f.Kind != view.KindChoice {
			empty[f.Key] = []string{""}
		}
	}
	st.Press(ada, "10:01", *sheetOf(st, string(crew)).Change, empty)
	same(t, "emptied", st.State.Money.Terms[crew].Terms, overtime.Terms{Basis: overtime.Day, Rate: full.Rate, Included: 600})
	for key, entered := range map[string]string{"terms.extras": "45.00", "terms.usage": "web x 2", "terms.other": "travel", "terms.cancel": "a day", "terms.weekend.holidays": "christmas"} {
		if _, err := view.Fill(*sheetOf(st, string(crew)).Change, map[string][]string{key: {entered}}, ""); err == nil {
			t.Errorf("%s: %q was read", key, entered)
		}
	}
}

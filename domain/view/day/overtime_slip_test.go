package day

import (
	"slices"
	"strings"
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/view"
)

func rowOf(t testing.TB, v *Overtime, name string) OvertimeRow {
	t.Helper()
	for _, row := range v.People {
		if row.Name == name {
			return row
		}
	}
	t.Fatalf("no row of %s", name)
	return OvertimeRow{}
}

// By hand: 450.00 for 9 h is 50.00 an hour, overtime x2 in started hours, lunch
// from 13:00 to 14:00 unpaid.
func TestPaySlips(t *testing.T) {
	st := newStage(t)
	crew := person(shoot.Crew)
	punch := func(at, kind string) {
		st.Do(crew, at, "punch", obj{"day": day1, "people": []shoot.PersonID{crew}, "kind": kind})
	}
	fee := PayLine{"08:00 to 18:00", "9 h", "", "$450.00", "Day rate for 9 h: $450.00."}
	slips := func(at string) []PaySlip {
		return rowOf(t, show[Overtime](st, shoot.Producer, at, view.ScreenOvertime), "Pat Crew").Slips
	}
	wrap := PaySlip{"Planned wrap 18:00", "9 h", []string{"13:00 to 14:00"}, []PayLine{fee}, "$450.00", nil, "", "$0.00", nil, "", nil}
	same(t, "before the call", slips("07:30"), []PaySlip{wrap})
	punch("08:00", "in")
	punch("13:00", "meal-out")
	punch("14:00", "meal-in")
	over := PayLine{"18:00 to 18:20", "1 h", "× 2", "$100.00", "After 9 h: 1 h × $450.00 / 9 h × 2 (20 min counted as 1 h)."}
	now := PaySlip{"If it wraps now, 18:20", "9 h 20 min", []string{"13:00 to 14:00"}, []PayLine{fee, over}, "$550.00", nil, "", "$100.00", nil, "", nil}
	same(t, "at work", slips("18:20"), []PaySlip{wrap, now})
	punch("18:20", "out")
	now.Title = "Signed out 18:20"
	same(t, "gone", slips("19:00"), []PaySlip{now})
}

// What others are paid on top stands apart, and every slip is what Pay says.
func TestPaySlipsAddUp(t *testing.T) {
	st := newStage(t)
	crew := person(shoot.Crew)
	terms := overtime.Terms{Basis: overtime.Day, Rate: money.Of(100_00, "USD"), Included: 480, Bands: []overtime.Band{{After: 480, Times: money.Ratio{Num: 3, Den: 2}}},
		Meal:   overtime.MealRule{Due: 240, Every: 30, Amounts: []money.Amount{money.Of(7_50, "USD")}},
		Agency: overtime.Agency{Share: money.Ratio{Num: 1, Den: 5}, On: overtime.AgencyOnBoth}}
	st.Do(shoot.Desk, "05:00", "terms.set", obj{"person": crew, "terms": terms, "base": 1})
	st.Do(crew, "08:00", "punch", obj{"day": day1, "people": []shoot.PersonID{crew}, "kind": "in"})
	row := rowOf(t, show[Overtime](st, shoot.Producer, "17:40", view.ScreenOvertime), "Pat Crew")
	if len(row.Slips) != 2 {
		t.Fatalf("%d slips", len(row.Slips))
	}
	for i, at := range []string{"18:00", "17:40"} {
		pay, err := overtime.Pay(terms, overtime.Hours{Call: clock("08:00"), In: clock("08:00"), Out: clock(at)})
		if err != nil {
			t.Fatal(err)
		}
		slip := row.Slips[i]
		same(t, at, []string{slip.Total, slip.Cost, slip.Beyond}, []string{pay.Total.Format(), pay.Cost.Format(), pay.Exposed.Format()})
		sum, costs := money.Of(0, "USD"), money.Of(0, "USD")
		add := func(lines []PayLine, to *money.Amount) {
			for _, l := range lines {
				a, err := money.Parse(strings.Trim(l.Amount, "$"), "USD")
				if err == nil {
					*to, err = to.Add(a)
				}
				if err != nil || l.Why == "" {
					t.Errorf("%s: %+v %v", at, l, err)
				}
			}
		}
		add(slip.Lines, &sum)
		costs = sum
		add(slip.Costs, &costs)
		same(t, "sum of the lines", []string{sum.Format(), costs.Format()}, []string{slip.Total, slip.Cost})
		if len(slip.Lines) != 3 || len(slip.Costs) != 2 || slip.Costs[0].Span != "" {
			t.Errorf("%s: %+v", at, slip)
		}
	}
}

// On a narrow phone a line ends between figures and never within one.
func TestLinesBreakBetweenFigures(t *testing.T) {
	st := newStage(t)
	st.Do(person(shoot.Crew), "08:00", "punch", obj{"day": day1, "people": []shoot.PersonID{person(shoot.Crew)}, "kind": "in"})
	slip := rowOf(t, show[Overtime](st, shoot.Producer, "24:20", view.ScreenOvertime), "Pat Crew").Slips[1]
	line := slip.Lines[len(slip.Lines)-1]
	got := []string{slip.Title, slip.Worked, line.Times, line.Why}
	want := []string{"If it wraps now, 00:20\u00a0+1", "16\u00a0h\u00a020\u00a0min", "×\u00a02", "After 9 h: 8 h ×\u00a0$450.00 / 9 h ×\u00a02 (7 h 20 min counted as 8 h)."}
	if !slices.Equal(got, want) {
		t.Errorf("they are %q, want %q", got, want)
	}
}

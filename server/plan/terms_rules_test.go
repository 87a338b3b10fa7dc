package plan

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/when"
)

// Every rule that terms can have, read from a file.
func TestTermsInFull(t *testing.T) {
	eur := func(minor int64) money.Amount { return money.Of(minor, "EUR") }
	ratio := func(num, den int64) money.Ratio { return money.Ratio{Num: num, Den: den} }
	for _, c := range []struct {
		text string
		want overtime.Terms
	}{
		{`{basis: day, rate: 640, hours: 10, bands: [{after: 10, times: 1.5}, {after: 14, times: 2, elapsed: true}], meal-least: 30,
     half-day: {up-to: 5, share: 60%}, late-call: {from: 11:00, to: 17:00}, meal: {due: 6, next: 6, hour: true},
     turnaround: {rest: 11, times: 1.5, every: 60, amounts: [20, 25]}, sixth-day: {times: 1.5},
     seventh-day: {times: 2, bands: [{after: 8, times: 3}]}, night: {from: 22:00, to: 06:00, extra: 25%},
     agency: {share: 20%, on: both}, on-costs: [{name: insurance, share: 13.8%}]}`,
			overtime.Terms{Basis: overtime.Day, Rate: eur(64000), Included: 600, MealLeast: 30,
				Bands:      []overtime.Band{{After: 600, Times: ratio(3, 2)}, {After: 840, Times: ratio(2, 1), Elapsed: true}},
				Half:       overtime.HalfDay{UpTo: 300, Share: ratio(3, 5)},
				LateCall:   overtime.LateCall{From: 660, To: 1020},
				Meal:       overtime.MealRule{Due: 360, Next: 360, Hour: true},
				Turnaround: overtime.Turnaround{Rest: 660, Times: ratio(3, 2), Every: 60, Amounts: []money.Amount{eur(2000), eur(2500)}},
				Sixth:      overtime.RunDay{Times: ratio(3, 2)},
				Seventh:    overtime.RunDay{Times: ratio(2, 1), Bands: []overtime.Band{{After: 480, Times: ratio(3, 1)}}},
				Night:      overtime.Night{From: 1320, To: 360, Extra: ratio(1, 4)},
				Agency:     overtime.Agency{Share: ratio(1, 5), On: overtime.AgencyOnBoth},
				OnCosts:    []overtime.OnCost{{Name: "insurance", Share: ratio(69, 500)}}}},
		{`{basis: hourly, rate: 30, minimum: 4, week: [{after: 40, times: 1.5}], turnaround: {rest: 10, carry: true}}`,
			overtime.Terms{Basis: overtime.Hourly, Rate: eur(3000), Minimum: 240, Week: []overtime.Band{{After: 2400, Times: ratio(3, 2)}},
				Turnaround: overtime.Turnaround{Rest: 600, Carry: true}}},
		{`{basis: all-in, rate: 3000, days: 3, agency: {share: 15%}}`,
			overtime.Terms{Basis: overtime.AllIn, Rate: eur(300000), Days: 3, Agency: overtime.Agency{Share: ratio(3, 20), On: overtime.AgencyOnFee}}},
	} {
		old := "{basis: day, rate: 640.00, hours: 10, bands: [{after: 10, times: 1.5}]}"
		if !strings.Contains(small, old) {
			t.Fatal("the small plan has other terms")
		}
		p, problems := load(strings.Replace(small, old, c.text, 1))
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		found := false
		for _, in := range p.Intents {
			if in.Name != "terms.set" {
				continue
			}
			var args struct{ Terms overtime.Terms }
			if err := json.Unmarshal(in.Args, &args); err != nil {
				t.Fatal(err)
			}
			found = true
			if !reflect.DeepEqual(args.Terms, c.want) {
				t.Errorf("read %+v\nwant %+v", args.Terms, c.want)
			}
		}
		if !found {
			t.Error("no terms were set")
		}
	}
}

// Whose employee somebody is stands beside their terms.
func TestEmployeeOfAPlan(t *testing.T) {
	for text, want := range map[string]shoot.Employee{
		"":                     {},
		"employee: eu, ":       {Law: overtime.LawEU},
		"employee: new-york, ": {Law: overtime.LawNewYork},
		"employee: california, workweek: Sunday, waived-meals: [first, second], rest-not-given: [2026-11-25], ": {Law: overtime.LawCalifornia, Week: "Sunday",
			Waived: overtime.Waived{First: true, Second: true}, NoRest: []when.Date{"2026-11-25"}},
		"employee: new-york, minimum-wage: 17.50, ": {Law: overtime.LawNewYork, Wage: money.Of(17_50, "EUR")},
	} {
		p, problems := load(strings.Replace(small, "role: producer, ", "role: producer, "+text, 1))
		if len(problems) > 0 {
			t.Fatal(text, problems)
		}
		found := 0
		for _, in := range p.Intents {
			var args struct{ Employee shoot.Employee }
			if in.Name != "terms.set" {
				continue
			}
			if err := json.Unmarshal(in.Args, &args); err != nil {
				t.Fatal(err)
			}
			if found++; !reflect.DeepEqual(args.Employee, want) {
				t.Errorf("%q is read as %+v, want %+v", text, args.Employee, want)
			}
		}
		if found != 1 {
			t.Errorf("%q: terms are set %d times", text, found)
		}
	}
}

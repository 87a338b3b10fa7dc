package office

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/payrule"
	"fairday/domain/when"
)

// The description of terms says every rule of the vocabulary: without the rule it
// reads otherwise.
func TestDescriptionSaysEveryRule(t *testing.T) {
	two, half := money.Whole(2), money.Ratio{Num: 1, Den: 2}
	usd := money.Of(20_00, "USD")
	late := overtime.Night{From: 1320, To: 360, Extra: half}
	full := overtime.Terms{Basis: overtime.Hire, Rate: money.Of(640_00, "USD"), Included: 600, Days: 3, Divisor: overtime.ByWeighted,
		Bands: []overtime.Band{{After: 600, Times: two}}, Week: []overtime.Band{{After: 2400, Times: two}},
		Step: 15, StepRule: overtime.StepNearest, Grace: 10, MealPaid: true, MealLeast: 20, First: 60, Inclusive: 60, Continuous: 540, Minimum: 240,
		Meal:       overtime.MealRule{Due: 360, Next: 300, Every: 30, Amounts: []money.Amount{usd}, Grace: 12, Breakfast: 120},
		Turnaround: overtime.Turnaround{Rest: 660, Times: two, Every: 30, Amounts: []money.Amount{usd}},
		Sixth:      overtime.RunDay{Times: two, Bands: []overtime.Band{{After: 480, Times: two}}}, Seventh: overtime.RunDay{Times: two, Bands: []overtime.Band{{After: 480, Times: two}}},
		Night: late, Night2: late, EarlyCall: late, LateCall: overtime.LateCall{From: 660, To: 1020},
		Half:    overtime.HalfDay{UpTo: 300, Share: half},
		Weekend: overtime.Weekend{Saturday: two, Sunday: two, Holiday: two, Holidays: []when.Date{"2027-12-25"}},
		Other:   []overtime.OtherDay{{Kind: "prep", Share: half}}, Cancel: []overtime.Notice{{Within: 1440, Share: half}}, Postpone: []overtime.Notice{{Within: 1440, Share: half}},
		Agency: overtime.Agency{Share: half, On: overtime.AgencyOnBoth}, OnCosts: []overtime.OnCost{{Name: "insurance", Share: half}},
		Extras: []overtime.Extra{{Name: "kit", Amount: usd}}, Usage: []overtime.Extra{{Name: "a year", Amount: usd}}}
	agreed, hourMeal, carried := full, full, full
	agreed.Divisor, agreed.Base = "", usd
	hourMeal.Meal = overtime.MealRule{Due: 360, Hour: true}
	carried.Turnaround = overtime.Turnaround{Rest: 660, Carry: true}
	other := map[string]overtime.Terms{"base": agreed, "meal.hour": hourMeal, "turnaround.carry": carried}
	for _, r := range payrule.Rules() {
		with, ok := other[r.Path]
		if !ok {
			with = full
		}
		without := lacking(t, with, r.Path)
		if r.Path == "agency.on" { // no fee is on nothing
			without.Agency.On = overtime.AgencyOnFee
		}
		if reflect.DeepEqual(with, without) {
			t.Errorf("%s is not in the terms of the test: add it", r.Path)
		} else if reflect.DeepEqual(rules(with), rules(without)) {
			t.Errorf("the description is the same without %s: %+v", r.Key, rules(with))
		}
	}
}

// lacking gives terms without one of their rules.
func lacking(t *testing.T, from overtime.Terms, path string) (out overtime.Terms) {
	t.Helper()
	raw, err := json.Marshal(from)
	all := map[string]any{}
	if err == nil {
		err = json.Unmarshal(raw, &all)
	}
	at, parts := all, strings.Split(path, ".")
	for _, p := range parts[:len(parts)-1] {
		at, _ = at[p].(map[string]any)
	}
	delete(at, parts[len(parts)-1])
	if err == nil {
		raw, err = json.Marshal(all)
	}
	if err == nil {
		err = json.Unmarshal(raw, &out)
	}
	if err != nil {
		t.Fatalf("without %s: %v", path, err)
	}
	return out
}

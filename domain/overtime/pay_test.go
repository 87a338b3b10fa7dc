package overtime

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"fairday/domain/money"
)

// A day written out by hand: $600 for 10 h, x1.5 after 10, x2 after 12, overtime
// by the started half hour. In at 08:50 for a 09:00 call, lunch 13:00 to 13:45,
// out at 22:05: 13:05 less 0:45 is 12:20, so 2:20 over counts as 2:30: two hours
// at $90 and half an hour at $120.
func TestSlipReadsLikeAPencil(t *testing.T) {
	terms := Terms{Basis: Day, Rate: usd(60000), Included: 600, Step: 30, Bands: bands(t, 600, "1.5", 720, "2")}
	s := pay(t, terms, Hours{Call: at(0), In: at(-10), Out: at(785) + 59_000, Meals: []Break{{at(240), at(285)}}})
	want := Slip{
		Lines: []Line{
			{KindFee, at(0), at(645), 600, money.Ratio{}, usd(60000), "day rate for 10 h: $600.00"},
			{KindOvertime, at(645), at(765), 120, bands(t, 0, "1.5")[0].Times, usd(18000), "after 10 h: 2 h × $600.00 / 10 h × 1.5"},
			{KindOvertime, at(765), at(785), 30, money.Whole(2), usd(6000), "after 12 h: 30 min × $600.00 / 10 h × 2 (2 h 20 min counted as 2 h 30 min)"},
		},
		Total: usd(84000), Overtime: usd(24000), Penalty: usd(0), Worked: 740, Cost: usd(84000), Exposed: usd(24000),
	}
	if !reflect.DeepEqual(s, want) {
		t.Errorf("\n%+v, want\n%+v", s, want)
	}
}

// A meal that lies exactly where the included time runs out belongs to neither
// line: the fee ends where it starts, overtime starts where it ends.
func TestMealBetweenFeeAndOvertime(t *testing.T) {
	s := pay(t, dayTerms(t), Hours{In: at(0), Out: at(700), Meals: []Break{{at(600), at(640)}}})
	if s.Lines[0].To != at(600) || s.Lines[1].From != at(640) || s.Lines[1].To != at(700) || s.Overtime != usd(9000) {
		t.Errorf("%+v", s)
	}
}

func TestBases(t *testing.T) {
	long := Hours{In: at(0), Out: at(840), Meals: []Break{{at(300), at(360)}}} // 14 h, 13 of them worked
	for name, c := range map[string]struct {
		terms Terms
		want  []int64
	}{
		"all-in, however long":     {Terms{Basis: AllIn, Rate: usd(90000)}, []int64{90000}},
		"all-in for nothing":       {Terms{Basis: AllIn, Rate: usd(0)}, []int64{0}},
		"all-in for 12 h":          {Terms{Basis: AllIn, Rate: usd(90000), Included: 720, Bands: bands(t, 720, "2")}, []int64{90000, 15000}},
		"hire":                     {Terms{Basis: Hire, Rate: usd(120000), Included: 720, Base: usd(15000)}, []int64{120000, 15000}},
		"hourly, straight":         {Terms{Basis: Hourly, Rate: usd(2500)}, []int64{32500}},
		"hourly with bands":        {Terms{Basis: Hourly, Rate: usd(2500), Bands: bands(t, 480, "1.5", 720, "2")}, []int64{20000, 15000, 5000}},
		"lunch paid":               {Terms{Basis: Day, Rate: usd(60000), Included: 600, MealPaid: true, Bands: bands(t, 600, "1.5")}, []int64{60000, 36000}},
		"straight time, then more": {Terms{Basis: Day, Rate: usd(48000), Included: 480, Bands: bands(t, 600, "1.5")}, []int64{48000, 12000, 27000}},
		"a band inside the day":    {Terms{Basis: Day, Rate: usd(66000), Included: 600, Divisor: ByWeighted, Bands: bands(t, 480, "1.5", 720, "2")}, []int64{66000, 18000, 12000}},
		// 1 h over at $50; lunch is in time, the second meal was due at 12 h and never came: 4 half hours.
		"a penalty": {lateMeals(30, 2500), []int64{60000, 5000, 10000}},
	} {
		same(t, name, amounts(pay(t, c.terms, long)), c.want)
	}
}

func TestGraceAndSteps(t *testing.T) {
	for _, c := range []struct {
		step, grace, over, want int64
		rule                    StepRule
	}{
		{0, 0, 1, 1, ""}, {1, 0, 7, 7, ""}, {0, 15, 15, 0, ""}, {0, 15, 16, 16, ""},
		{30, 0, 0, 0, ""}, {30, 0, 1, 30, StepUp}, {30, 0, 30, 30, ""}, {30, 0, 31, 60, ""},
		{30, 15, 15, 0, ""}, {30, 15, 16, 30, ""}, {60, 0, 61, 120, ""}, {6, 0, 5, 6, ""},
		{15, 0, 7, 0, StepNearest}, {15, 0, 8, 15, StepNearest}, {30, 0, 44, 30, StepNearest}, {30, 0, 45, 60, StepNearest},
	} {
		terms := Terms{Step: c.step, StepRule: c.rule, Grace: c.grace}
		if got := terms.counted(c.over); got != c.want {
			t.Errorf("%+v: counted %d", c, got)
		}
	}
}

func TestWrappedAndMealEnds(t *testing.T) {
	open := Hours{Call: at(0), In: at(0), Meals: []Break{{at(60), at(90)}, {at(300), 0}}}
	if got := open.Wrapped(at(320)); got.Out != at(320) || got.Meals[1].To != at(320) || open.Meals[1].To != 0 {
		t.Errorf("%+v", got)
	}
	if got := open.Wrapped(at(200)); len(got.Meals) != 1 {
		t.Errorf("%+v", got)
	}
	if got := open.Wrapped(at(-30)); got.Out != at(0) || len(got.Meals) != 0 {
		t.Errorf("before the call: %+v", got)
	}
	if got := open.MealEnds(at(345)); got.Meals[1].To != at(345) || got.Meals[0].To != at(90) || open.Meals[1].To != 0 {
		t.Errorf("%+v", got)
	}
	out := Hours{In: at(0), Out: at(300), Meals: []Break{{at(240), 0}}} // never came back from lunch
	if !reflect.DeepEqual(out.Wrapped(at(400)), out) {
		t.Error("hours with a sign-out changed")
	}
	if s := pay(t, Terms{Basis: Hourly, Rate: usd(1000)}, out); s.Worked != 240 {
		t.Error(s.Worked)
	}
}

func TestTermsJSON(t *testing.T) {
	terms := lateMeals(30, 2500, 3500)
	terms.Bands, terms.Step = bands(t, 600, "1.5"), 30
	for _, c := range []struct {
		terms Terms
		want  string
	}{
		{Terms{Basis: AllIn, Rate: usd(90000)}, `{"basis":"all-in","rate":{"minor":90000,"currency":"USD"}}`},
		{terms, `{"basis":"day","rate":{"minor":60000,"currency":"USD"},"included":720,"bands":[{"after":600,"times":"1.5"}],"step":30,` +
			`"meal":{"due":360,"next":360,"every":30,"amounts":[{"minor":2500,"currency":"USD"},{"minor":3500,"currency":"USD"}]}}`},
	} {
		b, err := json.Marshal(c.terms)
		if err != nil || string(b) != c.want {
			t.Errorf("%s, %v\nwant %s", b, err, c.want)
		}
		var back Terms
		dec := json.NewDecoder(strings.NewReader(string(b)))
		dec.DisallowUnknownFields()
		if err := dec.Decode(&back); err != nil || !reflect.DeepEqual(back, c.terms) {
			t.Errorf("came back as %+v, %v", back, err)
		}
	}
}

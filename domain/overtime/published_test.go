package overtime

import (
	"testing"

	"fairday/domain/money"
	"fairday/domain/when"
)

// Published figures for rates, bands, steps and meals, each with its source; those
// for the other rules, and the list of those that are not held to, are in
// published_rules_test.go, those for laws in floor_test.go.

func usd(minor int64) money.Amount { return money.Of(minor, "USD") }

func bands(t testing.TB, pairs ...any) []Band {
	t.Helper()
	var out []Band
	for i := 0; i < len(pairs); i += 2 {
		r, err := money.ParseRatio(pairs[i+1].(string))
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, Band{After: int64(pairs[i].(int)), Times: r})
	}
	return out
}

// nine is a call at 09:00 UTC on an invented day.
const nine = 1_795_597_200_000 * when.Instant(1)

func at(mins int) when.Instant { return nine + when.Instant(mins)*when.Minute }

func pay(t *testing.T, terms Terms, h Hours) Slip {
	t.Helper()
	s, err := Pay(terms, h)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func worked(t *testing.T, terms Terms, mins int64) Slip {
	t.Helper()
	s, err := PayWorked(terms, mins)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func amounts(s Slip) []int64 {
	var out []int64
	for _, l := range s.Lines {
		out = append(out, l.Amount.Minor)
	}
	return out
}

func same[T comparable](t *testing.T, what string, got, want []T) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%s: %v, want %v", what, got, want)
	}
	for i := range got {
		if got[i] != want[i] {
			t.Fatalf("%s: %v, want %v", what, got, want)
		}
	}
}

// 29 CFR 778.110(a): $12 an hour, 46 hours in the week: 40 x $12 + 6 x $18 = $588.
func TestFederalHourlyWeek(t *testing.T) {
	s := worked(t, Terms{Basis: Hourly, Rate: usd(1200), Bands: bands(t, 40*60, "1.5")}, 46*60)
	same(t, "lines", amounts(s), []int64{48000, 10800})
	if s.Total != usd(58800) || s.Overtime != usd(10800) {
		t.Errorf("total %v, overtime %v", s.Total, s.Overtime)
	}
}

// Guaranteed hours, practice rather than regulation (rates page of
// silaselias.co): the divisor of 10 hours is 11 and of 12 hours 14; $750 for 10
// gives $68.18 an hour, for 12 $53.57.
func TestGuaranteedHoursDivisor(t *testing.T) {
	for _, c := range []struct{ hours, divisor, base int64 }{{10, 11, 6818}, {12, 14, 5357}} {
		terms := Terms{Basis: Day, Rate: usd(75000), Included: c.hours * 60, Divisor: ByWeighted,
			Bands: bands(t, 8*60, "1.5", int(c.hours*60), "1")} // x1 so that an hour shows the base
		r := tariff{Terms: terms}
		err := r.ready()
		if err != nil || r.per != money.Whole(c.divisor*60) {
			t.Errorf("%d h: divisor of %v minutes, %v", c.hours, r.per, err)
		}
		if s := worked(t, terms, (c.hours+1)*60); s.Overtime != usd(c.base) {
			t.Errorf("%d h: base %v, want %d", c.hours, s.Overtime, c.base)
		}
	}
}

// The same page: $800 for 10 h worked to 16. It rounds the base to $72.73 and
// prints 581.84 + 2 x 109.09 for the guarantee, then 218.18, 436.38, 218.19:
// 1672.75. Unrounded the whole is 23 x 800/11 = 1672.73. We round each line once
// and keep the base exact: 800.00 + 218.18 + 436.36 + 218.18 = 1672.72.
func TestGuaranteedHoursWholeDay(t *testing.T) {
	s := worked(t, Terms{Basis: Day, Rate: usd(80000), Included: 600, Divisor: ByWeighted,
		Bands: bands(t, 480, "1.5", 720, "2", 900, "3")}, 960)
	same(t, "lines", amounts(s), []int64{80000, 21818, 43636, 21818})
	if s.Total != usd(167272) {
		t.Error(s.Total)
	}
	r, err := money.NewRatio(23, 11)
	if err != nil {
		t.Fatal(err)
	}
	if whole, err := usd(80000).Times(r, money.HalfUp); err != nil || whole != usd(167273) {
		t.Error(whole, err)
	}
}

// APA Recommended Terms 2014: hourly base = day / 10; called 08:00, 10 h and an
// hour's lunch are 11 h, then half-hour increments; a day of £430 has a base of
// £43, x1.25 is £53.75, x2 £86, x3 £129.
func TestCommercialsTerms(t *testing.T) {
	lunch := []Break{{at(300), at(360)}}
	for times, hour := range map[string]int64{"1": 4300, "1.25": 5375, "2": 8600, "3": 12900} {
		terms := Terms{Basis: Day, Rate: money.Of(43000, "GBP"), Included: 600, Step: 30, Bands: bands(t, 600, times)}
		for out, want := range map[int]int64{660: 0, 661: hour, 690: hour, 691: 2 * hour, 720: 2 * hour} {
			half, err := money.Of(want, "GBP").Times(money.Ratio{Num: 1, Den: 2}, money.HalfUp)
			if err != nil {
				t.Fatal(err)
			}
			if s := pay(t, terms, Hours{Call: at(0), In: at(0), Out: at(out), Meals: lunch}); s.Overtime != half {
				t.Errorf("x%s, out after %d min: %v, want %v", times, out, s.Overtime, half)
			}
		}
	}
}

// 29 CFR 785.48: rounding to a tenth or a quarter of an hour is accepted where
// it is neutral over time. Quarters come out even; with an even step the minute
// in the middle goes to the worker, half a minute on average.
func TestNearestIsNeutral(t *testing.T) {
	for step, most := range map[int64]int64{15: 0, 6: 3, 30: 15, 60: 30} {
		terms, sum := Terms{Step: step, StepRule: StepNearest}, int64(0)
		for over := range step {
			sum += terms.counted(over) - over
		}
		if sum != most {
			t.Errorf("steps of %d: %d min over one of each, want %d", step, sum, most)
		}
	}
}

// Meal penalties 70 minutes late, per started half hour: SAG-AFTRA theatrical
// and another of its pages (sagaftra.org/meal-periods), IATSE Basic
// (basic.iatse.net/history-of-meal-penalties), Teamsters 399 (g).
func TestMealPenaltySchedules(t *testing.T) {
	for _, c := range []struct {
		name string
		per  []int64
		want int64
	}{
		{"SAG-AFTRA theatrical", []int64{2500, 3500, 5000}, 11000},
		{"SAG-AFTRA, other page", []int64{2500, 2500, 5000}, 10000},
		{"IATSE Basic", []int64{850, 1100, 1350}, 3300},
		{"Teamsters 399 (g)", []int64{1000, 1250, 1500}, 3750},
	} {
		s := pay(t, lateMeals(30, c.per...), Hours{In: at(0), Out: at(600), Meals: []Break{{at(430), at(460)}}})
		if s.Penalty != usd(c.want) {
			t.Errorf("%s: %v, want %d", c.name, s.Penalty, c.want)
		}
	}
}

// A six-minute schedule: $5 for the first 12 minutes, $7.50 for the next 18, then
// $2.50 for each six: 45 minutes late are $20.
func TestMealPenaltyBySixMinutes(t *testing.T) {
	s := pay(t, lateMeals(6, 500, 0, 750, 0, 0, 250), Hours{In: at(0), Out: at(600), Meals: []Break{{at(405), at(435)}}})
	if s.Penalty != usd(2000) {
		t.Error(s.Penalty)
	}
}

// California Wage Order 12, section 11: no work over six hours without a meal,
// the next within six hours of the end of the last. Six hours are not over six.
func TestMealBoundaries(t *testing.T) {
	terms := lateMeals(30, 2500)
	for _, c := range []struct {
		hours Hours
		want  int64
	}{
		{Hours{In: at(0), Out: at(360)}, 0},
		{Hours{In: at(0), Out: at(361)}, 2500},
		{Hours{In: at(0), Out: at(390)}, 2500},
		{Hours{In: at(0), Out: at(391)}, 5000},
		{Hours{In: at(0), Out: at(720), Meals: []Break{{at(360), at(390)}}}, 0},
		{Hours{In: at(0), Out: at(750), Meals: []Break{{at(360), at(390)}}}, 0},
		{Hours{In: at(0), Out: at(751), Meals: []Break{{at(360), at(390)}}}, 2500},
		{Hours{Call: at(60), In: at(0), Out: at(420)}, 0}, // early birds wait for the call
		{Hours{Call: at(60), In: at(0), Out: at(421)}, 2500},
	} {
		if s := pay(t, terms, c.hours); s.Penalty != usd(c.want) {
			t.Errorf("%+v: %v, want %d", c.hours, s.Penalty, c.want)
		}
	}
}

// lateMeals is a day with meals due every six hours.
func lateMeals(every int64, per ...int64) Terms {
	t := Terms{Basis: Day, Rate: usd(60000), Included: 720, Meal: MealRule{Due: 360, Next: 360, Every: every}}
	for _, p := range per {
		t.Meal.Amounts = append(t.Meal.Amounts, usd(p))
	}
	return t
}

// Called 20:00 on 2026-10-31 and wrapped 06:00 in New York, through the end of
// summer time (IANA tz database): 11 hours have passed, not 10.
func TestClockChange(t *testing.T) {
	zone := when.Zone("America/New_York")
	in, err := zone.At("2026-10-31", 20*60)
	if err != nil {
		t.Fatal(err)
	}
	out, err := zone.At("2026-11-01", 6*60)
	if err != nil {
		t.Fatal(err)
	}
	s := pay(t, Terms{Basis: Day, Rate: usd(60000), Included: 600, Bands: bands(t, 600, "1.5")}, Hours{In: in, Out: out})
	if s.Worked != 660 || s.Overtime != usd(9000) {
		t.Error(s.Worked, s.Overtime)
	}
}

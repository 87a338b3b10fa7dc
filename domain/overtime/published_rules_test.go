package overtime

import (
	"testing"

	"fairday/domain/money"
	"fairday/domain/when"
)

// Published figures for the rules beyond bands, each with its source. These are
// not held to, and why:
//   - 29 CFR 778.113, monthly x 12/52 and semi-monthly x 24/52: nobody is engaged
//     by the month here.
//   - Alvarado v. Dart (2018), California's half, and DLSE Manual 49.2.4.2: flat
//     sum and production bonuses are not terms of a day.
//   - Labor Code 510, over 40 hours a week: which hours of a week of long days
//     count twice is left to payroll; week bands do it where terms say so.
//   - Stills practice, no agency fee on expenses: expenses are not pay.
//   - Published hours of minors: a caution, never a computation.

// 29 CFR 785.18: rests of 5 to 20 minutes are paid; 785.19: 30 minutes or more,
// fully relieved, are not.
func TestShortBreaksArePaid(t *testing.T) {
	terms := Terms{Basis: Hourly, Rate: usd(6000), MealLeast: 30}
	for mins, want := range map[int]int64{5: 600, 20: 600, 30: 570, 60: 540} {
		s := pay(t, terms, Hours{In: at(0), Out: at(600), Meals: []Break{{at(200), at(200 + mins)}}})
		if s.Worked != want {
			t.Errorf("a break of %d min: %d worked", mins, s.Worked)
		}
	}
	// A short break is no meal: the penalty runs on through it.
	terms = lateMeals(30, 2500)
	terms.MealLeast = 30
	h := Hours{In: at(0), Out: at(420), Meals: []Break{{at(350), at(370)}}}
	if s := pay(t, terms, h); s.Penalty != usd(5000) || s.Worked != 420 {
		t.Error(s.Penalty, s.Worked)
	}
	h.Out = at(370) // and at the end of a day it is simply the end
	if s := pay(t, terms, h); !s.Penalty.IsZero() || s.Worked != 350 {
		t.Error(s.Penalty, s.Worked)
	}
}

// 29 CFR 778.110(a) day by day: $12 an hour, five days of 8 h and one of 6 h,
// x1.5 over 40 h in the week: $588. 12 NYCRR part 146: $10, 50 h -> $550.
func TestWeekDayByDay(t *testing.T) {
	for _, c := range []struct {
		rate, total int64
		days        []int64 // minutes
	}{{1200, 58800, []int64{480, 480, 480, 480, 480, 360}}, {1000, 55000, []int64{600, 600, 600, 600, 600}}} {
		terms := Terms{Basis: Hourly, Rate: usd(c.rate), Week: bands(t, 40*60, "1.5")}
		b, total := Before{}, int64(0)
		for i, mins := range c.days {
			b.Run = i + 1
			s := pay(t, terms, Hours{In: at(0), Out: at(int(mins)), Before: b})
			total += s.Total.Minor
			b.Week += s.Worked
		}
		if total != c.total {
			t.Errorf("%d, want %d", total, c.total)
		}
	}
}

// Labor Code 510 as hourly terms: over 8 h x1.5, over 12 h x2, the seventh day
// x1.5 and over 8 h x2.
func TestCaliforniaAsTerms(t *testing.T) {
	terms := Terms{Basis: Hourly, Rate: usd(2000), Bands: bands(t, 480, "1.5", 720, "2"), Seventh: RunDay{ratio(t, "1.5"), bands(t, 480, "2")}}
	for run, want := range map[int][]int64{6: {16000, 12000, 4000}, 7: {24000, 20000}} {
		same(t, "lines", amounts(pay(t, terms, Hours{In: at(0), Out: at(780), Before: Before{Run: run}})), want)
	}
}

// Labor Code 226.7 as terms: one hour at the base, once a day, however many meals
// are late (Wage Order 12 section 11 for when they are due).
func TestMealHourOnceADay(t *testing.T) {
	terms := Terms{Basis: Hourly, Rate: usd(2000), Meal: MealRule{Due: 360, Next: 360, Hour: true}}
	for out, want := range map[int]int64{360: 0, 361: 2000, 900: 2000} {
		if s := pay(t, terms, Hours{In: at(0), Out: at(out), Meals: []Break{}}); s.Penalty != usd(want) {
			t.Errorf("%d: %v", out, s.Penalty)
		}
	}
	if s := pay(t, terms, Hours{In: at(0), Out: at(900), Meals: []Break{{at(400), at(430)}}}); s.Penalty != usd(2000) {
		t.Error(s.Penalty)
	}
}

// Channel 4 / 4Creative terms 2018: 10 + 1; a call from 11:00 to 17:00 counts from
// 11:00, so overtime starts at 22:00; a continuous day is 9 h.
func TestLateCallCountsFromEleven(t *testing.T) {
	london := when.Zone("Europe/London")
	terms := Terms{Basis: Day, Rate: money.Of(50000, "GBP"), Included: 600, LateCall: LateCall{660, 1020}, Bands: bands(t, 600, "1.5")}
	clock := func(c when.Clock) when.Instant {
		i, err := london.At("2026-11-25", c)
		if err != nil {
			t.Fatal(err)
		}
		return i
	}
	for _, c := range []struct {
		call, out when.Clock
		want      int64
	}{
		{14 * 60, 22 * 60, 0}, {14 * 60, 23 * 60, 7500}, {11 * 60, 23 * 60, 7500}, {17 * 60, 23 * 60, 7500},
		{10 * 60, 22 * 60, 7500}, // in time: counts from the call
		{17*60 + 1, 28 * 60, 0},  // later than the rule reaches: 10 h less a minute
		{14 * 60, 22*60 + 30, 3750},
	} {
		h := Hours{Call: clock(c.call), In: clock(c.call), Out: clock(c.out), Zone: london}
		if c.call < 20*60 {
			lunch := clock(c.call) + 3*when.Hour
			h.Meals = []Break{{lunch, lunch + when.Hour}}
		}
		if s := pay(t, terms, h); s.Overtime != money.Of(c.want, "GBP") {
			t.Errorf("called %s, out %s: %v, want %d", c.call, c.out, s.Overtime, c.want)
		}
	}
	continuous := Terms{Basis: Day, Rate: money.Of(45000, "GBP"), Included: 540, Bands: bands(t, 540, "1.5")}
	if s := pay(t, continuous, Hours{In: at(0), Out: at(600)}); s.Overtime != money.Of(7500, "GBP") {
		t.Error(s.Overtime)
	}
}

// Turnaround, worked: 10 h rest; out 00:00, called 08:00: 08 to 10 at overtime, the
// base rate from 10:00.
func TestTurnaroundWorked(t *testing.T) {
	hour := func(h int) when.Instant { return at((h - 9) * 60) } // nine is at 0
	hourly := Terms{Basis: Hourly, Rate: usd(4000), Turnaround: Turnaround{Rest: 600, Times: ratio(t, "1.5")}}
	h := Hours{Call: hour(8), In: hour(8), Out: hour(18), Before: Before{Out: hour(0), Run: 2}}
	same(t, "hourly", amounts(pay(t, hourly, h)), []int64{12000, 32000})

	day := Terms{Basis: Day, Rate: usd(60000), Included: 600, Bands: bands(t, 600, "1.5"), Turnaround: hourly.Turnaround}
	h.Out = hour(21) // the ten hours count from 10:00
	s := pay(t, day, h)
	same(t, "by the day", amounts(s), []int64{18000, 60000, 9000})
	if s.Lines[0].To != hour(10) || s.Lines[1].From != hour(10) || s.Lines[1].To != hour(20) || s.Overtime != usd(27000) {
		t.Errorf("%+v", s)
	}

	day.Turnaround = Turnaround{Rest: 600, Carry: true, Every: 60, Amounts: []money.Amount{usd(5000), usd(7500)}}
	h.Before.Times = money.Whole(2) // what the day before ended on
	s = pay(t, day, h)
	same(t, "carried, with a penalty", amounts(s), []int64{12500, 24000, 60000, 9000})
	if s.Penalty != usd(12500) {
		t.Error(s.Penalty)
	}

	h.Before = Before{Out: hour(-2)} // rested
	same(t, "rested", amounts(pay(t, day, h)), []int64{60000, 27000})
	h.Before = Before{Run: 1} // the first day
	same(t, "first day", amounts(pay(t, day, h)), []int64{60000, 27000})
}

// The day before tells the day after what it ended on.
func TestEndedOn(t *testing.T) {
	for out, want := range map[int]money.Ratio{600: money.Whole(1), 601: ratio(t, "1.5"), 721: money.Whole(2)} {
		if got := pay(t, dayTerms(t), Hours{In: at(0), Out: at(out)}).EndedOn(); got != want {
			t.Errorf("out at %d: %v", out, got)
		}
	}
	early := dayTerms(t)
	early.Turnaround = Turnaround{Rest: 600, Times: money.Whole(3)}
	for out, want := range map[int]money.Ratio{60: money.Whole(3), 300: money.Whole(3)} { // working on makes up for no rest
		if got := pay(t, early, Hours{In: at(0), Out: at(out), Before: Before{Out: at(-480)}}).EndedOn(); got != want {
			t.Errorf("out at %d: %v", out, got)
		}
	}
}

// Stills practice in several published terms: overtime at 20% of the day rate an
// hour; x1.5 after 8 h with a 20% agency fee; half-hour increments; half a day at
// 60%.
func TestStillsPractice(t *testing.T) {
	fifth := Terms{Basis: Day, Rate: usd(100000), Included: 480, Base: usd(20000), Step: 30}
	if s := pay(t, fifth, Hours{In: at(0), Out: at(511)}); s.Overtime != usd(20000) {
		t.Error(s.Overtime)
	}
	talent := Terms{Basis: Day, Rate: usd(80000), Included: 480, Step: 30, Bands: bands(t, 480, "1.5"),
		Half: HalfDay{240, ratio(t, "60%")}, Agency: Agency{ratio(t, "20%"), AgencyOnBoth}}
	for _, c := range []struct{ out, total, cost, exposed int64 }{
		{240, 48000, 57600, 0},
		{241, 80000, 96000, 0},
		{540, 95000, 114000, 18000},
	} {
		s := pay(t, talent, Hours{In: at(0), Out: at(int(c.out))})
		if s.Total != usd(c.total) || s.Cost != usd(c.cost) || s.Exposed != usd(c.exposed) {
			t.Errorf("%+v: %+v", c, s)
		}
	}
	for on, want := range map[AgencyOn]int64{AgencyOnFee: 16000, AgencyOnOvertime: 3000, AgencyOnBoth: 19000} {
		talent.Agency.On = on
		if a, err := pay(t, talent, Hours{In: at(0), Out: at(540)}).Sum(KindAgency); err != nil || a != usd(want) {
			t.Errorf("on %s: %v, %v", on, a, err)
		}
	}
}

// Rules without a published figure, by hand on $600 for 10 h, $60 an hour.
func TestRulesByHand(t *testing.T) {
	long := Hours{In: at(0), Out: at(780), Zone: "UTC", Before: Before{Run: 6, Day: 2}} // 09:00 to 22:00
	base := func(change func(*Terms)) Terms {
		c := Terms{Basis: Day, Rate: usd(60000), Included: 600}
		change(&c)
		return c
	}
	hourly := Terms{Basis: Hourly, Rate: usd(3000), Minimum: 240, Bands: bands(t, 480, "1.5")}
	for name, c := range map[string]struct {
		terms Terms
		h     Hours
		want  []int64
	}{
		"elapsed, no lunch": {base(func(c *Terms) { c.Bands = []Band{{660, money.Whole(2), true}} }), long, []int64{60000, 6000, 24000}},
		"elapsed, lunch":    {base(func(c *Terms) { c.Bands = []Band{{660, money.Whole(2), true}} }), Hours{In: at(0), Out: at(780), Meals: []Break{{at(300), at(360)}}}, []int64{60000, 24000}},
		"night to 06":       {base(func(c *Terms) { c.Night = Night{20 * 60, 6 * 60, ratio(t, "0.25")} }), long, []int64{60000, 18000, 3000}},
		"sixth day":         {base(func(c *Terms) { c.Sixth = RunDay{ratio(t, "1.5"), nil} }), long, []int64{60000, 30000, 27000}},
		"sixth day, bands":  {base(func(c *Terms) { c.Sixth = RunDay{ratio(t, "1.5"), bands(t, 660, "3")} }), long, []int64{60000, 30000, 9000, 36000}},
		"of three days":     {base(func(c *Terms) { c.Rate, c.Days = usd(100000), 3 }), long, []int64{33334, 10000}},
		"minimum call":      {hourly, Hours{In: at(0), Out: at(60)}, []int64{12000}},
		"over the minimum":  {hourly, Hours{In: at(0), Out: at(540)}, []int64{24000, 4500}},
		"on-costs":          {base(func(c *Terms) { c.OnCosts = []OnCost{{"insurance", ratio(t, "10%")}} }), long, []int64{60000, 18000}},
	} {
		same(t, name, amounts(pay(t, c.terms, c.h)), c.want)
	}
	three, sum := base(func(c *Terms) { c.Rate, c.Days, c.Base = usd(100000), 3, usd(1) }), int64(0)
	for day := range int64(3) {
		sum += pay(t, three, Hours{In: at(0), Out: at(600), Before: Before{Day: day + 1}}).Total.Minor
	}
	if sum != 100000 {
		t.Errorf("three days of three come to %d", sum)
	}
	s := pay(t, base(func(c *Terms) { c.OnCosts = []OnCost{{"insurance", ratio(t, "10%")}} }), long)
	if s.Total != usd(78000) || s.Cost != usd(85800) || s.Exposed != usd(19800) || len(s.Costs) != 2 {
		t.Errorf("%+v", s)
	}
}

package overtime

import (
	"errors"
	"strings"
	"testing"

	"fairday/domain/money"
	"fairday/domain/when"
)

// The US federal regular rate, from the examples of 29 CFR and the fact sheets of
// the Department of Labor. Where those round the rate first, ours differs by a
// cent at most and the printed total stands beside it.
func TestFederalRegularRate(t *testing.T) {
	for _, c := range []struct {
		source             string
		straight, worked   int64 // cents, minutes
		rate, extra, total int64
		printed            int64
	}{
		{"29 CFR 778.110(b): 46 h at $12 and a bonus of $46", 46*1200 + 4600, 46 * 60, 1300, 3900, 63700, 63700},
		{"29 CFR 778.111: $491 piecework and 4 h at $8, 50 h", 52300, 50 * 60, 1046, 5230, 57530, 57530},
		{"29 CFR 778.112, worked: $400 a day, 5 days of 10 h (overtime-flsa.com)", 200000, 50 * 60, 4000, 20000, 220000, 220000},
		{"29 CFR 778.113 (1981): $220.80 for 40 h", 22080, 40 * 60, 552, 0, 22080, 22080},
		{"29 CFR 778.114: $600 for 48 h", 60000, 48 * 60, 1250, 5000, 65000, 65000},
		{"Fact Sheet 82: $600 and $100 for 45 h; it rounds to 15.56 and 7.78 first", 70000, 45 * 60, 1556, 3889, 73889, 73890},
		{"Fact Sheet 23: $405 for 45 h", 40500, 45 * 60, 900, 2250, 42750, 42750},
		{"29 CFR 778.115: 44.5 h at $10 and 8 h at $8 (total computed)", 50900, 52*60 + 30, 970, 6060, 56960, 56960},
		{"Alvarado v. Dart (2018), federal: 46 h at $10 and a bonus of $15 (total computed)", 47500, 46 * 60, 1033, 3098, 50598, 50598},
	} {
		f, err := FederalWeek(usd(c.straight), c.worked)
		if err != nil {
			t.Fatal(err)
		}
		p := pencil{amount: usd(c.straight), per: c.worked}
		if got := p.times(60, money.Whole(1)); got != usd(c.rate) || f.Extra != usd(c.extra) || f.Least != usd(c.total) {
			t.Errorf("%s: rate %v, extra %v, total %v", c.source, got, f.Extra, f.Least)
		}
		if by := c.printed - c.total; by < -1 || by > 1 {
			t.Errorf("%s: printed %d", c.source, c.printed)
		}
	}
	// 29 CFR 778.113 (1981): $182.70 for 35 h are $5.22, overtime at $7.83; 778.322:
	// $200 for 35 h are $5.71, overtime at $8.57.
	for _, c := range []struct{ straight, rate, overtime int64 }{{18270, 522, 783}, {20000, 571, 857}} {
		p := pencil{amount: usd(c.straight), per: 35 * 60}
		if a, b := p.times(60, money.Whole(1)), p.times(60, ratio(t, "1.5")); a != usd(c.rate) || b != usd(c.overtime) {
			t.Error(a, b, c)
		}
	}
}

// One week both ways (overtime-flsa.com, "Calculating overtime pay for day rate
// employees in California"): $400 a day, five days of ten hours. Federal overtime
// is $200; California's is 400 / 8 x 1.5 for two hours of each day, $750.
func TestDayRateWeekBothWays(t *testing.T) {
	terms := Terms{Basis: Day, Rate: usd(40000), Included: 600}
	h := Hours{In: at(0), Out: at(630), Meals: []Break{{at(300), at(330)}}}
	var slips []Slip
	var california int64
	for range 5 {
		slips = append(slips, pay(t, terms, h))
		f, err := CaliforniaDay(terms, h)
		if err != nil {
			t.Fatal(err)
		}
		if f.Extra != usd(15000) || f.Least != usd(55000) || !strings.Contains(f.Say, "$50.00 an hour") {
			t.Errorf("%+v", f)
		}
		california += f.Extra.Minor
	}
	week, err := FederalDays(slips)
	if err != nil {
		t.Fatal(err)
	}
	if week.Extra != usd(20000) || california != 75000 {
		t.Error(week, california)
	}
	if by, err := week.Above(usd(200000)); err != nil || by != usd(20000) {
		t.Error(by, err)
	}
	if by, err := week.Above(usd(230000)); err != nil || !by.IsZero() {
		t.Error(by, err)
	}
	if _, err := week.Above(money.Of(1, "GBP")); !errors.Is(err, &money.Error{Code: money.CodeCurrencyMixed}) {
		t.Error(err)
	}
}

// California Labor Code 510: over 8 h x1.5, over 12 h x2, the seventh day x1.5 and
// over 8 h x2; on $20 an hour.
func TestCaliforniaDay(t *testing.T) {
	hourly := Terms{Basis: Hourly, Rate: usd(2000)}
	for _, c := range []struct {
		mins, run, want int
		hours           string // in the working; what adds nothing is not in it
	}{
		{480, 1, 16000, "8 h × 1"}, {481, 1, 16050, "8 h × 1, 1 min × 1.5"}, {720, 1, 28000, "8 h × 1, 4 h × 1.5"},
		{721, 1, 28067, "8 h × 1, 4 h × 1.5, 1 min × 2"}, {840, 6, 36000, "8 h × 1, 4 h × 1.5, 2 h × 2"},
		{480, 7, 24000, "8 h × 1.5"}, {600, 7, 32000, "8 h × 1.5, 2 h × 2"}, {780, 8, 44000, "8 h × 1.5, 4 h × 2, 1 h × 2"},
	} {
		f, err := CaliforniaDay(hourly, Hours{In: at(0), Out: at(c.mins), Before: Before{Run: c.run}})
		if err != nil || f.Least != usd(int64(c.want)) || f.Say != "regular rate $20.00 an hour: "+c.hours {
			t.Errorf("%+v: %+v, %v", c, f, err)
		}
	}
	// A guarantee that has the daily premium inside is its own floor: $750 / 11 for
	// 8 h and 2 h at x1.5; so is a short day of a day rate.
	inside := Terms{Basis: Day, Rate: usd(75000), Included: 600, Divisor: ByWeighted, Bands: bands(t, 480, "1.5", 720, "2")}
	for out, want := range map[int]int64{600: 75000, 720: 95455} {
		h := Hours{In: at(0), Out: at(out)}
		f, err := CaliforniaDay(inside, h)
		if err != nil || f.Least.Minor-want > 1 || want-f.Least.Minor > 1 {
			t.Errorf("%d: %+v, %v", out, f, err)
		}
		if by := pay(t, inside, h).Total.Minor - f.Least.Minor; by < -1 || by > 1 {
			t.Errorf("contract pays %d more", by)
		}
	}
	short, err := CaliforniaDay(Terms{Basis: AllIn, Rate: usd(90000)}, Hours{In: at(0), Out: at(300)})
	if err != nil || short.Least != usd(90000) || !short.Extra.IsZero() {
		t.Error(short, err)
	}
}

// California Labor Code 512 and 226.7; Wage Order 12 section 11. Boundaries: 5:00
// no, 5:01 yes; 10:00 no, 10:01 yes. A single premium a day.
func TestCaliforniaMeals(t *testing.T) {
	terms := Terms{Basis: Hourly, Rate: usd(2000)}
	lunch := Break{at(300), at(330)}
	none, both := Waived{}, Waived{true, true}
	for _, c := range []struct {
		name  string
		law   MealLaw
		out   when.Instant
		meals []Break
		w     Waived
		due   bool
	}{
		{"5:00", CaliforniaGeneral, at(300), nil, none, false},
		{"5:01", CaliforniaGeneral, at(301), nil, none, true},
		{"a second over", CaliforniaGeneral, at(300) + 1000, nil, none, true},
		{"6:00 waived", CaliforniaGeneral, at(360), nil, both, false},
		{"6:01 cannot be waived", CaliforniaGeneral, at(361), nil, both, true},
		{"meal in time", CaliforniaGeneral, at(500), []Break{lunch}, none, false},
		{"meal a second late", CaliforniaGeneral, at(500), []Break{{at(300) + 1000, at(340)}}, none, true},
		{"29 minutes are no meal", CaliforniaGeneral, at(500), []Break{{at(240), at(269)}}, none, true},
		{"10:00 of work", CaliforniaGeneral, at(630), []Break{lunch}, none, false},
		{"10:01 of work", CaliforniaGeneral, at(631), []Break{lunch}, none, true},
		{"12:00 waived", CaliforniaGeneral, at(750), []Break{lunch}, both, false},
		{"12:01 cannot be waived", CaliforniaGeneral, at(751), []Break{lunch}, both, true},
		{"second meal in time", CaliforniaGeneral, at(800), []Break{lunch, {at(590), at(620)}}, none, false},
		{"pictures 6:00", CaliforniaMotionPicture, at(360), nil, none, false},
		{"pictures 6:01", CaliforniaMotionPicture, at(361), nil, none, true},
		{"pictures, next within six hours", CaliforniaMotionPicture, at(720), []Break{{at(330), at(360)}}, none, false},
		{"pictures, next too late", CaliforniaMotionPicture, at(721), []Break{{at(330), at(360)}}, none, true},
		{"pictures, a snack", CaliforniaMotionPicture, at(420), []Break{{at(330), at(350)}}, none, true},
	} {
		f, err := CaliforniaMeals(c.law, terms, Hours{In: at(0), Out: c.out, Meals: c.meals}, c.w)
		if err != nil || (f.Extra == usd(2000)) != c.due || f.Extra != f.Least {
			t.Errorf("%s: %+v, %v", c.name, f, err)
		}
	}
}

// 12 NYCRR 142-2.4: 08:00 to 12:00 and 16:00 to 19:00 is a spread of 11 hours.
func TestNewYorkSpread(t *testing.T) {
	h := Hours{In: at(0), Out: at(660), Meals: []Break{{at(240), at(480)}}}
	f, err := NewYorkSpread(h, usd(1500))
	if err != nil || f.Extra != usd(1500) || !strings.Contains(f.Say, "11 h") {
		t.Error(f, err)
	}
	h.Out = at(600)
	if f, err := NewYorkSpread(h, usd(1500)); err != nil || !f.Extra.IsZero() {
		t.Error("a spread of ten hours is not over ten", f, err)
	}
}

// Working Time Regulations 1998, reg. 10 and 12; Directive 2003/88, articles 3 to
// 5.
func TestRests(t *testing.T) {
	rest := func(f Floor, err error) Rest {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		if !f.Least.IsZero() || f.Source == "" || f.Caution == "" || f.Say == "" {
			t.Errorf("%+v", f)
		}
		return *f.Rest
	}
	day := func(from, to int, meals ...Break) Hours { return Hours{In: at(from), Out: at(to), Meals: meals} }
	for name, c := range map[string]struct {
		got   Rest
		want  Rest
		short bool
	}{
		"11 h":                    {rest(DailyRest(UnitedKingdom, at(0), at(660))), Rest{660, 660}, false},
		"10:59":                   {rest(DailyRest(EuropeanUnion, at(0), at(659))), Rest{660, 659}, true},
		"11 h of the young":       {rest(DailyRest(UnitedKingdomYoung, at(0), at(660))), Rest{720, 660}, true},
		"six hours":               {rest(BreakRest(UnitedKingdom, day(0, 360))), Rest{0, 0}, false},
		"over six hours":          {rest(BreakRest(UnitedKingdom, day(0, 361))), Rest{20, 0}, true},
		"two halves":              {rest(BreakRest(UnitedKingdom, day(0, 600, Break{at(100), at(110)}, Break{at(200), at(210)}))), Rest{20, 10}, true},
		"twenty minutes":          {rest(BreakRest(EuropeanUnion, day(0, 600, Break{at(100), at(120)}))), Rest{20, 20}, false},
		"at the end of the day":   {rest(BreakRest(EuropeanUnion, day(0, 600, Break{at(570), at(600)}))), Rest{20, 0}, true},
		"a free week":             {rest(WeeklyRest(EuropeanUnion, at(0), nil)), Rest{2100, 10080}, false},
		"six days in a row":       {rest(WeeklyRest(UnitedKingdom, at(0), week(6))), Rest{2100, 2280}, false},
		"seven days in a row":     {rest(WeeklyRest(UnitedKingdom, at(0), week(7))), Rest{2100, 840}, true},
		"in any order, over ends": {rest(WeeklyRest(UnitedKingdom, at(60), append(week(8)[4:], week(4)...))), Rest{2100, 840}, true},
	} {
		if c.got != c.want || c.got.Short() != c.short {
			t.Errorf("%s: %+v", name, c.got)
		}
	}
}

// week is so many days of ten hours from nine.
func week(days int) (out []Hours) {
	for i := range days {
		out = append(out, Hours{In: at(i * 1440), Out: at(i*1440 + 600)})
	}
	return out
}

func TestFloorRefusals(t *testing.T) {
	second := func(_ Floor, err error) error { return err }
	ended := Hours{In: at(0), Out: at(600)}
	hourly := Terms{Basis: Hourly, Rate: usd(2000)}
	thirds := Terms{Basis: Day, Rate: usd(75000), Included: 601, Divisor: ByWeighted, Bands: bands(t, 480, "4/3")}
	for name, c := range map[string]struct {
		err  error
		code string
	}{
		"a week of no hours":     {second(FederalWeek(usd(1), 0)), CodeFloor},
		"a week of a month":      {second(FederalWeek(usd(1), 200*60)), CodeFloor},
		"a place has no floor":   {second(CaliforniaDay(Terms{Basis: Hire, Rate: usd(1), Included: 60}, ended)), CodeFloor},
		"still on":               {second(CaliforniaDay(hourly, Hours{In: at(0)})), CodeHoursOpen},
		"no terms":               {second(CaliforniaDay(Terms{}, ended)), CodeBasis},
		"weighted by thirds":     {second(CaliforniaDay(thirds, ended)), CodeFloor},
		"and its meals":          {second(CaliforniaMeals(CaliforniaGeneral, thirds, ended, Waived{})), CodeFloor},
		"meals of another state": {second(CaliforniaMeals("ohio", hourly, ended, Waived{})), CodeFloor},
		"meals of no hours":      {second(CaliforniaMeals(CaliforniaGeneral, hourly, Hours{}, Waived{})), CodeHoursStart},
		"spread without a wage":  {second(NewYorkSpread(ended, usd(0))), CodeFloor},
		"spread of no hours":     {second(NewYorkSpread(Hours{}, usd(1))), CodeHoursStart},
		"rest by no law":         {second(DailyRest("mars", at(0), at(1))), CodeFloor},
		"break by no law":        {second(BreakRest("mars", ended)), CodeFloor},
		"week by no law":         {second(WeeklyRest("mars", at(0), nil)), CodeFloor},
		"called before out":      {second(DailyRest(UnitedKingdom, at(1), at(0))), CodeFloor},
		"break of an open day":   {second(BreakRest(UnitedKingdom, Hours{In: at(0)})), CodeFloor},
		"break of no day":        {second(BreakRest(UnitedKingdom, Hours{})), CodeHoursStart},
		"week with an open day":  {second(WeeklyRest(UnitedKingdom, at(0), []Hours{{In: at(0)}})), CodeFloor},
		"week with an empty day": {second(WeeklyRest(UnitedKingdom, at(0), []Hours{{}})), CodeHoursStart},
	} {
		if !errors.Is(c.err, &Error{Code: c.code}) {
			t.Errorf("%s: %v, want %s", name, c.err, c.code)
		}
	}
}

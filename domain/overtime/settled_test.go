package overtime

import (
	"testing"

	"fairday/domain/money"
	"fairday/domain/when"
)

// One test for each sentence in the package's doc comment on what terms are silent
// about. All figures are by hand; common practice, no source.

// elapsed makes a band by elapsed time.
func elapsed(t testing.TB, after int64, times string) Band {
	return Band{After: after, Times: ratio(t, times), Elapsed: true}
}

// $600 for 10 h is $1 a minute. Overtime by the hour, x1.5 from 11 h on the clock.
// At 10:10 on the clock the hour is counted: 50 min at x1, 10 at x1.5. An hour of
// break follows, then work: those ten minutes stay at x1.5 and the next are too.
func TestStepKeepsWhatItCounted(t *testing.T) {
	terms := Terms{Basis: Day, Rate: usd(60000), Included: 600, Step: 60, Bands: []Band{elapsed(t, 660, "1.5")}}
	h := Hours{In: at(0), Meals: []Break{{at(610), at(670)}}}
	for wrap, want := range map[int][]int64{
		610: {60000, 6000},       // 60 min x $1: 10 h to 11 h on the clock
		640: {60000, 6000},       // in the break
		671: {60000, 6000},       // work goes on: still that hour
		720: {60000, 6000},       // the hour is full at 12:00
		721: {60000, 6000, 9000}, // the next hour, after 11 h on the clock
	} {
		same(t, "wrap", amounts(pay(t, terms, h.Wrapped(at(wrap)))), want)
	}
}

// A short break counts as work once work goes on, and takes nothing back: at 10:05
// a step of an hour is counted to 11:05, five minutes of it after 11 h on the clock.
func TestShortBreakTakesNothingBack(t *testing.T) {
	terms := Terms{Basis: Day, Rate: usd(60000), Included: 605, Base: usd(6000), Step: 60, MealLeast: 30, Bands: []Band{elapsed(t, 660, "2")}}
	h := Hours{In: at(0), Meals: []Break{{at(606), at(626)}}}
	for _, wrap := range []int{606, 610, 626, 627, 665} {
		same(t, "wrap", amounts(pay(t, terms, h.Wrapped(at(wrap)))), []int64{60000, 5500, 1000})
	}
}

func TestElapsedBandsOfOneFactorAreOne(t *testing.T) {
	terms := Terms{Basis: Day, Rate: usd(60000), Included: 600, Bands: []Band{elapsed(t, 600, "1.5"), elapsed(t, 660, "1.5"), elapsed(t, 720, "2")}}
	same(t, "lines", amounts(pay(t, terms, Hours{In: at(0), Out: at(780)})), []int64{60000, 18000, 12000})
}

// Out at 22:00, called 06:00 with 10 h owed: two hours at x3 stand apart, the rest
// of the seventh day is at x2, and tomorrow carries the x3.
func TestSeventhDayAfterShortRest(t *testing.T) {
	terms := Terms{Basis: Hourly, Rate: usd(6000), Turnaround: Turnaround{Rest: 600, Times: money.Whole(3)}, Seventh: RunDay{Times: money.Whole(2)}}
	s := pay(t, terms, Hours{In: at(0), Out: at(480), Before: Before{Out: at(-480), Run: 7}})
	same(t, "lines", amounts(s), []int64{36000, 72000})
	if got := s.EndedOn(); got != money.Whole(3) {
		t.Errorf("carried %v", got)
	}
}

// A band that falls again takes nothing from tomorrow.
func TestCarriedIsTheMost(t *testing.T) {
	terms := Terms{Basis: Day, Rate: usd(60000), Included: 600, Bands: bands(t, 600, "2", 660, "1.25"), Turnaround: Turnaround{Rest: 600, Carry: true}}
	h := Hours{In: at(0), Out: at(720), Before: Before{Run: 1}}
	if got := pay(t, terms, h).EndedOn(); got != money.Whole(2) {
		t.Errorf("carried %v", got)
	}
	if a, _, err := ShortRest(terms, h, at(720+540)); err != nil || a != usd(12000) { // an hour at x2
		t.Error(a, err)
	}
}

// Called at noon, paid from 11:00: nine hours worked make the ten of the day. The
// credited hour is in no night, and a meal is due by when work started.
func TestCreditOfLateCall(t *testing.T) {
	terms := Terms{Basis: Day, Rate: usd(60000), Included: 600, LateCall: LateCall{660, 1020}, Night: Night{600, 700, ratio(t, "1")},
		Meal: MealRule{Due: 360, Every: 30, Amounts: []money.Amount{usd(2500)}}}
	noon := nine + 3*when.Hour
	h := Hours{Call: noon, In: noon, Zone: "UTC", Out: noon + 10*when.Hour}
	same(t, "lines", amounts(pay(t, terms, h)), []int64{60000, 6000, 20000})
	// By the week: the credited hour comes first, so it is the fortieth.
	week := Terms{Basis: Hourly, Rate: usd(6000), LateCall: LateCall{660, 1020}, Week: bands(t, 2400, "1.5")}
	h.Out, h.Before = noon+when.Hour, Before{Run: 5, Week: 2340}
	same(t, "week", amounts(pay(t, week, h)), []int64{6000, 9000})
}

// Ten minutes at the end are a break; ten minutes before more work are worked, and
// no meal that starts the clock of the next.
func TestBreaksAtTheEndAndVeryShort(t *testing.T) {
	terms := Terms{Basis: Hourly, Rate: usd(6000), MealLeast: 30, Meal: MealRule{Due: 300, Next: 300, Every: 60, Amounts: []money.Amount{usd(1000)}}}
	h := Hours{In: at(0), Meals: []Break{{at(240), at(250)}}}
	for wrap, want := range map[int][]int64{250: {24000}, 251: {25100}, 300: {30000}, 301: {30100, 1000}} {
		same(t, "wrap", amounts(pay(t, terms, h.Wrapped(at(wrap)))), want)
	}
	// Breaks that touch are one: 20 and 15 min are a meal of 35.
	h.Meals = []Break{{at(240), at(260)}, {at(260), at(275)}}
	same(t, "in pieces", amounts(pay(t, terms, h.Wrapped(at(400)))), []int64{36500})
}

// A step reaches into no night: out at 21:50 with a night from 22:00, half an hour is
// counted and none of it at night.
func TestStepReachesIntoNoNight(t *testing.T) {
	terms := Terms{Basis: Day, Rate: usd(60000), Included: 600, Step: 30, Night: Night{22 * 60, 6 * 60, ratio(t, "0.5")}}
	from := nine + 2*when.Hour // 11:00
	same(t, "lines", amounts(pay(t, terms, Hours{In: from, Out: from + 650*when.Minute, Zone: "UTC"})), []int64{60000, 6000})
}

func TestHourlyStepCountsTheDay(t *testing.T) {
	terms := Terms{Basis: Hourly, Rate: usd(6000), Step: 30}
	same(t, "lines", amounts(pay(t, terms, Hours{In: at(0), Out: at(61)})), []int64{9000})
}

// $60 an hour, 4 h at least, over 40 h in the week x1.5. Two hours worked after 39:
// four hours plain, and half of one hour more. A band by the week that is reached
// before the day starts adds half of both, and nothing on the two that nobody worked.
func TestMinimumCallPaysNoPremiumOnTimeNotWorked(t *testing.T) {
	terms := Terms{Basis: Hourly, Rate: usd(6000), Minimum: 240, Week: bands(t, 2400, "1.5"), Seventh: RunDay{Times: money.Whole(2)}}
	for _, c := range []struct {
		run, worked int
		week        int64
		want        []int64
	}{
		{1, 120, 0, []int64{24000}}, {5, 120, 2340, []int64{24000, 3000}}, {6, 120, 2400, []int64{24000, 6000}},
		{6, 300, 2400, []int64{24000, 12000, 9000}}, {7, 120, 0, []int64{24000, 12000}}, {7, 0, 2400, []int64{24000}},
	} {
		s := pay(t, terms, Hours{In: at(0), Out: at(c.worked), Before: Before{Run: c.run, Week: c.week}})
		same(t, "lines", amounts(s), c.want)
	}
}

// What running on costs has straight time in it: by the hour $1 a minute after the
// minimum call, and what a whole day costs more than half of one.
func TestCurveHasStraightTime(t *testing.T) {
	hourly := Terms{Basis: Hourly, Rate: usd(6000), Minimum: 240, Bands: bands(t, 480, "1.5"), Agency: Agency{ratio(t, "0.2"), AgencyOnFee}}
	half := Terms{Basis: Day, Rate: usd(60000), Included: 600, Half: HalfDay{240, ratio(t, "0.6")}}
	for _, c := range []struct {
		terms Terms
		wrap  int
		want  int64
		over  int64
	}{
		{hourly, 240, 0, 0}, {hourly, 241, 120, 0}, {hourly, 480, 28800, 0}, {hourly, 481, 28950, 150},
		{half, 240, 0, 0}, {half, 241, 24000, 0}, {half, 601, 24100, 100},
	} {
		e := Engagement{Key: "p", Label: "Person", Terms: c.terms, Hours: Hours{In: at(0)}}
		curves, err := Expose([]Engagement{e}, at(0), at(700))
		if err != nil {
			t.Fatal(err)
		}
		if got := curves[0].At(at(c.wrap)); got != usd(c.want) {
			t.Errorf("wrap %d: %v, want %d", c.wrap, got, c.want)
		}
		if got, err := e.Beyond(at(c.wrap)); err != nil || got != usd(c.over) {
			t.Errorf("wrap %d: %v of it overtime, want %d: %v", c.wrap, got, c.over, err)
		}
	}
}

// $1,000.01 for three days: the odd cents go where the rounded sums step.
func TestAgreedDaysAddUp(t *testing.T) {
	terms := Terms{Basis: Day, Rate: usd(100001), Included: 600, Days: 3}
	var got []int64
	for day := range 3 {
		got = append(got, pay(t, terms, Hours{In: at(0), Out: at(600), Before: Before{Day: int64(day + 1)}}).Total.Minor)
	}
	same(t, "days", got, []int64{33334, 33333, 33334})
}

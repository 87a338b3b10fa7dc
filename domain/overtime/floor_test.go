package overtime

import (
	"slices"
	"strings"
	"testing"

	"fairday/domain/money"
	"fairday/domain/when"
)

// Floors worked by hand from the rules' texts. 29 CFR, the Labor Code and the
// Regulations are cited beside each case; those marked M were worked from memory of
// the text. An oracle over generated weeks stands apart.

// shift is a day of a week from minute from of its day to minute to, breaks between,
// given as pairs of minutes.
func shift(of, from, to int, pauses ...int) Workday {
	day := func(m int) when.Instant { return at((of-1)*1440 + m) }
	d := Workday{Of: of, Hours: Hours{Call: day(from), In: day(from), Out: day(to), Zone: "UTC", Before: Before{Run: of}}}
	for i := 0; i < len(pauses); i += 2 {
		d.Hours.Meals = append(d.Hours.Meals, Break{day(pauses[i]), day(pauses[i+1])})
	}
	return d
}

// same days of a week, from its first on.
func shifts(n, to int, pauses ...int) (out []Workday) {
	for i := range n {
		out = append(out, shift(i+1, 0, to, pauses...))
	}
	return out
}

func find(t *testing.T, floors []Floor, law string, day int) Floor {
	t.Helper()
	for _, f := range floors {
		if strings.HasPrefix(f.Law, law) && f.Day == day {
			if len(f.Leaves) == 0 || f.Source == "" || f.Caution == "" || (f.Known() && f.Say == "") {
				t.Errorf("%s says too little: %+v", law, f)
			}
			return f
		}
	}
	t.Fatalf("no floor %s of day %d in %+v", law, day, floors)
	return Floor{}
}

// Published weeks on an hourly or daily rate. Where the source rounds the rate
// first, ours differs by a cent at most.
func TestFederalPublishedWeeks(t *testing.T) {
	hour := func(minor int64) Terms { return Terms{Basis: Hourly, Rate: usd(minor)} }
	special, specialWeek := hour(1200), []Workday(nil)
	special.Weekend = Weekend{Sunday: ratio(t, "1.5"), Holiday: ratio(t, "1.5"), Holidays: []when.Date{"2026-05-05"}}
	for i := range 7 { // from a Sunday
		date := when.Date("2026-05-03").Add(i)
		specialWeek = append(specialWeek, onWall(t, "UTC", i+1, date, 8*60, date, 16*60))
	}
	for _, c := range []struct {
		source       string
		terms        Terms
		days         []Workday
		extra, least int64
	}{
		{"29 CFR 778.110(a): 46 h at $12 are $588", hour(1200), append(shifts(5, 480), shift(6, 0, 360)), 3600, 58800},
		{"29 CFR 778.112, worked: $400 a day, 5 days of 10 h (overtime-flsa.com)", Terms{Basis: Day, Rate: usd(40000), Included: 600}, shifts(5, 600), 20000, 220000},
		{"29 CFR 778.113 (1981): $5.52 an hour for 40 h", hour(552), shifts(5, 480), 0, 22080},
		{"29 CFR 778.114, Fact Sheet 82: $600 for 48 h, as six days at $100", Terms{Basis: Day, Rate: usd(10000), Included: 480}, shifts(6, 480), 5000, 65000},
		{"Fact Sheet 23: $405 for 45 h, as five days at $81", Terms{Basis: Day, Rate: usd(8100), Included: 540}, shifts(5, 540), 2250, 42750},
		{"12 NYCRR 146: $10, 50 h are $550", hour(1000), shifts(5, 600), 5000, 55000},
		{"29 CFR 778.205: $12, and $18 on Sunday and on a holiday, 56 h are $768", special, specialWeek, 9600, 76800},
	} {
		f := find(t, Workweek{Law: LawFederal, Terms: c.terms, Days: c.days}.Pay(), "US federal", -1)
		if f.Extra != usd(c.extra) || f.Least != usd(c.least) || !f.Known() {
			t.Errorf("%s: %+v", c.source, f)
		}
	}
}

// FLSA 7(a), 7(e), 7(h); 29 CFR 778 and 785. The text of 778.110 to 778.115, 785.18
// and 785.19 was read; of 778.108, 778.109, 778.202, 778.203, 778.207 and 778.220 it
// is from memory, as is that of the Act.
func TestFederalWorkedByHand(t *testing.T) {
	hourly := Terms{Basis: Hourly, Rate: usd(2000)}
	daily := Terms{Basis: Day, Rate: usd(40000), Included: 600}
	with := func(terms Terms, change func(*Terms)) Terms { change(&terms); return terms }
	night := Night{From: 0, To: 240, Extra: ratio(t, "0.25")} // 00:00 to 04:00; at(900) is midnight
	for _, c := range []struct {
		name                       string
		terms                      Terms
		days                       []Workday
		least, counted, credit, by int64 // cents
	}{
		{"778.202: premium over eight a day is credited whole",
			with(hourly, func(x *Terms) { x.Bands = bands(t, 480, "1.5") }), shifts(5, 600), 110000, 110000, 10000, 0},
		{"778.202: at a factor below one and a half as well, 7(e)(5)",
			with(hourly, func(x *Terms) { x.Bands = bands(t, 480, "1.25") }), shifts(5, 600), 110000, 105000, 5000, 5000},
		{"778.110: nothing paid beyond straight time", hourly, shifts(5, 600), 110000, 100000, 0, 10000},
		{"exactly forty hours", hourly, shifts(4, 600), 80000, 80000, 0, 0},
		{"one minute more", hourly, append(shifts(4, 600), shift(5, 0, 1)), 80050, 80033, 0, 17},
		{"an hour more", hourly, append(shifts(4, 600), shift(5, 0, 60)), 83000, 82000, 0, 1000},
		{"778.112: day rates are straight pay", daily, shifts(5, 600), 220000, 200000, 0, 20000},
		{"778.109: the straight part of overtime is in the rate and no credit: 5 x (400 + 80) / 60 h = 40; 20 h x 20; credit 5 x 40",
			with(daily, func(x *Terms) { x.Bands = bands(t, 600, "1.5") }), shifts(5, 720), 280000, 260000, 20000, 20000},
		{"overtime at the straight rate is no premium: 2400 / 60 h = 40; 20 h x 20",
			daily, shifts(5, 720), 280000, 240000, 0, 40000},
		{"double time: 5 x 2 h x 40 credited, as much as is owed",
			with(daily, func(x *Terms) { x.Bands = bands(t, 600, "2") }), shifts(5, 720), 280000, 280000, 40000, 0},
		{"a stated base higher than 400 / 10 h is the straight rate: 2 h x 50 x 1.5 = 100 straight and 50; 2500 / 60 h = 41.67; 20 h x 20.83",
			with(daily, func(x *Terms) { x.Base, x.Bands = usd(5000), bands(t, 600, "1.5") }), shifts(5, 720), 291667, 275000, 25000, 16667},
		{"a stated base lower than it is no premium until it is above: 2 h x 25 x 1.5 = 75 of 80",
			with(daily, func(x *Terms) { x.Base, x.Bands = usd(2500), bands(t, 600, "1.5") }), shifts(5, 720), 277083, 237500, 0, 39583},
		{"778.207(b): the night is in the rate: (1000 + 5 x 4 h x 5) / 50 h = 22; 10 h x 11",
			with(hourly, func(x *Terms) { x.Night = night }), []Workday{shift(1, 900, 1500), shift(2, 900, 1500), shift(3, 900, 1500), shift(4, 900, 1500), shift(5, 900, 1500)}, 121000, 110000, 0, 11000},
		{"7(e)(6): a sixth day at x1.25 is in the rate: 2500 / 48 h; 8 h of half of it",
			with(daily, func(x *Terms) { x.Included, x.Sixth = 480, RunDay{Times: ratio(t, "1.25")} }), shifts(6, 480), 270833, 250000, 0, 20833},
		{"778.207(b): a fee that is worth x1.5 is no premium by the hour: 2600 / 48 h; 8 h of half of it",
			with(daily, func(x *Terms) { x.Included, x.Sixth = 480, RunDay{Times: ratio(t, "1.5")} }), shifts(6, 480), 281667, 260000, 0, 21667},
		{"778.203: an hourly sixth day at x1.5 is credited: 960, 8 h x 10",
			with(hourly, func(x *Terms) { x.Sixth = RunDay{Times: ratio(t, "1.5")} }), shifts(6, 480), 104000, 104000, 8000, 0},
		{"778.203: an hourly sixth day at x1.25 is not: 1000 / 48 h; 8 h of half of it",
			with(hourly, func(x *Terms) { x.Sixth = RunDay{Times: ratio(t, "1.25")} }), shifts(6, 480), 108333, 100000, 0, 8333},
		{"778.204(b): x2 for want of rest is in the rate: 50 h x 20 and 4 x 2 h x 20; 1160 / 50 h; 10 h of half of it",
			with(hourly, func(x *Terms) { x.Turnaround = Turnaround{Rest: 960, Times: ratio(t, "2")} }), rested(shifts(5, 600)), 127600, 116000, 0, 11600},
		{"778.204(b): and so is a premium for certain hours alone: 5 x 1 h x 20; 1100 / 50 h",
			with(hourly, func(x *Terms) { x.EarlyCall = Night{From: 540, To: 600, Extra: ratio(t, "1")} }), shifts(5, 600), 121000, 110000, 0, 11000},
		{"785.18: 20 min are worked: 5 x 8:20; owed 833.33 and 1:40 x 10; 800 paid",
			hourly, shifts(5, 500, 200, 220), 85000, 80000, 0, 5000},
		{"785.19: 21 min are free", hourly, shifts(5, 501, 200, 221), 80000, 80000, 0, 0},
		{"20 min at the end of a day are not worked", hourly, shifts(5, 500, 480, 500), 80000, 80000, 0, 0},
		{"two breaks that touch are one", hourly, shifts(5, 510, 200, 215, 215, 230), 80000, 80000, 0, 0},
		{"hours of a late call are not worked: 5 x 8 h, credited with one each",
			with(daily, func(x *Terms) { x.LateCall = LateCall{From: 480, To: 720} }), shifts(5, 480), 200000, 200000, 0, 0},
		{"778.220: pay for a minimum call is for no hours: 6 x 7 h, 8 h paid; 42 h x 20, 2 h x 10",
			with(hourly, func(x *Terms) { x.Minimum = 480 }), shifts(6, 420), 86000, 84000, 0, 2000},
		{"a paid meal is not worked: 5 x 8 h of 8:30, 170 paid each",
			with(hourly, func(x *Terms) { x.MealPaid = true }), shifts(5, 510, 240, 270), 80000, 80000, 0, 0},
		{"a weighted rate has its premium inside: 750 / 11 x 8 and 2 h x 1.5",
			Terms{Basis: Day, Rate: usd(75000), Included: 600, Divisor: ByWeighted, Bands: bands(t, 480, "1.5")}, shifts(5, 600), 375001, 375000, 34090, 0},
		{"and none where the hours were not worked: 5 x 8 h, all of it straight",
			Terms{Basis: Day, Rate: usd(75000), Included: 600, Divisor: ByWeighted, Bands: bands(t, 480, "1.5")}, shifts(6, 480), 487500, 450000, 0, 37500},
		{"a rate for five days: 2000 / 50 h", Terms{Basis: Day, Rate: usd(200000), Included: 600, Days: 5}, numbered(shifts(5, 600)), 220000, 200000, 0, 20000},
		{"all-in: 5 x 900 / 60 h = 75; 20 h x 37.50", Terms{Basis: AllIn, Rate: usd(90000)}, shifts(5, 720), 525000, 450000, 0, 75000},
		{"a penalty for a late meal counts towards nothing", with(daily, func(x *Terms) {
			x.Meal = MealRule{Due: 300, Every: 30, Amounts: []money.Amount{usd(2500)}}
		}), shifts(5, 600), 220000, 200000, 0, 20000},
		{"an agency's fee is nobody's wage", with(daily, func(x *Terms) { x.Agency = Agency{Share: ratio(t, "0.2"), On: AgencyOnBoth} }), shifts(5, 600), 220000, 200000, 0, 20000},
		{"a band from the start of an hourly day is no premium: 1500 / 50 h is for 20 an hour and 10 more",
			with(hourly, func(x *Terms) { x.Bands = bands(t, 0, "1.5") }), shifts(5, 600), 165000, 150000, 0, 15000},
		{"the half of a short day is straight pay: (4 x 400 + 240) / 44 h; 4 h of half of it",
			with(daily, func(x *Terms) { x.Half = HalfDay{UpTo: 240, Share: ratio(t, "0.6")} }), append(shifts(4, 600), shift(5, 0, 240)), 192364, 184000, 0, 8364},
		{"no work at all", daily, nil, 0, 0, 0, 0},
	} {
		f := find(t, Workweek{Law: LawFederal, Terms: c.terms, Days: c.days}.Pay(), "US federal", -1)
		if f.Least.Minor != c.least || f.Counted.Minor != c.counted || f.Credit.Minor != c.credit || f.Due().Minor != c.by || !f.Known() {
			t.Errorf("%s: least %d, counted %d, credit %d, due %d; want %d %d %d %d; %s %v", c.name, f.Least.Minor, f.Counted.Minor, f.Credit.Minor, f.Due().Minor,
				c.least, c.counted, c.credit, c.by, f.Say, f.Missing)
		}
	}
}

// rested says when the day before each ended.
func rested(days []Workday) []Workday {
	for i := 1; i < len(days); i++ {
		days[i].Hours.Before.Out, days[i].Hours.Before.Times = days[i-1].Hours.Out, money.Whole(1)
	}
	return days
}

// numbered says which of the agreed days each is.
func numbered(days []Workday) []Workday {
	for i := range days {
		days[i].Hours.Before.Day = int64(i + 1)
	}
	return days
}

// Labor Code 510; Mendoza v. Nordstrom (2017); Alvarado v. Dart (2018) and the
// Division of Labor Standards Enforcement's manual for rates by the day, M.
func TestCaliforniaWorkedByHand(t *testing.T) {
	hourly := Terms{Basis: Hourly, Rate: usd(2000)}
	daily := Terms{Basis: Day, Rate: usd(40000), Included: 600}
	with := func(terms Terms, change func(*Terms)) Terms { change(&terms); return terms }
	split := func(days ...Workday) []Workday { return days }
	inside := Terms{Basis: Day, Rate: usd(75000), Included: 600, Divisor: ByWeighted, Bands: bands(t, 480, "1.5", 720, "2")}
	for _, c := range []struct {
		name      string
		terms     Terms
		days      []Workday
		day       int
		least, by int64
		hours     string
	}{
		{"8:00", hourly, shifts(1, 480), 0, 16000, 0, "8 h × 1"},
		{"8:01", hourly, shifts(1, 481), 0, 16050, 17, "8 h × 1, 1 min × 1.5"},
		{"12:00", hourly, shifts(1, 720), 0, 28000, 4000, "8 h × 1, 4 h × 1.5"},
		{"12:01", hourly, shifts(1, 721), 0, 28067, 4034, "8 h × 1, 4 h × 1.5, 1 min × 2"},
		{"14:00", hourly, shifts(1, 840), 0, 36000, 8000, "8 h × 1, 4 h × 1.5, 2 h × 2"},
		{"the sixth day is over 40 h", hourly, shifts(6, 480), 5, 24000, 8000, "8 h × 1.5"},
		{"no hour twice: five days of ten are 40 h straight", hourly, shifts(5, 600), 4, 22000, 2000, "8 h × 1, 2 h × 1.5"},
		{"a sixth day after five of ten", hourly, shifts(6, 600), 5, 30000, 10000, "10 h × 1.5"},
		{"a sixth day over twelve hours", hourly, append(shifts(5, 480), shift(6, 0, 780)), 5, 40000, 14000, "12 h × 1.5, 1 h × 2"},
		{"40 h are reached within the sixth day", hourly, append(shifts(5, 420), shift(6, 0, 480)), 5, 19000, 3000, "5 h × 1, 3 h × 1.5"},
		{"the seventh day", hourly, shifts(7, 480), 6, 24000, 8000, "8 h × 1.5"},
		{"the seventh day, over eight hours", hourly, shifts(7, 600), 6, 32000, 12000, "8 h × 1.5, 2 h × 2"},
		{"seven in a row over two workweeks are no seventh day (Mendoza)", hourly, split(shift(1, 0, 480), shift(2, 0, 480), shift(3, 0, 480)), 2, 16000, 0, "8 h × 1"},
		{"the last day after a free one (Mendoza)", hourly, append(shifts(5, 360), shift(7, 0, 480)), 5, 16000, 0, "8 h × 1"},
		{"a day rate of 400 for 10 h is 50 an hour for 8 (overtime-flsa.com)", daily, shifts(1, 600), 0, 55000, 15000, "8 h × 1, 2 h × 1.5"},
		{"and overtime that the contract pays counts: 2 h x 60 of 50 x 1.5 x 4",
			with(daily, func(x *Terms) { x.Bands = bands(t, 600, "1.5") }), shifts(1, 720), 0, 70000, 18000, "8 h × 1, 4 h × 1.5"},
		{"a stated base of 60, higher than 400 / 8: 2 h x 90", with(daily, func(x *Terms) { x.Base = usd(6000) }), shifts(1, 600), 0, 58000, 18000, "8 h × 1, 2 h × 1.5"},
		{"a stated base of 30, lower than it", with(daily, func(x *Terms) { x.Base = usd(3000) }), shifts(1, 600), 0, 55000, 15000, "8 h × 1, 2 h × 1.5"},
		{"a night differential is in the rate: 10 h x 20 + 4 h x 5 = 220, 22 an hour, 11 more for 2 h",
			with(hourly, func(x *Terms) { x.Night = Night{From: 0, To: 240, Extra: ratio(t, "0.25")} }), split(shift(1, 900, 1500)), 0, 24200, 2200, "8 h × 1, 2 h × 1.5"},
		{"a guarantee that has the daily premium inside is its own floor", inside, shifts(1, 600), 0, 75000, 0, "8 h × 1, 2 h × 1.5"},
		{"and beyond it", inside, shifts(1, 720), 0, 95455, 0, "8 h × 1, 4 h × 1.5"},
		{"a short day of an all-in fee", Terms{Basis: AllIn, Rate: usd(90000)}, shifts(1, 300), 0, 90000, 0, "5 h × 1"},
		{"an all-in fee covers eight hours: 900 / 8 x 1.5 x 4 + x 2 x 2", Terms{Basis: AllIn, Rate: usd(90000)}, shifts(1, 840), 0, 202500, 112500, "8 h × 1, 4 h × 1.5, 2 h × 2"},
		{"a seventh day of a day rate: 8 h x 75 and 2 h x 100", daily, shifts(7, 600), 6, 80000, 40000, "8 h × 1.5, 2 h × 2"},
		{"a sixth day of eight hours: 8 h x 75", daily, shifts(6, 480), 5, 60000, 20000, "8 h × 1.5"},
		{"a rate for six hours covers six: 300 / 6 = 50", Terms{Basis: Day, Rate: usd(30000), Included: 360}, shifts(1, 540), 0, 47500, 2500, "8 h × 1, 1 h × 1.5"},
		{"29 min are no meal, and work: 8:29", hourly, shifts(1, 509, 200, 229), 0, 16000 + 1450, 1450, "8 h × 1, 29 min × 1.5"},
		{"30 min are a meal", hourly, shifts(1, 510, 200, 230), 0, 16000, 0, "8 h × 1"},
		{"a late call's credit is no time worked", with(daily, func(x *Terms) { x.LateCall = LateCall{From: 480, To: 720} }), shifts(1, 480), 0, 40000, 0, "8 h × 1"},
		{"a minimum call pays for no hours: 3 h", with(hourly, func(x *Terms) { x.Minimum = 480 }), shifts(1, 180), 0, 6000, 0, "3 h × 1"},
		{"a rate for five days: 2000 / 5 / 8 = 50", Terms{Basis: Day, Rate: usd(200000), Included: 600, Days: 5}, numbered(shifts(5, 600)), 2, 55000, 15000, "8 h × 1, 2 h × 1.5"},
		{"half a day is for as long as it may be: 240 for 4 h", with(daily, func(x *Terms) { x.Half = HalfDay{UpTo: 240, Share: ratio(t, "0.6")} }), shifts(1, 200), 0, 24000, 0, "3 h 20 min × 1"},
	} {
		f := find(t, Workweek{Law: LawCalifornia, Terms: c.terms, Days: c.days}.Pay(), "California overtime", c.day)
		if f.Least.Minor != c.least || f.Due().Minor != c.by || !strings.HasSuffix(f.Say, "an hour: "+c.hours) || !f.Known() {
			t.Errorf("%s: least %d, due %d, want %d, %d; %s; %v", c.name, f.Least.Minor, f.Due().Minor, c.least, c.by, f.Say, f.Missing)
		}
	}
}

// Labor Code 512 and 226.7, Brinker v. Superior Court (2012); Wage Order 12 section
// 11. 512 was read; Brinker, the Wage Order and 226.7 are from memory. Boundaries: 5:00 no, 5:01 yes; 10:00 no, 10:01 yes. Once a day.
func TestCaliforniaMealsWorkedByHand(t *testing.T) {
	const general, pictures = LawCalifornia, LawCaliforniaPictures
	terms := Terms{Basis: Hourly, Rate: usd(2000)}
	none, both := Waived{}, Waived{true, true}
	lunch := Break{at(300), at(330)}
	for _, c := range []struct {
		name  string
		law   Law
		out   when.Instant
		meals []Break
		w     Waived
		due   bool
	}{
		{"5:00", general, at(300), nil, none, false},
		{"5:01", general, at(301), nil, none, true},
		{"a second over", general, at(300) + 1000, nil, none, true},
		{"6:00 waived", general, at(360), nil, both, false},
		{"6:00, the second alone waived", general, at(360), nil, Waived{Second: true}, true},
		{"6:01 cannot be waived", general, at(361), nil, both, true},
		{"meal in time", general, at(500), []Break{lunch}, none, false},
		{"meal a second late", general, at(500), []Break{{at(300) + 1000, at(340)}}, none, true},
		{"29 minutes are no meal", general, at(500), []Break{{at(240), at(269)}}, none, true},
		{"a break under 30 minutes is work: 5:01 with one of 20", general, at(301), []Break{{at(100), at(120)}}, none, true},
		{"10:00 of work", general, at(630), []Break{lunch}, none, false},
		{"10:01 of work", general, at(631), []Break{lunch}, none, true},
		{"12:00 waived", general, at(750), []Break{lunch}, both, false},
		{"12:00, the first alone waived", general, at(750), []Break{lunch}, Waived{First: true}, true},
		{"12:01 cannot be waived", general, at(751), []Break{lunch}, both, true},
		{"the second waived, the first never taken", general, at(700), nil, both, true},
		{"second meal in time", general, at(800), []Break{lunch, {at(590), at(620)}}, none, false},
		{"by the end of the tenth hour worked, 10:30 on the clock", general, at(800), []Break{lunch, {at(630), at(660)}}, none, false},
		{"a minute after it", general, at(800), []Break{lunch, {at(631), at(661)}}, none, true},
		{"no rolling five hours (Brinker): a first meal after one hour, then 8 h", general, at(570), []Break{{at(60), at(90)}}, none, false},
		{"a meal at the end of the day is none", general, at(390), []Break{{at(360), at(390)}}, none, true},
		{"and no work either: 5:00", general, at(330), []Break{lunch}, none, false},
		{"two breaks that touch are one meal", general, at(500), []Break{{at(240), at(255)}, {at(255), at(270)}}, none, false},
		{"512: a break before any work is no meal of a work period", general, at(400), []Break{{at(0), at(40)}}, none, true},
		{"512: nor is it work: 5:00 after it", general, at(340), []Break{{at(0), at(40)}}, none, false},
		{"pictures, six hours after a break before any work", pictures, at(400), []Break{{at(0), at(40)}}, none, false},
		{"pictures 6:00", pictures, at(360), nil, none, false},
		{"pictures 6:01", pictures, at(361), nil, none, true},
		{"pictures, next within six hours", pictures, at(720), []Break{{at(330), at(360)}}, none, false},
		{"pictures, next too late", pictures, at(721), []Break{{at(330), at(360)}}, none, true},
		{"pictures, a snack", pictures, at(420), []Break{{at(330), at(350)}}, none, true},
		{"pictures, a snack at the end", pictures, at(380), []Break{{at(360), at(380)}}, none, false},
	} {
		d := Workday{Of: 1, Hours: Hours{In: at(0), Out: c.out, Meals: c.meals}, Waived: c.w}
		floors := Workweek{Law: c.law, Terms: terms, Days: []Workday{d}}.Pay()
		if f := find(t, floors, "California meal", 0); (f.Extra == usd(2000)) != c.due || f.Extra != f.Least || !f.Known() {
			t.Errorf("%s: %+v", c.name, f)
		}
		if f := find(t, floors, "California rest", 0); !f.Least.IsZero() {
			t.Errorf("%s: a rest premium that nobody stated", c.name)
		}
	}
	// Ferra v. Loews (2021): the premium is at the regular rate, differentials with it.
	d := shift(1, 900, 1500)
	d.NoRest = true
	night := Terms{Basis: Hourly, Rate: usd(2000), Night: Night{From: 0, To: 240, Extra: ratio(t, "0.25")}}
	floors := Workweek{Law: general, Terms: night, Days: []Workday{d}}.Pay()
	for _, law := range []string{"California meal", "California rest"} {
		if f := find(t, floors, law, 0); f.Due() != usd(2200) {
			t.Errorf("%+v", f)
		}
	}
	d.Waived = both
	floors = Workweek{Law: general, Terms: night, Days: []Workday{d}}.Pay()
	if f := find(t, floors, "California meal", 0); !strings.Contains(f.Say, "waived where the law lets it: the first and the second meal") {
		t.Error("a waiver is not shown:", f.Say)
	}
}

// 12 NYCRR 142-2.4 (read) and 142-2.17 (from memory); 08:00 to 12:00 and 16:00 to 19:00 is a spread of 11 h.
func TestNewYorkWorkedByHand(t *testing.T) {
	hourly := func(minor int64) Terms { return Terms{Basis: Hourly, Rate: usd(minor)} }
	for _, c := range []struct {
		name      string
		terms     Terms
		days      []Workday
		least, by int64
	}{
		{"7 h in a spread of 11, at the minimum wage", hourly(1500), []Workday{shift(1, 0, 660, 240, 480)}, 12000, 1500},
		{"the same at twice the minimum wage", hourly(3000), []Workday{shift(1, 0, 660, 240, 480)}, 12000, 0},
		{"a little above it: 7 h x 16 of 8 h x 15", hourly(1600), []Workday{shift(1, 0, 660, 240, 480)}, 12000, 800},
		{"10 h are not over ten", hourly(1500), shifts(1, 600), 0, 0},
		{"10:01", hourly(1500), shifts(1, 601), 16525, 1500},
		{"over the week: 5 x 9 h in 11, 45 h x 16 of 50 h x 15", hourly(1600), shifts(5, 660, 240, 300, 400, 460), 75000, 3000},
		{"the pay of a long day carries a short one", Terms{Basis: Day, Rate: usd(40000), Included: 600}, shifts(5, 660, 240, 300), 82500, 0},
		{"a split shift: 61 min", hourly(1500), shifts(1, 541, 240, 301), 13500, 1500},
		{"a meal of an hour splits nothing", hourly(1500), shifts(1, 540, 240, 300), 0, 0},
	} {
		w := Workweek{Law: LawNewYork, Terms: c.terms, Days: c.days, Wage: usd(1500)}
		if f := find(t, w.Pay(), "New York", -1); f.Least.Minor != c.least || f.Due().Minor != c.by || !f.Known() {
			t.Errorf("%s: least %d, due %d, want %d, %d; %s", c.name, f.Least.Minor, f.Due().Minor, c.least, c.by, f.Say)
		}
		w.Wage = money.Amount{}
		if f := find(t, w.Pay(), "New York", -1); f.Known() || f.Say != "" || !f.Least.IsZero() {
			t.Errorf("%s: without the minimum wage nothing is known: %+v", c.name, f)
		}
	}
}

// Working Time Regulations 1998, reg. 10 to 12; Directive 2003/88, articles 3 to 5, M
// but for their summaries.
func TestRestsWorkedByHand(t *testing.T) {
	const uk, young, eu = LawUK, LawUKYoung, LawEU
	h := func(from, to int, pauses ...int) Hours { return shift(1, from, to, pauses...).Hours }
	week := func(n int) (out []Hours) {
		for i := range n {
			out = append(out, h(i*1440, i*1440+600))
		}
		return out
	}
	for _, c := range []struct {
		name, law string
		of        Law
		day       int
		days      []Hours
		owed, had int64
	}{
		{"11 h between two days", "daily", uk, 0, []Hours{h(0, 720), h(1380, 1500)}, 660, 660},
		{"10:59", "daily", uk, 0, []Hours{h(0, 720), h(1379, 1500)}, 660, 659},
		{"13 h leave 11 in 24", "daily", uk, 0, []Hours{h(0, 780)}, 660, 660},
		{"13:01 do not", "daily", uk, 0, []Hours{h(0, 781)}, 660, 659},
		{"16 h and 11 h off, strictly", "daily", eu, 0, []Hours{h(0, 960), h(1620, 2000)}, 660, 480},
		{"12 h of the young", "daily", young, 0, []Hours{h(0, 720)}, 720, 720},
		{"11:59 of the young", "daily", young, 0, []Hours{h(0, 721)}, 720, 719},
		{"a break is no rest", "daily", uk, 0, []Hours{h(0, 900, 100, 400)}, 660, 540},
		{"in any order", "daily", uk, 1, []Hours{h(1379, 1500), h(0, 720)}, 660, 659},
		{"a break at the end is not of the day", "daily", uk, 0, []Hours{h(0, 810, 780, 810)}, 660, 660},
		{"six hours", "break", uk, 0, []Hours{h(0, 360)}, 0, 0},
		{"over six hours", "break", uk, 0, []Hours{h(0, 361)}, 20, 0},
		{"6 h of working time in 6:10 (reg. 2)", "break", uk, 0, []Hours{h(0, 370, 100, 110)}, 0, 10},
		{"two halves", "break", uk, 0, []Hours{h(0, 600, 100, 110, 200, 210)}, 20, 10},
		{"that touch", "break", uk, 0, []Hours{h(0, 600, 100, 110, 110, 120)}, 20, 20},
		{"19 min", "break", uk, 0, []Hours{h(0, 600, 100, 119)}, 20, 19},
		{"at the end of the day", "break", uk, 0, []Hours{h(0, 600, 570, 600)}, 20, 0},
		{"at its start", "break", uk, 0, []Hours{h(0, 600, 0, 30)}, 20, 0},
		{"4:30 of the young", "break", young, 0, []Hours{h(0, 270)}, 0, 0},
		{"4:31 of the young", "break", young, 0, []Hours{h(0, 271)}, 30, 0},
		{"29 min of the young", "break", young, 0, []Hours{h(0, 480, 100, 129)}, 30, 29},
		{"30 min of the young", "break", young, 0, []Hours{h(0, 480, 100, 130)}, 30, 30},
		{"a day of 6:01, breaks with it (article 4)", "break", eu, 0, []Hours{h(0, 361)}, 1, 0},
		{"a break of a minute has a length that is national law", "break", eu, 0, []Hours{h(0, 600, 100, 101)}, 1, 1},
		{"six hours (article 4)", "break", eu, 0, []Hours{h(0, 360)}, 0, 0},
		{"a free week", "weekly", eu, -1, nil, 2100, 10080},
		{"six days in a row", "weekly", uk, -1, week(6), 2100, 2280},
		{"six days in a row of the young", "weekly", young, -1, week(6), 2880, 2280},
		{"five days of the young", "weekly", young, -1, week(5), 2880, 3720},
		{"seven days in a row", "weekly", uk, -1, week(7), 2100, 840},
		{"days over the ends", "weekly", eu, -1, []Hours{h(-300, 120), h(2219, 4300), h(4400, 6000), h(6100, 7800), h(7900, 9600), h(9700, 10400)}, 2100, 2099},
		{"one in the week after", "weekly", uk, -1, append(week(5), h(10080, 10700)), 2100, 3720},
	} {
		f := find(t, Rests(c.of, at(0), c.days), c.law, c.day)
		if f.Rest == nil || *f.Rest != (Rest{c.owed, c.had}) || !f.Least.IsZero() {
			t.Errorf("%s: %+v", c.name, f)
		}
	}
}

// A floor that lacks an input says what, and no amount.
func TestFloorsThatAreNotKnown(t *testing.T) {
	hourly := Terms{Basis: Hourly, Rate: usd(2000)}
	open := shift(2, 0, 600)
	open.Hours.Out = 0
	for name, c := range map[string]struct {
		week Workweek
		want string
	}{
		"still on":        {Workweek{Law: LawCalifornia, Terms: hourly, Days: []Workday{shift(1, 0, 600), open}}, "the sign-out of day 2"},
		"no start":        {Workweek{Law: LawFederal, Terms: hourly, Days: []Workday{{Of: 1}}}, "neither a sign-in nor a call"},
		"no terms":        {Workweek{Law: LawFederal, Days: shifts(1, 600)}, "way to be engaged"},
		"a place":         {Workweek{Law: LawFederal, Terms: Terms{Basis: Hire, Rate: usd(1), Included: 60}, Days: shifts(1, 600)}, "labour law is for people"},
		"no workday":      {Workweek{Law: LawFederal, Terms: hourly, Days: []Workday{{Hours: shift(1, 0, 60).Hours}}}, "which days"},
		"a workday twice": {Workweek{Law: LawFederal, Terms: hourly, Days: []Workday{shift(1, 0, 60), shift(1, 90, 120)}}, "which days"},
	} {
		for _, f := range c.week.Pay() {
			if f.Known() || f.Say != "" || f.Least != (money.Amount{}) || !f.Due().IsZero() || !strings.Contains(strings.Join(f.Missing, " "), c.want) {
				t.Errorf("%s: %+v", name, f)
			}
		}
	}
	late := Hours{In: at(20 * 1440)}
	floors := Rests(LawUK, at(0), []Hours{open.Hours, {}, late})
	for _, f := range floors {
		if f.Known() || f.Rest != nil || f.Say != "" {
			t.Errorf("%+v", f)
		}
	}
	if f := find(t, Rests(LawEU, at(0), []Hours{late}), "weekly", -1); !f.Known() {
		t.Error("a day after the week does not matter to it:", f)
	}
	for _, l := range Laws() {
		pay, rest := Workweek{Law: l, Terms: hourly, Days: shifts(1, 60)}.Pay(), Rests(l, at(0), nil)
		if (len(pay) > 0) != l.Federal() || (len(rest) > 0) != l.Rest() {
			t.Error(l, pay, rest)
		}
	}
	if leaves := find(t, Workweek{Law: LawCalifornia, Terms: hourly, Days: shifts(1, 60)}.Pay(), "California overtime", 0).Leaves; !slices.ContainsFunc(leaves, func(s string) bool { return strings.Contains(s, "reporting time") }) {
		t.Error(leaves)
	}
}

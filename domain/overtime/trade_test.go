package overtime

import (
	"slices"
	"testing"

	"fairday/domain/money"
	"fairday/domain/when"
)

// The rules of the trade that few terms have, by hand on $600 for 10 h, $60 an hour.
// Common practice, no source, but for 10 + 1 and the continuous day: Channel 4 /
// 4Creative terms 2018 have both.
func TestTradeRulesByHand(t *testing.T) {
	base := func(change func(*Terms)) Terms {
		c := Terms{Basis: Day, Rate: usd(60000), Included: 600}
		change(&c)
		return c
	}
	wednesday := func(from, to int, breaks ...int) Hours { // from nine in the morning, 2026-11-25
		h := Hours{In: at(from), Out: at(to), Zone: "UTC", Before: Before{Run: 1, Day: 1}}
		for i := 0; i < len(breaks); i += 2 {
			h.Meals = append(h.Meals, Break{at(breaks[i]), at(breaks[i+1])})
		}
		return h
	}
	on := func(days int, h Hours) Hours { return h.shifted("UTC", when.Instant(days)*24*when.Hour) }
	kind := func(k string, h Hours) Hours { h.Kind = k; return h }
	amount := func(minor ...int64) (out []money.Amount) {
		for _, m := range minor {
			out = append(out, usd(m))
		}
		return out
	}
	weekend := base(func(c *Terms) {
		c.Weekend = Weekend{Saturday: ratio(t, "1.5"), Sunday: money.Whole(2), Holiday: money.Whole(3), Holidays: []when.Date{"2026-11-29"}}
	})
	inclusive := base(func(c *Terms) { c.Inclusive, c.Continuous = 60, 540 })
	breakfast := base(func(c *Terms) { c.Meal = MealRule{Due: 360, Every: 30, Amounts: amount(2500), Breakfast: 120} })
	grace := base(func(c *Terms) { c.Meal = MealRule{Due: 360, Every: 30, Amounts: amount(2500), Grace: 12} })
	first := base(func(c *Terms) { c.First, c.Step = 60, 15 })
	nights := base(func(c *Terms) {
		c.Night, c.Night2 = Night{20 * 60, 6 * 60, ratio(t, "0.25")}, Night{0, 4 * 60, ratio(t, "0.5")}
	})
	early := base(func(c *Terms) { c.EarlyCall = Night{4 * 60, 7 * 60, ratio(t, "0.5")} })
	other := base(func(c *Terms) {
		c.Bands = bands(t, 600, "1.5")
		c.Other = []OtherDay{{"prep", ratio(t, "0.5"), true}, {"travel", ratio(t, "0.5"), false}}
	})
	week := base(func(c *Terms) { c.Week = bands(t, 40*60, "1.5") })
	inWeek := func(minutes int64, h Hours) Hours { h.Before.Week = minutes; return h }
	for _, c := range []struct {
		name  string
		terms Terms
		h     Hours
		want  []int64
	}{
		{"a Friday", weekend, on(2, wednesday(0, 660)), []int64{60000, 6000}},
		{"a Saturday, the hour after at 1.5 too", weekend, on(3, wednesday(0, 660)), []int64{60000, 30000, 9000}},
		{"a Sunday that is a holiday pays the highest", weekend, on(4, wednesday(0, 600)), []int64{60000, 120000}},
		{"a Sunday", weekend, on(11, wednesday(0, 600)), []int64{60000, 60000}},

		{"10 + 1 without the meal", inclusive, wednesday(0, 660, 300, 330), []int64{60000}},
		{"10 + 1 and an hour", inclusive, wednesday(0, 720, 300, 360), []int64{60000, 6000}},
		{"a continuous day ends after nine", inclusive, wednesday(0, 600), []int64{60000, 6000}},
		{"a meal that begins after nine comes too late", inclusive, wednesday(0, 660, 541, 600), []int64{60000, 12000}},

		{"breakfast restarts the meal clock", breakfast, wednesday(0, 480, 120, 135), []int64{60000}},
		{"a minute later it is a break, and the meal", breakfast, wednesday(0, 495, 121, 136), []int64{60000}},
		{"late, from the end of breakfast", breakfast, wednesday(0, 510, 60, 75), []int64{60000, 7500}},
		{"within the grace", grace, wednesday(0, 372), []int64{60000}},
		{"past it all of it", grace, wednesday(0, 391), []int64{60000, 5000}},

		{"a minute is an hour", first, wednesday(0, 601), []int64{60000, 6000}},
		{"and so is the hour", first, wednesday(0, 660), []int64{60000, 6000}},
		{"then by the quarter", first, wednesday(0, 661), []int64{60000, 7500}},

		{"both windows where they meet", nights, wednesday(660, 1080), []int64{60000, 7 * 1500, 3 * 3000}},
		{"an early call pays until seven", early, wednesday(-180, 360), []int64{60000, 3000}},
		{"called at seven there is none", early, wednesday(-120, 420), []int64{60000}},
		{"and none for a day that only reaches into it", early, wednesday(720, 1260), []int64{60000}},

		{"prep is worked, at half", other, kind("prep", wednesday(0, 660)), []int64{30000, 4500}},
		{"travel is the fee alone", other, kind("travel", wednesday(0, 660)), []int64{30000}},
		{"a day that the terms do not name is paid like any", other, kind("scouting", wednesday(0, 660)), []int64{60000, 9000}},

		{"below forty", week, inWeek(1800, wednesday(0, 600)), []int64{60000}},
		{"the last two hours of the rate are over forty", week, inWeek(1920, wednesday(0, 600)), []int64{60000, 6000}},
		{"and the hour after", week, inWeek(1920, wednesday(0, 660)), []int64{60000, 6000, 9000}},
	} {
		same(t, c.name, amounts(pay(t, c.terms, c.h)), c.want)
	}
}

// What is not for time is free of fees and on-costs; usage is the rate to an agency.
// Of agreed days the first has both.
func TestExtrasAndUsage(t *testing.T) {
	terms := Terms{Basis: Day, Rate: usd(60000), Included: 600, Agency: Agency{ratio(t, "20%"), AgencyOnBoth}, OnCosts: []OnCost{{"insurance", ratio(t, "10%")}},
		Extras: []Extra{{"kit", usd(4500), 0}, {"mileage", usd(67), 40}}, Usage: []Extra{{"one year", usd(90000), 0}}}
	s := pay(t, terms, Hours{In: at(0), Out: at(600)})
	same(t, "lines", amounts(s), []int64{60000, 90000, 4500, 2680})
	if s.Total != usd(157180) || s.Cost != usd(157180+30000+15000) || !s.Exposed.IsZero() {
		t.Errorf("%v %v %v", s.Total, s.Cost, s.Exposed)
	}
	if why := s.Lines[3].Why; why != "mileage: 40 × $0.67" {
		t.Error(why)
	}
	terms.Days = 2
	for day, want := range map[int64][]int64{1: {30000, 90000, 4500, 2680}, 2: {30000}} {
		same(t, "agreed day", amounts(pay(t, terms, Hours{In: at(0), Out: at(600), Before: Before{Day: day}})), want)
	}
}

// A day that is called off costs what the shortest notice asks for that reaches so
// far, told to the minute; the line can be followed.
func TestCalledOff(t *testing.T) {
	notices := []Notice{{24 * 60, money.Whole(1)}, {72 * 60, ratio(t, "0.5")}, {168 * 60, ratio(t, "1/3")}}
	day := Terms{Basis: Day, Rate: usd(60000), Included: 600, Cancel: notices, Postpone: notices[1:2], Agency: Agency{ratio(t, "20%"), AgencyOnFee},
		Usage: []Extra{{"one year", usd(90000), 0}}, Extras: []Extra{{"kit", usd(4500), 0}}, Other: []OtherDay{{"travel", ratio(t, "0.5"), false}}}
	hourly := Terms{Basis: Hourly, Rate: usd(3000), Minimum: 240, Cancel: notices}
	three := Terms{Basis: Day, Rate: usd(100000), Included: 600, Days: 3, Cancel: notices}
	place := Terms{Basis: Hire, Rate: usd(120000), Included: 600, Cancel: notices}
	call := at(0)
	for _, c := range []struct {
		name      string
		terms     Terms
		kind      string
		before    int // minutes
		postponed bool
		total     int64
		why       string
	}{
		{"an hour before", day, "", 60, false, 60000, "cancelled 1 h before the call, within 24 h: $600.00 × 1"},
		{"to the minute", day, "", 1440, false, 60000, "cancelled 24 h before the call, within 24 h: $600.00 × 1"},
		{"a minute sooner", day, "", 1441, false, 30000, "cancelled 24 h 01 min before the call, within 72 h: $600.00 × 0.5"},
		{"a third", day, "", 7 * 1440, false, 20000, "cancelled 168 h before the call, within 168 h: $600.00 × (1/3)"},
		{"early enough", day, "", 7*1440 + 1, false, 0, ""},
		{"after the call", day, "", -90, false, 60000, "cancelled 0 min before the call, within 24 h: $600.00 × 1"},
		{"postponed", day, "", 60, true, 30000, "postponed 1 h before the call, within 72 h: $600.00 × 0.5"},
		{"postponed in time", day, "", 4321, true, 0, ""},
		{"a travel day", day, "travel", 60, false, 30000, "cancelled 1 h before the call, within 24 h: $300.00 × 1"},
		{"by the hour", hourly, "", 60, false, 12000, "cancelled 1 h before the call, within 24 h: 4 h × $30.00 an hour × 1"},
		{"one of three days", three, "", 2000, false, 16667, "cancelled 33 h 20 min before the call, within 72 h: $1,000.00 / 3 × 0.5"},
		{"a place", place, "", 60, false, 120000, "cancelled 1 h before the call, within 24 h: $1,200.00 × 1"},
	} {
		s, err := CalledOff(c.terms, c.kind, call, call-when.Instant(c.before)*when.Minute, c.postponed)
		if err != nil || s.Total != usd(c.total) {
			t.Errorf("%s: %v %v", c.name, s.Total, err)
			continue
		}
		if len(s.Lines) != min(len(c.why), 1) {
			t.Fatalf("%s: %+v", c.name, s.Lines)
		}
		for _, l := range s.Lines {
			if l.Why != c.why {
				t.Errorf("%s: %s", c.name, l.Why)
			}
			if v, err := follow(l); err != nil || v != l.Amount.Minor {
				t.Errorf("%s: %s comes to %d, %v", c.name, l.Why, v, err)
			}
		}
		if c.terms.Agency != (Agency{}) && s.Cost.Minor != c.total*6/5 {
			t.Errorf("%s costs %v", c.name, s.Cost)
		}
	}
	for _, bad := range [][2]when.Instant{{0, call}, {call, 0}, {-1, call}} {
		if _, err := CalledOff(day, "", bad[0], bad[1], false); err == nil {
			t.Error(bad)
		}
	}
}

// A kind of day counts as worked unless the terms name it and say otherwise.
func TestCounts(t *testing.T) {
	terms := Terms{Other: []OtherDay{{"prep", money.Whole(1), true}, {"travel", money.Whole(1), false}}}
	var not []string
	for _, k := range []string{"", "prep", "travel", "scouting"} {
		if !terms.Counts(k) {
			not = append(not, k)
		}
	}
	if !slices.Equal(not, []string{"travel"}) {
		t.Error(not)
	}
}

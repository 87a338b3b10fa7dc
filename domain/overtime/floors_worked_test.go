package overtime

import (
	"testing"

	"fairday/domain/when"
)

// More floors worked by hand, the section beside each. 12 NYCRR 142-2.4 was read;
// 142-2.1, 142-2.3, 142-2.17 and 142-2.18, the Working Time Regulations and the
// Directive are from memory.

// onWall is a day by the clock of a zone.
func onWall(t *testing.T, zone when.Zone, of int, from when.Date, in when.Clock, to when.Date, out when.Clock) Workday {
	t.Helper()
	start, err := zone.At(from, in)
	if err != nil {
		t.Fatal(err)
	}
	end, err := zone.At(to, out)
	if err != nil {
		t.Fatal(err)
	}
	return Workday{Of: of, Hours: Hours{Call: start, In: start, Out: end, Zone: zone, Before: Before{Run: of}}}
}

// The minimum wage is $15 an hour throughout.
func TestFloorsOfNewYorkWorkedByHand(t *testing.T) {
	hourly := func(minor int64) Terms { return Terms{Basis: Hourly, Rate: usd(minor)} }
	fee := func(minor int64) Terms { return Terms{Basis: AllIn, Rate: usd(minor)} }
	at15 := hourly(1500)
	overEight, atNight, called := at15, at15, at15
	overEight.Bands = bands(t, 480, "1.5")
	atNight.Night = Night{From: 0, To: 240, Extra: ratio(t, "0.25")}
	called.Minimum = 480
	one := func(d Workday) []Workday { return []Workday{d} }
	for _, c := range []struct {
		name      string
		terms     Terms
		days      []Workday
		least, by int64
	}{
		{"142-2.4(a): 10 h of work in 11: 10 x 15 and 15", at15, shifts(1, 660, 240, 270, 400, 430), 16500, 1500},
		{"142-2.18: the spread has meals in it, 9:30 of work in 10:00", at15, shifts(1, 600, 240, 270), 0, 0},
		{"142-2.18: 9:01 of work in 10:01", at15, shifts(1, 601, 240, 300), 15025, 1500},
		{"142-2.4(c): long and split is one hour: 9 h in 12", at15, shifts(1, 720, 240, 420), 15000, 1500},
		{"142-2.4: any day in which: two of 11 h", at15, shifts(2, 660), 36000, 3000},
		{"142-2.4: one day split and one long", at15, []Workday{shift(1, 0, 541, 240, 301), shift(2, 0, 601)}, 30025, 3000},
		{"142-2.4: in addition to the minimum wage: 11 h x 16.37 are over 12 x 15", hourly(1637), shifts(1, 660), 18000, 0},
		{"142-2.4: 11 h x 16.30 are under it", hourly(1630), shifts(1, 660), 18000, 70},
		{"142-2.4: one long day in a week of 43 h", at15, append(shifts(4, 480), shift(5, 0, 660)), 66000, 1500},
		{"142-2.1 and 2.2: overtime premium is for overtime: 11 h, x1.5 after 8", overEight, shifts(1, 660), 18000, 1500},
		{"142-2.1: a differential is wages: 11 x 15 and 4 h x 3.75", atNight, one(shift(1, 900, 1560)), 18000, 0},
		{"785.18: 20 min are worked and were not paid: 10:40 and an hour", at15, shifts(1, 640, 200, 220), 17500, 2000},
		{"785.19: 21 min are free, and in the spread", at15, shifts(1, 640, 200, 221), 16975, 1500},
		{"142-2.18: the day ends with the sign-out, a break before it", at15, shifts(1, 660, 600, 660), 16500, 1500},
		{"142-2.17: a break at the end splits nothing", at15, shifts(1, 560, 480, 560), 0, 0},
		{"142-2.17: nor does one before any work", at15, shifts(1, 560, 0, 90), 0, 0},
		{"142-2.17: breaks of 40 and 25 min that touch are 65", at15, shifts(1, 545, 240, 280, 280, 305), 13500, 1500},
		{"142-2.17: two breaks of 40 min are no longer than an hour each", at15, shifts(1, 560, 100, 140, 300, 340), 0, 0},
		{"142-2.18: 20:00 to 06:00 as the clock goes back are 11 h", at15, one(onWall(t, "America/New_York", 1, "2026-10-31", 20*60, "2026-11-01", 6*60)), 18000, 1500},
		{"142-2.18: 20:00 to 07:00 as it goes forward are 10 h", at15, one(onWall(t, "America/New_York", 1, "2026-03-07", 20*60, "2026-03-08", 7*60)), 0, 0},
		{"142-2.4: a fee of 180 for 11 h", fee(18000), shifts(1, 660), 18000, 0},
		{"142-2.4: a fee of 170 for 11 h", fee(17000), shifts(1, 660), 18000, 1000},
		{"142-2.4(b): a fee of 100 for 7 h, split", fee(10000), shifts(1, 660, 240, 480), 12000, 2000},
		{"142-2.3 is for call-in pay; a minimum call pays for no hours: 4 h, split", called, shifts(1, 330, 120, 210), 7500, 1500},
		{"142-2.18: a day past midnight is one day", at15, one(shift(1, 900, 1561)), 18025, 1500},
		{"142-2.4: six days of 11 h at 20", hourly(2000), shifts(6, 660), 108000, 0},
	} {
		w := Workweek{Law: LawNewYork, Terms: c.terms, Days: c.days, Wage: usd(1500)}
		if f := find(t, w.Pay(), "New York", -1); f.Least.Minor != c.least || f.Due().Minor != c.by || !f.Known() {
			t.Errorf("%s: least %d, due %d, want %d, %d; %s", c.name, f.Least.Minor, f.Due().Minor, c.least, c.by, f.Say)
		}
	}
}

func TestFloorsOfRestWorkedByHand(t *testing.T) {
	const uk, young, eu = LawUK, LawUKYoung, LawEU
	h := func(from, to int, pauses ...int) Hours { return shift(1, from, to, pauses...).Hours }
	week := func(starts ...int) (out []Hours) {
		for _, s := range starts {
			out = append(out, h(s, min(s+600, 10080)))
		}
		return out
	}
	wall := func(zone when.Zone, first, next when.Date) []Hours {
		return []Hours{onWall(t, zone, 1, first, 10*60, first, 22*60).Hours, onWall(t, zone, 2, next, 9*60, next, 18*60).Hours}
	}
	for _, c := range []struct {
		name, law string
		of        Law
		day       int
		days      []Hours
		owed, had int64
	}{
		{"reg. 10(1): 9 h between two calls of one date, and 9 after", "daily", uk, 0, []Hours{h(0, 180), h(720, 900)}, 660, 540},
		{"reg. 10(1): 3:40 between them, and 15:40 after", "daily", uk, 0, []Hours{h(0, 180), h(400, 500)}, 660, 940},
		{"reg. 10(1): 11 h between them", "daily", uk, 0, []Hours{h(0, 120), h(780, 900)}, 660, 660},
		{"reg. 10(1): 22:00 to 09:00 as the clock goes forward are 10 h", "daily", uk, 0, wall("Europe/London", "2026-03-28", "2026-03-29"), 660, 600},
		{"reg. 10(1): and 12 h as it goes back", "daily", uk, 0, wall("Europe/London", "2026-10-24", "2026-10-25"), 660, 720},
		{"reg. 12(1), (3): 20 min", "break", uk, 0, []Hours{h(0, 600, 100, 120)}, 20, 20},
		{"reg. 2, 12(1): 6:00 of working time in 6:30", "break", uk, 0, []Hours{h(0, 390, 100, 130)}, 0, 30},
		{"reg. 2, 12(1): 6:01 in 6:31", "break", uk, 0, []Hours{h(0, 391, 100, 130)}, 20, 30},
		{"reg. 11(1), (7): 35 h", "weekly", uk, -1, week(0, 2700, 4140, 5580, 7020, 8460, 9900), 2100, 2100},
		{"reg. 11(1), (7): 34:59", "weekly", uk, -1, week(0, 2699, 4140, 5580, 7020, 8460, 9900), 2100, 2099},

		{"reg. 10(2): 12 h until the next day", "daily", young, 0, []Hours{h(0, 720), h(1440, 1500)}, 720, 720},
		{"reg. 10(2): 11:59 between two days", "daily", young, 0, []Hours{h(0, 600), h(1319, 1440)}, 720, 719},
		{"reg. 10(2): 12:00 between them", "daily", young, 0, []Hours{h(0, 600), h(1320, 1400)}, 720, 720},
		{"reg. 10(2): 12 h between two calls of one date", "daily", young, 0, []Hours{h(0, 120), h(840, 900)}, 720, 720},
		{"reg. 10(2): a minute less", "daily", young, 0, []Hours{h(0, 120), h(839, 1000)}, 720, 719},
		{"reg. 10(2): a break is no rest", "daily", young, 0, []Hours{h(0, 900, 100, 820)}, 720, 540},
		{"reg. 10(2): a break at the end is", "daily", young, 0, []Hours{h(0, 740, 720, 740)}, 720, 720},
		{"reg. 2, 12(4): 4:30 of working time in 5:00", "break", young, 0, []Hours{h(0, 300, 100, 130)}, 0, 30},
		{"reg. 12(4): consecutive if possible, two of 15 min are not", "break", young, 0, []Hours{h(0, 301, 100, 115, 150, 165)}, 30, 15},
		{"reg. 12(4): two that touch are", "break", young, 0, []Hours{h(0, 301, 100, 115, 115, 130)}, 30, 30},
		{"reg. 12(4): at the end of the day", "break", young, 0, []Hours{h(0, 301, 271, 301)}, 30, 0},
		{"reg. 12(4): at its start", "break", young, 0, []Hours{h(0, 301, 0, 30)}, 30, 0},
		{"reg. 12(4): the 20 min of an adult", "break", young, 0, []Hours{h(0, 480, 100, 120)}, 30, 20},
		{"reg. 11(3): a free week", "weekly", young, -1, nil, 2880, 10080},
		{"reg. 11(3): 48 h", "weekly", young, -1, week(0, 3480, 4920, 6360, 7800, 9240), 2880, 2880},
		{"reg. 11(3): 47:59", "weekly", young, -1, week(0, 3479, 4920, 6360, 7800, 9240), 2880, 2879},
		{"reg. 11(3): two free days apart, read in one piece", "weekly", young, -1, week(0, 2100, 4200, 5640, 7080, 8520, 9960), 2880, 1500},

		{"art. 3: 11 h between two days", "daily", eu, 0, []Hours{h(0, 720), h(1380, 1500)}, 660, 660},
		{"art. 3: 10:59", "daily", eu, 0, []Hours{h(0, 720), h(1379, 1500)}, 660, 659},
		{"art. 3: 13 h of work", "daily", eu, 0, []Hours{h(0, 780)}, 660, 660},
		{"art. 3: 13:01", "daily", eu, 0, []Hours{h(0, 781)}, 660, 659},
		{"art. 3: 9 h between two calls of one date, and 9 after", "daily", eu, 0, []Hours{h(0, 180), h(720, 900)}, 660, 540},
		{"art. 3: 11 h between them", "daily", eu, 0, []Hours{h(0, 120), h(780, 900)}, 660, 660},
		{"art. 3: a break is no rest", "daily", eu, 0, []Hours{h(0, 900, 100, 400)}, 660, 540},
		{"art. 3: a break at the end is", "daily", eu, 0, []Hours{h(0, 810, 780, 810)}, 660, 660},
		{"art. 3: 22:00 to 09:00 as the clock goes forward are 10 h", "daily", eu, 0, wall("Europe/Berlin", "2026-03-28", "2026-03-29"), 660, 600},
		{"art. 4: 6:10 from start to end, a break of 10 with it", "break", eu, 0, []Hours{h(0, 370, 100, 110)}, 1, 10},
		{"art. 4: 6:00 from start to end", "break", eu, 0, []Hours{h(0, 360, 100, 110)}, 0, 10},
		{"art. 4: a day ends where its last break begins", "break", eu, 0, []Hours{h(0, 400, 350, 400)}, 0, 0},
		{"art. 4: and a break at its end is none", "break", eu, 0, []Hours{h(0, 420, 390, 420)}, 1, 0},
		{"art. 4: nor is one at its start", "break", eu, 0, []Hours{h(0, 400, 0, 30)}, 1, 0},
		{"art. 4: the longest of two", "break", eu, 0, []Hours{h(0, 600, 100, 110, 200, 230)}, 1, 30},
		{"art. 5: six days of ten hours", "weekly", eu, -1, week(0, 1440, 2880, 4320, 5760, 7200), 2100, 2280},
		{"art. 5: seven days", "weekly", eu, -1, week(0, 1440, 2880, 4320, 5760, 7200, 8640), 2100, 840},
		{"art. 5: 24 h and 11 h", "weekly", eu, -1, week(0, 2700, 4140, 5580, 7020, 8460, 9900), 2100, 2100},
		{"art. 5: five days", "weekly", eu, -1, week(0, 1440, 2880, 4320, 5760), 2100, 3720},
	} {
		f := find(t, Rests(c.of, at(0), c.days), c.law, c.day)
		if f.Rest == nil || *f.Rest != (Rest{c.owed, c.had}) || !f.Least.IsZero() {
			t.Errorf("%s: %+v %+v", c.name, f, f.Rest)
		}
	}
}

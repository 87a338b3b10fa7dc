package view

import (
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/when"
)

// employ sets a person's terms and the law they are employed under.
func (st *stage) employ(r shoot.Role, terms overtime.Terms, e shoot.Employee) {
	st.do(person(shoot.Producer), "05:30", "terms.set", obj{"person": person(r), "terms": terms, "employee": e, "base": st.s.Money.Terms[person(r)].Version})
}

// dayTwo calls the crew for the second day.
func (st *stage) dayTwo(call, wrap string) { st.calledOn(day2, call, wrap) }

// calledOn calls the crew for a day.
func (st *stage) calledOn(day, call, wrap string) {
	ada := person(shoot.Producer)
	st.do(ada, "05:40", "sheet.set", obj{"day": day, "place": obj{"name": "The Mill", "address": "1 Water Lane"}, "generalCall": call, "plannedWrap": wrap,
		"emergency": "", "safety": "", "notes": "", "base": 0})
	st.do(ada, "05:40", "call.set", obj{"day": day, "person": person(shoot.Crew), "call": call, "was": nil})
	st.do(ada, "05:40", "sheet.publish", obj{"day": day, "number": 1})
}

func crewRow(st *stage, now string) OvertimeRow {
	st.t.Helper()
	return rowOf(st.t, show[Overtime](st, shoot.Producer, now, ScreenOvertime), "Pat Crew")
}

var flat = overtime.Terms{Basis: overtime.Day, Rate: money.Of(400_00, "USD"), Included: 720}

// Twelve hours for 400.00. California Labor Code 510: 400 / 8 is 50.00 an hour,
// 8 h at it and 4 h at x1.5 are 700.00, or 300.00 more; Labor Code 512: no meal,
// one more hour, 50.00. Nobody else has a floor, and no pay changes.
func TestFloorsOfCalifornia(t *testing.T) {
	st := newStage(t)
	st.do(shoot.Desk, "05:00", "meal.drop", obj{"meal": lunch})
	st.employ(shoot.Crew, flat, shoot.Employee{})
	st.punched(person(shoot.Crew), "08:00", "20:00")
	before := crewRow(st, "21:00")
	same(t, "not an employee", []any{before.Floor, len(before.Slips[0].Floors)}, []any{"", 0})
	st.employ(shoot.Crew, flat, shoot.Employee{Law: overtime.LawCalifornia})
	row := crewRow(st, "21:00")
	contains(t, "row", row.Floor, "The floor may be higher: California overtime +$300.00 and California meal premium +$50.00. Not reckoned: reporting time pay")
	f := row.Slips[0].Floors
	same(t, "source", f[0].Source, "Source: California Labor Code 510.")
	contains(t, "pencil", f[0].Say, "$50.00 an hour: 8 h × 1, 4 h × 1.5")
	if f[0].Caution == "" || f[1].Caution == "" {
		t.Error("no caution")
	}
	same(t, "pay", []string{row.Slips[0].Total, row.Overtime}, []string{before.Slips[0].Total, before.Overtime})
}

// 29 CFR 778.112 over two days of 22 h and 20 h: 800.00 / 42 h, half of it for
// two hours over 40 is 19.05. The second day counts as it is planned.
func TestFederalFloorOverTheWeek(t *testing.T) {
	st := newStage(t)
	st.do(shoot.Desk, "05:00", "meal.drop", obj{"meal": lunch})
	st.dayTwo("07:00", "27:00")
	long := flat
	long.Included = 24 * 60
	st.employ(shoot.Crew, long, shoot.Employee{Law: overtime.LawFederal})
	st.punched(person(shoot.Crew), "08:00", "30:00")
	contains(t, "floor", crewRow(st, "30:30").Floor, "The floor may be higher: US federal overtime +$19.05. Not reckoned: ")
}

// 12 NYCRR 142-2.4: the day rate carries the hour, 100.00 for the day does not: 11.5 hours
// at 17.00 are 195.50. Without the minimum wage nothing is known.
func TestNewYorkSpreadBesidePay(t *testing.T) {
	st := newStage(t)
	st.punched(person(shoot.Crew), "08:00", "18:30")
	st.employ(shoot.Crew, flat, shoot.Employee{Law: overtime.LawNewYork, Wage: money.Of(17_00, "USD")})
	contains(t, "with the wage", crewRow(st, "19:00").Floor, "no floor is above this, as far as this shoot knows. Not reckoned: ")
	contains(t, "call-in pay", crewRow(st, "19:00").Floor, "call-in pay (12 NYCRR 142-2.3)")
	low := flat
	low.Rate.Minor = 100_00
	st.employ(shoot.Crew, low, shoot.Employee{Law: overtime.LawNewYork, Wage: money.Of(17_00, "USD")})
	contains(t, "below it", crewRow(st, "19:00").Floor, "The floor may be higher: New York spread of hours +$95.50.")
	st.employ(shoot.Crew, flat, shoot.Employee{Law: overtime.LawNewYork})
	row := crewRow(st, "19:00")
	same(t, "without", row.Slips[0].Floors[0].Say, "Not known without: the minimum wage by the hour.")
	same(t, "amount", row.Slips[0].Floors[0].Amount, "not known")
	contains(t, "row", row.Floor, "Not known: New York spread of hours. Not reckoned: ")
}

// Directive 2003/88, article 3: out at 23:00 and called at 08:00 are 9 of 11
// hours, seen from both days.
func TestDailyRestFromBothSides(t *testing.T) {
	st := newStage(t)
	st.dayTwo("08:00", "18:00")
	st.employ(shoot.Crew, flat, shoot.Employee{Law: overtime.LawEU})
	contains(t, "as planned", crewRow(st, "07:00").Floor, "no floor is above this")
	st.punched(person(shoot.Crew), "12:00", "23:00")
	row := crewRow(st, "23:30")
	contains(t, "today", row.Floor, "Too short by law: daily rest and break.")
	contains(t, "by how much", row.Slips[0].Floors[0].Say, "9 h of rest in one piece within the 24 h from the start of work; 11 h are owed, 2 h too little")
	v := show[Overtime](st, shoot.Producer, "23:30", ScreenOvertime, func(c *Context) { c.Day = shoot.DayID(day2) })
	contains(t, "tomorrow", rowOf(t, v, "Pat Crew").Floor, "Too short by law: break and daily rest.")
}

// A call too soon after the wrap is in today's curve, and the slip says the same:
// 480.00 / 10 h, 11 h owed, x2; out at 23:00 and called at 08:00 is 2 h, 192.00.
func TestCurveAndSlipAgreeOnAShortRest(t *testing.T) {
	st := newStage(t)
	st.dayTwo("08:00", "18:00")
	terms := overtime.Terms{Basis: overtime.Day, Rate: money.Of(480_00, "USD"), Included: 600,
		Turnaround: overtime.Turnaround{Rest: 660, Times: money.Whole(2)}}
	st.employ(shoot.Crew, terms, shoot.Employee{})
	row := crewRow(st, "10:00")
	if row.Slips[0].Tomorrow != nil {
		t.Errorf("as planned: %+v", row.Slips[0].Tomorrow)
	}
	st.punched(person(shoot.Crew), "13:30", "23:00")
	row = crewRow(st, "23:30")
	s := row.Slips[0]
	if s.Tomorrow == nil {
		t.Fatal("the slip says nothing of tomorrow")
	}
	same(t, "tomorrow", []string{s.Tomorrow.Amount, s.Tomorrow.Hours, s.Beyond}, []string{"$192.00", "2 h", "$0.00"})
	same(t, "the curve", s.Exposed, "$192.00")
	same(t, "a cost of tomorrow alone", row.Overtime, "$0.00")
	same(t, "the total", s.Total, "$480.00")
}

// Every rule that a card or a file can set stands in the form, and comes back
// untouched.
func TestFormHoldsEveryRule(t *testing.T) {
	st := newStage(t)
	two := money.Whole(2)
	full := overtime.Terms{Basis: overtime.Day, Rate: money.Of(640_00, "USD"), Included: 600,
		Half: overtime.HalfDay{UpTo: 300, Share: money.Ratio{Num: 3, Den: 5}}, LateCall: overtime.LateCall{From: 660, To: 1020},
		Meal:       overtime.MealRule{Due: 360, Next: 360, Every: 30, Amounts: []money.Amount{money.Of(20_00, "USD"), money.Of(30_00, "USD")}},
		Turnaround: overtime.Turnaround{Rest: 660, Times: two}, Sixth: overtime.RunDay{Times: money.Ratio{Num: 3, Den: 2}},
		Seventh: overtime.RunDay{Times: two, Bands: []overtime.Band{{After: 480, Times: money.Whole(3)}}},
		Night:   overtime.Night{From: 1320, To: 360, Extra: money.Ratio{Num: 1, Den: 4}},
		Agency:  overtime.Agency{Share: money.Ratio{Num: 1, Den: 5}, On: overtime.AgencyOnBoth},
		OnCosts: []overtime.OnCost{{Name: "employer insurance", Share: money.Ratio{Num: 69, Den: 500}}}}
	law := shoot.Employee{Law: overtime.LawNewYork, Wage: money.Of(17_00, "USD")}
	ada, crew := person(shoot.Producer), person(shoot.Crew)
	st.employ(shoot.Crew, full, law)
	st.press(ada, "10:00", *sheetOf(st, string(crew)).Change, nil)
	got := st.s.Money.Terms[crew]
	same(t, "untouched", got.Terms, full)
	same(t, "employee", got.Employee, law)
	empty := map[string][]string{}
	for _, f := range sheetOf(st, string(crew)).Change.Form.Fields {
		if f.Group != "" && f.Kind != KindChoice {
			empty[f.Key] = []string{""}
		}
	}
	empty["terms.agency.on"], empty["employee.law"] = []string{""}, []string{""}
	st.press(ada, "10:01", *sheetOf(st, string(crew)).Change, empty)
	same(t, "emptied", st.s.Money.Terms[crew].Terms, overtime.Terms{Basis: overtime.Day, Rate: full.Rate, Included: 600})
	same(t, "no employee", st.s.Money.Terms[crew].Employee, shoot.Employee{})
}

// The same for the rules that few deal memos have, and for what else has a field.
func TestFormHoldsTheRulesOfTheTrade(t *testing.T) {
	st := newStage(t)
	two, half := money.Whole(2), money.Ratio{Num: 1, Den: 2}
	usd := func(minor int64) money.Amount { return money.Of(minor, "USD") }
	full := overtime.Terms{Basis: overtime.Day, Rate: usd(640_00), Included: 600, Base: usd(70_00), Days: 3, MealLeast: 20, First: 60, Inclusive: 60, Continuous: 540,
		Week:      []overtime.Band{{After: 2400, Times: money.Ratio{Num: 3, Den: 2}}},
		Meal:      overtime.MealRule{Due: 360, Every: 30, Amounts: []money.Amount{usd(20_00)}, Grace: 12, Breakfast: 120},
		Night:     overtime.Night{From: 1320, To: 360, Extra: half},
		Night2:    overtime.Night{From: 0, To: 240, Extra: half},
		EarlyCall: overtime.Night{From: 180, To: 420, Extra: half},
		Weekend:   overtime.Weekend{Saturday: two, Sunday: two, Holiday: two, Holidays: []when.Date{"2027-12-25", "2027-12-26"}},
		Other:     []overtime.OtherDay{{Kind: "prep", Share: half, Worked: true}, {Kind: "long travel", Share: half}},
		Cancel:    []overtime.Notice{{Within: 1440, Share: money.Whole(1)}, {Within: 4320, Share: half}},
		Postpone:  []overtime.Notice{{Within: 1440, Share: half}},
		Extras:    []overtime.Extra{{Name: "kit: two bags", Amount: usd(45_00)}, {Name: "mileage", Amount: usd(67), Count: 40}},
		Usage:     []overtime.Extra{{Name: "one year, web", Amount: usd(900_00)}}}
	ada, crew := person(shoot.Producer), person(shoot.Crew)
	st.employ(shoot.Crew, full, shoot.Employee{})
	st.press(ada, "10:00", *sheetOf(st, string(crew)).Change, nil)
	same(t, "untouched", st.s.Money.Terms[crew].Terms, full)
	said := map[string]string{}
	for _, l := range sheetOf(st, string(crew)).Rules {
		said[l.Label] = l.Value
	}
	same(t, "in words", []string{said["A Saturday pays"], said["Days at another rate"], said["A day that is cancelled"], said["Kit, mileage, per diem"]},
		[]string{"2", "prep 0.5 worked; long travel 0.5", "24 x 1; 72 x 0.5", "kit: two bags 45.00; mileage 0.67 x 40"})
	empty := map[string][]string{}
	for _, f := range sheetOf(st, string(crew)).Change.Form.Fields {
		if f.Group != "" && f.Kind != KindChoice {
			empty[f.Key] = []string{""}
		}
	}
	st.press(ada, "10:01", *sheetOf(st, string(crew)).Change, empty)
	same(t, "emptied", st.s.Money.Terms[crew].Terms, overtime.Terms{Basis: overtime.Day, Rate: full.Rate, Included: 600})
	for key, entered := range map[string]string{"terms.extras": "45.00", "terms.usage": "web x 2", "terms.other": "travel", "terms.cancel": "a day", "terms.weekend.holidays": "christmas"} {
		if _, err := Fill(*sheetOf(st, string(crew)).Change, map[string][]string{key: {entered}}, ""); err == nil {
			t.Errorf("%s: %q was read", key, entered)
		}
	}
}

package day

import (
	"strings"
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/view"
)

func crewRow(st *stage, now string) OvertimeRow {
	st.T.Helper()
	return rowOf(st.T, show[Overtime](st, shoot.Producer, now, view.ScreenOvertime), "Pat Crew")
}

// text is a person's floors as they are read in one go.
func (f FloorSay) text() string {
	if len(f.Leaves) == 0 {
		return f.Say
	}
	return f.Say + " Not reckoned: " + strings.Join(f.Leaves, "; ") + "."
}

var flat = overtime.Terms{Basis: overtime.Day, Rate: money.Of(400_00, "USD"), Included: 720}

// Twelve hours for 400.00. California Labor Code 510: 400 / 8 is 50.00 an hour,
// 8 h at it and 4 h at x1.5 are 700.00, or 300.00 more; Labor Code 512: no meal,
// one more hour, 50.00. Nobody else has a floor, and no pay changes.
func TestFloorsOfCalifornia(t *testing.T) {
	st := newStage(t)
	st.Do(shoot.Desk, "05:00", "meal.drop", obj{"meal": lunch})
	st.Employ(shoot.Crew, flat, shoot.Employee{})
	st.Punched(person(shoot.Crew), "08:00", "20:00")
	before := crewRow(st, "21:00")
	same(t, "not an employee", []any{before.Floor.text(), len(before.Slips[0].Floors)}, []any{"", 0})
	st.Employ(shoot.Crew, flat, shoot.Employee{Law: overtime.LawCalifornia})
	row := crewRow(st, "21:00")
	contains(t, "row", row.Floor.text(), "The floor may be higher: California overtime +$300.00 and California meal premium +$50.00. Not reckoned: reporting time pay")
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
	st.Do(shoot.Desk, "05:00", "meal.drop", obj{"meal": lunch})
	st.DayTwo("07:00", "27:00")
	long := flat
	long.Included = 24 * 60
	st.Employ(shoot.Crew, long, shoot.Employee{Law: overtime.LawFederal})
	st.Punched(person(shoot.Crew), "08:00", "30:00")
	contains(t, "floor", crewRow(st, "30:30").Floor.text(), "The floor may be higher: US federal overtime +$19.05. Not reckoned: ")
}

// 12 NYCRR 142-2.4: the day rate carries the hour, 100.00 for the day does not: 11.5 hours
// at 17.00 are 195.50. Without the minimum wage nothing is known.
func TestNewYorkSpreadBesidePay(t *testing.T) {
	st := newStage(t)
	st.Punched(person(shoot.Crew), "08:00", "18:30")
	st.Employ(shoot.Crew, flat, shoot.Employee{Law: overtime.LawNewYork, Wage: money.Of(17_00, "USD")})
	contains(t, "with the wage", crewRow(st, "19:00").Floor.text(), "no floor is above this, as far as this shoot knows. Not reckoned: ")
	contains(t, "call-in pay", crewRow(st, "19:00").Floor.text(), "call-in pay (12 NYCRR 142-2.3)")
	low := flat
	low.Rate.Minor = 100_00
	st.Employ(shoot.Crew, low, shoot.Employee{Law: overtime.LawNewYork, Wage: money.Of(17_00, "USD")})
	contains(t, "below it", crewRow(st, "19:00").Floor.text(), "The floor may be higher: New York spread of hours +$95.50.")
	st.Employ(shoot.Crew, flat, shoot.Employee{Law: overtime.LawNewYork})
	row := crewRow(st, "19:00")
	same(t, "without", row.Slips[0].Floors[0].Say, "Not known without: the minimum wage by the hour.")
	same(t, "amount", row.Slips[0].Floors[0].Amount, "not known")
	contains(t, "row", row.Floor.text(), "Not known: New York spread of hours. Not reckoned: ")
}

// Directive 2003/88, article 3: out at 23:00 and called at 08:00 are 9 of 11
// hours, seen from both days.
func TestDailyRestFromBothSides(t *testing.T) {
	st := newStage(t)
	st.DayTwo("08:00", "18:00")
	st.Employ(shoot.Crew, flat, shoot.Employee{Law: overtime.LawEU})
	contains(t, "as planned", crewRow(st, "07:00").Floor.text(), "no floor is above this")
	st.Punched(person(shoot.Crew), "12:00", "23:00")
	row := crewRow(st, "23:30")
	contains(t, "today", row.Floor.text(), "Too short by law: daily rest and break.")
	contains(t, "by how much", row.Slips[0].Floors[0].Say, "9 h of rest in one piece within the 24 h from the start of work; 11 h are owed, 2 h too little")
	v := show[Overtime](st, shoot.Producer, "23:30", view.ScreenOvertime, func(c *Context) { c.Day = shoot.DayID(day2) })
	contains(t, "tomorrow", rowOf(t, v, "Pat Crew").Floor.text(), "Too short by law: break and daily rest.")
}

// A call too soon after the wrap is in today's curve, and the slip says the same:
// 480.00 / 10 h, 11 h owed, x2; out at 23:00 and called at 08:00 is 2 h, 192.00.
func TestCurveAndSlipAgreeOnAShortRest(t *testing.T) {
	st := newStage(t)
	st.DayTwo("08:00", "18:00")
	terms := overtime.Terms{Basis: overtime.Day, Rate: money.Of(480_00, "USD"), Included: 600,
		Turnaround: overtime.Turnaround{Rest: 660, Times: money.Whole(2)}}
	st.Employ(shoot.Crew, terms, shoot.Employee{})
	row := crewRow(st, "10:00")
	if row.Slips[0].Tomorrow != nil {
		t.Errorf("as planned: %+v", row.Slips[0].Tomorrow)
	}
	st.Punched(person(shoot.Crew), "13:30", "23:00")
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

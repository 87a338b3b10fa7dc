package day

import (
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/when"
)

// Who is called off has a row with what is due, is in no sum and is not waited for;
// who comes all the same is paid by their hours.
func TestCalledOffOnTheScreens(t *testing.T) {
	st := newStage(t)
	ada, crew := person(shoot.Producer), person(shoot.Crew)
	terms := flat
	terms.Cancel = []overtime.Notice{{Within: 24 * 60, Share: money.Ratio{Num: 1, Den: 2}}}
	terms.Agency = overtime.Agency{Share: money.Ratio{Num: 1, Den: 5}, On: overtime.AgencyOnFee}
	st.Employ(shoot.Crew, terms, shoot.Employee{})
	called := crewRow(st, "06:30")
	for _, a := range show[CallSheet](st, shoot.Producer, "06:30", view.ScreenCallSheet).Crew.Everybody {
		if a.Label == "Sign everybody in" {
			contains(t, "all of them", a.Confirm, "10 people")
		}
	}
	same(t, "called", []string{called.Mark.Word, called.Next}, []string{"Not signed in", "21:01, +$0.56"})
	st.Do(ada, "06:30", "day.off", obj{"day": day1, "who": []shoot.PersonID{crew}, "how": "cancelled", "told": clock("06:00")})
	row := crewRow(st, "06:30")
	same(t, "row", []string{row.Mark.Word, row.Hours, row.Overtime, row.AtWrap, row.Next}, []string{"Called off", "cancelled, told 06:00", "$0.00", "$0.00", "called off"})
	s := row.Slips[0]
	same(t, "slip", []string{s.Title, s.Total, s.Cost, s.Beyond, s.Lines[0].Why}, []string{"Cancelled 2 h before the call", "$200.00", "$240.00", "$0.00",
		"Cancelled 2 h before the call, within 24 h: $400.00 × 0.5."})
	v := show[Overtime](st, shoot.Producer, "06:30", view.ScreenOvertime)
	for _, d := range v.Departments {
		if d.Label == "Crew" {
			t.Errorf("a department of nobody: %+v", d)
		}
	}
	hours := show[CallSheet](st, shoot.Producer, "06:30", view.ScreenCallSheet).Crew
	for _, r := range hours.Rows {
		if r.ID == string(crew) {
			same(t, "among the hours", r.Mark.Word, "Called off")
		}
	}
	for _, a := range hours.Everybody {
		if a.Label == "Sign everybody in" {
			contains(t, "the others", a.Confirm, "9 people")
		}
	}
	own := show[OwnDay](st, shoot.Producer, "06:30", view.ScreenHours)
	for _, r := range own.Crew.Rows {
		if r.ID == string(crew) {
			same(t, "signatures", r.Say, "called off")
		}
	}
	st.Do(ada, "06:31", "day.off", obj{"day": day1, "who": []shoot.PersonID{crew}, "how": "postponed", "told": clock("06:00")})
	s = crewRow(st, "06:31").Slips[0]
	same(t, "not said", []string{s.Total, s.Lines[0].Amount, s.Lines[0].Why}, []string{"not said", "not said", "Their terms do not say what a day costs that is postponed."})
	st.Do(ada, "06:32", "day.off", obj{"day": day1, "who": []shoot.PersonID{crew}, "how": "cancelled", "told": clock("06:00") - 48*when.Hour})
	s = crewRow(st, "06:32").Slips[0]
	same(t, "nothing due", []string{s.Total, s.Lines[0].Why}, []string{"$0.00", "Their terms ask for nothing at a notice of 50 h before the call."})
	st.Do(crew, "08:00", "punch", obj{"day": day1, "people": []shoot.PersonID{crew}, "kind": "in"})
	same(t, "came all the same", crewRow(st, "08:30").Mark.Word, "On the clock")
}

// What a day is paid as stands beside the hours, and makes the slip.
func TestKindOfDayOnTheScreens(t *testing.T) {
	st := newStage(t)
	terms := flat
	terms.Other = []overtime.OtherDay{{Kind: "travel", Share: money.Ratio{Num: 1, Den: 2}}}
	st.Employ(shoot.Crew, terms, shoot.Employee{})
	st.Do(person(shoot.Producer), "06:30", "day.kind", obj{"day": day1, "kind": "travel"})
	row := crewRow(st, "07:00")
	contains(t, "hours", row.Hours, ", paid as a travel day")
	same(t, "slip", row.Slips[0].Lines[0].Amount+" "+row.Slips[0].Lines[0].Why, "$200.00 Travel day: $400.00 × 0.5.")
	photographer := rowOf(t, show[Overtime](st, shoot.Producer, "07:00", view.ScreenOvertime), "Pat Photographer")
	contains(t, "not named", photographer.Slips[0].Lines[0].Why, "Travel day, which the terms do not name: day rate for 10 h: $600.00.")
}

// The floors on the hours screen: each word with the day that makes it untrue.
func TestFloorsOnTheHoursScreen(t *testing.T) {
	floorOf := func(st *stage, now string) string {
		for _, r := range show[OwnDay](st, shoot.Producer, now, view.ScreenHours).Crew.Rows {
			if r.ID == string(person(shoot.Crew)) {
				return r.Floor.text()
			}
		}
		t.Fatal("no row")
		return ""
	}
	st := newStage(t)
	st.Do(shoot.Desk, "05:00", "meal.drop", obj{"meal": lunch})
	st.Employ(shoot.Crew, flat, shoot.Employee{})
	own := show[OwnDay](st, shoot.Producer, "21:00", view.ScreenHours)
	same(t, "nobody", own.Crew.Floors, "No floor of labour law is looked at for 2 people who are not marked as employees.")
	same(t, "not an employee", floorOf(st, "07:00"), "")
	st.Employ(shoot.Crew, flat, shoot.Employee{Law: overtime.LawCalifornia})
	own = show[OwnDay](st, shoot.Producer, "21:00", view.ScreenHours)
	same(t, "one", own.Crew.Floors, "No floor of labour law is looked at for 1 person who is not marked as an employee.")
	contains(t, "as planned", floorOf(st, "07:00"), "If it wraps at 18:00: The floor may be higher: California overtime +$150.00")
	same(t, "the day went without them", floorOf(st, "19:00"), "")
	st.Do(person(shoot.Crew), "08:00", "punch", obj{"day": day1, "people": []shoot.PersonID{person(shoot.Crew)}, "kind": "in"})
	contains(t, "past the planned wrap", floorOf(st, "20:00"), "If it wraps at 20:00: The floor may be higher: California overtime +$300.00 and California meal premium +$50.00. Not reckoned: ")
	st.Do(person(shoot.Crew), "20:00", "punch", obj{"day": day1, "people": []shoot.PersonID{person(shoot.Crew)}, "kind": "out"})
	if say := floorOf(st, "22:00"); say[:len("The floor may")] != "The floor may" {
		t.Errorf("signed out: %s", say)
	}
	st.Employ(shoot.Crew, flat, shoot.Employee{Law: overtime.LawFederal})
	contains(t, "none above", floorOf(st, "22:00"), "Employee, US federal law: no floor is above this, as far as this shoot knows. Not reckoned: ")
	st.Employ(shoot.Crew, flat, shoot.Employee{Law: overtime.LawNewYork})
	contains(t, "not known", floorOf(st, "22:00"), "Not known: New York spread of hours. Not reckoned: ")
	for _, r := range []shoot.Role{shoot.ArtDirector, shoot.Crew} {
		if crew := show[OwnDay](st, r, "22:00", view.ScreenHours).Crew; crew != nil {
			same(t, "seen by others", crew.Floors, "")
			for _, row := range crew.Rows {
				same(t, "seen by others", row.Floor.text(), "")
			}
		}
	}
}

// A day that runs on past its planned wrap is held to the floors of now: at the
// planned wrap there was none above.
func TestFloorsPastThePlannedWrap(t *testing.T) {
	st := newStage(t)
	st.Do(shoot.Desk, "05:00", "meal.drop", obj{"meal": lunch})
	eight := flat
	eight.Included = 8 * 60
	eight.Bands = []overtime.Band{{After: 480, Times: money.Ratio{Num: 3, Den: 2}}}
	st.Employ(shoot.Crew, eight, shoot.Employee{Law: overtime.LawCaliforniaPictures})
	st.Do(person(shoot.Crew), "12:00", "punch", obj{"day": day1, "people": []shoot.PersonID{person(shoot.Crew)}, "kind": "in"})
	contains(t, "before", crewRow(st, "17:00").Floor.text(), "If it wraps at 18:00: Employee, California, motion picture meals: no floor is above this")
	contains(t, "after", crewRow(st, "26:00").Floor.text(), "If it wraps at 02:00 +1: The floor may be higher: ")
}

// What cannot be looked at is not known, and never none above.
func TestFloorsThatCannotBeLookedAt(t *testing.T) {
	e := engaged{employee: shoot.Employee{Law: overtime.LawUK}}
	contains(t, "no note", floorSay(e, nil).Say, "not known")
	st := newStage(t)
	st.Employ(shoot.Crew, flat, shoot.Employee{Law: overtime.LawFederal})
	st.Do(person(shoot.Crew), "08:00", "punch", obj{"day": day1, "people": []shoot.PersonID{person(shoot.Crew)}, "kind": "in"})
	v := show[OwnDay](st, shoot.Producer, "08:00", view.ScreenHours, func(c *Context) { c.Now += 48 * when.Hour; c.Day = shoot.DayID(day1) })
	for _, r := range v.Crew.Rows {
		if r.ID == string(person(shoot.Crew)) {
			contains(t, "forgot to sign out", r.Floor.text(), "Not known: ")
		}
	}
}

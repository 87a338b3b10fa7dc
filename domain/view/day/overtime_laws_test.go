package day

import (
	"testing"

	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/when"
)

// planned is the crew's row before the week begins.
func planned(st *stage, day string) OvertimeRow {
	v := show[Overtime](st, shoot.Producer, "05:30", view.ScreenOvertime, func(c *Context) { c.Now, c.Day = c.Now-54*when.Hour, shoot.DayID(day) })
	return rowOf(st.T, v, "Pat Crew")
}

// Directive 2003/88, articles 3 and 5: 24 h and 11 h in one piece within the week.
func TestWeeklyRest(t *testing.T) {
	for saturday, want := range map[string]string{
		"06:00": "Too short by law: weekly rest.",
		"07:00": "Employee, European Union: no floor is above this, as far as this shoot knows.",
	} {
		st := newStage(t)
		st.Week([2]string{}, [2]string{"08:00", "20:00"}, [2]string{"08:00", "18:00"}, [2]string{"08:00", "20:00"}, [2]string{}, [2]string{saturday, "20:00"})
		st.Employ(shoot.Crew, flat, shoot.Employee{Law: overtime.LawEU})
		row := planned(st, day1)
		contains(t, saturday, row.Floor.text(), want+" Not reckoned: the 48 h average (article 6)")
		if saturday == "06:00" {
			same(t, "by how much", row.Slips[0].Floors[0].Say, "34 h of rest at the longest within seven days; 35 h are owed, 1 h too little.")
			same(t, "source", row.Slips[0].Floors[0].Source, "Source: Directive 2003/88/EC, articles 3 and 5.")
		}
	}
}

// Working Time Regulations 1998, regulation 12: 20 min in one piece where work
// goes over 6 h.
func TestBreakInTheUnitedKingdom(t *testing.T) {
	for _, c := range []struct{ name, out, away, back, want string }{
		{"six hours", "14:00", "", "", "no floor is above this"},
		{"a minute more", "14:01", "", "", "Too short by law: break."},
		{"19 minutes", "14:30", "11:00", "11:19", "Too short by law: break."},
		{"20 minutes", "14:30", "11:00", "11:20", "no floor is above this"},
	} {
		st := newStage(t)
		crew := person(shoot.Crew)
		punch := func(at, kind string) {
			st.Do(crew, at, "punch", obj{"day": day1, "people": []shoot.PersonID{crew}, "kind": kind})
		}
		st.Do(shoot.Desk, "05:00", "meal.drop", obj{"meal": lunch})
		st.Employ(shoot.Crew, flat, shoot.Employee{Law: overtime.LawUK})
		punch("08:00", "in")
		if c.away != "" {
			punch(c.away, "meal-out")
			punch(c.back, "meal-in")
		}
		punch(c.out, "out")
		row := crewRow(st, "15:00")
		contains(t, c.name, row.Floor.text(), c.want)
		if c.name == "19 minutes" {
			f := row.Slips[0].Floors[0]
			same(t, "note", []string{f.Law, f.Amount, f.Source}, []string{"Break", "too short", "Source: Working Time Regulations 1998, reg. 12."})
			contains(t, "by how much", f.Say, "20 min are owed, 1 min too little")
		}
	}
}

// California Labor Code 512 owes a meal by the end of the fifth hour, section 11
// of Wage Order 12 by the end of the sixth.
func TestMealsOfMotionPictures(t *testing.T) {
	for _, c := range []struct {
		law       overtime.Law
		out, want string
	}{
		{overtime.LawCalifornia, "14:00", "The floor may be higher: California meal premium +$50.00."},
		{overtime.LawCaliforniaPictures, "14:00", "Employee, California, motion picture meals: no floor is above this, as far as this shoot knows."},
		{overtime.LawCaliforniaPictures, "14:30", "The floor may be higher: California meal premium +$50.00."},
	} {
		st := newStage(t)
		st.Do(shoot.Desk, "05:00", "meal.drop", obj{"meal": lunch})
		st.Employ(shoot.Crew, flat, shoot.Employee{Law: c.law})
		st.Punched(person(shoot.Crew), "08:00", c.out)
		row := crewRow(st, "15:00")
		contains(t, string(c.law)+" "+c.out, row.Floor.text(), c.want+" Not reckoned: ")
		if c.out == "14:30" {
			same(t, "source", row.Slips[0].Floors[0].Source, "Source: California Wage Order 12 section 11 and Labor Code 226.7.")
		}
	}
}

// California Labor Code 510: on the seventh day in a row of a week the first 8 h
// are x1.5 and the rest x2: 8 h at 75.00 and 2 h at 100.00 are 800.00, or 400.00
// more; with a day off among them, 8 h at 50.00 and 2 h at 75.00 are 150.00 more.
func TestSeventhDayOfCalifornia(t *testing.T) {
	short := [2]string{"08:00", "10:00"}
	for _, c := range []struct {
		friday [2]string
		want   string
	}{
		{short, "The floor may be higher: California overtime, seventh day +$400.00 and California meal premium +$50.00."},
		{[2]string{}, "The floor may be higher: California overtime +$150.00 and California meal premium +$50.00."},
	} {
		st := newStage(t)
		st.Do(shoot.Desk, "05:00", "meal.drop", obj{"meal": lunch})
		st.Week(short, short, short, short, c.friday, short, [2]string{"08:00", "18:00"})
		st.Employ(shoot.Crew, flat, shoot.Employee{Law: overtime.LawCalifornia})
		contains(t, "floor", planned(st, id(7)).Floor.text(), c.want+" Not reckoned: ")
	}
}

// Labor Code 512 lets the meal of a day of 6 h be waived; 226.7 owes an hour for a
// rest that is stated as not given.
func TestWhatIsStatedOfCalifornia(t *testing.T) {
	st := newStage(t)
	st.Do(shoot.Desk, "05:00", "meal.drop", obj{"meal": lunch})
	st.Employ(shoot.Crew, flat, shoot.Employee{Law: overtime.LawCalifornia, Waived: overtime.Waived{First: true}})
	st.Punched(person(shoot.Crew), "08:00", "14:00")
	row := crewRow(st, "15:00")
	contains(t, "waived", row.Floor.text(), "no floor is above this, as far as this shoot knows. Not reckoned: ")
	says := func(notes []FloorNote, law, amount, say string) {
		t.Helper()
		for _, n := range notes {
			if n.Law == law {
				same(t, law, n.Amount, amount)
				contains(t, law, n.Say, say)
				return
			}
		}
		t.Errorf("no %s in %+v", law, notes)
	}
	says(row.Slips[0].Floors, "California meal premium", "not above", "waived where the law lets it: the first meal")
	st.Employ(shoot.Crew, flat, shoot.Employee{Law: overtime.LawCalifornia, Week: "Sunday", NoRest: []when.Date{date1}})
	row = crewRow(st, "15:00")
	contains(t, "stated", row.Floor.text(), "The floor may be higher: California meal premium +$50.00 and California rest premium +$50.00.")
	contains(t, "workweek", row.Slips[0].Floors[0].Reads, "Read so: the workweek begins on Sunday; ")
}

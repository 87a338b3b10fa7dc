package day

import (
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/view"
)

// What a second day takes from the first: 48.00 an hour, 11 h of rest owed. Out
// at 23:00, called for 08:00 the next day: two hours at x2, then the day.
func TestRestBeforeTheSecondDay(t *testing.T) {
	st := newStage(t)
	ada, crew := person(shoot.Producer), person(shoot.Crew)
	terms := overtime.Terms{Basis: overtime.Day, Rate: money.Of(480_00, "USD"), Included: 600, Bands: []overtime.Band{{After: 600, Times: money.Whole(2)}},
		Turnaround: overtime.Turnaround{Rest: 660, Times: money.Whole(2)}}
	st.Do(ada, "06:00", "terms.set", obj{"person": crew, "terms": terms, "base": 1})
	st.Do(ada, "06:00", "sheet.set", obj{"day": day2, "place": obj{"name": "The Mill", "address": "1 Water Lane"}, "generalCall": "08:00", "plannedWrap": "18:00",
		"emergency": "", "safety": "", "notes": "", "base": 0})
	st.Do(ada, "06:00", "call.set", obj{"day": day2, "person": crew, "call": "08:00", "was": nil})
	st.Do(ada, "06:00", "sheet.publish", obj{"day": day2, "number": 1})
	second := func(now string) []PayLine {
		v := show[Overtime](st, shoot.Producer, now, view.ScreenOvertime, func(c *Context) { c.Day = shoot.DayID(day2) })
		return rowOf(t, v, "Pat Crew").Slips[0].Lines
	}
	if got := second("07:00"); len(got) != 1 || got[0].Amount != "$480.00" {
		t.Errorf("as planned: %+v", got)
	}
	st.Punched(crew, "08:00", "23:00")
	same(t, "after a late night", second("24:00")[0], PayLine{"08:00 to 10:00", "2 h", "× 2", "$192.00", "Before 11 h rest were over: 2 h × $480.00 / 10 h × 2."})
}

func TestRunsAndWeeks(t *testing.T) {
	st := newStage(t)
	crew := person(shoot.Crew)
	weekly := overtime.Terms{Basis: overtime.Hourly, Rate: money.Of(40_00, "USD"), Week: []overtime.Band{{After: 2400, Times: money.Ratio{Num: 3, Den: 2}}}}
	st.Punched(crew, "08:00", "18:00")
	before := func(p shoot.PersonID, t overtime.Terms) overtime.Before {
		return st.State.Clocked(st.State.Floor.Days[shoot.DayID(day2)], p, t, clock("30:00")).Before
	}
	same(t, "before", before(crew, weekly), overtime.Before{Out: clock("18:00"), Times: money.Whole(1), Run: 2, Week: 600, Day: 2})
	same(t, "was not there", before(person(shoot.Digitech), weekly), overtime.Before{Run: 1, Day: 1})
	same(t, "not needed", before(crew, overtime.Terms{}), overtime.Before{})
}

package day

import (
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/view"
)

// Pat Crew has 9 h in, with an hour's lunch, and is dearer from 18:01 and 19:01 on,
// by 100.00 each; the photographer has 10 h and is dearer from 19:01 on, by 90.00;
// the barn is dearer from 18:01 and 19:01 on, by 150.00.
func TestBeyondTheApprovalByPerson(t *testing.T) {
	st := newStage(t)
	ada := person(shoot.Producer)
	beyond := func(now string) map[string]string {
		out := map[string]string{}
		for _, row := range show[Overtime](st, shoot.Producer, now, view.ScreenOvertime).People {
			if row.Beyond != "" {
				out[row.Name] = row.Beyond
			}
		}
		return out
	}
	departments := func(now string) []view.Line {
		return show[Overtime](st, shoot.Producer, now, view.ScreenOvertime).Departments
	}
	same(t, "nothing approved, nothing beyond it", beyond("19:30"), map[string]string{})
	v := show[Overtime](st, shoot.Producer, "17:00", view.ScreenOvertime, at("18:30"))
	st.Press(ada, "17:00", v.Approvals.Approve, map[string][]string{"until": {"18:30"}, "amount": {"250"}, "note": {""}})
	same(t, "within", beyond("18:20"), map[string]string{})
	same(t, "beyond", beyond("19:30"), map[string]string{
		"Pat Crew":         "Beyond the approval until 18:30: $100.00 already.",
		"Pat Photographer": "Beyond the approval until 18:30: $90.00 already.",
		"The barn":         "Beyond the approval until 18:30: $150.00 already.",
	})
	same(t, "departments", departments("19:30"), []view.Line{
		{Label: "Camera", Value: "$90.00 now ($90.00 of it beyond the approval), $0.00 at 18:00"},
		{Label: "Others", Value: "$200.00 now ($100.00 of it beyond the approval), $0.00 at 18:00"},
		{Label: "Hires", Value: "$300.00 now ($150.00 of it beyond the approval), $0.00 at 18:00"},
	})
	// A wrap that is planned late costs beyond the approval before it comes to it.
	st.Do(ada, "17:10", "sheet.set", obj{"day": day1, "place": obj{"name": "The Mill", "address": "1 Water Lane"}, "generalCall": "08:00", "plannedWrap": "20:30",
		"emergency": "", "safety": "", "notes": "", "base": 1})
	st.Do(ada, "17:10", "sheet.publish", obj{"day": day1, "number": 2})
	same(t, "to come", beyond("17:30")["Pat Crew"], "Beyond the approval until 18:30: $200.00 at the planned wrap.")
	same(t, "both", beyond("19:10")["Pat Crew"], "Beyond the approval until 18:30: $100.00 already, $200.00 at the planned wrap.")
	same(t, "past the wrap", beyond("20:40")["Pat Crew"], "Beyond the approval until 18:30: $200.00 already.")
}

// An approval that ended long before everything that is looked at is still held
// against the minute it ended at.
func TestBeyondAnEarlyApproval(t *testing.T) {
	st := newStage(t)
	ada, crew := person(shoot.Producer), person(shoot.Crew)
	st.Do(crew, "05:30", "punch", obj{"day": day1, "people": []shoot.PersonID{crew}, "kind": "in"})
	st.Do(ada, "12:00", "overtime.approve", obj{"day": day1, "id": id(900), "until": clock("15:30"), "amount": obj{"minor": 1, "currency": "USD"}, "note": ""})
	st.Do(ada, "12:00", "call.set", obj{"day": day1, "person": crew, "call": "05:30", "was": "08:00"})
	st.Do(ada, "12:00", "sheet.publish", obj{"day": day1, "number": 2})
	v := show[Overtime](st, shoot.Producer, "19:00", view.ScreenOvertime)
	row := rowOf(t, v, "Pat Crew")
	// 05:30 with nine hours and an hour's lunch not taken: dearer from 14:31 on.
	same(t, "so far", row.Overtime, "$500.00")
	same(t, "beyond", row.Beyond, "Beyond the approval until 15:30: $400.00 already.")
}

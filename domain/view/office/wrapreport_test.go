package office

import (
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"

	"fairday/domain/fault"
	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/view/day"
	"fairday/domain/when"
)

func reportOf(st *stage, r shoot.Role, at string) (*WrapReport, error) {
	c := view.Context{Me: person(r), Now: clock(at)}
	return Report(st.State.For(shoot.Audience{Person: c.Me, Role: r}), c)
}

// dayOver plays a day to its end: two shots made, one cut, one not made, people
// signed out.
func dayOver(t *testing.T) *stage {
	st := newStage(t)
	ada, art, cam, crew := person(shoot.Producer), person(shoot.ArtDirector), person(shoot.Photographer), person(shoot.Crew)
	all := []shoot.PersonID{ada, art, cam, crew}
	st.Do(ada, "08:00", "punch", obj{"day": day1, "people": all, "kind": "in"})
	st.Do(art, "09:00", "shot.open", obj{"shot": shot3})
	st.Do(cam, "09:40", "shot.capture", obj{"shot": shot3, "frames": "A001-A040"})
	st.Do(art, "10:00", "shot.open", obj{"shot": shot4})
	st.Do(art, "10:10", "pause.start", obj{"day": day1, "why": "the rain"})
	st.Do(art, "10:25", "pause.end", obj{"day": day1})
	st.Do(cam, "10:45", "shot.capture", obj{"shot": shot4, "frames": ""})
	st.Do(art, "11:00", "shot.cut", obj{"shot": shot1})
	st.Do(ada, "19:00", "punch", obj{"day": day1, "people": all, "kind": "out"})
	return st
}

func TestWrapReport(t *testing.T) {
	st := dayOver(t)
	r, err := reportOf(st, shoot.Producer, "20:00")
	if err != nil {
		t.Fatal(err)
	}
	var shots []string
	for _, s := range r.Shots {
		shots = append(shots, s.Number+" "+s.Word+" "+s.Planned+" "+s.Took+" "+s.Frames)
	}
	same(t, "the shots", shots, []string{"1 Cut 30 min  ", "2 Not made 30 min  ", "3 Captured 30 min 40 min A001-A040", "10 Captured 30 min 30 min "})
	var facts []string
	for _, f := range r.Facts {
		facts = append(facts, f.Label+": "+f.Value)
	}
	same(t, "the facts", facts, []string{"Shots: 2 of 4 made, 1 cut, 1 not made", "Time for them: 1 h 10 min, planned 1 h", "Place: The Mill", "General call: 08:00",
		"Planned wrap: 18:00", "First signed in: 08:00", "Last signed out: 19:00", "Waited: 10:10 to 10:25, the rain"})
	// Eleven hours without a meal punched, ten of them included: one of $60, times 1.5.
	i := slices.IndexFunc(r.Pay, func(p ReportPay) bool { return p.Name == "Pat Photographer" })
	if i < 0 {
		t.Fatalf("the photographer is not paid: %+v", r.Pay)
	}
	same(t, "what the photographer gets", r.Pay[i].Total+", beyond "+r.Pay[i].Beyond, "$690.00, beyond $90.00")
	same(t, "what is open", r.Open, []string{"4 people have not signed their hours."})
	// Somebody else sees the same without money.
	a, err := reportOf(st, shoot.ArtDirector, "20:00")
	if err != nil {
		t.Fatal(err)
	}
	b, _ := json.Marshal(a)
	if a.Overtime != nil || len(a.Pay) > 0 || strings.Contains(string(b), "$") {
		t.Errorf("the art director reads of money: %s", b)
	}
	for _, role := range shoot.Roles()[2:] {
		if _, err := reportOf(st, role, "20:00"); !errors.Is(err, &fault.Error{Code: view.CodePerson}) {
			t.Errorf("%s: %v", role, err)
		}
	}
}

// Who was withdrawn after some hours has worked them: they can be signed out,
// and are paid.
func TestWithdrawnPeopleHaveWorked(t *testing.T) {
	st := newStage(t)
	ada, crew, cam := person(shoot.Producer), person(shoot.Crew), person(shoot.Photographer)
	st.Do(ada, "08:00", "punch", obj{"day": day1, "people": []shoot.PersonID{crew}, "kind": "in"})
	for _, p := range []shoot.PersonID{crew, cam} {
		st.Do(ada, "12:00", "person.access", obj{"person": p, "revoked": true})
	}
	names := func() string {
		var out []string
		for _, r := range shown[day.CallSheet](st, shoot.Producer, "12:10", view.ScreenCallSheet).Crew.Rows {
			if strings.Contains("Pat Crew Pat Photographer", r.Name) {
				out = append(out, r.Name+" "+r.Say)
			}
		}
		return strings.Join(out, "; ")
	}
	same(t, "who can be signed out", names(), "Pat Crew in 08:00")
	for _, row := range shown[day.CallSheet](st, shoot.Producer, "12:10", view.ScreenCallSheet).Crew.Rows {
		if row.Name == "Pat Crew" {
			st.Press(ada, "12:10", find(t, row.Actions, "Sign out"), nil)
		}
	}
	same(t, "who was signed out", names(), "Pat Crew in 08:00, out 12:10")
	var paid []string
	for _, row := range shown[day.Overtime](st, shoot.Producer, "12:20", view.ScreenOvertime).People {
		paid = append(paid, row.Name)
	}
	if !slices.Contains(paid, "Pat Crew") || slices.Contains(paid, "Pat Photographer") {
		t.Errorf("paid are %q", paid)
	}
}

// What labour law asks for beside somebody's pay stands in the report as well.
func TestReportHasTheFloors(t *testing.T) {
	st := newStage(t)
	st.Do(shoot.Desk, "05:00", "meal.drop", obj{"meal": lunch})
	flat := overtime.Terms{Basis: overtime.Day, Rate: money.Of(400_00, "USD"), Included: 480}
	st.Employ(shoot.Crew, flat, shoot.Employee{Law: overtime.LawCalifornia, Week: "Sunday", NoRest: []when.Date{date1}})
	st.Punched(person(shoot.Crew), "08:00", "14:00")
	report, err := reportOf(st, shoot.Producer, "15:00")
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range report.Pay {
		if p.Name != "Pat Crew" {
			continue
		}
		for _, n := range p.Floors {
			if n.Law == "California rest premium" {
				same(t, "the premium", n.Amount, "+$50.00")
				contains(t, "why", n.Say, "as stated")
				return
			}
		}
	}
	t.Errorf("no rest premium in %+v", report.Pay)
}

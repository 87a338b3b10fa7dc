package day

import (
	"fmt"
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/when"
)

func at(s string) func(*Context) { return func(c *Context) { c.At = clock(s) } }

// By hand. Lunch is an hour and unpaid, the call is 08:00, overtime counts in
// started hours:
//
//	photographer  600.00 for 10 h, base 60.00, x1.5: 90.00 an hour from 19:00
//	crew          450.00 for  9 h, base 50.00, x2: 100.00 an hour from 18:00
//	the barn     1100.00 for 11 h from 07:00, base 100.00, x1.5: 150.00 an hour from 18:00
//
// 18:00 is free, 18:01 to 19:00 costs 250.00, 19:01 to 20:00 costs 500.00 + 90.00.
func TestExposureAgainstTheWrap(t *testing.T) {
	st := newStage(t)
	v := show[Overtime](st, shoot.Producer, "10:00", view.ScreenOvertime)
	same(t, "now", v.Now, Figure{"Now", "10:00", "$0.00", "", view.ToneCalm})
	same(t, "wrap", v.Wrap, Figure{"Planned wrap", "18:00", "$0.00", "in 8 h", view.ToneCalm})
	same(t, "next", *v.Next, NextStep{"18:01", "in 8 h 01 min", "+$250.00", "Pat Crew and The barn", "$250.00"})
	for _, drag := range []struct {
		at, amount string
		whose      []view.Line
	}{
		{"18:00", "$0.00", nil},
		{"18:01", "$250.00", []view.Line{{Label: "The barn", Value: "$150.00"}, {Label: "Pat Crew", Value: "$100.00"}}},
		{"19:00", "$250.00", []view.Line{{Label: "The barn", Value: "$150.00"}, {Label: "Pat Crew", Value: "$100.00"}}},
		{"19:01", "$590.00", []view.Line{{Label: "The barn", Value: "$300.00"}, {Label: "Pat Crew", Value: "$200.00"}, {Label: "Pat Photographer", Value: "$90.00"}}},
	} {
		d := show[Overtime](st, shoot.Producer, "10:00", view.ScreenOvertime, at(drag.at)).Drag
		same(t, "dragged", d.Figure.Clock+" "+d.Figure.Amount, drag.at+" "+drag.amount)
		same(t, "whose at "+drag.at, d.Whose, drag.whose)
	}
	far := show[Overtime](st, shoot.Producer, "10:00", view.ScreenOvertime, at("47:00")).Drag
	same(t, "dragged beyond the end", far.At, far.To)
	same(t, "left out", v.LeftSay, "7 people have no terms; none of them is in any sum.")
	same(t, "departments", v.Departments, []view.Line{{Label: "Camera", Value: "$0.00 now, $0.00 at 18:00"}, {Label: "Others", Value: "$0.00 now, $0.00 at 18:00"}, {Label: "Hires", Value: "$0.00 now, $0.00 at 18:00"}})
	row := v.People[0]
	row.Slips = nil // have a test of their own
	same(t, "row", row, OvertimeRow{ID: string(person(shoot.Photographer)), Name: "Pat Photographer", Job: "Photographer",
		Mark: view.Mark{Word: "Not signed in", Shape: view.ShapePostLine, Tone: view.ToneCalm}, Hours: "called 08:00", Worked: "2 h", Overtime: "$0.00", AtWrap: "$0.00", Next: "19:01, +$90.00"})
}

// Punches take the place of what was planned.
func TestExposureFollowsThePunches(t *testing.T) {
	st := newStage(t)
	crew := person(shoot.Crew)
	punch := func(at, kind string) {
		st.Do(crew, at, "punch", obj{"day": day1, "people": []shoot.PersonID{crew}, "kind": kind})
	}
	next := func(at string) string {
		for _, row := range show[Overtime](st, shoot.Producer, at, view.ScreenOvertime).People {
			if row.ID == string(crew) {
				return row.Worked + ", " + row.Next
			}
		}
		return ""
	}
	punch("08:00", "in")
	same(t, "lunch to come", next("12:00"), "4 h, 18:01, +$100.00")
	punch("13:00", "meal-out")
	same(t, "at lunch", next("13:20"), "5 h, 18:01, +$100.00")
	punch("13:30", "meal-in")
	same(t, "short lunch", next("14:00"), "5 h 30 min, 17:31, +$100.00")
	punch("17:40", "out")
	same(t, "out", next("17:41"), "9 h 10 min, signed out")
	v := show[Overtime](st, shoot.Producer, "17:41", view.ScreenOvertime)
	same(t, "fixed", v.Now.Amount+" "+v.Wrap.Amount, "$100.00 $100.00")
}

// Breakfast from the hand does not stop the clock.
func TestShortMealIsWorked(t *testing.T) {
	st := newStage(t)
	for minutes, want := range map[int]string{29: "18:01", 30: "18:31"} {
		st.Do(shoot.Desk, "05:00", "meal.set", obj{"id": id(52), "day": day1, "name": "Tea", "at": "16:00", "minutes": minutes, "margin": 0, "base": st.State.Floor.Meals[shoot.MealID(id(52))].Version})
		v := show[Overtime](st, shoot.Producer, "10:00", view.ScreenOvertime)
		for _, row := range v.People {
			if row.ID == string(person(shoot.Crew)) {
				same(t, "next", row.Next, want+", +$100.00")
			}
		}
	}
}

func TestSkippedLunchCounts(t *testing.T) {
	st := newStage(t)
	crew := person(shoot.Crew)
	st.Do(crew, "08:00", "punch", obj{"day": day1, "people": []shoot.PersonID{crew}, "kind": "in"})
	v := show[Overtime](st, shoot.Producer, "14:30", view.ScreenOvertime) // lunch is past and was not taken
	same(t, "next", v.Next.Clock+" "+v.Next.Whose, "17:01 Pat Crew")
}

func TestCurveIsReadyToDraw(t *testing.T) {
	st := newStage(t)
	v := show[Overtime](st, shoot.Producer, "17:00", view.ScreenOvertime, at("19:30"))
	if len(v.Curves) != 1 {
		t.Fatalf("%d curves", len(v.Curves))
	}
	c := v.Curves[0]
	last := Point{}
	for i, p := range c.Points {
		if p.X < last.X || p.Y < last.Y || p.X > box || p.Y > box {
			t.Errorf("point %d is %+v after %+v", i, p, last)
		}
		if i > 0 && p.X != last.X && p.Y != last.Y {
			t.Errorf("from %+v to %+v is no step", last, p)
		}
		last = p
	}
	// 16:00 to 23:00 is 420 minutes; the last step before is 22:01.
	same(t, "ends", []Point{c.Points[0], last}, []Point{{0, 0}, {box, box}})
	same(t, "first step", c.Points[1:3], []Point{{121 * box / 420, 0}, {121 * box / 420, 250 * box / (5*250 + 4*90)}})
	same(t, "now, wrap, drag", []int{c.Now, c.Wrap, c.Drag}, []int{142, 285, 500})
	same(t, "hours", c.X[0].Label+" "+c.X[len(c.X)-1].Label, "16:00 23:00")
	same(t, "amounts", c.Y, []Tick{{0, "$0.00"}, {310, "$500.00"}, {621, "$1,000.00"}, {931, "$1,500.00"}})
}

func TestApprovals(t *testing.T) {
	st := newStage(t)
	ada := person(shoot.Producer)
	v := show[Overtime](st, shoot.Producer, "17:00", view.ScreenOvertime, at("19:30"))
	same(t, "none", v.Approvals.Say, "Nothing is approved yet.")
	same(t, "suggested", []string{v.Approvals.Approve.Form.Fields[0].Value, v.Approvals.Approve.Form.Fields[1].Value}, []string{"19:30", "590.00"})
	st.Press(ada, "17:00", v.Approvals.Approve, map[string][]string{"until": {"18:30"}, "amount": {"250"}, "note": {"asked by the client"}})
	v = show[Overtime](st, shoot.Producer, "17:00", view.ScreenOvertime, at("18:30"))
	same(t, "said", v.Approvals.Say, "Approved until 18:30 and up to $250.00.")
	same(t, "line", v.Approvals.Lines, []string{"Until 18:30, up to $250.00, by Pat Producer 17:00: asked by the client"})
	same(t, "beyond", v.Approvals.Beyond, "")
	same(t, "within", v.Drag.Figure.Tone, view.ToneWarn)
	same(t, "past", show[Overtime](st, shoot.Producer, "17:00", view.ScreenOvertime, at("18:31")).Drag.Figure.Tone, view.ToneStop)
	v = show[Overtime](st, shoot.Producer, "19:01", view.ScreenOvertime)
	same(t, "beyond", v.Approvals.Beyond, "$340.00 is due already and not approved.")
	same(t, "tone", v.Approvals.Tone, view.ToneStop)
}

// One alone is told of in the singular.
func TestOneLeftOut(t *testing.T) {
	st := newStage(t)
	for _, r := range shoot.Roles() {
		if _, has := st.State.Money.Terms[person(r)]; !has && r != shoot.Client && r != shoot.Caterer {
			st.Employ(r, flat, shoot.Employee{})
		}
	}
	same(t, "said", show[Overtime](st, shoot.Producer, "10:00", view.ScreenOvertime).LeftSay, "1 person has no terms and is in no sum.")
}

// What cannot be reckoned is named and is in no sum.
func TestLeftOutIsNamed(t *testing.T) {
	st := newStage(t)
	crew, ada := person(shoot.Crew), person(shoot.Producer)
	st.Do(ada, "07:00", "call.set", obj{"day": day1, "person": crew, "call": nil, "was": "08:00"})
	st.Do(ada, "07:00", "sheet.publish", obj{"day": day1, "number": 2})
	st.Do(ada, "07:00", "punch", obj{"day": day1, "people": []shoot.PersonID{crew}, "kind": "in", "at": clock("07:00") - 30*when.Hour})
	v := show[Overtime](st, shoot.Producer, "10:00", view.ScreenOvertime)
	last := v.Left[len(v.Left)-1]
	same(t, "who", last.Name, "Pat Crew")
	contains(t, "why", last.Say, "sign out")
	same(t, "said", v.LeftSay, "1 could not be reckoned and 7 people have no terms; none of them is in any sum.")
	same(t, "without", v.Next.Amount, "+$150.00")
}

func TestOvertimeNeedsTheMoneyPlane(t *testing.T) {
	st := newStage(t)
	for _, r := range shoot.Roles()[1:] {
		v := show[Overtime](st, r, "20:00", view.ScreenOvertime)
		if v.Known || v.Now.Amount != "" || len(v.Curves)+len(v.People)+len(v.Left) != 0 || v.Say == "" {
			t.Errorf("%s is shown %+v", r, v)
		}
	}
}

func BenchmarkOvertime60(b *testing.B) {
	st := newStage(b)
	ada := person(shoot.Producer)
	for i := range 60 {
		p := shoot.PersonID(id(2000 + i))
		st.Do(shoot.Desk, "05:00", "person.set", obj{"id": p, "name": fmt.Sprintf("Crew %02d", i), "role": "crew", "department": "Grip", "job": "", "phone": "", "base": 0})
		st.Do(ada, "05:00", "call.set", obj{"day": day1, "person": p, "call": when.Clock(420 + i), "was": nil})
		st.Do(ada, "05:00", "terms.set", obj{"person": p, "base": 0, "terms": overtime.Terms{Basis: overtime.Day, Rate: money.Of(50000+int64(i), "USD"), Included: 540, Step: 15,
			Bands: []overtime.Band{{After: 540, Times: money.Ratio{Num: 3, Den: 2}}, {After: 720, Times: money.Whole(2)}}}})
	}
	st.Do(ada, "05:00", "sheet.publish", obj{"day": day1, "number": 2})
	c := Context{Context: view.Context{Me: ada, Now: clock("15:00")}, At: clock("20:00")}
	b.ReportAllocs()
	for b.Loop() {
		if v, err := Make("overtime", st.State, c); err != nil || len(v.(*Overtime).People) != 63 {
			b.Fatal(err)
		}
	}
}

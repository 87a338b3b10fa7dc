package office

import (
	"slices"
	"strings"
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/view"
)

// payDays is the part of the plan about what the day is paid as.
func payDays(st *stage, at string) PlanPart {
	st.T.Helper()
	for _, p := range shown[Plan](st, shoot.Producer, at, view.ScreenPlan).Parts {
		if p.Key == "paydays" {
			return p
		}
	}
	st.T.Fatal("the plan does not say what the day is paid as")
	return PlanPart{}
}

// rows are what the part says, a line each.
func (p PlanPart) rows() (out []string) {
	for _, r := range p.Rows {
		out = append(out, strings.ReplaceAll(r.Name+": "+strings.Join(r.Says, ", "), "\u00a0", " "))
	}
	return out
}

// The kind of a day is pressed for everybody and for one, and taken back.
func TestKindsOfDaysArePressed(t *testing.T) {
	st := newStage(t)
	ada, crew := person(shoot.Producer), person(shoot.Crew)
	terms := st.State.Money.Terms[crew].Terms
	terms.Other = []overtime.OtherDay{{Kind: "recce", Share: money.Ratio{Num: 1, Den: 2}}}
	st.Employ(shoot.Crew, terms, shoot.Employee{})
	same(t, "at first", payDays(st, "06:00").rows(), []string{"For everybody: a shoot day"})
	change := payDays(st, "06:00").Rows[0].Actions[0]
	same(t, "a kind that terms name", change.Form.Fields[0].Options[5].Value, "recce")
	st.Press(ada, "06:00", change, map[string][]string{"kind": {"recce"}})
	same(t, "for everybody", payDays(st, "06:00").rows(), []string{"For everybody: a recce day, 1 person’s terms do not name it, so they are paid as on a shoot day"})
	st.Press(ada, "06:01", find(t, payDays(st, "06:01").New, "Another kind for one person"), map[string][]string{"person": {string(crew)}, "kind": {"shoot"}})
	same(t, "for one", payDays(st, "06:01").rows()[1], "Pat Crew: a shoot day")
	same(t, "of the crew", st.State.KindOf(shoot.DayID(day1), crew), "")
	st.Press(ada, "06:02", payDays(st, "06:02").Rows[1].Actions[0], nil)
	same(t, "as everybody", st.State.KindOf(shoot.DayID(day1), crew), "recce")
	st.Press(ada, "06:03", payDays(st, "06:03").Rows[0].Actions[0], map[string][]string{"kind": {"shoot"}})
	same(t, "in the end", payDays(st, "06:03").rows(), []string{"For everybody: a shoot day"})
}

// Somebody and a place are called off, to the minute that they were told, and the day
// stands again; the wrap report has what is due.
func TestCallingOffIsPressed(t *testing.T) {
	st := newStage(t)
	ada, crew := person(shoot.Producer), person(shoot.Crew)
	terms := st.State.Money.Terms[crew].Terms
	terms.Cancel = []overtime.Notice{{Within: 14 * 60, Share: money.Ratio{Num: 1, Den: 2}}}
	st.Employ(shoot.Crew, terms, shoot.Employee{})
	off := find(t, payDays(st, "06:00").New, "Call somebody off")
	same(t, "told", off.Form.Fields[1].Value, "2026-11-25 06:00")
	for entered, want := range map[string]string{"yesterday": "They were told: enter a date and a time, like 2026-11-25 17:30.", "2026-11-25": "They were told: enter a date and a time, like 2026-11-25 17:30.", "": "They were told is missing."} {
		if _, err := view.Fill(off, map[string][]string{"told": {entered}}, id(900)); err == nil || err.Error() != want {
			t.Errorf("%q: %v", entered, err)
		}
	}
	for _, c := range [][2]string{{"2026-11-24 17:59", "nothing is due by their terms"}, {"2026-11-24 18:00", "$225.00 is due"}} {
		told, due := c[0], c[1]
		st.Press(ada, "06:00", find(t, payDays(st, "06:00").New, "Call somebody off"), map[string][]string{"who": {string(crew), barn}, "told": {told}})
		rows := payDays(st, "06:00").rows()
		if len(rows) != 3 || !strings.Contains(rows[1], due) || !strings.HasPrefix(rows[1], "Pat Crew: cancelled, told Tuesday 24 November 2026, ") || !strings.HasSuffix(rows[1], "still on the call sheet") ||
			!strings.Contains(rows[2], "their terms do not say what is due") {
			t.Errorf("%s: %q", told, rows)
		}
	}
	r, err := reportOf(st, shoot.Producer, "20:00")
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(r.Pay, func(p ReportPay) bool { return p.Name == "Pat Crew" })
	if i < 0 {
		t.Fatal("who was called off is not in the report")
	}
	p := r.Pay[i]
	same(t, "in the report", []string{p.Hours, p.Worked, p.Total, p.Beyond, p.Lines[0].Why}, []string{"cancelled, told Tuesday 24 November 2026, 18:00", "not worked", "$225.00", "$0.00",
		"Cancelled 14 h before the call, within 14 h: $450.00 × 0.5."})
	stands := payDays(st, "06:01").Rows[1].Actions[0]
	contains(t, "asks", stands.Confirm, "Pat Crew")
	st.Press(ada, "06:01", stands, nil)
	same(t, "stands again", len(payDays(st, "06:01").Rows), 2)
	st.Do(crew, "08:00", "punch", obj{"day": day1, "people": []shoot.PersonID{crew}, "kind": "in"})
	for _, o := range find(t, payDays(st, "08:00").New, "Call somebody off").Form.Fields[2].Options {
		if o.Value == string(crew) {
			t.Error("who has signed in can be called off")
		}
	}
	for _, part := range shown[Plan](st, shoot.ArtDirector, "08:00", view.ScreenPlan).Parts {
		if part.Key == "paydays" {
			t.Error("the art director sees what days are paid as")
		}
	}
}

// The floors stand in the wrap report, with what was not reckoned, and for how many no
// floor was looked at.
func TestFloorsInTheReport(t *testing.T) {
	st := dayOver(t)
	crew := person(shoot.Crew)
	terms := st.State.Money.Terms[crew].Terms
	for _, c := range []struct {
		law  overtime.Law
		want string
	}{
		{"", ""}, {overtime.LawCalifornia, "above"}, {overtime.LawNewYork, "not known"}, {overtime.LawFederal, "not above"},
	} {
		st.Employ(shoot.Crew, terms, shoot.Employee{Law: c.law})
		r, err := reportOf(st, shoot.Producer, "20:00")
		if err != nil {
			t.Fatal(err)
		}
		i := slices.IndexFunc(r.Pay, func(p ReportPay) bool { return p.Name == "Pat Crew" })
		floors := r.Pay[i].Floors
		if c.law == "" {
			same(t, "nobody", []any{len(floors), r.Overtime.Floors}, []any{0, "No floor of labour law is looked at for 2 people who are not marked as employees."})
			continue
		}
		same(t, "one", r.Overtime.Floors, "No floor of labour law is looked at for 1 person who is not marked as an employee.")
		first := floors[0]
		if got := map[bool]string{true: "above", false: first.Amount}[strings.HasPrefix(first.Amount, "+")]; got != c.want {
			t.Errorf("%s: %+v", c.law, first)
		}
		if first.Leaves == "" || first.Source == "" || first.Caution == "" {
			t.Errorf("%s: %+v", c.law, first)
		}
	}
}

package day

import (
	"encoding/json"
	"regexp"
	"strings"
	"testing"

	"fairday/domain/money"
	"fairday/domain/shoot"
	"fairday/domain/view"
)

// rowOf gives somebody's line of the list of signatures.
func signRow(t testing.TB, v *OwnDay, name string) SignOffRow {
	t.Helper()
	for _, r := range v.Crew.Rows {
		if r.Name == name {
			return r
		}
	}
	t.Fatalf("no row of %s", name)
	return SignOffRow{}
}

func TestSigningOnesHours(t *testing.T) {
	st := newStage(t)
	crew := person(shoot.Crew)
	mine := func(at string) *OwnDay { return show[OwnDay](st, shoot.Crew, at, view.ScreenHours) }
	punch := func(at, kind string) {
		st.Do(crew, at, "punch", obj{"day": day1, "people": []shoot.PersonID{crew}, "kind": kind})
	}
	same(t, "before", mine("07:00").Hours, OwnHours{Mark: view.Mark{Word: "Not signed", Shape: view.ShapeSignLine, Tone: view.ToneCalm}, Say: "There are no hours on this day yet."})
	punch("08:00", "in")
	punch("13:00", "meal-out")
	same(t, "at the meal", mine("13:10").Hours.Lines, []view.Line{{Label: "In", Value: "08:00"}, {Label: "Meal", Value: "13:00, not back yet"}, {Label: "Worked, meals left out", Value: "5 h"}})
	punch("13:45", "meal-in")
	same(t, "on the clock", find(t, mine("14:00").Hours.Actions, "Sign my hours").Why, "Sign out first.")
	punch("18:10", "out")
	v := mine("18:11")
	same(t, "lines", v.Hours.Lines, []view.Line{{Label: "In", Value: "08:00"}, {Label: "Meal", Value: "13:00 to 13:45, 45 min"}, {Label: "Out", Value: "18:10"}, {Label: "Worked, meals left out", Value: "9 h 25 min"}})
	same(t, "mark", v.Hours.Mark, view.Mark{Word: "Not signed", Shape: view.ShapeSignLine, Tone: view.ToneCalm})
	if v.Pay != nil || v.Crew != nil || v.Asks != nil {
		t.Errorf("more than one's own: %+v", v)
	}
	st.Press(crew, "18:12", find(t, v.Hours.Actions, "Sign my hours"), nil)
	same(t, "signed", mine("18:12").Hours.Say, "You have signed these hours, 18:12.")
	same(t, "no second time", has(mine("18:12").Hours.Actions, "Sign my hours"), false)
	row := signRow(t, show[OwnDay](st, shoot.ArtDirector, "18:15", view.ScreenHours), "Pat Crew")
	same(t, "for the art director", row, SignOffRow{ID: string(crew), Name: "Pat Crew", Job: "Crew", Hours: "in 08:00, meal 13:00 to 13:45, out 18:10",
		Mark: view.Mark{Word: "Signed", Shape: view.ShapeSign, Tone: view.ToneGood}, Say: "signed 18:12", Actions: []view.Action{}})
	same(t, "on the call sheet", show[CallSheet](st, shoot.Crew, "18:15", view.ScreenCallSheet).Hours.Sign.Word, "Signed")

	// The hours change: the signature lapses, in so many words.
	st.Do(person(shoot.Producer), "18:30", "punch", obj{"day": day1, "people": []shoot.PersonID{crew}, "kind": "in", "at": clock("18:20")})
	st.Do(person(shoot.Producer), "18:40", "punch", obj{"day": day1, "people": []shoot.PersonID{crew}, "kind": "out"})
	v = mine("18:41")
	same(t, "lapsed", v.Hours.Mark, view.Mark{Word: "Signed, then changed", Shape: view.ShapeSignGap, Tone: view.ToneWarn})
	contains(t, "lapsed", v.Hours.Say, "have changed since you signed them")
	same(t, "counted", show[OwnDay](st, shoot.Producer, "18:41", view.ScreenHours).Crew.Say, "0 of 10 have signed, 1 signed before the hours changed.")

	st.Press(crew, "18:45", find(t, v.Hours.Actions, "Something is wrong"), map[string][]string{"say": {"I did not come back"}})
	v = mine("18:46")
	same(t, "disputed", v.Hours.Mark.Word+": "+strings.Join(v.Hours.Words, ""), "Disputed: 18:45: I did not come back. Nobody has settled it yet.")
	boss := show[OwnDay](st, shoot.Producer, "18:46", view.ScreenHours)
	same(t, "say", boss.Crew.Say, "0 of 10 have signed, 1 person disputes them.")
	same(t, "row", signRow(t, boss, "Pat Crew").Say, "18:45: I did not come back.")
	q := show[Settle](st, shoot.Producer, "18:46", view.ScreenSettle).Open[0]
	same(t, "query", []string{q.Title, q.Said.Text, q.Against.Text}, []string{"Hours of Pat Crew", "I did not come back.",
		"The hours they looked at: in 08:00, meal 13:00 to 13:45, out 18:10, in 18:20, out 18:40."})
	same(t, "rulings", []string{q.Actions[0].Label, q.Actions[1].Label}, []string{"The hours are wrong; I put them right", "The hours stand"})
	st.Press(person(shoot.Producer), "18:50", find(t, q.Actions, "The hours stand"), map[string][]string{"note": {"The gate saw you"}})
	v = mine("18:51")
	same(t, "settled", v.Hours.Mark.Word+" "+v.Hours.Words[0], "Not signed 18:45: I did not come back. The hours were found right by Pat Producer, 18:50. The gate saw you.")
	same(t, "closed", show[Settle](st, shoot.Producer, "18:51", view.ScreenSettle).Settled[0].Title, "Hours of Pat Crew: I did not come back")
}

func TestNotOutYet(t *testing.T) {
	st := newStage(t)
	crew := person(shoot.Crew)
	st.Punched(crew, "08:00", "12:00")
	sheet := func(at string) []view.Action {
		return show[CallSheet](st, shoot.Crew, at, view.ScreenCallSheet).Hours.Actions
	}
	undo := find(t, sheet("12:15"), "Not out yet: undo")
	if has(sheet("12:16"), "Not out yet: undo") {
		t.Error("offered for too long")
	}
	find(t, show[CallSheet](st, shoot.ArtDirector, "12:05", view.ScreenCallSheet).Crew.Rows[9].Actions, "Not out yet: undo")
	st.Press(crew, "12:15", undo, nil)
	v := show[OwnDay](st, shoot.Crew, "12:16", view.ScreenHours)
	same(t, "back on the clock", v.Hours.Lines, []view.Line{{Label: "In", Value: "08:00"}, {Label: "Worked, meals left out", Value: "4 h 16 min"}})
	same(t, "history", v.Hours.Undone, []string{"Signed out 12:00, taken back 12:15 by Pat Crew."})
}

// By hand: 450.00 for 9 h, then an hour at 50.00 x 2; lunch was not taken.
func TestOwnPayIsShownToItsPersonAlone(t *testing.T) {
	st := newStage(t)
	crew, ada := person(shoot.Crew), person(shoot.Producer)
	amount := regexp.MustCompile(`[$€£]|USD|45000|55000|\b[45]50[.]`)
	own := func(at string) *OwnPay { return show[OwnDay](st, shoot.Crew, at, view.ScreenHours).Pay }
	st.Punched(crew, "08:00", "18:00")
	if own("18:01") != nil {
		t.Error("shown without a word of the producer")
	}
	boss := func(at string) *OwnDay { return show[OwnDay](st, shoot.Producer, at, view.ScreenHours) }
	same(t, "not shown", signRow(t, boss("18:01"), "Pat Crew").PaySay, "Pay lines not shown")
	st.Press(ada, "18:02", find(t, boss("18:02").Crew.Share, "Show everybody their own pay"), nil)
	stored, err := json.Marshal(st.State)
	if err != nil {
		t.Fatal(err)
	}
	st.State = &shoot.State{} // as a phone that was closed meanwhile reads it
	if err := json.Unmarshal(stored, st.State); err != nil {
		t.Fatal(err)
	}
	pay := own("18:03")
	same(t, "slip", *pay.Slip, PaySlip{Title: "Line by line", Worked: "10 h", Meals: []string{}, Total: "$550.00", Costs: []PayLine{}, Lines: []PayLine{
		{"08:00 to 17:00", "9 h", "", "$450.00", "Day rate for 9 h: $450.00."}, {"17:00 to 18:00", "1 h", "× 2", "$100.00", "After 9 h: 1 h × $450.00 / 9 h × 2."}}})
	st.Press(crew, "18:04", find(t, pay.Actions, "Sign my pay"), nil)
	same(t, "signed", own("18:05").Say, "You have signed these lines, 18:04.")
	row := signRow(t, boss("18:05"), "Pat Crew")
	same(t, "to the producer", row.Pay.Word+", "+row.PaySay, "Signed, Pay lines shown: $550.00")

	// Everybody else's every screen is free of it, the art director's too.
	for _, r := range shoot.Roles() {
		for _, screen := range nearScreens {
			v, err := Make(string(screen), st.State.For(shoot.Audience{Person: person(r), Role: r}), looks(person(r), "18:05"))
			if err != nil {
				t.Fatal(err)
			}
			b, _ := json.Marshal(v)
			text := regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f-]{22}|17\d{11}`).ReplaceAllString(string(b), "")
			if found := amount.FindString(text); found != "" && r != shoot.Producer && (r != shoot.Crew || screen != view.ScreenHours) {
				t.Errorf("%s for %s: %q", screen, r, found)
			}
		}
	}
	terms := st.State.Money.Terms[crew].Terms
	terms.Rate = money.Of(540_00, "USD")
	st.Do(ada, "18:10", "terms.set", obj{"person": crew, "terms": terms, "base": 1})
	pay = own("18:11")
	same(t, "renewed", pay.Mark.Word+" "+pay.Slip.Total, "Signed, then changed $660.00")
	contains(t, "renewed", pay.Say, "You signed $550.00")
	st.Press(crew, "18:12", find(t, pay.Actions, "Something is wrong"), map[string][]string{"say": {"It was ten hours and a half"}})
	settle := show[Settle](st, shoot.Producer, "18:13", view.ScreenSettle)
	same(t, "query", settle.Open[0].Title+": "+settle.Open[0].Said.Text, "Pay of Pat Crew: It was ten hours and a half.")
	same(t, "for the art director", len(show[Settle](st, shoot.ArtDirector, "18:13", view.ScreenSettle).Open), 0)
	tabs := show[Shell](st, shoot.Producer, "18:13", view.ScreenShell).Tabs
	same(t, "counted", tabs[len(tabs)-1].Count, "1")
	st.Press(ada, "18:14", find(t, settle.Open[0].Actions, "Answer it"), map[string][]string{"answer": {"The clock says ten"}})
	same(t, "answered", own("18:15").Words[0], "18:12: It was ten hours and a half. Answered by Pat Producer, 18:14: The clock says ten.")
	same(t, "settled", len(show[Settle](st, shoot.Producer, "18:15", view.ScreenSettle).Settled), 1)
	st.Press(ada, "18:16", find(t, boss("18:16").Crew.Share, "Take all pay lines away"), nil)
	if own("18:17") != nil {
		t.Error("still shown")
	}
}

package day

import (
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/view"
)

func TestOvertimeAskedAndApproved(t *testing.T) {
	st := newStage(t)
	ada, art, client := person(shoot.Producer), person(shoot.ArtDirector), person(shoot.Client)
	asks := func(r shoot.Role, at string) []AskCard { return show[Shell](st, r, at, view.ScreenShell).Asks }
	overtime := func(at string) *Overtime { return show[Overtime](st, shoot.Producer, at, view.ScreenOvertime) }
	drag := func(c *Context) { c.At = clock("20:00") }
	ask := show[Overtime](st, shoot.Producer, "16:00", view.ScreenOvertime, drag).Approvals.Ask
	same(t, "starts from what is looked at", []string{ask.Form.Fields[0].Value, ask.Form.Fields[1].Value}, []string{"20:00", drop(show[Overtime](st, shoot.Producer, "16:00", view.ScreenOvertime, drag).Drag.Figure.Amount)})
	st.Press(ada, "16:00", ask, map[string][]string{"until": {"20:00"}, "amount": {"600"}, "note": {"The soup comes late"}})
	card := asks(shoot.Client, "16:01")[0]
	same(t, "card", []string{card.Title, card.Mark.Word, card.Amount, card.Note, card.Say, card.Reply}, []string{"May the day run until 20:00?", "Waits for an answer",
		"Up to $600.00 of overtime for the whole day.", "The soup comes late", "Asked by Pat Producer, 16:00.", ""})
	same(t, "others", len(asks(shoot.Crew, "16:01"))+len(asks(shoot.Caterer, "16:01"))+len(asks(shoot.Photographer, "16:01")), 0)
	same(t, "the art director's", asks(shoot.ArtDirector, "16:01")[0].Actions, []view.Action{})
	same(t, "a second one", overtime("16:02").Approvals.Ask.Enabled, false)
	same(t, "nothing yet", overtime("16:02").Approvals.Say, "Nothing is approved yet.")
	find(t, asks(shoot.Producer, "16:02")[0].Actions, "Take it back")

	approve := find(t, card.Actions, "Approve until 20:00")
	st.Press(client, "16:05", approve, map[string][]string{"note": {"Go on"}})
	v := overtime("16:06")
	same(t, "approved", v.Approvals.Say, "Approved until 20:00 and up to $600.00.")
	same(t, "line", v.Approvals.Lines, []string{"Until 20:00, up to $600.00, asked by Pat Producer, approved by Pat Client 16:05"})
	same(t, "reply", asks(shoot.Producer, "16:06")[0].Reply, "Approved by Pat Client, 16:05. Go on.")
	same(t, "for half an hour", len(asks(shoot.Producer, "16:36")), 0)
	same(t, "kept", len(show[OwnDay](st, shoot.Client, "17:00", view.ScreenHours).Asks.Cards), 1)

	// The art director asks for the time alone; the producer adds the amount.
	box := show[OwnDay](st, shoot.ArtDirector, "17:00", view.ScreenHours).Asks
	same(t, "no amount to fill in", len(box.Ask.Form.Fields), 2)
	st.Press(art, "17:01", *box.Ask, map[string][]string{"until": {"21:00"}, "note": {""}})
	same(t, "no amount", asks(shoot.Client, "17:02")[0].Amount, "No amount is named.")
	old := find(t, asks(shoot.Client, "17:02")[0].Actions, "Approve until 21:00")
	change := find(t, asks(shoot.Producer, "17:03")[0].Actions, "Change it")
	same(t, "forms", []string{ask.Form.Title, ask.Form.Submit, change.Form.Title, change.Form.Submit}, []string{"Ask for overtime", "Ask", "Change what is asked", "Change it"})
	st.Press(ada, "17:03", change, map[string][]string{"amount": {"700"}})
	if _, r := st.Late(client, clock("17:02"), clock("17:04"), old.Name, old.Args); r == nil || r.Code != shoot.CodeStale {
		t.Errorf("an answer to what was asked before: %v", r)
	}
	st.Press(client, "17:05", find(t, asks(shoot.Client, "17:05")[0].Actions, "Decline"), nil)
	same(t, "declined", asks(shoot.ArtDirector, "17:06")[0].Mark, view.Mark{Word: "Declined", Shape: view.ShapeFlagDown, Tone: view.ToneStop})
	same(t, "as before", overtime("17:06").Approvals.Say, "Approved until 20:00 and up to $600.00.")
}

// drop takes the sign of the currency off.
func drop(s string) string { return s[1:] }

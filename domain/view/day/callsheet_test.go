package day

import (
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/view"
)

func TestCallSheetTellsWhatChangedForMe(t *testing.T) {
	st := newStage(t)
	crew, ada := person(shoot.Crew), person(shoot.Producer)
	v := show[CallSheet](st, shoot.Crew, "06:00", view.ScreenCallSheet)
	same(t, "title", v.Title, "Call sheet 1")
	same(t, "when", v.When, "Published 05:00 by the plan")
	same(t, "my call", v.MyCall+" "+v.MyCallSay, "08:00 Your call")
	same(t, "seen", v.SeenSay, "You have not seen a call sheet for this day yet.")
	st.Press(crew, "06:00", v.Seen, nil)

	v = show[CallSheet](st, shoot.Producer, "06:10", view.ScreenCallSheet)
	same(t, "unseen", v.Unseen.Say, "9 of 10 have not seen version 1")
	same(t, "publish", v.Draft.Publish.Enabled, false)
	contains(t, "why", v.Draft.Publish.Why, "Nothing has changed since version 1")
	for _, c := range v.Draft.Calls {
		if c.ID == string(crew) {
			st.Press(ada, "06:11", c.Edit, map[string][]string{"call": {"7:15"}})
		}
	}
	st.Press(ada, "06:12", v.Draft.Text, map[string][]string{"place.name": {"The Old Mill"}})
	v = show[CallSheet](st, shoot.ArtDirector, "06:13", view.ScreenCallSheet)
	same(t, "draft", v.Draft.Say, "Changed since version 1")
	same(t, "changes", v.Draft.Changes, []view.ChangeLine{{What: "Place", From: "The Mill", To: "The Old Mill"}, {What: "Call for Pat Crew", From: "08:00", To: "07:15"}})
	same(t, "place", v.Place, "The Mill")
	st.Press(ada, "06:15", v.Draft.Publish, nil)

	v = show[CallSheet](st, shoot.Crew, "06:16", view.ScreenCallSheet)
	same(t, "title", v.Title+", "+v.Earlier, "Call sheet 2, 1 earlier version")
	same(t, "said", v.ChangedSay, "Changed for you since version 1")
	same(t, "changed", v.Changed, []view.ChangeLine{{What: "Your call", From: "08:00", To: "07:15"}, {What: "Place", From: "The Mill", To: "The Old Mill"}})
	same(t, "unseen and draft", []any{v.Unseen, v.Draft, v.Crew}, []any{(*Unseen)(nil), (*DraftSheet)(nil), (*CrewHours)(nil)})
	st.Press(crew, "06:17", v.Seen, nil)
	v = show[CallSheet](st, shoot.Crew, "06:18", view.ScreenCallSheet)
	same(t, "seen", v.SeenSay, "You have seen this version, 06:17.")
	same(t, "button", v.Seen.Enabled, false)
	same(t, "department", v.Departments[0].Name+" "+v.Departments[0].People[0].Name, "Others Pat Crew")
	same(t, "phone", v.Departments[0].People[0].Tel, "tel:5550100")
}

// Each person's phone is on line, out of reach, or not known: three words and three
// shapes. Nobody is told so of themselves, nor of who has no access.
func TestReach(t *testing.T) {
	st := newStage(t)
	st.Do(person(shoot.Producer), "06:00", "person.access", obj{"person": person(shoot.Crew), "revoked": true})
	me, on := person(shoot.ArtDirector), person(shoot.PropStylist)
	rows := func(present map[shoot.PersonID]bool) map[string]*view.Mark {
		v, err := Make(string(view.ScreenCallSheet), st.State, Context{Context: view.Context{Me: me, Now: clock("06:10")}, Present: present})
		if err != nil {
			t.Fatal(err)
		}
		out := map[string]*view.Mark{}
		for _, d := range v.(*CallSheet).Departments {
			for _, p := range d.People {
				out[p.ID] = p.Reach
			}
		}
		return out
	}
	known, unknown := rows(map[shoot.PersonID]bool{on: true, me: true, person(shoot.Crew): true}), rows(nil)
	if _, there := known[string(person(shoot.Crew))]; there || len(known) < 5 || len(unknown) != len(known) {
		t.Fatalf("%v", known)
	}
	for id := range known {
		want, without := view.Mark{Word: "Phone out of reach", Shape: view.ShapeLinkAway, Tone: view.ToneCalm}, view.Mark{Word: "Reach not known", Shape: view.ShapeUnknown, Tone: view.ToneCalm}
		switch id {
		case string(me):
			same(t, "me", []*view.Mark{known[id], unknown[id]}, []*view.Mark{nil, nil})
			continue
		case string(on):
			want = view.Mark{Word: "Phone on line", Shape: view.ShapeLinkLive, Tone: view.ToneGood}
		}
		same(t, id, *known[id], want)
		same(t, id, *unknown[id], without)
	}
}

// Back and forth over two versions is no change.
func TestChangesRunTogetherOverVersions(t *testing.T) {
	st := newStage(t)
	crew, ada := person(shoot.Crew), person(shoot.Producer)
	st.Do(crew, "06:00", "sheet.seen", obj{"day": day1, "number": 1})
	call := func(from, to string, number int) {
		st.Do(ada, "06:10", "call.set", obj{"day": day1, "person": crew, "call": to, "was": from})
		st.Do(ada, "06:10", "sheet.publish", obj{"day": day1, "number": number})
	}
	call("08:00", "09:00", 2)
	call("09:00", "08:00", 3)
	v := show[CallSheet](st, shoot.Crew, "06:20", view.ScreenCallSheet)
	same(t, "changed", v.Changed, []view.ChangeLine{})
	same(t, "said", v.ChangedSay, "Nothing has changed for you since version 1.")
}

func TestHoursAndBothClocks(t *testing.T) {
	st := newStage(t)
	crew := person(shoot.Crew)
	v := show[CallSheet](st, shoot.Crew, "08:00", view.ScreenCallSheet)
	same(t, "mark", v.Hours.Mark, view.Mark{Word: "Not signed in", Shape: view.ShapePostLine, Tone: view.ToneCalm})
	same(t, "out", find(t, v.Hours.Actions, "Sign out").Why, "Sign in first.")
	same(t, "question", find(t, v.Hours.Actions, "Sign in").Confirm, "")
	in := find(t, v.Hours.Actions, "Sign in")
	if _, r := st.Late(crew, clock("08:05"), clock("09:00"), in.Name, in.Args); r != nil {
		t.Fatal(r)
	}
	v = show[CallSheet](st, shoot.Crew, "13:10", view.ScreenCallSheet)
	same(t, "punch", v.Hours.Punches, []PunchRow{{"Signed in", view.Made{Happened: "08:05", Received: "received 09:00", By: "Pat Crew"}}})
	st.Press(crew, "13:10", find(t, v.Hours.Actions, "Go to the meal"), nil)
	v = show[CallSheet](st, shoot.Crew, "13:40", view.ScreenCallSheet)
	same(t, "mark", v.Hours.Mark.Shape, view.ShapePostGap)
	same(t, "worked", v.Hours.Worked, "5 h 05 min on the clock, meals left out")
	same(t, "out", find(t, v.Hours.Actions, "Sign out").Why, "Come back from the meal first.")
	st.Press(crew, "13:55", find(t, v.Hours.Actions, "Back from the meal"), nil)
	v = show[CallSheet](st, shoot.Crew, "14:00", view.ScreenCallSheet)
	same(t, "soon received", v.Hours.Punches[2].Made.Received, "")

	// Another time, past midnight, by the form.
	st.Press(crew, "26:20", find(t, v.Hours.Actions, "Enter another time"), map[string][]string{"kind": {"out"}, "at": {"26:15"}})
	v = show[CallSheet](st, shoot.Crew, "26:20", view.ScreenCallSheet, func(c *Context) { c.Day = shoot.DayID(day1) })
	same(t, "out", v.Hours.Punches[3], PunchRow{"Signed out", view.Made{Happened: "02:15 +1", Received: "received 02:20 +1", By: "Pat Crew"}})
	same(t, "mark", v.Hours.Mark, view.Mark{Word: "Signed out", Shape: view.ShapePostFoot, Tone: view.ToneCalm})
	same(t, "the way back, where one just signed out", find(t, v.Hours.Actions, "Sign in").Confirm, "Signed out 02:15 +1 already. Sign in again?")
}

func TestPunchEverybody(t *testing.T) {
	st := newStage(t)
	ada := person(shoot.Producer)
	st.Do(person(shoot.Crew), "07:50", "punch", obj{"day": day1, "people": []shoot.PersonID{person(shoot.Crew)}, "kind": "in"})
	v := show[CallSheet](st, shoot.Producer, "08:00", view.ScreenCallSheet)
	same(t, "say", v.Crew.Say, "1 person on the clock, 0 at the meal, 9 not on the clock")
	in := find(t, v.Crew.Everybody, "Sign everybody in")
	same(t, "question", in.Confirm, "Sign everybody in: 9 people, now?")
	st.Press(ada, "08:00", in, nil)
	v = show[CallSheet](st, shoot.Producer, "08:01", view.ScreenCallSheet)
	same(t, "say", v.Crew.Say, "10 people on the clock, 0 at the meal, 0 not on the clock")
	same(t, "again", find(t, v.Crew.Everybody, "Sign everybody in").Why, "Everybody who is called has signed in.")
	row := v.Crew.Rows[len(v.Crew.Rows)-1]
	same(t, "row", row.Name+" "+row.Say, "Pat Crew in 07:50")
	if has(row.Actions, "Sign in") || !has(row.Actions, "Sign out") {
		t.Errorf("actions do not go with presence: %+v", row.Actions)
	}
}

func TestNoSigningInOnAnotherDay(t *testing.T) {
	st := newStage(t)
	v := show[CallSheet](st, shoot.Crew, "08:00", view.ScreenCallSheet, func(c *Context) { c.Day = shoot.DayID(day2) })
	same(t, "when", v.When, "No call sheet has been published for this day yet.")
	same(t, "why", find(t, v.Hours.Actions, "Sign in").Why, "Signing in is for the day itself: Thursday 26 November 2026.")
}

package view

import (
	"testing"

	"fairday/domain/shoot"
)

func TestCallSheetTellsWhatChangedForMe(t *testing.T) {
	st := newStage(t)
	crew, ada := person(shoot.Crew), person(shoot.Producer)
	v := show[CallSheet](st, shoot.Crew, "06:00", ScreenCallSheet)
	same(t, "title", v.Title, "Call sheet 1")
	same(t, "when", v.When, "Published 05:00 by the plan")
	same(t, "my call", v.MyCall+" "+v.MyCallSay, "08:00 Your call")
	same(t, "seen", v.SeenSay, "You have not seen a call sheet for this day yet.")
	st.press(crew, "06:00", v.Seen, nil)

	v = show[CallSheet](st, shoot.Producer, "06:10", ScreenCallSheet)
	same(t, "unseen", v.Unseen.Say, "9 of 10 have not seen version 1")
	same(t, "publish", v.Draft.Publish.Enabled, false)
	contains(t, "why", v.Draft.Publish.Why, "Nothing has changed since version 1")
	for _, c := range v.Draft.Calls {
		if c.ID == string(crew) {
			st.press(ada, "06:11", c.Edit, map[string][]string{"call": {"7:15"}})
		}
	}
	st.press(ada, "06:12", v.Draft.Text, map[string][]string{"place.name": {"The Old Mill"}})
	v = show[CallSheet](st, shoot.ArtDirector, "06:13", ScreenCallSheet)
	same(t, "draft", v.Draft.Say, "Changed since version 1")
	same(t, "changes", v.Draft.Changes, []ChangeLine{{"Place", "The Mill", "The Old Mill"}, {"Call for Pat Crew", "08:00", "07:15"}})
	same(t, "place", v.Place, "The Mill")
	st.press(ada, "06:15", v.Draft.Publish, nil)

	v = show[CallSheet](st, shoot.Crew, "06:16", ScreenCallSheet)
	same(t, "title", v.Title+", "+v.Earlier, "Call sheet 2, 1 earlier version")
	same(t, "said", v.ChangedSay, "Changed for you since version 1")
	same(t, "changed", v.Changed, []ChangeLine{{"Your call", "08:00", "07:15"}, {"Place", "The Mill", "The Old Mill"}})
	same(t, "unseen and draft", []any{v.Unseen, v.Draft, v.Crew}, []any{(*Unseen)(nil), (*DraftSheet)(nil), (*CrewHours)(nil)})
	st.press(crew, "06:17", v.Seen, nil)
	v = show[CallSheet](st, shoot.Crew, "06:18", ScreenCallSheet)
	same(t, "seen", v.SeenSay, "You have seen this version, 06:17.")
	same(t, "button", v.Seen.Enabled, false)
	same(t, "department", v.Departments[0].Name+" "+v.Departments[0].People[0].Name, "Others Pat Crew")
	same(t, "phone", v.Departments[0].People[0].Tel, "tel:5550100")
}

// Each person's phone is on line, out of reach, or not known: three words and three
// shapes. Nobody is told so of themselves, nor of who has no access.
func TestReach(t *testing.T) {
	st := newStage(t)
	st.do(person(shoot.Producer), "06:00", "person.access", obj{"person": person(shoot.Crew), "revoked": true})
	me, on := person(shoot.ArtDirector), person(shoot.PropStylist)
	rows := func(present map[shoot.PersonID]bool) map[string]*Mark {
		v, err := Make(string(ScreenCallSheet), st.s, Context{Me: me, Now: clock("06:10"), Present: present})
		if err != nil {
			t.Fatal(err)
		}
		out := map[string]*Mark{}
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
		want, without := Mark{"Phone out of reach", ShapeLinkAway, ToneCalm}, Mark{"Reach not known", ShapeUnknown, ToneCalm}
		switch id {
		case string(me):
			same(t, "me", []*Mark{known[id], unknown[id]}, []*Mark{nil, nil})
			continue
		case string(on):
			want = Mark{"Phone on line", ShapeLinkLive, ToneGood}
		}
		same(t, id, *known[id], want)
		same(t, id, *unknown[id], without)
	}
}

// Back and forth over two versions is no change.
func TestChangesRunTogetherOverVersions(t *testing.T) {
	st := newStage(t)
	crew, ada := person(shoot.Crew), person(shoot.Producer)
	st.do(crew, "06:00", "sheet.seen", obj{"day": day1, "number": 1})
	call := func(from, to string, number int) {
		st.do(ada, "06:10", "call.set", obj{"day": day1, "person": crew, "call": to, "was": from})
		st.do(ada, "06:10", "sheet.publish", obj{"day": day1, "number": number})
	}
	call("08:00", "09:00", 2)
	call("09:00", "08:00", 3)
	v := show[CallSheet](st, shoot.Crew, "06:20", ScreenCallSheet)
	same(t, "changed", v.Changed, []ChangeLine{})
	same(t, "said", v.ChangedSay, "Nothing has changed for you since version 1.")
}

func TestHoursAndBothClocks(t *testing.T) {
	st := newStage(t)
	crew := person(shoot.Crew)
	v := show[CallSheet](st, shoot.Crew, "08:00", ScreenCallSheet)
	same(t, "mark", v.Hours.Mark, Mark{"Not signed in", ShapePostLine, ToneCalm})
	same(t, "out", find(t, v.Hours.Actions, "Sign out").Why, "Sign in first.")
	same(t, "question", find(t, v.Hours.Actions, "Sign in").Confirm, "")
	in := find(t, v.Hours.Actions, "Sign in")
	if _, r := st.late(crew, clock("08:05"), clock("09:00"), in.Name, in.Args); r != nil {
		t.Fatal(r)
	}
	v = show[CallSheet](st, shoot.Crew, "13:10", ScreenCallSheet)
	same(t, "punch", v.Hours.Punches, []PunchRow{{"Signed in", Made{"08:05", "received 09:00", "Pat Crew"}}})
	st.press(crew, "13:10", find(t, v.Hours.Actions, "Go to the meal"), nil)
	v = show[CallSheet](st, shoot.Crew, "13:40", ScreenCallSheet)
	same(t, "mark", v.Hours.Mark.Shape, ShapePostGap)
	same(t, "worked", v.Hours.Worked, "5 h 05 min on the clock, meals left out")
	same(t, "out", find(t, v.Hours.Actions, "Sign out").Why, "Come back from the meal first.")
	st.press(crew, "13:55", find(t, v.Hours.Actions, "Back from the meal"), nil)
	v = show[CallSheet](st, shoot.Crew, "14:00", ScreenCallSheet)
	same(t, "soon received", v.Hours.Punches[2].Made.Received, "")

	// Another time, past midnight, by the form.
	st.press(crew, "26:20", find(t, v.Hours.Actions, "Enter another time"), map[string][]string{"kind": {"out"}, "at": {"26:15"}})
	v = show[CallSheet](st, shoot.Crew, "26:20", ScreenCallSheet, func(c *Context) { c.Day = shoot.DayID(day1) })
	same(t, "out", v.Hours.Punches[3], PunchRow{"Signed out", Made{"02:15 +1", "received 02:20 +1", "Pat Crew"}})
	same(t, "mark", v.Hours.Mark, Mark{"Signed out", ShapePostFoot, ToneCalm})
	same(t, "the way back, where one just signed out", find(t, v.Hours.Actions, "Sign in").Confirm, "Signed out 02:15 +1 already. Sign in again?")
}

func TestPunchEverybody(t *testing.T) {
	st := newStage(t)
	ada := person(shoot.Producer)
	st.do(person(shoot.Crew), "07:50", "punch", obj{"day": day1, "people": []shoot.PersonID{person(shoot.Crew)}, "kind": "in"})
	v := show[CallSheet](st, shoot.Producer, "08:00", ScreenCallSheet)
	same(t, "say", v.Crew.Say, "1 person on the clock, 0 at the meal, 9 not on the clock")
	in := find(t, v.Crew.Everybody, "Sign everybody in")
	same(t, "question", in.Confirm, "Sign everybody in: 9 people, now?")
	st.press(ada, "08:00", in, nil)
	v = show[CallSheet](st, shoot.Producer, "08:01", ScreenCallSheet)
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
	v := show[CallSheet](st, shoot.Crew, "08:00", ScreenCallSheet, func(c *Context) { c.Day = shoot.DayID(day2) })
	same(t, "when", v.When, "No call sheet has been published for this day yet.")
	same(t, "why", find(t, v.Hours.Actions, "Sign in").Why, "Signing in is for the day itself: Thursday 26 November 2026.")
}

package shoot

import "testing"

// SPEC V11: what was reported before an access was withdrawn, and arrives after,
// is for the producer; anything else is refused as before.
func TestReportsFromBeforeAWithdrawal(t *testing.T) {
	gone := func(t *testing.T) (*stage, func(want Code, happened, name string, args any)) {
		st := newStage(t)
		st.must(ada, clock("10:00"), "person.access", personAccess{Person: cam, Revoked: true})
		return st, func(want Code, happened, name string, args any) {
			t.Helper()
			flag, r := st.late(cam, clock(happened), clock("10:30"), name, args)
			switch {
			case want == FlagReview && (flag == nil || flag.Code != want):
				t.Errorf("%s of %s: flag %+v, %v", name, happened, flag, r)
			case want != FlagReview && (r == nil || r.Code != want):
				t.Errorf("%s of %s: %+v, refusal %v", name, happened, flag, r)
			}
		}
	}
	only := func(st *stage) Report {
		for _, r := range st.s.Office.Reports {
			return r
		}
		return Report{}
	}
	st, send := gone(t)
	floor := st.s.FloorHash()
	send(FlagReview, "09:50", "shot.capture", shotCapture{shotFree, "12-14"})
	send(CodeNotAllowed, "10:01", "shot.capture", shotCapture{shotLamp, ""})
	send(CodeNotAllowed, "09:50", "shot.open", shotOpen{shotFree})                                    // a request
	send(CodeNotAllowed, "09:50", "hero.swap", heroSwap{lamp, ""})                                    // not for their role
	send(CodeBadArgs, "09:50", "shot.capture", 7)                                                     // not readable
	send(CodeNotAllowed, "09:50", "terms.set", termsSet{Person: crew})                                // money
	if _, r := st.late(cam, 0, clock("10:30"), "shot.capture", shotCapture{shotFree, ""}); r == nil { // no claim
		t.Error("without a time it may be from after the withdrawal")
	}
	if st.s.FloorHash() != floor || len(st.s.Office.Reports) != 1 {
		t.Fatalf("%d reports, or it counts already", len(st.s.Office.Reports))
	}
	id := only(st).ID
	st.refused(CodeNotAllowed, art, clock("10:35"), "report.settle", reportSettle{id, Keep, ""})
	st.refused(CodeUnknownThing, ada, clock("10:35"), "report.settle", reportSettle{"none", Keep, ""})
	st.refused(CodeBadArgs, ada, clock("10:35"), "report.settle", reportSettle{id, "maybe", ""})
	st.flagged(FlagQueried, ada, clock("10:40"), "report.settle", reportSettle{id, Keep, "He was there."}) // it was not open
	if sh := st.s.Floor.Shots[shotFree]; sh.CapturedBy != cam || sh.Captured != clock("09:50") || sh.Progress != Queried {
		t.Errorf("it counts as %+v", sh)
	}
	if r := only(st); r.Ruling != Keep || r.By != ada || r.Settled != clock("10:40") {
		t.Errorf("%+v", r)
	}
	st.must(ada, clock("10:41"), "report.settle", reportSettle{id, Keep, ""})
	st.refused(CodeSettled, ada, clock("10:41"), "report.settle", reportSettle{id, Drop, ""})

	st, send = gone(t)
	floor = st.s.FloorHash()
	send(FlagReview, "09:50", "punch", punch{Day: day1, People: []PersonID{cam}, Kind: MarkIn})
	st.must(ada, clock("10:40"), "report.settle", reportSettle{only(st).ID, Drop, ""})
	if st.s.FloorHash() != floor {
		t.Error("it was dropped, and counts")
	}

	_, send = gone(t)
	for range mostReports {
		send(FlagReview, "09:50", "punch", punch{Day: day1, People: []PersonID{cam}, Kind: MarkIn})
	}
	send(CodeNotAllowed, "09:50", "punch", punch{Day: day1, People: []PersonID{cam}, Kind: MarkIn})

	st, _ = gone(t)
	st.must(ada, clock("10:10"), "person.set", personSet{ID: cam, Name: "Person", Role: Digitech, Base: 1})
	if p := st.s.Floor.People[cam]; p.Withdrawn != clock("10:00") {
		t.Error("a new role forgets since when access is withdrawn")
	}
	st.must(ada, clock("10:20"), "person.access", personAccess{Person: cam})
	st.must(cam, clock("10:30"), "shot.frames", shotFrames{shotFree, "9"})
	if p := st.s.Floor.People[cam]; p.Withdrawn != 0 || len(st.s.Office.Reports) != 0 {
		t.Errorf("%+v, given back", p)
	}
}

package shoot

import (
	"strings"
	"testing"

	"fairday/domain/when"
)

func TestGateHoldsUntilEverybodyNeededHasRead(t *testing.T) {
	st := newStage(t)
	open := shotOpen{shotLamp}
	r := st.refused(CodeHeld, art, clock("09:00"), "shot.open", open)
	if !strings.Contains(r.Say, "Lamp is not confirmed") {
		t.Errorf("the reason is missing: %s", r.Say)
	}
	read := heroRead{Hero: lamp, Plate: Plate{Designation: "LX-20", Finish: "brass"}, Checked: []string{"Glass is clean"}}
	st.must(prop, clock("09:01"), "hero.read", read)
	st.refused(CodeHeld, art, clock("09:02"), "shot.open", open)
	st.flagged(FlagSamePerson, prop, clock("09:03"), "hero.read", read)
	st.refused(CodeHeld, art, clock("09:04"), "shot.open", open)
	st.must(cust, clock("09:05"), "hero.read", read)
	st.must(art, clock("09:06"), "shot.open", open)
	st.progress(Open, shotLamp)
}

func TestMisreadSaysBothAndConfirmsNothing(t *testing.T) {
	st := newStage(t)
	f := st.flagged(FlagMismatch, prop, clock("09:00"), "hero.read",
		heroRead{Hero: lamp, Plate: Plate{Designation: "LX-20", Finish: "Chrome"}, Checked: []string{"Glass is clean"}})
	if f.Yours != "Chrome" || f.Theirs != "Brass" {
		t.Errorf("both values must be said: %+v", f)
	}
	h := st.s.Floor.Heroes[lamp]
	now := h.StandingAt(clock("09:01"))
	if now.Count != 0 || now.Misread == nil || now.Misread.Read != "Chrome" || now.Misread.Brief != "Brass" {
		t.Errorf("standing %+v", now)
	}
	f = st.flagged(FlagMismatch, prop, clock("09:02"), "hero.read", heroRead{Hero: lamp, Plate: Plate{Finish: "Brass"}})
	if f.Yours != "(nothing)" || f.Theirs != "LX-20" {
		t.Errorf("a plate field that was not read must be said: %+v", f)
	}
	st.refused(CodeChecklist, prop, clock("09:03"), "hero.read", heroRead{Hero: lamp, Plate: Plate{Designation: "LX-20", Finish: "Brass"}})
}

func TestConfirmationLapses(t *testing.T) {
	for _, tt := range []struct {
		intent string
		who    PersonID
		args   any
		say    string
	}{
		{"hero.swap", prop, heroSwap{Hero: lamp}, "swapped"},
		{"hero.away", prop, heroAway{Hero: lamp}, "off set"},
		{"hero.refuse", cust, heroRefuse{Hero: lamp, Note: "scratched"}, "refused"},
		{"hero.set", art, heroSet{HeroPlan: HeroPlan{ID: lamp, Name: "Lamp", Plate: Plate{Designation: "LX-30"}, Needs: 2}, Base: 1}, "brief"},
	} {
		t.Run(tt.intent, func(t *testing.T) {
			st := newStage(t)
			st.confirmLamp(clock("09:00"))
			st.must(tt.who, clock("09:30"), tt.intent, tt.args)
			r := st.refused(CodeHeld, art, clock("09:31"), "shot.open", shotOpen{shotLamp})
			if !strings.Contains(r.Say, tt.say) {
				t.Errorf("%q does not say %q", r.Say, tt.say)
			}
		})
	}
}

func TestFoodHoldRunsOut(t *testing.T) {
	st := newStage(t)
	st.must(food, clock("12:00"), "hero.read", heroRead{Hero: soup, Plate: Plate{Serial: "b7"}})
	h := st.s.Floor.Heroes[soup]
	if !h.StandingAt(clock("12:30") - 1).Confirmed {
		t.Error("held up to the last millisecond")
	}
	if h.StandingAt(clock("12:30")).Confirmed {
		t.Error("the hold time has run out")
	}
	r := st.refused(CodeHeld, art, clock("12:30"), "shot.open", shotOpen{shotSoup})
	if !strings.Contains(r.Say, "hold time") {
		t.Error(r.Say)
	}
	st.must(food, clock("12:40"), "hero.read", heroRead{Hero: soup, Plate: Plate{Serial: "b7"}})
	st.must(art, clock("12:41"), "shot.open", shotOpen{shotSoup})
}

func TestReadingThatArrivesAfterALapseFindsItsPlace(t *testing.T) {
	st := newStage(t)
	st.must(food, clock("12:00"), "hero.swap", heroSwap{Hero: soup})
	f, r := st.late(food, clock("11:50"), clock("12:10"), "hero.read", heroRead{Hero: soup, Plate: Plate{Serial: "b7"}})
	if r != nil || f == nil || f.Code != FlagLate {
		t.Fatalf("flag %+v, refusal %v", f, r)
	}
	h := st.s.Floor.Heroes[soup]
	if !h.StandingAt(clock("11:55")).Confirmed || h.StandingAt(clock("12:10")).Confirmed {
		t.Error("it was confirmed from 11:50 to the swap, and is not now")
	}
}

// An opening asked for offline, before a lapse the phone did not know of, must
// not open the shot now.
func TestOpeningIsJudgedThenAndNow(t *testing.T) {
	st := newStage(t)
	st.confirmLamp(clock("09:00"))
	st.must(prop, clock("09:20"), "hero.swap", heroSwap{Hero: lamp})
	if _, r := st.late(art, clock("09:10"), clock("09:25"), "shot.open", shotOpen{shotLamp}); r == nil || r.Code != CodeHeld {
		t.Fatalf("got %v", r)
	}
}

func TestCaptureInDoubtIsKeptAndQueried(t *testing.T) {
	setUp := func(t *testing.T) *stage {
		st := newStage(t)
		st.confirmLamp(clock("09:00"))
		st.must(art, clock("09:05"), "shot.open", shotOpen{shotLamp})
		return st
	}
	capture := shotCapture{Shot: shotLamp, Frames: "0012-0040"}
	refuse := heroRefuse{Hero: lamp, Note: "wrong brass"}
	check := func(t *testing.T, st *stage) {
		t.Helper()
		st.progress(Queried, shotLamp)
		if len(st.s.Floor.Queries) != 1 {
			t.Fatalf("%d queries", len(st.s.Floor.Queries))
		}
		for id, q := range st.s.Floor.Queries {
			if q.Said.By != cam || q.Against.By != cust || !strings.Contains(q.Against.Text, "wrong brass") {
				t.Errorf("both sides must be told: %+v", q)
			}
			if st.s.Floor.Shots[shotLamp].Captured != clock("09:20") {
				t.Error("the time of the capture must be the claim")
			}
			st.refused(CodeNotAllowed, cust, clock("10:00"), "query.settle", querySettle{Query: id, Ruling: Keep})
			st.must(art, clock("10:00"), "query.settle", querySettle{Query: id, Ruling: Keep, Note: "Retouch"})
			st.progress(Captured, shotLamp)
			r := st.refused(CodeSettled, ada, clock("10:01"), "query.settle", querySettle{Query: id, Ruling: Drop})
			if r.Yours != "drop" || r.Theirs != "keep" {
				t.Errorf("both rulings must be told: %+v", r)
			}
		}
	}
	t.Run("refused before, capture arrives later", func(t *testing.T) {
		st := setUp(t)
		st.must(cust, clock("09:10"), "hero.refuse", refuse)
		if f, r := st.late(cam, clock("09:20"), clock("09:40"), "shot.capture", capture); r != nil || f == nil || f.Code != FlagQueried {
			t.Fatalf("flag %+v, refusal %v", f, r)
		}
		check(t, st)
	})
	t.Run("refused after, capture arrives later", func(t *testing.T) {
		st := setUp(t)
		st.must(cust, clock("09:30"), "hero.refuse", refuse)
		if f, r := st.late(cam, clock("09:20"), clock("09:40"), "shot.capture", capture); r != nil || f == nil || f.Code != FlagQueried {
			t.Fatalf("flag %+v, refusal %v", f, r)
		}
		check(t, st)
	})
	t.Run("capture first, refused after", func(t *testing.T) {
		st := setUp(t)
		st.must(cam, clock("09:20"), "shot.capture", capture)
		st.flagged(FlagQueried, cust, clock("09:30"), "hero.refuse", refuse)
		check(t, st)
	})
	t.Run("swapped after the capture", func(t *testing.T) {
		st := setUp(t)
		st.must(prop, clock("09:30"), "hero.swap", heroSwap{Hero: lamp})
		if f, r := st.late(cam, clock("09:20"), clock("09:40"), "shot.capture", capture); r != nil || f != nil {
			t.Fatalf("flag %+v, refusal %v", f, r)
		}
		st.progress(Captured, shotLamp)
	})
	t.Run("dropped", func(t *testing.T) {
		st := setUp(t)
		st.must(cust, clock("09:10"), "hero.refuse", refuse)
		st.flagged(FlagQueried, cam, clock("09:20"), "shot.capture", capture)
		for id := range st.s.Floor.Queries {
			st.must(ada, clock("09:30"), "query.settle", querySettle{Query: id, Ruling: Drop})
		}
		st.progress(Planned, shotLamp)
		if sh := st.s.Floor.Shots[shotLamp]; sh.Captured != 0 || sh.CapturedBy != "" {
			t.Errorf("a dropped capture is no capture: %+v", sh)
		}
	})
	t.Run("not open", func(t *testing.T) {
		st := newStage(t)
		st.flagged(FlagQueried, cam, clock("09:20"), "shot.capture", shotCapture{Shot: shotFree})
		st.progress(Queried, shotFree)
	})
}

func TestCaptureTwiceIsOne(t *testing.T) {
	st := newStage(t)
	st.must(art, clock("09:00"), "shot.open", shotOpen{shotFree})
	st.must(cam, clock("09:10"), "shot.capture", shotCapture{Shot: shotFree})
	st.must(art, clock("09:12"), "shot.capture", shotCapture{Shot: shotFree, Frames: "7"})
	sh := st.s.Floor.Shots[shotFree]
	if sh.Captured != clock("09:10") || sh.CapturedBy != cam || sh.Frames != "7" || len(sh.Spans) != 1 || sh.Spans[0].To != clock("09:10") {
		t.Errorf("%+v", sh)
	}
}

func TestClockThatCannotBeBelieved(t *testing.T) {
	st := newStage(t)
	st.must(art, clock("09:00"), "shot.open", shotOpen{shotFree})
	f, r := st.late(cam, clock("09:00")+3*when.Hour, clock("09:10"), "shot.capture", shotCapture{Shot: shotFree})
	if r != nil || f == nil || f.Code != FlagClock {
		t.Fatalf("flag %+v, refusal %v", f, r)
	}
	if got := st.s.Floor.Shots[shotFree].Captured; got != clock("09:10") {
		t.Errorf("captured at %d", got)
	}
}

func TestSwapBeforeAnybodyReadSaysSo(t *testing.T) {
	st := newStage(t)
	st.must(prop, clock("09:00"), "hero.swap", heroSwap{Hero: lamp})
	if r := st.refused(CodeHeld, art, clock("09:01"), "shot.open", shotOpen{shotLamp}); !strings.Contains(r.Say, "was swapped") {
		t.Error(r.Say)
	}
}

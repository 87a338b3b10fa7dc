package shoot

import "testing"

// SPEC Q14: a fact that somebody else delivers counts as its owner's and says who
// delivered it; a request, and what is about money, waits for its owner's own word.
func TestWhatSomebodyElseDelivers(t *testing.T) {
	st := newStage(t)
	st.must(art, clock("09:40"), "shot.open", shotOpen{shotFree})
	st.via = crew
	st.must(cam, clock("09:50"), "shot.capture", shotCapture{shotFree, "12-14"})
	st.must(cam, clock("09:52"), "punch", punch{Day: day1, People: []PersonID{cam}, Kind: MarkIn, At: clock("08:05")})
	if by := st.s.Floor.Shots[shotFree].CapturedBy; by != cam {
		t.Errorf("the capture is by %s", by)
	}
	for _, at := range []string{"09:50", "08:05"} {
		if via := st.s.Floor.Delivered[DeliveryOf(cam, clock(at))]; via != crew {
			t.Errorf("what was reported of %s was delivered by %q", at, via)
		}
	}
	floor := st.s.FloorHash()
	st.refused(CodeOwnWord, art, clock("10:00"), "shot.cut", shotCut{Shot: shotLamp})
	st.refused(CodeOwnWord, ada, clock("10:00"), "terms.set", termsSet{Person: crew})
	st.refused(CodeOwnWord, cam, clock("10:00"), "pay.sign", paySign{Day: day1})
	st.refused(CodeOwnWord, art, clock("10:00"), "shot.cut", 7) // nobody is told more of it than that
	st.refused(CodeNotAllowed, cook, clock("10:00"), "shot.capture", shotCapture{shotLamp, ""})
	st.refused(CodeUnknownIntent, cam, clock("10:00"), "shot.sing", 7)
	st.must(cam, clock("10:05"), "shot.capture", shotCapture{shotFree, "12-14"}) // it was so already
	if st.s.FloorHash() != floor {
		t.Error("what was refused, or was so already, has left something")
	}
	st.via = ""
	st.must(art, clock("10:10"), "punch", punch{Day: day1, People: []PersonID{art}, Kind: MarkIn})
	if len(st.s.Floor.Delivered) != 2 {
		t.Errorf("deliveries: %+v", st.s.Floor.Delivered)
	}
}

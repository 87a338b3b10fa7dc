package replica_test

import (
	"testing"

	"fairday/domain/shoot"
	"fairday/sync/replica"
	"fairday/sync/wire"
)

// SPEC Q12: what is handed over is what waits, in order, in messages that fit;
// what has its verdict or was discarded is left out and not waited for.
func TestHandoverIsWhatWaits(t *testing.T) {
	s := newSet(t)
	cam := s.phone(photographer).connect()
	if got := cam.r.Handover(); len(got) != 0 {
		t.Fatalf("with nothing waiting there is %+v", got)
	}
	cam.enter("shot.capture", capture(3))
	s.flush() // has its verdict
	cam.cut()
	var want []shoot.IntentID
	for range wire.MaxEdits + 40 {
		step := cam.enter("shot.frames", map[string]any{"shot": shotID(3), "frames": "17"})
		want = append(want, step.Keep[0].Edit.ID)
	}
	cam.do(cam.r.Discard(7))
	want = append(want[:5], want[6:]...) // the first was number 2
	var got []shoot.IntentID
	last := uint64(0)
	for _, visit := range cam.r.Handover() {
		if len(visit.Edits) > wire.MaxEdits || visit.Hello.Sent != uint64(wire.MaxEdits+41) || visit.Hello.Cursor != "" {
			t.Errorf("%d edits in a visit of %+v", len(visit.Edits), visit.Hello)
		}
		if first := visit.Edits[0].Seq; first != last+1 && visit.After != first-1 {
			t.Errorf("number %d comes after %d, and the desk is told %d", first, last, visit.After)
		}
		for _, e := range visit.Edits {
			got, last = append(got, e.ID), e.Seq
		}
	}
	if len(got) != len(want) {
		t.Fatalf("%d edits are handed over, %d wait", len(got), len(want))
	}
	for i := range got {
		if got[i] != want[i] {
			t.Fatalf("edit %d is %s, want %s", i, got[i], want[i])
		}
	}
	if again := replica.New("d", "p", ""); len(again.Handover()) != 0 {
		t.Error("a phone that knows nothing hands something over")
	}
}

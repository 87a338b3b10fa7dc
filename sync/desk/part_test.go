package desk_test

import (
	"bytes"
	"slices"
	"sync"
	"sync/atomic"
	"testing"

	"fairday/sync/desk"
	"fairday/sync/sim"
	"fairday/sync/wire"
)

// SPEC A10: what many share is packed once, however many ask at the same time.
func TestPartIsPackedOnce(t *testing.T) {
	p := &desk.Part{Text: []byte("kettle")}
	var times atomic.Int64
	var all sync.WaitGroup
	for range 100 {
		all.Go(func() {
			got := p.Packed(func(p *desk.Part) []byte { times.Add(1); return bytes.ToUpper(p.Text) })
			if string(got) != "KETTLE" {
				t.Errorf("got %s", got)
			}
		})
	}
	if all.Wait(); times.Load() != 1 {
		t.Errorf("packed %d times", times.Load())
	}
}

// SPEC A9, A10: many events are shared by the frames that have them, and few are
// not; either way a frame says what it would say alone.
func TestLargeFramesShareTheirEvents(t *testing.T) {
	r := newRoom(t, nil)
	a, b, ad := r.join(crew), r.join(photographer), r.join(director)
	seq := uint64(0)
	setups := func(n int) (edits []wire.Edit) {
		for range n {
			seq++
			edits = append(edits, r.edit(seq, "setup.set", sim.Set{"id": sim.ID(0x70000 + int(seq)), "name": "North window", "minutes": 20, "base": 0}))
		}
		return edits
	}
	for n, shared := range map[int]bool{1: false, 60: true} {
		outs := r.sent(ad, setups(n)...)
		of := func(id desk.ConnID) desk.Out {
			return outs[slices.IndexFunc(outs, func(o desk.Out) bool { return o.To == id })]
		}
		if got := len(of(a).Rest) > 0; got != shared || shared && (of(a).Rest[0] != of(b).Rest[0] || of(a).Rest[0] != of(ad).Rest[0]) {
			t.Errorf("the events of %d edits are shared: %v", n, got)
		}
		for _, id := range []desk.ConnID{a, b, ad} {
			f := to(t, id, outs)[0].(wire.Frame)
			if len(f.Events) != n || len(f.Verdicts) != map[bool]int{true: n}[id == ad] {
				t.Errorf("%d events and %d verdicts of %d edits", len(f.Events), len(f.Verdicts), n)
			}
		}
	}
}

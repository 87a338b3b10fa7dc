package desk_test

import (
	"errors"
	"strings"
	"testing"

	"fairday/sync/desk"
	"fairday/sync/sim"
	"fairday/sync/wire"
)

// SPEC I5, I6: gaps.
func TestGap(t *testing.T) {
	r := newRoom(t, nil)
	ad := r.join(director)
	outs := r.sent(ad, r.edit(1, "shot.cut", shotArg(0)), r.edit(3, "shot.cut", shotArg(1)), r.edit(4, "shot.cut", shotArg(2)))
	got := to(t, ad, outs)
	if len(got) != 2 || got[0] != (wire.Expect{Seq: 2}) || len(got[1].(wire.Frame).Verdicts) != 1 {
		t.Fatalf("a gap was answered with %+v", got)
	}
	outs = r.d.Receive(ad, wire.Edits{After: 2, Edits: []wire.Edit{r.edit(3, "shot.cut", shotArg(1)), r.edit(5, "shot.cut", shotArg(2))}}, now)
	outs = append(outs, r.flush()...)
	got = to(t, ad, outs)
	if len(got) != 2 || got[0] != (wire.Expect{Seq: 4}) || got[1].(wire.Frame).Verdicts[0].Seq != 3 {
		t.Errorf("after a gap that was explained: %+v", got)
	}
	r.open()
	_, outs = r.joined(director, wire.Hello{Sent: 9})
	if w := wireOf[wire.Welcome](t, outs[0]); w.Expect != 4 {
		t.Errorf("after a restart %d is expected", w.Expect)
	}
}

// SPEC I8: a phone that lost its queue becomes a new device.
func TestLostQueue(t *testing.T) {
	r := newRoom(t, nil)
	ad := r.join(director)
	r.sent(ad, r.edit(1, "shot.cut", shotArg(0)), r.edit(2, "shot.cut", shotArg(1)))
	id, outs := r.joined(director, wire.Hello{Sent: 1})
	if got := bye(t, id, outs); got != wire.CodeDevice || len(outs) != 1 {
		t.Errorf("answered with %q and %d messages", got, len(outs))
	}
}

// SPEC V8, V10, L2, A6: nothing is visible before it is durable, several share an
// append, and a failed one leaves no trace, and tells nobody whose edits it did not hold.
func TestFailedAppend(t *testing.T) {
	r := newRoom(t, nil)
	ad, cam, idle := r.join(director), r.join(photographer), r.join(crew)
	a, b := r.edit(1, "shot.cut", shotArg(0)), r.edit(1, "shot.capture", capture(1))
	state, head := encoded(t, r.d.State()), r.d.Head()
	r.d.Receive(idle, wire.Edits{Edits: []wire.Edit{r.edit(7, "shot.cut", shotArg(0))}}, now) // not taken: there is no edit 6
	submit := func() *desk.Batch {
		for _, outs := range [][]desk.Out{
			r.d.Receive(ad, wire.Edits{Edits: []wire.Edit{a}}, now), r.d.Receive(cam, wire.Edits{Edits: []wire.Edit{b}}, now)} {
			if len(outs) > 0 {
				t.Fatalf("said before the commit: %s", outs[0].Text)
			}
		}
		return r.d.Take()
	}
	batch := submit()
	if len(batch.Entries) != 2 || encoded(t, r.d.State()) != state {
		t.Fatalf("the batch has %d entries, or is visible already", len(batch.Entries))
	}
	outs := r.d.Abandon(batch)
	if bye(t, ad, outs) != wire.CodeUnavailable || bye(t, cam, outs) != wire.CodeUnavailable || len(to(t, idle, outs)) != 0 {
		t.Errorf("told %+v", outs)
	}
	if encoded(t, r.d.State()) != state || r.d.Head() != head {
		t.Error("the failed batch left a trace")
	}
	ad, cam = r.join(director), r.join(photographer)
	batch = submit()
	r.check(r.log.Append(sim.ShootID, batch.Entries, batch.Checkpoint))
	outs = r.d.Commit(batch)
	if v := r.verdict(ad, outs); v.Result != wire.Accepted {
		t.Errorf("after the second try: %+v", v)
	}
	if v := r.verdict(cam, outs); v.Result != wire.Flagged {
		t.Errorf("after the second try: %+v", v)
	}
	if n := len(to(t, idle, outs)); n != 1 {
		t.Errorf("two edits in one append made %d frames", n)
	}
}

// SPEC V10: a failing store is no verdict.
func TestFailingStore(t *testing.T) {
	var f *failing
	r := newRoom(t, func(c *desk.Config) { f = &failing{Memory: c.Log.(*desk.Memory)}; c.Log = f })
	ad := r.join(director)
	e := r.edit(1, "shot.cut", shotArg(0))
	f.broken = true
	if got := bye(t, ad, r.d.Receive(ad, wire.Edits{Edits: []wire.Edit{e}}, now)); got != wire.CodeUnavailable {
		t.Errorf("answered with %q", got)
	}
	f.broken = false
	ad = r.join(director)
	r.d.Receive(ad, wire.Edits{Edits: []wire.Edit{e}}, now)
	f.broken = true
	outs, err := r.d.Flush()
	if !errors.Is(err, errDisk) || bye(t, ad, outs) != wire.CodeUnavailable {
		t.Errorf("%v, %v", outs, err)
	}
	f.broken = false
	ad = r.join(director)
	if v := r.verdict(ad, r.sent(ad, e)); v.Result != wire.Accepted {
		t.Errorf("after the failure: %+v", v)
	}
}

// SPEC W6, W7: order on a connection, and that the others do not notice.
func TestConnectionOrder(t *testing.T) {
	r := newRoom(t, nil)
	ad := r.join(director)
	hello := wire.Hello{Protocol: 1, Device: deviceOf(crew), Sent: 5}
	for name, c := range map[string]struct {
		say  []wire.Message
		code wire.Code
	}{
		"edits before hello": {[]wire.Message{wire.Edits{}}, wire.CodeOrder},
		"hello twice":        {[]wire.Message{hello, hello}, wire.CodeOrder},
		"a desk's message":   {[]wire.Message{hello, wire.Welcome{}}, wire.CodeOrder},
		"a newer protocol":   {[]wire.Message{wire.Hello{Protocol: wire.Protocol + 1, Device: deviceOf(crew)}}, wire.CodeProtocol},
	} {
		r.next++
		r.d.Attach(r.next, sim.Person(crew))
		var outs []desk.Out
		for _, m := range c.say {
			outs = append(outs, r.d.Receive(r.next, m, now)...)
		}
		if got := bye(t, r.next, outs); got != c.code {
			t.Errorf("%s: %q, want %q", name, got, c.code)
		}
		if after := r.d.Receive(r.next, hello, now); len(after) != 0 {
			t.Errorf("%s: it is answered after its bye", name)
		}
		if len(to(t, ad, outs)) != 0 {
			t.Errorf("%s: another connection noticed", name)
		}
	}
	if v := r.verdict(ad, r.sent(ad, r.edit(1, "shot.cut", shotArg(0)))); v.Result != wire.Accepted {
		t.Errorf("the other connection is disturbed: %+v", v)
	}
	if outs := r.d.Bye(ad, wire.CodeSlow); bye(t, ad, outs) != wire.CodeSlow {
		t.Error("a connection was not sent away")
	}
	if !strings.Contains(encoded(t, wire.ByeOf(wire.CodeSlow)), "retryAfter") {
		t.Error("no waiting time")
	}
}

// SPEC S2, A7: a pong tells the number of the last frame, and the hash of the floor after
// it, whatever is in the open batch; an older page hears of no hash.
func TestPing(t *testing.T) {
	r := newRoom(t, nil)
	ad := r.join(director)
	r.sent(ad, r.edit(1, "shot.cut", shotArg(0)))
	older, _ := r.joined(crew, wire.Hello{Protocol: wire.Hashed - 1})
	r.d.Receive(ad, wire.Edits{Edits: []wire.Edit{r.edit(2, "shot.cut", shotArg(1))}}, now)
	for id, want := range map[desk.ConnID]wire.Pong{
		ad:    {N: 4, At: 77, Now: now, Last: 2, Hash: r.d.State().FloorHash()},
		older: {N: 4, At: 77, Now: now, Last: 1},
	} {
		got := to(t, id, r.d.Receive(id, wire.Ping{N: 4, At: 77}, now))
		if len(got) != 1 || got[0] != want {
			t.Errorf("got %+v, want %+v", got, want)
		}
	}
}

// SPEC A7: entries carry a hash once in 128 changes of the floor, and once after a
// restart; what changes no floor does not count. A hash is worked out once for all
// who ask.
func TestHashes(t *testing.T) {
	r := newRoom(t, nil)
	ad, last := r.join(director), len(sim.Plan())
	seq := uint64(0)
	after := func() (edits int) {
		for {
			edits++
			seq++
			r.check(r.d.Record(sim.Server, sim.Money(last, last), now))
			last += 2
			outs := r.sent(ad, r.edit(seq, "shot.fallback", sim.Set{"shot": shotID(0), "on": seq%2 == 1}))
			f := to(t, ad, outs)[0].(wire.Frame)
			if f.Hash != "" && f.Hash != r.d.State().FloorHash() {
				t.Fatalf("frame %d carries another hash", f.N)
			}
			if f.Hash != "" || edits > 500 {
				return edits
			}
		}
	}
	if n, again := after(), after(); n != 128 || again != 128 {
		t.Errorf("the hash comes after %d and %d edits", n, again)
	}
	r.open()
	ad = r.join(director)
	if n := after(); n != 1 {
		t.Errorf("after a restart it comes after %d edits", n)
	}
	seq++
	r.sent(ad, r.edit(seq, "shot.cut", shotArg(1)))
	if n := testing.AllocsPerRun(20, func() { r.d.Receive(ad, wire.Ping{N: 1}, now) }); n > 20 { // one of them is more
		t.Errorf("a pong makes %v allocations", n)
	}
}

package desk_test

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/desk"
	"fairday/sync/sim"
	"fairday/sync/wire"
)

// SPEC V1, V9, A2, L1, I2, I3: each intent has one verdict in the stream of its device,
// everybody else has the events, and the log has an entry for each.
func TestVerdicts(t *testing.T) {
	r := newRoom(t, nil)
	ad, cam := r.join(director), r.join(photographer)
	head := r.d.Head()
	outs := r.sent(ad,
		r.edit(1, "shot.cut", shotArg(5)),
		r.edit(2, "shot.open", shotArg(0)),    // held: its hero is not confirmed
		r.edit(3, "shot.capture", capture(1)), // a fact, and it was not open
	)
	got := verdicts(t, ad, outs)
	want := []struct {
		result wire.Result
		code   shoot.Code
	}{{wire.Accepted, ""}, {wire.Refused, shoot.CodeHeld}, {wire.Flagged, shoot.FlagQueried}}
	if len(got) != len(want) {
		t.Fatalf("verdicts %+v", got)
	}
	for i, w := range want {
		if got[i].Result != w.result || code(got[i]) != w.code || got[i].Seq != uint64(i+1) {
			t.Errorf("verdict %d is %+v, want %+v", i, got[i], w)
		}
	}
	if v := verdicts(t, cam, outs); len(v) != 0 {
		t.Errorf("another device was told %+v", v)
	}
	frames := to(t, cam, outs)
	if len(frames) != 1 {
		t.Fatalf("another device got %d messages", len(frames))
	}
	if f := frames[0].(wire.Frame); f.N != 2 || len(f.Events) != 3 {
		t.Errorf("another device got %+v", f)
	}
	if r.d.Head() != head+3 {
		t.Errorf("the log grew by %d entries", r.d.Head()-head)
	}
	if r.d.State().Floor.Shots[shoot.ShotID(shotID(1))].Progress != shoot.Queried {
		t.Errorf("the capture is not queried")
	}
}

// SPEC L7: what a refused edit asked for is not kept, and yet the same edit is known
// from another one that took its id.
func TestRefusedIsForgotten(t *testing.T) {
	r := newRoom(t, nil)
	cam := r.join(photographer)
	edit := r.edit(1, "shot.set", sim.Set{"title": strings.Repeat("x", 1000)})
	first := r.verdict(cam, r.sent(cam, edit))
	entry, ok, err := r.log.Find(sim.ShootID, edit.ID)
	if err != nil || !ok || first.Result != wire.Refused || !slices.Contains([]string{"", "null"}, string(entry.Intent.Args)) || len(entry.Args) != 64 {
		t.Fatalf("refused, the log has %+v, %v, %v", entry, ok, err)
	}
	if text, err := entry.Encode(); err != nil || bytes.Contains(text, []byte("xxx")) {
		t.Errorf("the log has %s, %v", text, err)
	}
	if again := r.verdict(cam, r.sent(cam, edit)); encoded(t, again) != encoded(t, first) {
		t.Errorf("first %+v, then %+v", first, again)
	}
	other := edit
	other.Seq, other.Args = 2, json.RawMessage(`{"title":"another"}`)
	if v := r.verdict(cam, r.sent(cam, other)); code(v) != desk.CodeIDTaken {
		t.Errorf("another edit with its id has %+v", v)
	}
	taken := r.edit(3, "shot.capture", capture(1))
	if v := r.verdict(cam, r.sent(cam, taken)); v.Result == wire.Refused {
		t.Fatalf("%+v", v)
	}
	if entry, ok, err = r.log.Find(sim.ShootID, taken.ID); err != nil || !ok || entry.Args != "" || string(entry.Intent.Args) != string(taken.Args) {
		t.Errorf("taken, the log has %+v, %v, %v", entry, ok, err)
	}
}

// SPEC V2: the same answer, although it would be another one by now.
func TestResend(t *testing.T) {
	r := newRoom(t, nil)
	ad := r.join(director)
	edit := r.edit(1, "shot.open", shotArg(0))
	first := r.verdict(ad, r.sent(ad, edit))
	food := r.join(foodStylist)
	r.sent(food, r.edit(1, "hero.read", sim.Set{"hero": sim.ID(0x30), "plate": sim.Set{"designation": "KT-4", "finish": "Ash"}, "checked": []string{}}))
	head := r.d.Head()
	if again := r.verdict(ad, r.sent(ad, edit)); encoded(t, again) != encoded(t, first) || first.Result != wire.Refused {
		t.Errorf("first %+v, then %+v", first, again)
	}
	if r.d.Head() != head {
		t.Error("a resend made an entry")
	}
	if v := r.verdict(ad, r.sent(ad, r.edit(2, "shot.open", shotArg(0)))); v.Result != wire.Accepted {
		t.Errorf("a new try got %+v", v)
	}
	r.open() // and across a restart
	ad = r.join(director)
	if again := r.verdict(ad, r.sent(ad, edit)); encoded(t, again) != encoded(t, first) {
		t.Errorf("first %+v, after a restart %+v", first, again)
	}
}

// SPEC V2, V9: twice in one batch is one entry and the verdict is not early.
func TestResendInOneBatch(t *testing.T) {
	r := newRoom(t, nil)
	ad := r.join(director)
	edit := r.edit(1, "shot.cut", shotArg(0))
	head := r.d.Head()
	outs := r.d.Receive(ad, wire.Edits{Edits: []wire.Edit{edit}}, now)
	outs = append(outs, r.d.Receive(ad, wire.Edits{Edits: []wire.Edit{edit}}, now)...)
	if len(outs) != 0 {
		t.Errorf("something was said before the commit: %s", outs[0].Text)
	}
	outs = r.flush()
	if got := verdicts(t, ad, outs); len(got) != 2 || encoded(t, got[0]) != encoded(t, got[1]) || r.d.Head() != head+1 {
		t.Errorf("verdicts %+v, %d entries", got, r.d.Head()-head)
	}
}

// SPEC V3: an id that two use in one batch belongs to the first.
func TestTakenIDInOneBatch(t *testing.T) {
	r := newRoom(t, nil)
	ad, cam := r.join(director), r.join(photographer)
	mine := r.edit(1, "shot.cut", shotArg(0))
	for _, id := range []desk.ConnID{ad, cam, ad, cam} {
		r.d.Receive(id, wire.Edits{Edits: []wire.Edit{mine}}, now)
	}
	outs := r.flush()
	for id, want := range map[desk.ConnID]shoot.Code{ad: "", cam: desk.CodeIDTaken} {
		got := verdicts(t, id, outs)
		if len(got) != 2 || code(got[0]) != want || code(got[1]) != want {
			t.Errorf("want %q twice, got %+v", want, got)
		}
	}
}

// SPEC V3, V6, I7: ids and numbers that belong to something else.
func TestTakenIDsAndNumbers(t *testing.T) {
	r := newRoom(t, nil)
	ad, cam := r.join(director), r.join(photographer)
	mine := r.edit(1, "shot.cut", shotArg(0))
	r.sent(ad, mine)
	for name, c := range map[string]struct {
		conn desk.ConnID
		edit wire.Edit
		code shoot.Code
	}{
		"another person's id":        {cam, mine, desk.CodeIDTaken},
		"own id, another number":     {ad, func() wire.Edit { e := mine; e.Seq, e.Args = 2, sim.Args(shotArg(1)); return e }(), desk.CodeIDTaken},
		"a used number, a taken one": {ad, func() wire.Edit { e := sim.Plan()[0]; e.Seq = 1; return e }(), desk.CodeIDTaken},
	} {
		before := encoded(t, r.d.State())
		v := r.verdict(c.conn, r.sent(c.conn, c.edit))
		if v.Result != wire.Refused || code(v) != c.code || v.Refusal.Yours != "" || v.Refusal.Theirs != "" {
			t.Errorf("%s: %+v", name, v)
		}
		if encoded(t, r.d.State()) != before {
			t.Errorf("%s changed the state", name)
		}
		if again := r.verdict(c.conn, r.sent(c.conn, c.edit)); encoded(t, again) != encoded(t, v) {
			t.Errorf("%s: at first %+v, then %+v", name, v, again)
		}
	}
	// A used number with an id that nobody knows: the device is to become another.
	before := encoded(t, r.d.State())
	if got := bye(t, ad, r.sent(ad, r.edit(1, "shot.cut", shotArg(1)))); got != wire.CodeDevice || encoded(t, r.d.State()) != before {
		t.Errorf("a used number: %q", got)
	}
	ad = r.join(director)
	if v := r.verdict(ad, r.sent(ad, mine)); v.Result != wire.Accepted {
		t.Errorf("the first edit lost its verdict: %+v", v)
	}
	// The same id and number from another person on the same device.
	other, _ := r.joined(crew, wire.Hello{Device: deviceOf(director)})
	if v := r.verdict(other, r.sent(other, mine)); code(v) != desk.CodeIDTaken {
		t.Errorf("another person: %+v", v)
	}
	// The same edit of the same person from another device, which counts on.
	other, _ = r.joined(director, wire.Hello{Device: deviceOf(crew)})
	head := r.d.Head()
	if v := r.verdict(other, r.sent(other, mine)); v.Result != wire.Accepted || r.d.Head() != head {
		t.Errorf("another device: %+v, and %d entries", v, r.d.Head()-head)
	}
	if v := r.verdict(other, r.sent(other, r.edit(2, "shot.cut", shotArg(2)))); v.Result != wire.Accepted {
		t.Errorf("the next from there: %+v", v)
	}
	// Another person on the same device counts from 1.
	id, _ := r.joined(client, wire.Hello{Device: deviceOf(director)})
	if v := r.verdict(id, r.sent(id, r.edit(1, "hero.refuse", sim.Set{"hero": sim.ID(0x30), "note": "too shiny"}))); v.Result != wire.Accepted {
		t.Errorf("another person's first edit on the device: %+v", v)
	}
}

// SPEC I4, I1: the claim less the offset, the actor from the session.
func TestClaim(t *testing.T) {
	r := newRoom(t, nil)
	cam := r.join(photographer)
	e := r.edit(1, "shot.capture", capture(3))
	e.Happened, e.Offset = now-3*when.Minute+700, 700
	r.sent(cam, e)
	s := r.d.State().Floor.Shots[shoot.ShotID(shotID(3))]
	if s.Captured != now-3*when.Minute || s.CapturedBy != sim.Person(photographer) {
		t.Errorf("captured %d by %s", s.Captured, s.CapturedBy)
	}
	entry, ok, err := r.log.Find(sim.ShootID, e.ID)
	if err != nil || !ok || entry.Offset != 700 || entry.Intent.Happened != now-3*when.Minute || entry.Intent.Received != now {
		t.Errorf("the entry is %+v, %v", entry, err)
	}
}

// SPEC V4, V1: what cannot be read is a refusal and does not hold up the next.
func TestUnreadable(t *testing.T) {
	r := newRoom(t, nil)
	ad := r.join(director)
	unknown := r.edit(4, "shot.fly", shotArg(0))
	unversioned := r.edit(5, "shot.cut", shotArg(0))
	unversioned.Version = 0
	outs := r.sent(ad, r.edit(1, "shot.cut", 7), r.edit(2, "shot.cut", nil), r.edit(3, "shot.cut", sim.Set{"shot": shotID(0), "why": 1}), unknown, unversioned, r.edit(6, "shot.cut", shotArg(0)))
	want := []shoot.Code{shoot.CodeBadArgs, shoot.CodeUnknownThing, shoot.CodeBadArgs, shoot.CodeUnknownIntent, shoot.CodeUnknownIntent, ""}
	got := verdicts(t, ad, outs)
	if len(got) != len(want) {
		t.Fatalf("%d verdicts", len(got))
	}
	for i, v := range got {
		if code(v) != want[i] {
			t.Errorf("verdict %d is %+v, want %q", i, v, want[i])
		}
	}
}

// SPEC V7: what rests on a refused edit.
func TestRoots(t *testing.T) {
	r := newRoom(t, nil)
	ad, other := r.join(director), r.join(producer)
	root := r.edit(1, "shot.open", shotArg(0)) // held
	hanging := r.edit(2, "shot.cut", shotArg(0))
	hanging.DependsOn = root.ID
	leaf := r.edit(3, "shot.cut", shotArg(1))
	leaf.DependsOn = hanging.ID
	fact := r.edit(4, "shot.capture", capture(0))
	fact.DependsOn = hanging.ID
	got := verdicts(t, ad, r.sent(ad, root, hanging, leaf, fact))
	for i, want := range []shoot.Code{shoot.CodeHeld, shoot.CodeRoot, shoot.CodeRoot, shoot.FlagQueried} {
		if code(got[i]) != want {
			t.Errorf("verdict %d is %+v, want %s", i, got[i], want)
		}
	}
	// In a later batch as well; but not on somebody else's word, nor on a root
	// that nobody knows.
	late := r.edit(5, "shot.cut", shotArg(1))
	late.DependsOn = leaf.ID
	lost := r.edit(6, "shot.cut", shotArg(2))
	lost.DependsOn = shoot.IntentID(sim.ID(0xabcdef))
	got = verdicts(t, ad, r.sent(ad, late, lost))
	if code(got[0]) != shoot.CodeRoot || got[1].Result != wire.Accepted {
		t.Errorf("later: %+v", got)
	}
	foreign := r.edit(1, "shot.cut", shotArg(1))
	foreign.DependsOn = root.ID
	if v := r.verdict(other, r.sent(other, foreign)); v.Result != wire.Accepted {
		t.Errorf("another person's root: %+v", v)
	}
}

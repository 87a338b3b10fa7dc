package desk_test

import (
	"errors"
	"testing"

	"fairday/domain/shoot"
	"fairday/sync/desk"
	"fairday/sync/sim"
	"fairday/sync/wire"
)

// SPEC Q14: what somebody delivers has the verdicts that its owner's phone gets when
// it comes itself; facts say who delivered them, and twice is once.
func TestDelivered(t *testing.T) {
	r := newRoom(t, nil)
	cam := r.join(photographer)
	edits := []wire.Edit{r.edit(1, "shot.capture", capture(1)), r.edit(2, "shot.frames", map[string]any{"shot": shotID(1), "frames": "17"}), r.edit(5, "shot.capture", capture(3))}
	by := desk.Delivery{Owner: sim.Person(photographer), Via: sim.Person(crew), Device: deviceOf(photographer),
		Edits: []desk.Carried{{Edit: edits[0]}, {Edit: edits[1], After: 1}, {Edit: edits[2], After: 2}}}
	by.Epoch = r.d.State().Floor.People[by.Owner].Epoch
	head := r.d.Head()
	for range 2 {
		got, err := r.d.Deliver(by, now)
		if err != nil || len(got) != 3 || got[0].Result != wire.Flagged || got[1].Result != wire.Accepted {
			t.Fatalf("the verdicts are %+v, %v", got, err)
		}
		if told := verdicts(t, cam, r.flush()); len(told) != 3 {
			t.Errorf("its owner, who is on line, is told %+v", told)
		}
	}
	if n := r.d.Head() - head; n != 3 {
		t.Errorf("the log has %d more entries", n)
	}
	rows, err := r.log.Range(sim.ShootID, head, 9, true)
	r.check(err)
	for _, e := range rows {
		if e.Via != by.Via || e.Intent.Actor != by.Owner {
			t.Errorf("the log has %+v", e)
		}
	}
	if got := verdicts(t, cam, r.sent(cam, edits...)); len(got) != 3 || got[0].Result != wire.Flagged {
		t.Errorf("its own phone is told %+v", got)
	}
	if n := r.d.Head() - head; n != 3 {
		t.Errorf("the log has %d more entries after its own phone came", n)
	}
	for _, via := range r.d.State().Floor.Delivered {
		if via != by.Via {
			t.Errorf("delivered by %s", via)
		}
	}
	if len(r.d.State().Floor.Delivered) == 0 {
		t.Error("nobody sees who delivered it")
	}
}

// SPEC Q14: a request is not done for its owner by somebody else; their own other
// phone may bring it.
func TestDeliveredRequest(t *testing.T) {
	for _, own := range []bool{false, true} {
		r := newRoom(t, nil)
		cut := r.edit(1, "shot.cut", shotArg(5))
		by := desk.Delivery{Owner: sim.Person(director), Via: sim.Person(crew), Device: deviceOf(director), Edits: []desk.Carried{{Edit: cut}}}
		by.Epoch = r.d.State().Floor.People[by.Owner].Epoch
		if own {
			by.Via = by.Owner
		}
		got, err := r.d.Deliver(by, now)
		r.flush()
		if err != nil || len(got) != 1 || own != (got[0].Result == wire.Accepted) {
			t.Fatalf("own %v: %+v, %v", own, got, err)
		}
		if done := r.d.State().Floor.Shots[shoot.ShotID(shotID(5))].Progress == shoot.Cut; done != own {
			t.Errorf("own %v: the shot is cut %v", own, done)
		}
		if !own && code(got[0]) != shoot.CodeOwnWord {
			t.Errorf("the code is %s", code(got[0]))
		}
	}
}

// SPEC Q13, Q15: what may not be taken changes nothing.
func TestDeliveryTurnedAway(t *testing.T) {
	r := newRoom(t, nil)
	ad, cam := r.join(producer), r.join(photographer)
	r.sent(cam, r.edit(1, "shot.capture", capture(1)))
	r.d.Receive(cam, wire.Edits{After: 3, Edits: []wire.Edit{r.edit(4, "shot.capture", capture(2))}}, now) // 2 and 3 were discarded
	r.flush()
	epoch := r.d.State().Floor.People[sim.Person(photographer)].Epoch
	good := desk.Delivery{Owner: sim.Person(photographer), Via: sim.Person(crew), Device: deviceOf(photographer), Epoch: epoch}
	one := func(seq, after uint64) []desk.Carried {
		return []desk.Carried{{Edit: r.edit(seq, "shot.capture", capture(3)), After: after}}
	}
	try := func(name string, want error, change func(*desk.Delivery)) {
		t.Helper()
		head, by := r.d.Head(), good
		by.Edits = one(5, 4)
		change(&by)
		got, err := r.d.Deliver(by, now)
		if r.flush(); !errors.Is(err, want) || len(got) != 0 || r.d.Head() != head {
			t.Errorf("%s: %+v, %v, %d new entries", name, got, err, r.d.Head()-head)
		}
	}
	try("discarded by its owner meanwhile", desk.ErrGone, func(by *desk.Delivery) { by.Edits = one(3, 1) })
	try("out of order", desk.ErrGap, func(by *desk.Delivery) { by.Edits = one(7, 6) })
	try("after itself", desk.ErrGap, func(by *desk.Delivery) { by.Edits = one(7, 7) })
	try("of another epoch", desk.ErrEpoch, func(by *desk.Delivery) { by.Epoch++ })
	try("of nobody", desk.ErrNoAccess, func(by *desk.Delivery) { by.Owner = shoot.PersonID(sim.ID(0x7777)) })
	try("by nobody", desk.ErrNoAccess, func(by *desk.Delivery) { by.Via = shoot.PersonID(sim.ID(0x7777)) })
	try("newer than the desk", desk.ErrNewer, func(by *desk.Delivery) { by.Edits[0].Version = 99 })
	withdraw := func(seq uint64, person int, yes bool) {
		r.sent(ad, r.edit(seq, "person.access", map[string]any{"person": sim.Person(person), "revoked": yes}))
	}
	withdraw(1, crew, true)
	try("by somebody without access", desk.ErrNoAccess, func(*desk.Delivery) {})
	withdraw(2, crew, false)
	withdraw(3, photographer, true)
	try("of somebody without access", desk.ErrNoAccess, func(*desk.Delivery) {})
	withdraw(4, photographer, false)
	try("of somebody who had none for a while", desk.ErrEpoch, func(*desk.Delivery) {})
	good.Epoch = r.d.State().Floor.People[good.Owner].Epoch
	good.Edits = one(5, 4)
	if got, err := r.d.Deliver(good, now); err != nil || len(got) != 1 {
		t.Errorf("a good one gives %+v, %v", got, err)
	}
}

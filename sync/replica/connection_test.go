package replica_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/replica"
	"fairday/sync/sim"
	"fairday/sync/wire"
)

// SPEC A2, S2: a lost frame is noticed by the next one, or by the pong.
func TestLostFrame(t *testing.T) {
	for _, by := range []string{"frame", "pong"} {
		s := newSet(t)
		crewPhone, ad := s.phone(crew).connect(), s.phone(director).connect()
		conn := crewPhone.conn
		delete(s.at, conn)
		ad.enter("shot.cut", shotArg(0))
		s.flush()
		s.at[conn] = crewPhone
		if by == "frame" {
			ad.enter("shot.cut", shotArg(1))
			s.flush()
		} else {
			s.now += 20 * when.Second
			crewPhone.do(crewPhone.r.Tick(s.now))
		}
		if crewPhone.conn != 0 {
			t.Fatalf("%s: the connection goes on", by)
		}
		crewPhone.connect()
		s.same(crewPhone)
	}
}

// SPEC A2: a frame that comes twice counts once.
func TestRepeatedFrame(t *testing.T) {
	s := newSet(t)
	cook, boss := s.phone(7).connect(), s.phone(producer).connect()
	boss.enter("meal.guests", sim.Set{"meal": sim.ID(0x50), "delta": 2})
	s.flush()
	cook.do(cook.r.Receive([]byte(cook.heard[len(cook.heard)-1]), s.now))
	cook.do(cook.r.Receive([]byte(cook.heard[1]), s.now)) // the snapshot
	if cook.conn == 0 {
		t.Error("it ended the connection")
	}
	s.same(cook)
}

// SPEC S1: a dead connection is given up.
func TestDeadConnection(t *testing.T) {
	s := newSet(t)
	p := s.phone(crew).connect()
	for range 44 {
		s.now += when.Second
		p.silent = true
		if p.do(p.r.Tick(s.now)); p.conn == 0 {
			t.Fatal("given up too early")
		}
	}
	s.now += when.Second
	if p.do(p.r.Tick(s.now)); p.conn != 0 || p.r.Status().Online {
		t.Error("a dead connection is kept")
	}
	pings := 0
	for _, text := range p.sent {
		if strings.Contains(text, `"ping"`) {
			pings++
		}
	}
	if pings != 2 { // at 15 and 30 s; at 45 it is over
		t.Errorf("%d pings", pings)
	}
	p.silent = false
	p.connect()
	for range 100 { // a living one is not
		s.now += when.Second
		p.do(p.r.Tick(s.now))
	}
	if p.conn == 0 {
		t.Error("a living connection was given up")
	}
}

// SPEC S1: a clock that is set forth and back does not keep a phone from pinging.
func TestPingAfterClockWasSet(t *testing.T) {
	s := newSet(t)
	p := s.phone(crew).connect()
	p.silent = true
	p.do(p.r.Tick(s.now + 30*when.Second))
	p.silent, p.sent = false, nil
	for range 17 {
		s.now += when.Second
		p.do(p.r.Tick(s.now))
	}
	if len(p.sent) != 1 || p.conn == 0 {
		t.Errorf("it said %q", p.sent)
	}
}

// SPEC S1: a desk that is slow to welcome a phone, since all come at once, is waited
// for as long.
func TestSlowWelcome(t *testing.T) {
	s := newSet(t)
	p := s.phone(crew)
	p.silent = true
	p.connect()
	for range 44 {
		s.now += when.Second
		p.do(p.r.Tick(s.now))
	}
	if p.conn == 0 || len(p.sent) != 1 {
		t.Fatalf("given up, or it said %q", p.sent)
	}
	p.silent = false
	hello, err := wire.DecodeUp([]byte(p.sent[0]))
	s.check(err)
	s.deliver(s.d.Receive(p.conn, hello, s.now))
	if !p.r.Status().Online {
		t.Error("the welcome is not taken")
	}
}

// SPEC S3: edits that were lost on a living connection are sent again.
func TestSentAgain(t *testing.T) {
	s := newSet(t)
	p := s.phone(crew).connect()
	p.silent = true
	p.enter("sheet.seen", sim.Set{"day": sim.ID(0x10), "number": 1})
	p.silent = false
	for range 21 {
		s.now += when.Second
		p.do(p.r.Tick(s.now))
	}
	copies := func() int { return strings.Count(strings.Join(p.sent, ""), `"edits"`) }
	if got := copies(); got != 2*2 { // type and field
		t.Errorf("the edit was sent %d times", got/2)
	}
	for range 30 { // the server is slow now: it is not hurried
		s.now += when.Second
		p.do(p.r.Tick(s.now))
	}
	if got := copies(); got != 2*2 {
		t.Errorf("the edit was sent %d times", got/2)
	}
	s.flush()
	if len(p.r.Pending()) != 0 {
		t.Error("the edit still waits")
	}
}

// SPEC I5: at a gap the phone goes back.
func TestGap(t *testing.T) {
	s := newSet(t)
	p := s.phone(director).connect()
	p.silent = true
	p.enter("shot.cut", shotArg(0))
	p.silent = false
	p.enter("shot.cut", shotArg(1))
	s.flush()
	if len(p.r.Pending()) != 0 || s.d.State().Floor.Shots[shoot.ShotID(shotID(0))].Progress != shoot.Cut {
		t.Errorf("%d wait", len(p.r.Pending()))
	}
}

// SPEC A5, A7, A8: who resumes on another floor than the desk's hears so from the
// pong that follows what was missed, and from no frame.
func TestMismatch(t *testing.T) {
	s := newSet(t)
	p, ad := s.phone(crew).connect(), s.phone(director).connect()
	ad.enter("shot.cut", shotArg(0)) // the desk is not new any more
	s.flush()
	p.cut()
	ad.enter("shot.cut", shotArg(1))
	s.flush()
	p.enter("sheet.seen", sim.Set{"day": sim.ID(0x10), "number": 1})
	p.cache.State.Floor.Shoot.Title = "another"
	p.start()
	p.heard = nil
	p.connect()
	if told := strings.Join(p.heard[:len(p.heard)-1], ""); strings.Contains(told, `"hash"`) || !strings.Contains(p.heard[len(p.heard)-1], `"pong"`) {
		t.Errorf("the hash came with %s", p.heard)
	}
	if p.cache != nil || len(p.rows) != 1 || p.r.Status().Mismatches != 1 {
		t.Fatalf("cache %v, %d rows, %d mismatches", p.cache != nil, len(p.rows), p.r.Status().Mismatches)
	}
	if i := slices.IndexFunc(p.steps, func(s replica.Step) bool { return s.Wipe && s.Close && s.RetryAfter > 0 }); i < 0 {
		t.Error("no step wipes and closes")
	}
	p.connect()
	s.flush()
	s.same(p)
	if p.cache == nil || len(p.r.Pending()) != 0 {
		t.Error("the phone did not recover")
	}
}

// SPEC A8: hashes that come in quick succession are looked at in the end.
func TestMismatchOnTick(t *testing.T) {
	s := newSet(t)
	p, ad := s.phone(crew).connect(), s.phone(director).connect()
	ad.enter("shot.cut", shotArg(0))
	s.flush()
	s.now += 15 * when.Second
	p.do(p.r.Tick(s.now))
	delete(p.r.Confirmed().Floor.Setups, shoot.SetupID(sim.ID(0x20)))
	ad.enter("shot.cut", shotArg(1))
	s.flush()
	p.cut()
	p.connect()
	if p.r.Status().Mismatches != 0 {
		t.Fatal("the hash is worked out for every pong")
	}
	for range 3 {
		s.now += when.Second
		p.do(p.r.Tick(s.now))
	}
	if p.r.Status().Mismatches != 1 || p.conn != 0 || p.cache != nil {
		t.Errorf("%+v, connected %v", p.r.Status(), p.conn != 0)
	}
	p.connect()
	s.same(p)
}

// SPEC A8: where page and desk see the floor differently, fetching it again and
// again would not help.
func TestMismatchOfSnapshot(t *testing.T) {
	s := newSet(t)
	p := s.phone(crew)
	p.r.Connected(s.now)
	p.conn = 99
	say := func(m wire.Message) replica.Step {
		text, err := wire.Encode(m)
		s.check(err)
		return p.do(p.r.Receive(text, s.now))
	}
	say(wire.Welcome{Protocol: 1, Oldest: 1, Now: s.now, Generation: "g", Person: sim.Person(crew), Role: shoot.Crew, Expect: 1})
	state := json.RawMessage(encoded(t, shoot.New().For(shoot.Audience{Person: sim.Person(crew), Role: shoot.Crew})))
	if step := say(wire.Snapshot{N: 1, Cursor: "c", State: state, Hash: "not this"}); step.Close || p.r.State() == nil {
		t.Errorf("%+v", step)
	}
	if step := say(wire.Frame{N: 2, Cursor: "d", Events: []json.RawMessage{}, Hash: "nor this"}); step.Close {
		t.Errorf("%+v", step)
	}
	cut := json.RawMessage(encoded(t, shoot.Event{At: 1, By: "x", Body: shoot.ShotCut{Shot: shoot.ShotID(shotID(4))}}))
	say(wire.Frame{N: 3, Cursor: "e", Events: []json.RawMessage{cut}})
	if step := say(wire.Pong{N: 1, Last: 3, Now: s.now, Hash: "nor this"}); step.Close {
		t.Errorf("%+v", step)
	}
	if p.r.Status().Mismatches != 1 {
		t.Errorf("%d mismatches counted", p.r.Status().Mismatches)
	}
}

// SPEC Q11: an event of tomorrow.
func TestUnknownEvent(t *testing.T) {
	s := newSet(t)
	p := s.phone(director).connect()
	p.enter("shot.cut", shotArg(0))
	s.flush()
	was, cursor := encoded(t, p.r.Confirmed()), p.cache.Cursor
	p.silent = true
	row := p.enter("shot.cut", shotArg(1)).Keep[0]
	text, err := wire.Encode(wire.Frame{N: 3, Cursor: "later", Events: []json.RawMessage{json.RawMessage(`{"kind":"shot.dreamt","at":1,"by":"x","data":{}}`)},
		Verdicts: []wire.Verdict{{ID: row.Edit.ID, Seq: 2, Result: wire.Accepted}}, Hash: "x"})
	s.check(err)
	p.do(p.r.Receive(text, s.now))
	if !p.r.Status().Outdated || len(p.r.Pending()) != 0 || encoded(t, p.r.Confirmed()) != was || p.cache.Cursor != cursor {
		t.Errorf("%+v, %d wait", p.r.Status(), len(p.r.Pending()))
	}
	known := encoded(t, shoot.Event{At: 1, By: "x", Body: shoot.ShotCut{Shot: shoot.ShotID(shotID(4))}})
	text, err = wire.Encode(wire.Frame{N: 4, Cursor: "later still", Events: []json.RawMessage{json.RawMessage(known)}})
	s.check(err)
	s.now += when.Minute
	p.do(p.r.Receive(text, s.now))
	text, err = wire.Encode(wire.Pong{N: 9, Now: s.now, Last: 4, Hash: "what this page cannot have"})
	s.check(err)
	if step := p.r.Receive(text, s.now); step.Close || p.r.Status().Mismatches != 0 {
		t.Errorf("a page that is behind compares: %+v", step)
	}
	p.do(p.r.Disconnected(s.now))
	if encoded(t, p.r.Confirmed()) != was {
		t.Error("what came after the unknown event was applied")
	}
	if p.cache.Cursor != cursor {
		t.Error("the cursor went past what is shown")
	}
}

// A busy desk's answer comes so late that it tells little: an offset that may be right
// stays, one that cannot be does not.
func TestOffsetOfASlowWelcome(t *testing.T) {
	s := newSet(t)
	const trip = 40 * when.Second
	for _, c := range []struct{ ahead, want when.Instant }{{0, 0}, {3 * when.Second, 0}, {7 * when.Minute, 7*when.Minute - trip/2}} {
		p := s.phone(crew)
		p.conn = 99
		p.r.Connected(s.now + c.ahead)
		text, err := wire.Encode(wire.Welcome{Protocol: 1, Now: s.now + trip, Person: sim.Person(crew), Role: shoot.Crew, Expect: 1})
		s.check(err)
		p.do(p.r.Receive(text, s.now+trip+c.ahead))
		if got := p.r.Offset(); got != c.want {
			t.Errorf("%d ahead: offset %d, want %d", c.ahead, got, c.want)
		}
	}
}

// The clock's offset is learnt from the answers and goes with each edit.
func TestOffset(t *testing.T) {
	s := newSet(t)
	p := s.phone(crew)
	ahead := 7 * when.Minute
	p.conn = 99
	p.r.Connected(s.now + ahead)
	say := func(m wire.Message, at when.Instant) {
		text, err := wire.Encode(m)
		s.check(err)
		p.do(p.r.Receive(text, at))
	}
	say(wire.Welcome{Protocol: 1, Now: s.now + 100, Person: sim.Person(crew), Role: shoot.Crew, Expect: 1}, s.now+ahead+200)
	if got := p.r.Offset(); got != ahead {
		t.Errorf("offset %d, want %d", got, ahead)
	}
	say(wire.Pong{N: 1, At: s.now + ahead, Now: s.now + 9000}, s.now+ahead+9000) // a slow answer tells little
	if got := p.r.Offset(); got != ahead {
		t.Errorf("offset %d after a slow answer, want %d", got, ahead)
	}
	p.r.Disconnected(s.now)
	p.r.Connected(s.now + ahead)
	say(wire.Welcome{Protocol: 1, Now: s.now, Person: sim.Person(crew), Role: shoot.Crew, Expect: 1}, s.now) // the clock was set back
	say(wire.Pong{Now: s.now}, s.now)
	if got := p.r.Offset(); got != ahead {
		t.Errorf("offset %d after an answer to no question, want %d", got, ahead)
	}
	step := p.r.Edit(shoot.IntentID(sim.ID(0x71)), "sheet.seen", sim.Args(sim.Set{"day": sim.ID(0x10), "number": 1}), s.now+ahead)
	if e := step.Keep[0].Edit; e.Offset != ahead || e.Happened-e.Offset != s.now {
		t.Errorf("the edit claims %d with offset %d", e.Happened, e.Offset)
	}
}

// SPEC W4: a long queue goes in several messages, each within its limit.
func TestLongQueue(t *testing.T) {
	s := newSet(t)
	cam := s.phone(photographer).connect()
	cam.cut()
	for i := range 700 {
		cam.enter("shot.frames", sim.Set{"shot": shotID(i % 6), "frames": fmt.Sprint(i, strings.Repeat("<", 150))})
	}
	cam.sent = nil
	cam.connect()
	s.flush()
	for _, text := range cam.sent {
		if len(text) > wire.MaxUp {
			t.Errorf("a message of %d bytes", len(text))
		}
	}
	if len(cam.sent) < 4 || len(cam.r.Pending()) != 0 {
		t.Errorf("%d messages, %d edits wait", len(cam.sent), len(cam.r.Pending()))
	}
	s.same(cam)
}

// A cache of somebody else, or nonsense from the desk, does no harm.
func TestNotForUs(t *testing.T) {
	s := newSet(t)
	p := s.phone(director).connect()
	p.cache.Person = sim.Person(crew)
	if step := p.start(); !step.Wipe || p.r.State() != nil {
		t.Errorf("somebody else's cache is shown: %+v", step)
	}
	for _, text := range []string{"", "{}", `{"type":"frame","n":1}`, `{"type":"welcome","person":"` + sim.ID(5) + `"}`, "\xff"} {
		p.connect()
		p.do(p.r.Receive([]byte(text), s.now))
		if p.conn != 0 && text != `{"type":"frame","n":1}` { // that is one that came already
			t.Errorf("%q was swallowed", text)
			p.cut()
		}
		p.cut()
	}
	if step := p.r.Receive([]byte(`{"type":"expect","seq":1}`), s.now); step.Close || len(step.Send) > 0 {
		t.Errorf("offline: %+v", step)
	}
}

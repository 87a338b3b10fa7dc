package replica_test

import (
	"slices"
	"strings"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/replica"
	"fairday/sync/sim"
	"fairday/sync/wire"
)

// SPEC E1, E3: a new role wipes the cache and keeps the queue, online and offline.
func TestNewRole(t *testing.T) {
	for _, online := range []bool{true, false} {
		s := newSet(t)
		p, boss := s.phone(director).connect(), s.phone(producer).connect()
		if p.r.State().Office == nil {
			t.Fatal("an art director does not see the office")
		}
		p.silent = true
		p.enter("shot.capture", capture(1))
		if !online {
			p.cut()
		}
		boss.enter("person.set", sim.Set{"id": sim.Person(director), "name": "Person 1", "role": shoot.Photographer, "phone": "555-0101", "base": 1})
		s.flush()
		if online && (p.cache != nil || p.r.State() != nil || p.conn != 0) {
			t.Error("the old audience's cache is still there")
		}
		p.silent = false
		p.connect()
		wiped := slices.ContainsFunc(p.steps, func(s replica.Step) bool { return s.Wipe })
		s.flush()
		if !wiped || p.r.State().Office != nil || p.cache.State.Office != nil || len(p.rows) != 1 || p.rows[1].Verdict.Result != wire.Flagged {
			t.Errorf("online %v: wiped %v, rows %+v", online, wiped, p.rows)
		}
		s.same(p)
	}
}

// SPEC E4: access withdrawn.
func TestRevoked(t *testing.T) {
	s := newSet(t)
	p, boss := s.phone(photographer).connect(), s.phone(producer).connect()
	p.silent = true
	p.enter("shot.capture", capture(1))
	s.now += when.Minute
	boss.enter("person.access", sim.Set{"person": sim.Person(photographer), "revoked": true})
	s.flush()
	if p.cache != nil || p.r.State() != nil || len(p.rows) != 1 || p.r.Status().Halted != wire.CodeRevoked {
		t.Errorf("cache %v, rows %d, %+v", p.cache != nil, len(p.rows), p.r.Status())
	}
	if i := slices.IndexFunc(p.steps, func(s replica.Step) bool { return s.Close && s.Wipe && !s.Halt }); i < 0 {
		t.Error("it does not come again, although something waits")
	}
	p.start()
	if len(p.r.Pending()) != 1 {
		t.Error("what waited is gone")
	}
	p.silent = false
	p.steps = nil
	p.connect()
	if st := p.r.Status(); st.Online || st.Halted != wire.CodeRevoked || st.Waiting != 1 {
		t.Errorf("%+v", st)
	}
	s.flush()
	if v := p.rows[1].Verdict; v == nil || v.Flag == nil || v.Flag.Code != shoot.FlagReview {
		t.Errorf("it was told %+v", v)
	}
	if i := slices.IndexFunc(p.steps, func(s replica.Step) bool { return s.Halt && s.Close }); i < 0 || p.conn != 0 || p.r.State() != nil || p.cache != nil {
		t.Error("it does not stop asking, or knows something")
	}
	p.connect() // with nothing to hand in
	if p.conn != 0 || p.r.Status().Halted != wire.CodeRevoked {
		t.Errorf("%+v", p.r.Status())
	}
	boss.enter("person.access", sim.Set{"person": sim.Person(photographer), "revoked": false})
	s.flush()
	p.connect()
	s.flush()
	if p.r.Status().Halted != "" || !p.r.Status().Online {
		t.Errorf("with access given back: %+v", p.r.Status())
	}
	s.same(p)
}

// SPEC E5, I6, E6: a desk restored from a backup gets everything of the last 48
// hours again, around what was discarded.
func TestRestored(t *testing.T) {
	s := newSet(t)
	p := s.phone(director).connect()
	p.enter("shot.cut", shotArg(0))
	s.flush()
	s.now += 47 * when.Hour
	backup := s.log.Copy()
	for i := 1; i <= 4; i++ {
		p.enter("shot.fallback", sim.Set{"shot": shotID(i), "on": true})
		s.flush()
	}
	p.silent = true // and one that is refused, and discarded
	p.enter("shot.cut", shotArg(5))
	boss := s.phone(producer).connect()
	boss.enter("shot.capture", capture(5))
	s.flush()
	p.silent = false
	p.cut()
	p.connect()
	s.flush()
	if len(p.r.Stuck()) != 1 {
		t.Fatalf("to look at: %+v", p.r.Stuck())
	}
	p.do(p.r.Discard(6))
	p.enter("shot.cut", shotArg(1))
	s.flush()
	s.now += 2 * when.Hour // the first is older than 48 hours now, and known to the backup
	want := encoded(t, s.d.State().Floor.Shots[shoot.ShotID(shotID(4))].OnFallback)

	backup.Restored()
	s.cfg.Log = backup
	s.open()
	p.sent = nil
	p.connect()
	s.flush()
	s.flush() // what is behind a number that never comes waits until all in front of it is in
	if all := strings.Join(p.sent, "\n"); strings.Contains(all, string(p.rows[1].Edit.ID)) || !strings.Contains(all, string(p.rows[2].Edit.ID)) {
		t.Errorf("offered again: %s", all)
	}
	floor := s.d.State().Floor
	if got := encoded(t, floor.Shots[shoot.ShotID(shotID(4))].OnFallback); got != want || floor.Shots[shoot.ShotID(shotID(1))].Progress != shoot.Cut {
		t.Errorf("the restored desk has %s, %s", got, floor.Shots[shoot.ShotID(shotID(1))].Progress)
	}
	if len(p.r.Pending()) != 0 {
		t.Errorf("waiting: %+v", p.r.Pending())
	}
	s.same(p)
	p.enter("shot.cut", shotArg(2))
	s.flush()
	if len(p.r.Pending()) != 0 {
		t.Error("the next edit waits")
	}
	boss.connect()
	s.flush()
	s.same(boss)
}

// SPEC I8: the phone is told to become another device.
func TestLostQueue(t *testing.T) {
	s := newSet(t)
	p := s.phone(director).connect()
	p.enter("shot.cut", shotArg(0))
	s.flush()
	clear(p.rows)
	p.last = 0
	p.start()
	p.connect()
	if i := slices.IndexFunc(p.steps, func(s replica.Step) bool { return s.Reread && s.Close }); i < 0 {
		t.Error("no step asks to read the queue once more")
	}
	if step := p.r.Reread(nil, 0, s.now); !step.NewDevice {
		t.Errorf("with nothing more in the queue: %+v", step)
	}
	p.device = shoot.DeviceID(sim.ID(0x9999))
	p.start()
	p.connect()
	p.enter("shot.cut", shotArg(1))
	s.flush()
	if len(p.r.Pending()) != 0 {
		t.Error("the new device's edit waits")
	}
}

// SPEC I8, Q7: it was only another tab that gave out the numbers.
func TestNumbersOfAnotherTab(t *testing.T) {
	s := newSet(t)
	a, b := s.phone(director), s.phone(director)
	b.rows = a.rows
	a.connect()
	a.enter("shot.cut", shotArg(0))
	s.flush()
	b.connect()
	if b.conn != 0 {
		t.Fatal("fewer numbers than the desk has seen, and it is let in")
	}
	if step := b.do(b.r.Reread([]replica.Row{a.rows[1]}, a.last, s.now)); step.NewDevice {
		t.Error("it becomes a new device")
	}
	b.connect()
	if b.conn == 0 || len(b.r.Pending()) != 0 {
		t.Errorf("it is not let in, or %d wait", len(b.r.Pending()))
	}
}

package replica_test

import (
	"fmt"
	"strings"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/replica"
	"fairday/sync/sim"
	"fairday/sync/wire"
)

// SPEC Q1, Q2, Q9, S3: an edit made offline is shown, waits through a restart,
// and is gone from the queue once it has its verdict.
func TestOfflineEdit(t *testing.T) {
	s := newSet(t)
	cam := s.phone(photographer).connect()
	cam.cut()
	step := cam.enter("shot.capture", capture(3))
	if len(step.Send) != 0 || len(step.Keep) != 1 || step.Keep[0].Seq == 0 || cam.progress(3) != shoot.Queried {
		t.Fatalf("entering gave %+v, and the shot is %s", step, cam.progress(3))
	}
	cam.start()
	if cam.progress(3) != shoot.Queried || len(cam.r.Pending()) != 1 {
		t.Fatalf("after a restart the shot is %s and %d edits wait", cam.progress(3), len(cam.r.Pending()))
	}
	crewPhone := s.phone(crew).connect()
	cam.connect()
	if len(cam.r.Pending()) != 1 {
		t.Error("the edit stopped waiting before its verdict")
	}
	s.flush()
	if len(cam.r.Pending()) != 0 || cam.rows[1].Verdict == nil || cam.rows[1].Verdict.Result != wire.Flagged {
		t.Errorf("after the verdict the row is %+v", cam.rows[1])
	}
	if got := crewPhone.progress(3); got != shoot.Queried {
		t.Errorf("the other phone shows %s", got)
	}
	s.same(cam)
	s.same(crewPhone)
}

// SPEC Q8: what is refused on the spot, and what is not.
func TestRefusedOnTheSpot(t *testing.T) {
	s := newSet(t)
	ad := s.phone(director).connect()
	blank := s.phone(director)
	for _, c := range []struct {
		name  string
		phone *phone
		edit  string
		args  any
		code  shoot.Code // "" for kept
	}{
		{"a held shot", ad, "shot.open", shotArg(0), shoot.CodeHeld},
		{"not for this role", ad, "meal.drop", sim.Set{"meal": sim.ID(0x50)}, shoot.CodeNotAllowed},
		{"a request with bad arguments", ad, "shot.cut", 7, shoot.CodeBadArgs},
		{"a fact with bad arguments", ad, "shot.capture", 7, shoot.CodeBadArgs},
		{"no such edit", ad, "shot.fly", shotArg(0), shoot.CodeUnknownIntent},
		{"too much", ad, "shot.capture", sim.Set{"frames": strings.Repeat("x", shoot.MaxArgs)}, shoot.CodeBadArgs},
		{"a request of a phone that knows nothing", blank, "shot.cut", shotArg(0), shoot.CodeNotKnownHere},
		{"a fact that contradicts", ad, "shot.capture", capture(1), ""},
		{"a fact about what this phone does not know", ad, "shot.capture", sim.Set{"shot": sim.ID(0x4f), "frames": ""}, ""},
		{"a fact that this role may not report, as far as the phone knows", ad, "meal.serve", sim.Set{"meal": sim.ID(0x50), "delta": 1}, ""},
		{"a fact of a phone that knows nothing", blank, "shot.capture", capture(1), ""},
	} {
		waiting := len(c.phone.r.Pending())
		step := c.phone.enter(c.edit, c.args)
		got := shoot.Code("")
		if step.Refused != nil {
			got = step.Refused.Code
			if len(step.Keep) != 0 || len(c.phone.r.Pending()) != waiting {
				t.Errorf("%s: refused, and something is queued", c.name)
			}
		} else if len(c.phone.r.Pending()) != waiting+1 {
			t.Errorf("%s: not refused, and not queued", c.name)
		}
		if got != c.code {
			t.Errorf("%s: %q, want %q", c.name, got, c.code)
		}
	}
}

// SPEC Q18: what was pressed while nothing on the phone could judge it is queued
// whatever the phone thinks of it now, with the time at which it was pressed, and has
// the desk's verdict. Only what nobody can read is refused.
func TestEnteredBeforeTheEngine(t *testing.T) {
	s := newSet(t)
	ad := s.phone(director).connect()
	then := s.now - 30_000
	enter := func(n int, name string, args any) replica.Step {
		step := ad.r.Entered(shoot.IntentID(sim.ID(0x68000+n)), name, sim.Args(args), then)
		if step.Refused == nil {
			ad.do(ad.r.Kept(ad.keep(step.Keep), s.now))
		}
		return step
	}
	if step := enter(1, "shot.open", shotArg(0)); step.Refused != nil || len(step.Keep) != 1 || step.Keep[0].Edit.Happened != then {
		t.Fatalf("a held shot: %+v", step)
	}
	s.flush()
	if stuck := ad.r.Stuck(); len(ad.r.Pending()) != 0 || len(stuck) != 1 || stuck[0].Verdict.Refusal.Code != shoot.CodeHeld {
		t.Errorf("%d wait, and %+v is told", len(ad.r.Pending()), stuck)
	}
	enter(2, "shot.cut", shotArg(0))
	s.flush()
	if ad.progress(0) != shoot.Cut || len(ad.r.Pending()) != 0 {
		t.Errorf("the shot is %s, and %d wait", ad.progress(0), len(ad.r.Pending()))
	}
	s.same(ad)
	if step := enter(3, "shot.capture", sim.Set{"frames": strings.Repeat("x", shoot.MaxArgs)}); step.Refused == nil || step.Refused.Code != shoot.CodeBadArgs {
		t.Errorf("too much: %+v", step)
	}
}

// SPEC Q9: the others were quicker; the edit waits without effect and the desk
// decides.
func TestRebase(t *testing.T) {
	s := newSet(t)
	a, b := s.phone(director).connect(), s.phone(producer).connect()
	a.silent = true
	a.enter("shot.cut", shotArg(0))
	if a.progress(0) != shoot.Cut {
		t.Fatal("the cut is not shown")
	}
	b.enter("shot.capture", capture(0)) // a fact wins over the wish
	s.flush()
	if got := a.progress(0); got != shoot.Queried {
		t.Errorf("the shot is shown as %s", got)
	}
	if p := a.r.Pending(); len(p) != 1 || p[0].Doubt == nil || p[0].Doubt.Code != shoot.CodeWrongProgress {
		t.Errorf("waiting: %+v", p)
	}
	a.silent = false
	a.cut()
	a.connect()
	s.flush()
	if st := a.r.Stuck(); len(st) != 1 || st[0].Verdict.Refusal.Code != shoot.CodeWrongProgress {
		t.Errorf("to look at: %+v", st)
	}
	s.same(a)
}

// SPEC Q4, Q3, Q2: who leaves the queue, and when.
func TestLeavingTheQueue(t *testing.T) {
	s := newSet(t)
	cam, boss := s.phone(photographer).connect(), s.phone(producer).connect()
	cam.silent = true
	cam.enter("shot.frames", sim.Set{"shot": shotID(0), "frames": "12–19"}) // 1: accepted
	cam.enter("shot.capture", capture(1))                                   // 2: flagged
	boss.enter("person.set", sim.Set{"id": sim.Person(photographer), "name": "Person 2", "role": shoot.Crew, "phone": "555-0102", "base": 1})
	s.flush()
	cam.silent = false
	s.now += 100 * when.Hour
	cam.do(cam.r.Tick(s.now))
	if len(cam.rows) != 2 {
		t.Fatalf("%d rows left: waiting for a verdict is not limited", len(cam.rows))
	}
	cam.connect()
	s.flush()
	results := func() string {
		var out []string
		for seq := uint64(1); seq <= 3; seq++ {
			if row, ok := cam.rows[seq]; ok && row.Verdict != nil {
				out = append(out, fmt.Sprint(seq, row.Verdict.Result))
			}
		}
		return strings.Join(out, " ")
	}
	if got := results(); got != "1refused 2refused" {
		t.Fatalf("rows: %s", got)
	}
	cam.enter("punch", sim.Set{"day": sim.ID(0x10), "people": []shoot.PersonID{sim.Person(photographer)}, "kind": "in"})
	s.flush()
	if got := results(); got != "1refused 2refused 3accepted" {
		t.Fatalf("rows: %s", got)
	}
	s.now += replica.Linger - when.Second
	cam.do(cam.r.Tick(s.now))
	if got := results(); got != "1refused 2refused 3accepted" {
		t.Errorf("just before the end of the time: %s", got)
	}
	s.now += when.Second
	cam.do(cam.r.Tick(s.now))
	if got := results(); got != "1refused 2refused" {
		t.Errorf("at the end of the time: %s", got)
	}
	cam.do(cam.r.Discard(1))
	if got := results(); got != "2refused" || len(cam.r.Stuck()) != 1 {
		t.Errorf("after discarding: %s, to look at %d", got, len(cam.r.Stuck()))
	}
}

// SPEC Q4: what was flagged stays on the list until somebody has looked.
func TestFlagged(t *testing.T) {
	s := newSet(t)
	cam := s.phone(photographer).connect()
	cam.enter("shot.capture", capture(1))
	s.flush()
	if got := cam.r.Stuck(); len(got) != 1 || got[0].Verdict.Flag.Code != shoot.FlagQueried {
		t.Fatalf("to look at: %+v", got)
	}
	cam.start()
	cam.do(cam.r.Discard(1))
	cam.start()
	if got := cam.r.Stuck(); len(got) != 0 || len(cam.rows) != 1 {
		t.Errorf("to look at: %+v, rows %d", got, len(cam.rows))
	}
}

// SPEC Q5, Q6: killed after each part of the step that brings a verdict.
func TestKilledWhileStoring(t *testing.T) {
	for _, stage := range []string{"nothing", "cache", "all"} {
		s := newSet(t)
		cook := s.phone(7).connect()
		cook.cut()
		cook.enter("meal.guests", sim.Set{"meal": sim.ID(0x50), "delta": 2})
		cook.connect()
		before, rows := cook.cache, map[uint64]replica.Row{1: cook.rows[1]}
		s.flush()
		switch stage {
		case "nothing":
			cook.cache, cook.rows = before, rows
		case "cache":
			cook.rows = rows
		}
		guests := func() int { return cook.r.State().Floor.Meals[shoot.MealID(sim.ID(0x50))].Guests }
		cook.start()
		if guests() != 2 {
			t.Errorf("killed after %s: %d guests are shown offline, want 2", stage, guests())
		}
		cook.connect()
		s.flush()
		if guests() != 2 || len(cook.r.Pending()) != 0 || cook.rows[1].Verdict == nil {
			t.Errorf("killed after %s: %d guests, %d wait", stage, guests(), len(cook.r.Pending()))
		}
		s.same(cook)
	}
}

// SPEC Q6, V2: the receipt got lost with the connection; the edit counts once.
func TestLostVerdict(t *testing.T) {
	s := newSet(t)
	cook := s.phone(7).connect()
	cook.enter("meal.guests", sim.Set{"meal": sim.ID(0x50), "delta": 2})
	delete(s.at, cook.conn) // nothing comes back
	s.flush()
	s.at[cook.conn] = cook
	cook.cut()
	cook.connect()
	s.flush()
	cook.cut()
	cook.sent = nil
	cook.connect()
	if all := strings.Join(cook.sent, ""); strings.Contains(all, `"edits"`) {
		t.Errorf("what has its verdict is sent again: %q", cook.sent)
	}
	if got := s.d.State().Floor.Meals[shoot.MealID(sim.ID(0x50))].Guests; got != 2 || len(cook.r.Pending()) != 0 {
		t.Errorf("%d guests, %d wait", got, len(cook.r.Pending()))
	}
	s.same(cook)
}

// SPEC Q10: an edit of a row names the one before it, as long as that waits.
func TestDependsOn(t *testing.T) {
	s := newSet(t)
	ad := s.phone(director).connect()
	ad.cut()
	first := ad.enter("shot.fallback", sim.Set{"shot": shotID(0), "on": true}).Keep[0].Edit
	second := ad.enter("shot.cut", shotArg(0)).Keep[0].Edit
	other := ad.enter("shot.cut", shotArg(1)).Keep[0].Edit
	if first.DependsOn != "" || second.DependsOn != first.ID || other.DependsOn != "" {
		t.Errorf("%q, %q and %q", first.DependsOn, second.DependsOn, other.DependsOn)
	}
	// Also on one that is being stored at this moment.
	draft := ad.r.Edit(shoot.IntentID(sim.ID(0x77)), "shot.cut", sim.Args(shotArg(2)), s.now).Keep[0]
	next := ad.r.Edit(shoot.IntentID(sim.ID(0x78)), "shot.fallback", sim.Args(sim.Set{"shot": shotID(2), "on": true}), s.now).Keep
	if len(next) != 1 || next[0].Edit.DependsOn != draft.Edit.ID {
		t.Errorf("%+v does not depend on %s", next, draft.Edit.ID)
	}
	ad.connect()
	s.flush()
	if e := ad.enter("shot.reset", sim.Set{"shot": shotID(0), "was": "cut"}).Keep[0].Edit; e.DependsOn != "" {
		t.Errorf("it depends on %q, which has its verdict", e.DependsOn)
	}
}

// SPEC G1, G2: not known is not yes.
func TestNotKnown(t *testing.T) {
	s := newSet(t)
	p := s.phone(director)
	if p.r.State() != nil || p.r.Since() != 0 {
		t.Error("a phone that knows nothing shows something")
	}
	p.connect()
	if p.r.State() == nil || p.r.Since() != s.now {
		t.Errorf("known since %d, want %d", p.r.Since(), s.now)
	}
	was := s.now
	p.cut()
	s.now += when.Hour
	p.start()
	p.do(p.r.Tick(s.now))
	if p.r.Since() != was || p.r.Status().Online {
		t.Errorf("offline for an hour, known since %d, want %d", p.r.Since(), was)
	}
	// The call sheet's draft is not on a photographer's phone.
	cam := s.phone(photographer).connect()
	cam.cut()
	if step := cam.enter("sheet.seen", sim.Set{"day": sim.ID(0x10), "number": 1}); step.Refused != nil {
		t.Errorf("refused: %+v", step.Refused)
	}
	if cam.r.State().Office != nil || cam.r.State().Money != nil {
		t.Error("a photographer's phone holds other planes")
	}
}

// SPEC Q7: two tabs, one queue.
func TestTwoTabs(t *testing.T) {
	s := newSet(t)
	a := s.phone(director)
	b := s.phone(director)
	b.rows = a.rows
	a.connect()
	made := func(tab *phone, n int) replica.Row {
		s.ids++
		row := tab.r.Edit(shoot.IntentID(sim.ID(0x60000+s.ids)), "shot.cut", sim.Args(shotArg(n)), s.now).Keep[0]
		a.last++
		row.Seq = a.last
		a.rows[row.Seq] = row
		return row
	}
	b.connect()
	b.cut()
	one, two := made(b, 0), made(a, 1)
	step := a.do(a.r.Kept([]replica.Row{two}, s.now)) // of one it has not heard yet
	if !step.Reread || len(step.Send) != 0 {
		t.Errorf("a missing number: %+v", step)
	}
	step = a.do(a.r.Reread([]replica.Row{one, two}, a.last, s.now))
	if step.Reread || len(step.Send) != 1 {
		t.Errorf("after reading anew: %+v", step)
	}
	// The other tab leads as well, and sends the same.
	b.do(b.r.Reread([]replica.Row{one, two}, a.last, s.now))
	b.connect()
	s.flush()
	if len(a.r.Pending()) != 0 || len(b.r.Pending()) != 0 {
		t.Errorf("%d and %d wait", len(a.r.Pending()), len(b.r.Pending()))
	}
	if st := append(a.r.Stuck(), b.r.Stuck()...); len(st) != 0 {
		t.Errorf("stuck: %+v", st)
	}
	s.same(a)
	s.same(b)
}

// SPEC Q16: an edit of a far kind waits without an effect, on a phone that knows the
// shoot and on one that does not, and arrives once; who may not make it is told
// on the spot.
func TestFarEditWaitsForTheDesk(t *testing.T) {
	s := newSet(t)
	boss := s.phone(producer).connect()
	boss.cut()
	title := func() string { return boss.r.State().Floor.Shoot.Title }
	was := title()
	rename := sim.Set{"title": "Spring tables", "client": "", "base": s.d.State().Floor.Shoot.Version}
	if step := boss.enter("shoot.set", rename); step.Refused != nil || len(step.Keep) != 1 {
		t.Fatalf("entering gave %+v", step)
	}
	if waits := boss.r.Pending(); len(waits) != 1 || waits[0].Doubt != nil || title() != was {
		t.Errorf("%+v waits, and the title is %q", waits, title())
	}
	boss.start()
	if len(boss.r.Pending()) != 1 || title() != was {
		t.Errorf("after a restart %d wait, and the title is %q", len(boss.r.Pending()), title())
	}
	boss.connect()
	s.flush()
	if len(boss.r.Pending()) != 0 || title() != "Spring tables" {
		t.Errorf("%d wait, and the title is %q", len(boss.r.Pending()), title())
	}
	if step := boss.enter("shoot.set", 7); step.Refused != nil {
		t.Errorf("a phone read arguments of a far kind: %+v", step.Refused)
	}
	s.flush()
	if stuck := boss.r.Stuck(); len(stuck) != 1 || stuck[0].Verdict.Refusal.Code != shoot.CodeBadArgs {
		t.Errorf("arguments that nobody can read: %+v", stuck)
	}
	if step := s.phone(director).connect().enter("shoot.set", rename); step.Refused == nil || step.Refused.Code != shoot.CodeNotAllowed {
		t.Errorf("a change by somebody who may not make it: %+v", step.Refused)
	}
	blank := s.phone(producer)
	blank.device = shoot.DeviceID(sim.ID(0x9100))
	blank.start()
	rename["title"] = "Summer tables"
	if step := blank.enter("shoot.set", rename); step.Refused != nil {
		t.Errorf("on a phone that knows nothing: %+v", step.Refused)
	}
	blank.connect()
	s.flush()
	if stuck := blank.r.Stuck(); len(stuck) != 1 || stuck[0].Verdict.Refusal.Code != shoot.CodeStale {
		t.Errorf("a change of what was changed meanwhile: %+v", stuck)
	}
	s.same(boss)
	s.same(blank)
}

package replica_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/desk"
	"fairday/sync/replica"
	"fairday/sync/sim"
	"fairday/sync/wire"
)

// Places in the plan of package sim.
const (
	producer, director, photographer, crew = 0, 1, 2, 8
)

// set is a desk and the phones at it, with a network that does what a test says.
type set struct {
	t    testing.TB
	log  *desk.Memory
	d    *desk.Desk
	cfg  desk.Config
	now  when.Instant
	next desk.ConnID
	ids  int
	at   map[desk.ConnID]*phone
}

func newSet(t testing.TB) *set {
	n := 0
	s := &set{t: t, now: sim.Start + when.Hour, at: map[desk.ConnID]*phone{}}
	s.log = desk.NewMemory(func() string { n++; return fmt.Sprintf("g%d", n) })
	s.cfg = desk.Config{Log: s.log, Shoot: sim.ShootID, Random: sim.Seeded(1)}
	s.open()
	s.check(s.d.Record(sim.Server, sim.Plan(), sim.Start))
	s.flush()
	return s
}

func (s *set) open() {
	d, err := desk.Open(s.cfg)
	s.check(err)
	s.d = d
	for _, p := range s.at {
		p.cut()
	}
}

func (s *set) check(err error) {
	s.t.Helper()
	if err != nil {
		s.t.Fatal(err)
	}
}

func (s *set) flush() {
	outs, err := s.d.Flush()
	s.check(err)
	s.deliver(outs)
}

func (s *set) deliver(outs []desk.Out) {
	for _, o := range outs {
		if p := s.at[o.To]; p != nil {
			p.heard = append(p.heard, string(o.Text))
			p.do(p.r.Receive(o.Text, s.now))
		}
	}
}

// phone is a replica with the storage of a real one.
type phone struct {
	s      *set
	person int
	device shoot.DeviceID
	r      *replica.Replica
	conn   desk.ConnID // 0 for none

	cache *replica.Cache
	rows  map[uint64]replica.Row
	last  uint64 // number given out

	silent bool     // what is sent gets lost
	sent   []string // all that was sent
	heard  []string
	steps  []replica.Step
}

func (s *set) phone(person int) *phone {
	p := &phone{s: s, person: person, device: shoot.DeviceID(sim.ID(0x9000 + person)), rows: map[uint64]replica.Row{}}
	p.start()
	return p
}

// start makes the replica from what is stored.
func (p *phone) start() replica.Step {
	if p.conn != 0 {
		p.s.d.Leave(p.conn)
		delete(p.s.at, p.conn)
		p.conn = 0
	}
	p.r = replica.New(p.device, sim.Person(p.person), "test")
	var rows []replica.Row
	for _, row := range p.rows {
		rows = append(rows, row)
	}
	var cache *replica.Cache
	if p.cache != nil { // as a database would hand it back
		b, err := json.Marshal(p.cache)
		p.s.check(err)
		p.s.check(json.Unmarshal(b, &cache))
	}
	step := p.r.Load(cache, rows, p.last)
	p.do(step)
	return step
}

// do carries out a step in the order that the package asks for.
func (p *phone) do(step replica.Step) replica.Step {
	p.steps = append(p.steps, step)
	p.store(step)
	for _, text := range step.Send {
		p.sent = append(p.sent, string(text))
		if p.conn == 0 || p.silent {
			continue
		}
		m, err := wire.DecodeUp(text)
		p.s.check(err)
		p.s.deliver(p.s.d.Receive(p.conn, m, p.s.now))
	}
	if step.Close {
		p.cut()
	}
	return step
}

func (p *phone) store(step replica.Step) {
	if step.Wipe {
		p.cache = nil
	}
	if step.Cache != nil {
		p.cache = step.Cache
	}
	for _, row := range step.Keep {
		if row.Seq != 0 {
			p.rows[row.Seq] = row
		}
	}
	for _, seq := range step.Drop {
		delete(p.rows, seq)
	}
}

// keep stores new rows and gives them numbers.
func (p *phone) keep(rows []replica.Row) []replica.Row {
	for i := range rows {
		p.last++
		rows[i].Seq = p.last
		p.rows[p.last] = rows[i]
	}
	return rows
}

// enter makes an edit as a person would.
func (p *phone) enter(name string, args any) replica.Step {
	p.s.ids++
	step := p.r.Edit(shoot.IntentID(sim.ID(0x60000+p.s.ids)), name, sim.Args(args), p.s.now)
	if step.Refused == nil {
		p.do(p.r.Kept(p.keep(step.Keep), p.s.now))
	}
	return step
}

func (p *phone) connect() *phone {
	p.s.next++
	p.conn = p.s.next
	p.s.at[p.conn] = p
	p.s.d.Attach(p.conn, sim.Person(p.person))
	p.do(p.r.Connected(p.s.now))
	return p
}

func (p *phone) cut() {
	if p.conn != 0 {
		p.s.d.Leave(p.conn)
		delete(p.s.at, p.conn)
		p.conn = 0
		p.do(p.r.Disconnected(p.s.now))
	}
}

func (p *phone) progress(n int) shoot.Progress {
	return p.r.State().Floor.Shots[shoot.ShotID(shotID(n))].Progress
}

// same checks that a phone has what the desk has for its person.
func (s *set) same(p *phone) {
	s.t.Helper()
	a, ok := s.d.State().AudienceOf(sim.Person(p.person))
	if !ok {
		s.t.Fatal("no audience")
	}
	if got, want := encoded(s.t, p.r.Confirmed()), encoded(s.t, s.d.State().For(a)); got != want {
		s.t.Errorf("person %d has\n%s\nwant\n%s", p.person, got, want)
	}
}

func encoded(t testing.TB, v any) string {
	t.Helper()
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func shotID(n int) string { return sim.ID(0x40 + n) }

func capture(n int) any { return sim.Set{"shot": shotID(n), "frames": ""} }
func shotArg(n int) any { return sim.Set{"shot": shotID(n)} }

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
	if len(cook.sent) != 1 {
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

// SPEC A8: another hash.
func TestMismatch(t *testing.T) {
	s := newSet(t)
	p, ad := s.phone(crew).connect(), s.phone(director).connect()
	p.cut()
	p.enter("sheet.seen", sim.Set{"day": sim.ID(0x10), "number": 1})
	p.cache.State.Floor.Shoot.Title = "another"
	p.start()
	p.connect()
	p.silent = true
	ad.enter("shot.cut", shotArg(0))
	s.flush()
	if p.cache != nil || len(p.rows) != 1 || p.r.Status().Mismatches != 1 {
		t.Fatalf("cache %v, %d rows, %d mismatches", p.cache != nil, len(p.rows), p.r.Status().Mismatches)
	}
	if i := slices.IndexFunc(p.steps, func(s replica.Step) bool { return s.Wipe && s.Close && s.RetryAfter > 0 }); i < 0 {
		t.Error("no step wipes and closes")
	}
	p.silent = false
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
	delete(p.r.Confirmed().Floor.Setups, shoot.SetupID(sim.ID(0x20)))
	ad.enter("shot.cut", shotArg(1))
	s.flush()
	if p.r.Status().Mismatches != 0 {
		t.Fatal("the hash is worked out for every frame")
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
	if p.r.Status().Mismatches != 1 {
		t.Errorf("%d mismatches counted", p.r.Status().Mismatches)
	}
}

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
	boss.enter("person.access", sim.Set{"person": sim.Person(photographer), "revoked": true})
	s.flush()
	if p.cache != nil || p.r.State() != nil || len(p.rows) != 1 || p.r.Status().Halted != wire.CodeRevoked {
		t.Errorf("cache %v, rows %d, %+v", p.cache != nil, len(p.rows), p.r.Status())
	}
	if i := slices.IndexFunc(p.steps, func(s replica.Step) bool { return s.Halt && s.Close && s.Wipe }); i < 0 {
		t.Error("no step stops asking")
	}
	p.start()
	if len(p.r.Pending()) != 1 {
		t.Error("what waited is gone")
	}
	boss.enter("person.access", sim.Set{"person": sim.Person(photographer), "revoked": false})
	s.flush()
	p.silent = false
	p.connect()
	s.flush()
	if len(p.r.Pending()) != 0 || p.rows[1].Verdict.Result != wire.Flagged || p.r.Status().Halted != "" {
		t.Errorf("with access given back: %+v, %+v", p.rows[1], p.r.Status())
	}
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
	p.do(p.r.Disconnected(s.now))
	if encoded(t, p.r.Confirmed()) != was {
		t.Error("what came after the unknown event was applied")
	}
	if p.cache.Cursor != cursor {
		t.Error("the cursor went past what is shown")
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
	say(wire.Pong{At: s.now + ahead, Now: s.now + 9000}, s.now+ahead+9000) // a slow answer tells little
	if got := p.r.Offset(); got != ahead {
		t.Errorf("offset %d after a slow answer, want %d", got, ahead)
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

package replica_test

import (
	"encoding/json"
	"fmt"
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
	due  []desk.Out // said and not heard yet
	busy bool       // somebody is hearing
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

// deliver hands messages over in the order they were said, also where hearing one
// leads to another.
func (s *set) deliver(outs []desk.Out) {
	s.due = append(s.due, outs...)
	if s.busy {
		return
	}
	s.busy = true
	defer func() { s.busy = false }()
	for len(s.due) > 0 {
		o := s.due[0]
		s.due = s.due[1:]
		if p := s.at[o.To]; p != nil {
			p.heard = append(p.heard, string(o.Whole()))
			p.do(p.r.Receive(o.Whole(), s.now))
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

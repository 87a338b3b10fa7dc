package sim

import (
	"encoding/json"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/replica"
)

// phone is a real replica, the storage under it and the person who holds it.
type phone struct {
	w      *world
	n      int
	person shoot.PersonID
	device shoot.DeviceID
	chance *Source
	skew   when.Instant // of its clock

	r      *replica.Replica
	link   *link
	retry  when.Instant
	ticked when.Instant
	dead   bool // it stopped in the middle of a step

	// What survives: two databases.
	cache []byte
	rows  map[uint64][]byte
	last  uint64
}

func newPhone(w *world, n int) *phone {
	p := &phone{w: w, n: n, person: Person(n), device: shoot.DeviceID(ID(0x9000 + n)), chance: Seeded(w.cfg.Seed*1000 + uint64(n)), rows: map[uint64][]byte{}}
	p.skew = when.Instant(p.chance.Below(600)-300) * when.Second
	p.start()
	return p
}

func (p *phone) clock() when.Instant { return p.w.now + p.skew }

// start makes the replica from what the storage holds.
func (p *phone) start() {
	p.drop()
	p.r, p.dead = replica.New(p.device, p.person, "sim"), false
	var cache *replica.Cache
	if p.cache != nil {
		p.w.must(json.Unmarshal(p.cache, &cache))
	}
	var rows []replica.Row
	for _, b := range p.rows {
		var row replica.Row
		p.w.must(json.Unmarshal(b, &row))
		rows = append(rows, row)
	}
	p.do(p.r.Load(cache, rows, p.last))
}

// do carries out a step; a phone may stop at each write.
func (p *phone) do(s replica.Step) {
	stops := func() bool {
		p.dead = p.dead || p.w.fault(p.chance, p.w.cfg.Kill)
		return p.dead
	}
	if s.NewDevice {
		p.w.wrong("%s lost its queue, as the desk sees it", p.person)
	}
	if s.Wipe && !stops() {
		p.cache = nil
	}
	if s.Cache != nil && !stops() {
		p.cache = Args(s.Cache)
	}
	for _, row := range s.Keep {
		if row.Seq != 0 && !stops() {
			p.rows[row.Seq] = Args(row)
		}
	}
	for _, seq := range s.Drop {
		if !stops() {
			delete(p.rows, seq)
		}
	}
	for _, text := range s.Send {
		if p.link != nil && !stops() {
			p.w.put(p, &p.link.up, text)
		}
	}
	if s.Reread && !p.dead {
		p.w.wrong("%s misses a row of a tab that it does not have", p.person)
	}
	if s.Close && !p.dead {
		p.retry = p.w.now + s.RetryAfter
		p.hangUp()
	}
}

// drop lets go of the connection without a word to the replica.
func (p *phone) drop() {
	if l := p.link; l != nil {
		l.held, p.link = false, nil
		if p.chance.Chance(500) {
			l.up = nil // what was on its way is lost; otherwise it still arrives
		}
		p.retry = max(p.retry, p.w.now+when.Instant(p.chance.Below(4000)))
	}
}

func (p *phone) hangUp() {
	if p.link != nil {
		p.drop()
		p.do(p.r.Disconnected(p.clock()))
	}
}

// step is what happens at the phone while a little time passes.
func (p *phone) step() {
	w := p.w
	if p.dead || w.fault(p.chance, w.cfg.Kill/4) {
		p.start()
	}
	if p.link != nil && w.fault(p.chance, w.cfg.Cut) {
		p.hangUp()
	}
	if p.link == nil && !p.dead && w.now >= p.retry {
		p.link = w.dial(p)
		p.do(p.r.Connected(p.clock()))
	}
	if w.now-p.ticked >= when.Second && !p.dead {
		p.ticked = w.now
		p.do(p.r.Tick(p.clock()))
	}
	if w.faulty && !p.dead && p.chance.Chance(w.cfg.Edits) {
		p.enter(p.idea())
	}
	if w.faulty && !p.dead && p.chance.Chance(5) {
		p.tidy()
	}
}

// enter makes an edit, stores it, and hands it over; the phone may stop before
// and after it is stored.
func (p *phone) enter(name string, args any) {
	id := p.w.intentID(p.chance)
	s := p.r.Edit(id, name, Args(args), p.clock())
	if s.Refused != nil {
		return
	}
	if p.w.fault(p.chance, p.w.cfg.Kill) {
		p.dead = true
		return
	}
	for i := range s.Keep {
		p.last++
		s.Keep[i].Seq = p.last
		p.rows[p.last] = Args(s.Keep[i])
	}
	p.w.made[id] = p
	p.w.report.Made++
	if p.w.fault(p.chance, p.w.cfg.Kill*4) {
		p.dead = true
		return
	}
	p.do(p.r.Kept(s.Keep, p.clock()))
}

// tidy discards what somebody has looked at.
func (p *phone) tidy() {
	for _, item := range p.r.Stuck() {
		p.do(p.r.Discard(item.Seq))
		if _, still := p.rows[item.Seq]; !still {
			p.w.thrown[item.Edit.ID] = true
		}
		if p.dead {
			return
		}
	}
}

func (p *phone) quiet() bool {
	s := p.r.Status()
	return !p.dead && p.link != nil && p.link.served && s.Online && s.Waiting == 0 && p.r.Confirmed() != nil
}

package sim

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"slices"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/replica"
	"fairday/sync/wire"
)

// disk is what survives on a phone: two databases, which its tabs share.
type disk struct {
	device shoot.DeviceID
	cache  []byte
	rows   map[uint64][]byte
	last   uint64 // the highest number given out
	names  int    // devices that there were
	failed bool   // it refused a write
}

// phone is a tab: a real replica, the storage under it and the person who holds
// it.
type phone struct {
	*disk
	w      *world
	n      int
	person shoot.PersonID
	chance *Source
	skew   when.Instant // of its clock
	twin   *phone       // the other tab, nil for none
	second bool         // it is that other tab

	r      *replica.Replica
	link   *link
	retry  when.Instant
	ticked when.Instant
	full   when.Instant // its storage takes nothing until then
	old    bool         // its page is an old one
	dead   bool         // it stopped in the middle of a step
}

func newPhone(w *world, n int) *phone {
	p := &phone{disk: &disk{rows: map[uint64][]byte{}}, w: w, n: n, person: Person(n % People), chance: Seeded(w.cfg.Seed*1000 + uint64(n))}
	p.renamed()
	p.skew = when.Instant(p.chance.Below(600)-300) * when.Second
	p.start()
	return p
}

// renamed makes the storage another device's.
func (p *phone) renamed() {
	p.device = shoot.DeviceID(ID(0x9000 + p.n + p.names<<32))
	p.names++
}

func (p *phone) clock() when.Instant { return p.w.now + p.skew }

// start makes the replica from what the storage holds.
func (p *phone) start() {
	p.drop()
	p.dead, p.old = false, false
	p.load()
}

// load makes the replica afresh, as at a start.
func (p *phone) load() {
	p.r = replica.New(p.device, p.person, "sim")
	var cache *replica.Cache
	if p.cache != nil {
		p.w.must(json.Unmarshal(p.cache, &cache))
	}
	p.do(p.r.Load(cache, p.all(), p.last))
}

// all reads the whole queue, in the order of its numbers.
func (p *phone) all() []replica.Row {
	var rows []replica.Row
	for _, seq := range slices.Sorted(maps.Keys(p.rows)) {
		rows = append(rows, p.decode(seq))
	}
	return rows
}

// do carries out a step; a phone may stop at each write. A write that fails ends
// the step there, as it does in a page.
func (p *phone) do(s replica.Step) {
	stops := func() bool {
		p.dead = p.dead || p.w.fault(p.chance, p.w.cfg.Kill, "kill")
		return p.dead
	}
	if s.Wipe && !stops() {
		p.cache = nil
	}
	if s.Cache != nil && !stops() {
		if p.w.now < p.full {
			p.failed = true
			return
		}
		p.cache = Args(s.Cache)
		p.w.held(p, s.Cache.State, s.Cache.Role)
	}
	for _, row := range s.Keep {
		if row.Seq != 0 && !stops() {
			if p.w.now < p.full {
				p.failed = true
				return
			}
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
			p.w.put(p, &p.link.up, p.aged(text))
		}
	}
	if s.Reread && !p.dead {
		p.do(p.r.Reread(p.all(), p.last, p.clock()))
	}
	if s.NewDevice && !p.dead {
		p.renumber()
		return
	}
	if s.Close && !p.dead {
		p.retry = p.w.now + s.RetryAfter
		if s.Halt { // until the person joins again
			p.retry += when.Instant(p.chance.Below(20)) * when.Second
		}
		p.hangUp()
	}
}

// renumber becomes another device, whose queue is what waits here.
func (p *phone) renumber() {
	p.renamed()
	rows := p.all()
	p.rows, p.last = map[uint64][]byte{}, 0
	for _, row := range rows {
		p.last++
		row.Seq = p.last
		p.rows[p.last] = Args(row)
	}
	p.drop()
	p.load()
	if p.twin != nil {
		p.twin.drop()
		p.twin.load()
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
	p.trouble()
	if p.link == nil && !p.dead && w.now >= p.retry && w.cfg.sabotage != "a phone stays away" {
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
	if p.twin != nil && !p.second {
		p.twin.step()
	}
}

// trouble is what befalls a phone.
func (p *phone) trouble() {
	w, c := p.w, p.w.cfg
	if p.dead || w.fault(p.chance, c.Kill/4, "kill") {
		p.start()
	}
	if !w.faulty && p.r.Status().Outdated {
		p.start() // the person does as the page says
	}
	if p.link != nil && w.fault(p.chance, c.Cut, "cut") {
		p.hangUp()
	}
	if p.link != nil && w.fault(p.chance, c.Half, "half-open") {
		p.link.mute = true
	}
	if p.link != nil && w.fault(p.chance, c.Out, "signed out") {
		w.post(w.d.Bye(p.link.id, wire.CodeSignedOut))
	}
	if w.fault(p.chance, c.Jump, "phone's clock") {
		p.skew = when.Instant(p.chance.Below(7200)-3600) * when.Second
	}
	if w.fault(p.chance, c.Full, "no room on a phone") {
		p.full = w.now + when.Instant(p.chance.Below(30))*when.Second
	}
	if w.fault(p.chance, c.Old, "older page") {
		p.hangUp()
		p.old = true
	}
	if w.fault(p.chance, c.Lose, "storage lost") {
		p.lose(p.chance.Chance(500))
	}
	if !p.second && w.fault(p.chance, c.Tabs, "tab") {
		if p.twin == nil {
			p.twin = &phone{disk: p.disk, w: w, n: p.n, person: p.person, chance: p.chance, skew: p.skew, twin: p, second: true}
			p.twin.start()
		} else {
			p.close()
		}
	}
}

// close closes the second tab, if there is one.
func (p *phone) close() {
	if p.twin != nil && !p.second {
		p.twin.drop()
		p.twin = nil
		p.start() // the tab that leads now reads what is stored
	}
}

// lose has the storage gone, the name of the device with it or not. What was not
// sent is lost.
func (p *phone) lose(all bool) {
	p.close()
	if p.second {
		return
	}
	for _, row := range p.all() {
		p.w.thrown[row.Edit.ID] = true
	}
	p.cache, p.rows, p.last = nil, map[uint64][]byte{}, 0
	if all {
		p.renamed()
	}
	p.start()
}

// enter makes an edit, stores it, and hands it over; the phone may stop before
// and after it is stored, and the storage may refuse.
func (p *phone) enter(name string, args any) {
	id := p.w.intentID(p.chance)
	s := p.r.Edit(id, name, Args(args), p.clock())
	if s.Refused != nil || p.w.now < p.full { // and the person is told
		return
	}
	if p.w.fault(p.chance, p.w.cfg.Kill, "kill") {
		p.dead = true
		return
	}
	for i := range s.Keep {
		p.last++
		s.Keep[i].Seq = p.last
		if p.w.cfg.sabotage != "a phone forgets" || p.last%5 != 0 {
			p.rows[p.last] = Args(s.Keep[i])
		}
	}
	p.w.entered[id] = p
	p.w.report.Entered++
	if p.w.fault(p.chance, p.w.cfg.Kill*4, "kill") {
		p.dead = true
		return
	}
	if p.twin != nil && p.chance.Chance(700) { // the other tab may be asleep
		p.twin.do(p.twin.r.Kept(slices.Clone(s.Keep), p.twin.clock()))
	}
	if p.w.cfg.sabotage != "a phone forgets" || p.last%5 != 0 {
		p.do(p.r.Kept(s.Keep, p.clock()))
	}
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
	return !p.dead && !s.Outdated && p.link != nil && p.link.served && !p.link.mute && s.Online && s.Waiting == 0 && p.r.Confirmed() != nil
}

// strange is an event that an old page does not know.
const strange = `"kind":"shot.frames"`

// aged makes what a page of an older protocol would have sent.
func (p *phone) aged(text []byte) []byte {
	if !p.old {
		return text
	}
	return bytes.Replace(text, fmt.Appendf(nil, `"hello","protocol":%d`, wire.Protocol), []byte(`"hello","protocol":1`), 1)
}

// puzzling makes what an old page sees where a newer one sees an event.
func (p *phone) puzzling(text []byte) []byte {
	if !p.old {
		return text
	}
	return bytes.ReplaceAll(text, []byte(strange), []byte(`"kind":"of tomorrow"`))
}

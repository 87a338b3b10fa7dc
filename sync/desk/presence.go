package desk

import (
	"maps"
	"slices"

	"fairday/domain/shoot"
	"fairday/sync/wire"
)

// silence is how many beats a connection may be without a word before it counts as
// dead. Beats are counted and no clock is read, so that nobody vanishes when the
// server's is set.
const silence = int(wire.DeadAfter / wire.BeatEvery)

// presence is whose phones are on line, as the last beat found it. It is told beside
// the numbered stream, and never becomes part of the log or the state.
type presence struct {
	n      uint64 // grows with every change; 0 before the first beat
	people map[shoot.PersonID]bool
	next   map[shoot.PersonID]bool // room for the next beat to count in
	text   []byte                  // the list as a message, shared by everybody
}

// Beat is to be called every wire.BeatEvery. It gives the list of whose phones are on
// line to every connection that has another one.
func (d *Desk) Beat() []Out {
	for _, id := range d.order {
		d.conns[id].silent++
	}
	d.look()
	var outs []Out
	for _, id := range d.order {
		outs = d.present(outs, d.conns[id])
	}
	return outs
}

// look makes the list anew where somebody has come or gone.
func (d *Desk) look() {
	p := &d.presence
	clear(p.next)
	for _, id := range d.order {
		if c := d.conns[id]; c.device != "" && !c.handing && c.silent <= silence {
			p.next[c.person] = true
		}
	}
	if p.n == 0 || !maps.Equal(p.people, p.next) {
		p.n, p.people, p.next = p.n+1, p.next, p.people
		p.text = encoded(wire.Presence{N: p.n, People: slices.Sorted(maps.Keys(p.people))})
	}
}

// present adds the list for a connection that has not been told it. Whoever connects
// is of the floor, so that all who see the floor see all of the list as people, and
// one encoding serves them.
func (d *Desk) present(outs []Out, c *conn) []Out {
	p := &d.presence
	if c.told == p.n || c.device == "" || c.handing || c.protocol < wire.Presents || !c.audience.Sees(shoot.TopicFloor) {
		return outs
	}
	c.told = p.n
	return append(outs, Out{To: c.id, Text: p.text, Spare: true})
}

package desk

import (
	"slices"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/wire"
)

// conn is a connection that has said hello, or will.
type conn struct {
	id       ConnID
	person   shoot.PersonID // from the session
	device   shoot.DeviceID // "" before hello
	audience shoot.Audience
	epoch    int
	protocol int
	handing  bool   // access was withdrawn: the queue is taken, nothing is told but verdicts
	n        uint64 // of the last frame or snapshot
	seq      uint64 // of the last entry that the connection was told of
	silent   int    // beats since the last word
	told     uint64 // number of the newest Presence that was sent, or that the phone says it has
}

func (c *conn) key() DeviceKey { return KeyOf(c.person, c.device) }

// Attach registers a connection whose session was checked: it speaks for that
// person and nobody else.
func (d *Desk) Attach(id ConnID, person shoot.PersonID) {
	d.conns[id] = &conn{id: id, person: person}
	d.order = append(d.order, id)
}

// Leave forgets a connection. One that is not there is passed over.
func (d *Desk) Leave(id ConnID) {
	if _, ok := d.conns[id]; ok {
		delete(d.conns, id)
		d.order = slices.DeleteFunc(d.order, func(o ConnID) bool { return o == id })
	}
}

// all gives the connections that have said hello, in the order they came.
func (d *Desk) all() []*conn {
	var out []*conn
	for _, id := range d.order {
		if c := d.conns[id]; c.device != "" {
			out = append(out, c)
		}
	}
	return out
}

// Receive takes a message of a connection and gives what is to be said at once.
// Edits join the open batch; their verdicts come with Commit.
func (d *Desk) Receive(id ConnID, m wire.Message, now when.Instant) []Out {
	c, ok := d.conns[id]
	if !ok {
		return nil // said after it was told goodbye
	}
	c.silent = 0
	if hello, ok := m.(wire.Hello); ok {
		if c.device != "" {
			return []Out{d.bye(c, wire.CodeOrder)}
		}
		return d.hello(c, hello, now)
	}
	if c.device == "" {
		return []Out{d.bye(c, wire.CodeOrder)}
	}
	if ping, ok := m.(wire.Ping); ok {
		return d.pong(c, ping, now)
	}
	edits, ok := m.(wire.Edits)
	if !ok {
		return []Out{d.bye(c, wire.CodeOrder)}
	}
	stop, err := d.submit(c.person, c.device, edits, now)
	switch {
	case err != nil:
		return []Out{d.bye(c, wire.ByeFor(err).Code)}
	case stop != nil:
		return d.say(c, *stop)
	}
	return nil
}

// pong says how far the connection has been told. The runner takes pings and frames
// in one order, so that the floor as committed is the floor after the last frame.
func (d *Desk) pong(c *conn, ping wire.Ping, now when.Instant) []Out {
	pong := wire.Pong{N: ping.N, At: ping.At, Now: now, Last: c.n}
	c.told = ping.Present // the next beat makes good for what was lost
	if c.protocol >= wire.Hashed && !c.handing {
		_, pong.Hash = d.committed()
	}
	return d.say(c, pong)
}

// handsIn is the first protocol in which somebody without access may hand in what
// they reported before: the welcome names no role.
const handsIn = 2

// hello welcomes a connection and brings it up to what is committed.
func (d *Desk) hello(c *conn, h wire.Hello, now when.Instant) []Out {
	who := d.shown.Floor.People[c.person]
	audience, ok := d.shown.AudienceOf(c.person)
	key := KeyOf(c.person, h.Device)
	c.protocol = h.Protocol
	switch {
	case !ok && who.Revoked && h.Protocol >= handsIn && h.Sent > 0:
		c.device, c.audience, c.epoch, c.handing = h.Device, shoot.Audience{Person: c.person}, who.Epoch, true
		return d.say(c, wire.Welcome{Protocol: h.Protocol, Oldest: wire.Oldest, Now: now, Generation: d.generation,
			Person: c.person, Epoch: who.Epoch, Expect: d.devices[key] + 1})
	case !ok:
		return []Out{d.bye(c, wire.CodeRevoked)}
	case h.Protocol > wire.Protocol:
		return []Out{d.bye(c, wire.CodeProtocol)}
	case h.Sent < d.devices[key]:
		return []Out{d.bye(c, wire.CodeDevice)}
	}
	c.device, c.audience, c.epoch = h.Device, audience, who.Epoch
	outs := d.say(c, wire.Welcome{Protocol: h.Protocol, Oldest: wire.Oldest, Now: now, Generation: d.generation,
		Person: c.person, Role: audience.Role, Epoch: who.Epoch, Expect: d.devices[key] + 1})
	if seq, ok := d.unsealed(c.person, c.epoch, h.Cursor); ok {
		c.seq = seq
		more, ok, err := d.catchUp(c)
		if err != nil {
			return append(outs, d.bye(c, wire.CodeUnavailable))
		}
		if ok {
			return d.present(append(outs, more...), c)
		}
	}
	return d.present(append(outs, d.snapshot(c)), c)
}

// snapshot gives everything that a connection's audience sees. The floor, which
// is nearly all of it, is encoded once for everybody.
func (d *Desk) snapshot(c *conn) Out {
	before, after, err := d.shown.For(c.audience).JSON()
	if err != nil {
		return d.bye(c, wire.CodeUnavailable)
	}
	cursor, err := d.sealed(c.person, c.epoch, d.head)
	if err != nil {
		return d.bye(c, wire.CodeUnavailable)
	}
	floor, hash := d.committed()
	head, tail := wire.EncodeSnapshot(c.n+1, cursor, hash)
	c.n, c.seq = c.n+1, d.head
	return Out{To: c.id, Text: append(head, before...), Rest: []*Part{floor, {Text: append(after, tail...)}}}
}

// say encodes a message that is outside the numbered stream.
func (d *Desk) say(c *conn, m wire.Message) []Out {
	text, err := wire.Encode(m)
	if err != nil {
		return []Out{d.bye(c, wire.CodeUnavailable)}
	}
	return []Out{{To: c.id, Text: text}}
}

// Bye ends a connection from the server's side: its session has ended, it is
// too slow, the server stops. One that is not there gives nothing.
func (d *Desk) Bye(id ConnID, code wire.Code) []Out {
	if c, ok := d.conns[id]; ok {
		return []Out{d.bye(c, code)}
	}
	return nil
}

func (d *Desk) bye(c *conn, code wire.Code) Out {
	d.Leave(c.id)
	return Out{To: c.id, Text: encoded(wire.ByeOf(code)), Close: true}
}

// encoded writes a message that holds nothing that could fail.
func encoded(m wire.Message) []byte {
	text, err := wire.Encode(m)
	if err != nil {
		panic(err)
	}
	return text
}

// evict says goodbye to everybody whose access or epoch is not what it was when
// they came; they hear nothing more of the old audience.
func (d *Desk) evict() []Out {
	var outs []Out
	for _, c := range d.all() {
		switch who := d.shown.Floor.People[c.person]; {
		case who.Revoked && c.handing:
		case who.Revoked:
			outs = append(outs, d.bye(c, wire.CodeRevoked))
		case who.Epoch != c.epoch:
			outs = append(outs, d.bye(c, wire.CodeEpoch))
		}
	}
	for p := range d.presence.people { // whoever comes before the next beat hears nothing of who has no access
		if d.shown.Floor.People[p].Revoked {
			d.look()
			break
		}
	}
	return outs
}

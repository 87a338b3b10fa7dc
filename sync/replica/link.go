package replica

import (
	"encoding/json"
	"slices"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/wire"
)

// sendSize is how many bytes of edits go into one message, roughly; it leaves
// the message below wire.MaxUp.
const sendSize = wire.MaxUp - 2*shoot.MaxArgs

// Connected starts a connection: hello is the first thing said on it.
func (r *Replica) Connected(now when.Instant) Step {
	var step Step
	r.link = link{up: true, opened: now, heard: now, pinged: now, moved: now, patience: offerAgain, trip: -1}
	r.claimed = max(r.known, r.highest())
	if now-r.lower >= lowerFor || now < r.lower {
		r.speaks = wire.Protocol
	}
	r.say(&step, wire.Hello{Protocol: r.speaks, App: r.app, Device: r.device, Cursor: r.cursor,
		Generation: r.generation, Sent: r.claimed})
	return step
}

func (r *Replica) highest() uint64 {
	if n := len(r.rows); n > 0 {
		return r.rows[n-1].Seq
	}
	return 0
}

// Disconnected ends the connection, whoever closed it.
func (r *Replica) Disconnected(now when.Instant) Step {
	step := Step{Changed: r.link.welcome}
	r.link = link{}
	if r.dirty {
		r.cache(&step, now)
	}
	return step
}

// Tick is called about once a second. It keeps the connection honest, stores
// the cache and lets go of what has lingered long enough.
func (r *Replica) Tick(now when.Instant) Step {
	var step Step
	r.rows = slices.DeleteFunc(r.rows, func(row Row) bool {
		v := row.Verdict
		old := v != nil && (v.Result == wire.Accepted || v.Result == wire.Flagged && row.Seen) && now-row.Acked >= Linger
		if old {
			step.Drop = append(step.Drop, row.Seq)
		}
		return old
	})
	if r.link.welcome && r.differs(now) {
		return r.mismatch(step, now)
	}
	if r.dirty && (now-r.stored >= cacheEvery || now < r.stored) {
		r.cache(&step, now)
	}
	l := &r.link
	if !l.up {
		return step
	}
	if now < max(l.heard, l.pinged, l.moved) { // the phone's clock was set back
		l.heard, l.pinged, l.moved, l.trip = now, now, now, -1
	}
	if now-l.heard >= wire.DeadAfter { // a desk that all phones come back to at once may be as slow to welcome one
		return lost(step)
	}
	if !l.welcome {
		return step
	}
	if now-l.pinged >= pingEvery {
		r.ping(&step, now)
	}
	if now-l.moved >= l.patience && len(r.Pending()) > 0 {
		l.sent, l.rewound, l.refused, l.patience = 0, 0, "", 2*l.patience // a slow line gets slower with every copy
		r.send(&step, now)
	}
	return step
}

func (r *Replica) ping(step *Step, now when.Instant) {
	r.link.pinged, r.link.pings = now, r.link.pings+1
	r.say(step, wire.Ping{N: r.link.pings, At: now, Present: r.link.heardOf})
}

// send sends every waiting edit that has not been sent on this connection, in
// order, up to the first number that another tab has given and this one has not
// been told of. It says that numbers will never come only when nothing in front of
// them waits: a desk that heard that, and not what was sent before, would pass over
// the edits in front.
func (r *Replica) send(step *Step, now when.Instant) {
	l := &r.link
	if !l.welcome {
		return
	}
	waiting := r.Pending()
	for _, m := range r.batches(l.sent, l.expect) {
		if m.After > 0 && waiting[0].Seq < m.After {
			return
		}
		r.say(step, m)
		l.moved = now
		l.sent = m.Edits[len(m.Edits)-1].Seq
		l.expect = max(l.expect, l.sent+1)
	}
}

// batches packs the waiting edits above a number into messages, for a desk that
// expects a number.
func (r *Replica) batches(above, expect uint64) []wire.Edits {
	var out []wire.Edits
	size := 0
	for _, row := range r.rows {
		if row.Verdict != nil || row.Seq <= above || row.Seq > r.known {
			continue
		}
		e := row.Edit
		e.Seq = row.Seq
		n := len(out) - 1
		switch {
		case row.Seq > expect: // what lies between has its verdict or was discarded
			out, size = append(out, wire.Edits{After: row.Seq - 1}), 0
		case n < 0 || len(out[n].Edits) == wire.MaxEdits || size > sendSize:
			out, size = append(out, wire.Edits{}), 0
		}
		m := &out[len(out)-1]
		m.Edits, size = append(m.Edits, e), size+len(e.Args)+512
		expect = max(expect, row.Seq+1)
	}
	return out
}

// Handover gives the waiting edits as visits that another phone can make in this
// one's place. Nothing changes here: the rows stay until their verdicts come, and
// sending them twice gives the same verdicts.
func (r *Replica) Handover() []wire.Post {
	var out []wire.Post
	for _, m := range r.batches(0, 1) {
		out = append(out, wire.Post{Hello: wire.Hello{Protocol: r.speaks, App: r.app, Device: r.device,
			Sent: max(r.known, r.highest())}, After: m.After, Edits: m.Edits})
	}
	return out
}

// say adds a message to what is to be sent.
func (r *Replica) say(step *Step, m wire.Message) {
	text, err := wire.Encode(m)
	if err != nil { // arguments were checked to be JSON when they were entered
		panic(err)
	}
	step.Send = append(step.Send, json.RawMessage(text))
}

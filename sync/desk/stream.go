package desk

import (
	"strings"

	"fairday/domain/shoot"
	"fairday/sync/wire"
)

// chunkSize is how many bytes of events go into one frame, roughly: whole
// entries are never split. It leaves a frame far below wire.MaxFrame.
const chunkSize = 256 << 10

// sharedSize is how many bytes of events are shared by the frames that have them,
// and not copied into each.
const sharedSize = 4 << 10

// coded is an entry with its events encoded once for everybody.
type coded struct {
	topics []shoot.Topic
	events [][]byte
	hash   string
	seq    uint64
	money  bool
}

func code(entries []Entry) ([]coded, error) {
	out := make([]coded, len(entries))
	for i, e := range entries {
		c := coded{hash: e.Hash, seq: e.Seq, money: e.Money()}
		for _, ev := range e.Events {
			c.topics = append(c.topics, ev.Topic())
		}
		if c.events = e.raw; c.events == nil { // it was loaded
			var err error
			if c.events, err = encodeEvents(e.Events); err != nil {
				return nil, err
			}
		}
		out[i] = c
	}
	return out, nil
}

// chunk is the content of one frame: what an audience sees of some entries.
type chunk struct {
	events []byte // a JSON array
	shared *Part  // of events, where they are many; nil for none
	some   bool   // there is an event in it
	hash   string // of the floor after it, where it changed and the hash is known
	seq    uint64 // of the last entry
	end    int    // entries before this index are in it or in an earlier chunk
}

// chunks gives what an audience sees of entries, cut at entries. The cuts
// depend on nothing that the audience does not see.
func chunks(entries []coded, a shoot.Audience) []chunk {
	var out []chunk
	now := chunk{events: []byte{'['}}
	cut := func() {
		now.events = append(now.events, ']')
		if len(now.events) > sharedSize {
			now.shared = &Part{Text: now.events}
		}
		out = append(out, now)
	}
	for i, e := range entries {
		for j, t := range e.topics {
			if !a.Sees(t) {
				continue
			}
			if now.some {
				now.events = append(now.events, ',')
			}
			now.events, now.some = append(now.events, e.events[j]...), true
			if t == shoot.TopicFloor {
				now.hash = e.hash
			}
		}
		now.seq, now.end = e.seq, i+1
		if len(now.events) > chunkSize {
			cut()
			now = chunk{events: []byte{'['}, seq: e.seq, end: i + 1}
		}
	}
	if now.some || len(out) == 0 {
		cut()
		return out
	}
	out[len(out)-1].seq, out[len(out)-1].end = now.seq, now.end
	return out
}

// view names all that an audience sees of some entries, so that those who see
// the same share the encoding.
func view(entries []coded, a shoot.Audience) string {
	var b strings.Builder
	for _, e := range entries {
		for _, t := range e.topics {
			if a.Sees(t) {
				b.WriteByte('1')
			} else {
				b.WriteByte('0')
			}
		}
	}
	return b.String()
}

// publish gives every connection its frames of a committed batch.
func (d *Desk) publish(b *Batch, entries []coded) []Out {
	shared := map[string][]chunk{}
	var outs []Out
	for _, c := range d.all() {
		if c.handing {
			if mine := b.verdicts[c.key()]; len(mine) > 0 {
				outs = append(outs, d.frames(c, []chunk{{events: []byte("[]"), end: len(entries)}}, mine)...)
			}
			continue
		}
		v := view(entries, c.audience)
		parts, ok := shared[v]
		if !ok {
			parts = chunks(entries, c.audience)
			shared[v] = parts
		}
		outs = append(outs, d.frames(c, parts, b.verdicts[c.key()])...)
	}
	return outs
}

// frames makes the frames of one connection. A chunk without events and
// without verdicts gives none.
func (d *Desk) frames(c *conn, parts []chunk, verdicts []answered) []Out {
	var outs []Out
	for i, p := range parts {
		var mine []wire.Verdict
		for len(verdicts) > 0 && (verdicts[0].entry < p.end || i == len(parts)-1) {
			mine, verdicts = append(mine, verdicts[0].verdict), verdicts[1:]
		}
		if !p.some && len(mine) == 0 {
			continue
		}
		out, err := d.frame(c, p, mine)
		if err != nil {
			return append(outs, d.bye(c, wire.CodeUnavailable))
		}
		outs = append(outs, out)
	}
	return outs
}

func (d *Desk) frame(c *conn, p chunk, verdicts []wire.Verdict) (Out, error) {
	seq := max(p.seq, c.seq)
	cursor, err := d.sealed(c.audience.Person, c.epoch, seq)
	if err != nil {
		return Out{}, err
	}
	room := 0
	if p.shared == nil {
		room = len(p.events) + 128*len(verdicts) + len(p.hash) + 32
	}
	head, tail, err := wire.EncodeFrame(c.n+1, cursor, verdicts, p.hash, room)
	if err != nil {
		return Out{}, err
	}
	c.n, c.seq = c.n+1, seq
	if p.shared != nil {
		return Out{To: c.id, Text: head, Rest: []*Part{p.shared, {Text: tail}}}, nil
	}
	return Out{To: c.id, Text: append(append(head, p.events...), tail...)}, nil
}

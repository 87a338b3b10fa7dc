package replica

import (
	"encoding/json"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/wire"
)

// Receive takes a message of the desk.
func (r *Replica) Receive(text []byte, now when.Instant) Step {
	var step Step
	if !r.link.up {
		return step
	}
	m, err := wire.DecodeDown(text)
	if err != nil {
		return lost(step)
	}
	r.link.heard = now
	switch m := m.(type) {
	case wire.Bye:
		return r.bye(m, now)
	case wire.Welcome:
		return r.welcome(m, now)
	}
	if !r.link.welcome {
		return lost(step)
	}
	r.since = now - r.offset
	switch m := m.(type) {
	case wire.Snapshot:
		return r.snapshot(m, now)
	case wire.Frame:
		return r.frame(m, now)
	case wire.Expect:
		if m.Why != "" { // sent again after a while: the desk may have been brought up to date
			r.link.refused, step.Changed = m.Why, true
			return step
		}
		if r.link.rewound != m.Seq || now-r.link.moved >= offerAgain {
			r.link.rewound, r.link.expect, r.link.sent = m.Seq, m.Seq, m.Seq-1
			r.send(&step, now)
		}
	case wire.Pong:
		return r.pong(m, now)
	case wire.Presence:
		if m.N > r.link.heardOf { // an older one was overtaken
			r.link.heardOf, r.link.present, step.Changed = m.N, map[shoot.PersonID]bool{}, true
			for _, p := range m.People {
				r.link.present[p] = true
			}
		}
	}
	return step
}

// pong hears how far the desk has come with this connection, and what the floor is
// to be then.
func (r *Replica) pong(m wire.Pong, now when.Instant) Step {
	var step Step
	if m.N > 0 {
		r.clock(m.At, m.Now, now)
	}
	r.since = m.Now
	if m.Last != r.link.n { // a frame got lost on the way
		return lost(step)
	}
	if m.Hash != "" && r.unchecked && !r.deaf {
		r.owed = m.Hash
	}
	if r.differs(now) {
		return r.mismatch(step, now)
	}
	return step
}

// lost ends a connection whose thread was lost; the next one resumes.
func lost(step Step) Step {
	step.Close = true
	return step
}

// welcome learns who this phone is to the desk, and sends what waits.
func (r *Replica) welcome(m wire.Welcome, now when.Instant) Step {
	var step Step
	if r.link.welcome || m.Person != r.person {
		return lost(step)
	}
	r.clock(r.link.opened, m.Now, now)
	r.since, r.halted = m.Now, ""
	if r.role != "" && (m.Epoch != r.epoch || m.Role != r.role) {
		r.wipe(&step) // what was seen under another role is not this one's to keep
	}
	r.role, r.epoch, r.generation = m.Role, m.Epoch, m.Generation
	r.offerAgain(&step, now)
	r.link.welcome, r.link.expect, r.link.sent = true, m.Expect, 0
	if r.link.handing = m.Role == ""; r.link.handing {
		r.halted = wire.CodeRevoked
	}
	r.outdated = r.outdated || m.Oldest > wire.Protocol
	step.Changed = true
	r.send(&step, now)
	if r.confirmed != nil { // the pong comes after what was missed, and has the hash of the floor
		r.ping(&step, now)
	}
	return r.handedIn(step)
}

// handedIn ends a connection on which somebody without access has handed in all
// that waited.
func (r *Replica) handedIn(step Step) Step {
	if r.link.handing && len(r.Pending()) == 0 {
		step.Close, step.Halt = true, true
	}
	return step
}

// offerAgain puts back into the queue what another generation of the log had
// taken: this one may not have it.
func (r *Replica) offerAgain(step *Step, now when.Instant) {
	again := false
	for i := range r.rows {
		row := &r.rows[i]
		if v := row.Verdict; v != nil && v.Result != wire.Refused && row.Generation != r.generation && now-row.Acked < Linger {
			row.Verdict, row.Acked, row.Generation, row.Seen = nil, 0, "", false
			step.Keep = append(step.Keep, *row)
			again = true
		}
	}
	if again {
		r.rebase()
	}
}

func (r *Replica) snapshot(m wire.Snapshot, now when.Instant) Step {
	var step Step
	if m.N <= r.link.n {
		return step
	}
	if m.N != r.link.n+1 {
		return lost(step)
	}
	r.link.n = m.N
	r.heard++
	var s shoot.State
	if err := json.Unmarshal(m.State, &s); err != nil {
		return r.behind(step)
	}
	r.confirmed, r.cursor, r.deaf, r.owed, r.unchecked = &s, m.Cursor, false, "", false
	if r.blind = s.FloorHash() != m.Hash; r.blind { // fetching it once more would not help
		r.mismatches++
	}
	r.rebase()
	r.cache(&step, now)
	step.Changed = true
	return step
}

func (r *Replica) frame(m wire.Frame, now when.Instant) Step {
	var step Step
	if m.N <= r.link.n {
		return step
	}
	if m.N != r.link.n+1 || r.confirmed == nil && !r.deaf && !r.link.handing {
		return lost(step)
	}
	r.link.n = m.N
	mine := r.verdicts(&step, m.Verdicts, now)
	if mine {
		r.send(&step, now)
	}
	if step.Changed = len(m.Events) > 0 || mine; step.Changed {
		r.heard++
	}
	if r.link.handing {
		return r.handedIn(step)
	}
	if r.deaf || !r.events(m) {
		return r.behind(step)
	}
	r.cursor, r.dirty = m.Cursor, true
	r.rebase()
	if r.differs(now) {
		return r.mismatch(step, now)
	}
	if mine || now-r.stored >= cacheEvery || now < r.stored {
		r.cache(&step, now)
	}
	return step
}

// events applies what a frame says; false, and nothing applied, when this page
// does not know one of the events.
func (r *Replica) events(m wire.Frame) bool {
	all := make([]shoot.Event, len(m.Events))
	for i, raw := range m.Events {
		if err := json.Unmarshal(raw, &all[i]); err != nil {
			return false
		}
	}
	for _, e := range all {
		shoot.Apply(r.confirmed, e)
		if e.Topic() == shoot.TopicFloor {
			r.owed, r.unchecked = m.Hash, true // of the floor after the whole frame
		}
	}
	return true
}

// differs tells whether the floor has another hash than the desk said last.
// Working it out costs a phone more than applying a frame, so that it is done
// once in a while, on a tick at the latest.
func (r *Replica) differs(now when.Instant) bool {
	if r.owed == "" || r.blind || now-r.checked < checkEvery && now >= r.checked {
		return false
	}
	want := r.owed
	r.owed, r.unchecked, r.checked = "", false, now
	return r.confirmed.FloorHash() != want
}

// behind notes that the desk says things this page cannot read. What is shown
// stays as it was; the queue still drains. A page loaded anew goes on from the
// last cursor that was kept.
func (r *Replica) behind(step Step) Step {
	r.outdated, r.deaf, step.Changed = true, true, true
	return step
}

// mismatch throws the cache away and fetches everything anew. What is shown
// stays until then.
func (r *Replica) mismatch(step Step, now when.Instant) Step {
	r.mismatches++
	r.cursor, r.dirty, r.owed, r.unchecked, r.checked = "", false, "", false, 0
	step.Wipe, step.Cache, step.Close = true, nil, true
	step.RetryAfter = min(30*when.Second, when.Second*when.Instant(r.mismatches*r.mismatches))
	return step
}

// verdicts marks rows; true when one of them was waiting.
func (r *Replica) verdicts(step *Step, all []wire.Verdict, now when.Instant) bool {
	mine := false
	for _, v := range all {
		row := r.find(v.ID)
		if row == nil || row.Verdict != nil {
			continue
		}
		row.Verdict, row.Acked, row.Generation = &v, now, r.generation
		step.Keep = append(step.Keep, *row)
		r.link.moved, r.link.patience, mine = now, offerAgain, true
	}
	return mine
}

func (r *Replica) bye(m wire.Bye, now when.Instant) Step {
	step := Step{Close: true, Changed: true, RetryAfter: m.RetryAfter}
	switch m.Code {
	case wire.CodeEpoch:
		r.wipe(&step)
	case wire.CodeRevoked:
		r.wipe(&step)
		r.halted = m.Code
		step.Halt = !r.link.welcome || len(r.Pending()) == 0 // otherwise it comes once more, to hand in what waits
	case wire.CodeSignedOut:
		r.halted, step.Halt = m.Code, true
	case wire.CodeDevice: // unless it was another tab that gave out the numbers
		r.suspect, step.Reread = true, true
	case wire.CodeProtocol, wire.CodeUnknownType:
		if m.Code == wire.CodeProtocol && !r.link.welcome && r.speaks > 1 { // the desk may be older than this page
			r.speaks, r.lower = r.speaks-1, now
			break
		}
		r.outdated = true
	}
	if r.dirty {
		r.cache(&step, now)
	}
	return step
}

// clock takes the phone's offset from a question and its answer, unless the
// round trip was much slower than the quickest of this connection, or so slow that
// the offset which the phone has may be as right.
func (r *Replica) clock(asked, server, now when.Instant) {
	trip := now - asked
	if best := r.link.trip; trip < 0 || best >= 0 && trip > best+250 {
		return
	}
	offset := asked + trip/2 - server
	if trip > pingEvery && max(offset-r.offset, r.offset-offset) <= trip/2 {
		return
	}
	if r.link.trip < 0 || trip < r.link.trip {
		r.link.trip = trip
	}
	r.offset = offset
}

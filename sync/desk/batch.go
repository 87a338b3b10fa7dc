package desk

import (
	"errors"
	"fmt"
	"maps"
	"runtime/debug"
	"strings"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/wire"
)

// Codes of refusals that the desk itself gives.
const (
	CodeIDTaken  shoot.Code = "id_taken"  // the id belongs to another edit
	CodeSequence shoot.Code = "seq_taken" // the number belongs to another edit; in older logs only
	CodeLarge    shoot.Code = "too_large" // the shoot holds as much as phones can carry
)

// A shoot whose floor has grown to so many bytes takes no more requests, and one
// that is larger still no more reports: until the next hash at most hashEvery edits
// of at most shoot.MaxArgs are added, and a phone must be able to take the whole.
const (
	mostRequests = wire.MaxDown * 3 / 8
	mostReports  = wire.MaxDown * 5 / 8
)

// hashEvery is after how many changes of the floor an entry carries its hash: the
// log, and long bursts between two pongs, are to have some. Encoding the floor
// takes as long as three or four edits, so that this adds some three per cent to
// each, and what a phone catches up on is checked three times on the way. The
// first change after a shoot was opened has one too.
const hashEvery = 128

// Batch is what shares one Append. Entries and Checkpoint are for the log; the
// checkpoint must not be read after the desk's next call.
type Batch struct {
	Entries    []Entry
	Checkpoint *Checkpoint // nil for none
	Faults     []Fault     // for whoever keeps a log of errors

	floor    *Part                    // as the batch leaves it, encoded; nil where no entry carries its hash
	devices  map[DeviceKey]uint64     // last numbers that the batch moves
	ids      map[shoot.IntentID]int   // where in Entries an id first is
	verdicts map[DeviceKey][]answered // in order; whoever has one is told when the batch is abandoned
}

// answered is a verdict and the entry whose events must not come after it; -1
// where the entry is older than the batch.
type answered struct {
	verdict wire.Verdict
	entry   int
}

// Fault is a panic in a rule. The edit has a refusal as its verdict and its
// bytes are in its entry.
type Fault struct {
	Intent shoot.IntentID
	Panic  string
	Stack  []byte
}

func newBatch() *Batch {
	return &Batch{devices: map[DeviceKey]uint64{}, ids: map[shoot.IntentID]int{},
		verdicts: map[DeviceKey][]answered{}}
}

// submit takes edits of one device into the open batch. It stops at a gap, and at
// an edit of a newer page that nobody here could judge, and says where to go on.
func (d *Desk) submit(actor shoot.PersonID, device shoot.DeviceID, m wire.Edits, now when.Instant) (stop *wire.Expect, err error) {
	for _, e := range m.Edits {
		if stop, err := d.submitOne(sender{actor, "", device}, e, m.After, now); stop != nil || err != nil {
			return stop, err
		}
	}
	return nil, nil
}

// sender is whose edits are taken, and from where.
type sender struct {
	actor  shoot.PersonID
	via    shoot.PersonID // who delivers them, where that is somebody else
	device shoot.DeviceID
}

// submitOne takes an edit. It gives where to go on if that is a gap, unless no number
// between after and it will ever come, or if nobody here can judge it.
func (d *Desk) submitOne(from sender, e wire.Edit, after uint64, now when.Instant) (stop *wire.Expect, err error) {
	key := KeyOf(from.actor, from.device)
	last := d.last(key)
	if e.Seq > last+1 && e.Seq > after+1 {
		return &wire.Expect{Seq: max(last, after) + 1}, nil
	}
	first, known, err := d.find(e.ID)
	if err != nil {
		return nil, err
	}
	switch {
	case known && first.is(from.actor, e):
		d.answer(key, first.Verdict, int(first.Seq-d.head)-1)
		d.open.devices[key] = max(last, e.Seq)
	case e.Seq <= last && known:
		d.answer(key, refused(e, CodeIDTaken), -1)
	case e.Seq <= last: // the device lost its queue and counts anew, or two share its name
		return nil, &wire.Error{Code: wire.CodeDevice, Cause: fmt.Errorf("edit %d was another one", e.Seq)}
	case e.Version > 0 && !d.cfg.Knows(e.Name, e.Version):
		return &wire.Expect{Seq: e.Seq, Why: wire.CodeProtocol}, nil
	default:
		return nil, d.enter(from, e, known, now)
	}
	return nil, nil
}

// last is the number of a device's last edit, the open batch included.
func (d *Desk) last(key DeviceKey) uint64 {
	if n, ok := d.open.devices[key]; ok {
		return n
	}
	return d.devices[key]
}

// find gives the first entry with an id, from the open batch or the log.
func (d *Desk) find(id shoot.IntentID) (Entry, bool, error) {
	if i, ok := d.open.ids[id]; ok {
		return d.open.Entries[i], true, nil
	}
	return d.cfg.Log.Find(d.cfg.Shoot, id)
}

// answer puts a verdict into the stream of a device; entry is its place in the
// open batch, negative when it is older.
func (d *Desk) answer(key DeviceKey, v wire.Verdict, entry int) {
	d.open.verdicts[key] = append(d.open.verdicts[key], answered{v, max(entry, -1)})
}

// enter decides an edit and makes an entry of it, whatever the verdict.
func (d *Desk) enter(from sender, e wire.Edit, taken bool, now when.Instant) error {
	actor := from.actor
	in := shoot.Intent{ID: e.ID, Name: e.Name, Version: e.Version, Args: e.Args, Actor: actor,
		Happened: e.Happened - e.Offset, Received: now}
	entry := Entry{Seq: d.head + uint64(len(d.open.Entries)) + 1, Device: from.device, DeviceSeq: e.Seq,
		Via: from.via, Intent: in, Offset: e.Offset, DependsOn: e.DependsOn}
	entry.Verdict = wire.Verdict{ID: e.ID, Seq: e.Seq, Result: wire.Accepted}
	rootless, err := d.rootRefused(actor, e)
	if err != nil {
		return err
	}
	switch {
	case taken:
		entry.Verdict = refused(e, CodeIDTaken)
	case rootless:
		entry.Verdict = refused(e, shoot.CodeRoot)
	case d.large(e.Name):
		entry.Verdict = refused(e, CodeLarge)
	default:
		d.decide(in, &entry)
	}
	// What broke a rule is kept to be looked at, and what somebody reported whose
	// access was withdrawn meanwhile, since it may have happened.
	if r := entry.Verdict.Refusal; r != nil && r.Code != shoot.CodeFault && !d.running.Floor.People[actor].Revoked {
		entry.forget()
	}
	key := KeyOf(actor, from.device)
	d.open.Entries = append(d.open.Entries, entry)
	if !taken {
		d.open.ids[e.ID] = len(d.open.Entries) - 1
	}
	d.open.devices[key] = e.Seq
	d.answer(key, entry.Verdict, len(d.open.Entries)-1)
	return nil
}

// large tells whether the shoot has no room for an edit of such a name. What makes
// room has room.
func (d *Desk) large(name string) bool {
	if shoot.IsFact(name) {
		return d.size >= mostReports
	}
	return d.size >= mostRequests && !strings.HasSuffix(name, ".drop")
}

// rootRefused tells whether a request hangs on an edit of the same person that
// was refused. A fact stands by itself.
func (d *Desk) rootRefused(actor shoot.PersonID, e wire.Edit) (bool, error) {
	if e.DependsOn == "" || shoot.IsFact(e.Name) {
		return false, nil
	}
	root, ok, err := d.find(e.DependsOn)
	return ok && root.Intent.Actor == actor && root.Verdict.Result == wire.Refused, err
}

// decide runs the rules against the running state, applies what follows and puts
// it into the entry. A panic in them is a refusal, and the state is as it was
// before.
func (d *Desk) decide(in shoot.Intent, entry *Entry) {
	v := &entry.Verdict
	defer func() {
		if p := recover(); p != nil {
			d.open.Faults = append(d.open.Faults, Fault{in.ID, fmt.Sprint(p), debug.Stack()})
			d.rewind()
			v.Result, v.Flag, v.Refusal = wire.Refused, nil, refusal(shoot.CodeFault)
			entry.Events, entry.raw = nil, nil
		}
	}()
	decision, err := d.rules(d.running, in)
	if entry.Via != "" {
		decision, err = shoot.Deliver(d.running, in, entry.Via, decision, err)
	}
	var r *shoot.Refusal
	switch {
	case errors.As(err, &r):
		v.Result, v.Refusal = wire.Refused, r
		return
	case err != nil:
		panic(err) // Decide promises a refusal
	}
	for _, ev := range decision.Events {
		shoot.Apply(d.running, ev)
	}
	if decision.Flag != nil {
		v.Result, v.Flag = wire.Flagged, decision.Flag
	}
	raw, err := encodeEvents(decision.Events)
	if err != nil {
		panic(err) // an event carries nothing that cannot be written
	}
	entry.Events, entry.raw = decision.Events, raw
}

// rewind makes the running state afresh from what is committed and the entries
// of the open batch.
func (d *Desk) rewind() {
	d.running = d.shown.Clone()
	for _, e := range d.open.Entries {
		for _, ev := range e.Events {
			shoot.Apply(d.running, ev)
		}
	}
}

// refusal gives the sentence of a code of the desk.
func refusal(c shoot.Code) *shoot.Refusal {
	say := map[shoot.Code]string{
		CodeLarge:       "This shoot holds as much as phones can carry. Start a new one for the days to come; the producer can delete what nothing happened to.",
		CodeIDTaken:     "This edit carries the name of another one. Enter it again.",
		shoot.CodeRoot:  "This rests on an earlier edit of yours that was refused. Settle that one, then enter this again.",
		shoot.CodeFault: "The server failed on this edit. It is kept for a look; tell the producer, and go on with the next thing.",
	}[c]
	return &shoot.Refusal{Code: c, Say: say}
}

func refused(e wire.Edit, c shoot.Code) wire.Verdict {
	return wire.Verdict{ID: e.ID, Seq: e.Seq, Result: wire.Refused, Refusal: refusal(c)}
}

// Take closes the open batch and hands it out. Nothing but Commit or Abandon
// may follow.
func (d *Desk) Take() *Batch {
	b := d.open
	last, changes := -1, 0
	for i, e := range b.Entries {
		if touchesFloor(e.Events) {
			last, changes = i, changes+1
		}
	}
	if changes > 0 && d.bare+changes >= hashEvery {
		b.floor = &Part{Text: d.running.FloorJSON(), Lasts: true}
		b.Entries[last].Hash, d.size = shoot.HashOf(b.floor.Text), len(b.floor.Text)
	}
	if end := d.head + uint64(len(b.Entries)); len(b.Entries) > 0 && end-d.pointed >= uint64(d.cfg.Every) {
		devices := maps.Clone(d.devices)
		maps.Copy(devices, b.devices)
		b.Checkpoint = &Checkpoint{Seq: end, Version: shoot.StateVersion, State: d.running, Devices: devices}
	}
	return b
}

func touchesFloor(events []shoot.Event) bool {
	for _, e := range events {
		if e.Topic() == shoot.TopicFloor {
			return true
		}
	}
	return false
}

// Commit makes a batch that is durable visible, and gives the frames, the
// verdicts, and the farewells to those who now see something else.
func (d *Desk) Commit(b *Batch) []Out {
	for _, e := range b.Entries {
		for _, ev := range e.Events {
			shoot.Apply(d.shown, ev)
		}
		if touchesFloor(e.Events) {
			d.floor, d.hash, d.bare = b.floor, e.Hash, d.bare+1
		}
		if e.Hash != "" {
			d.bare = 0
		}
		d.head = e.Seq
	}
	maps.Copy(d.devices, b.devices)
	if b.Checkpoint != nil {
		d.pointed = b.Checkpoint.Seq
	}
	d.open = newBatch()
	entries, err := code(b.Entries)
	if err != nil { // they were encoded for the log a moment ago
		panic(err)
	}
	d.recent.add(entries, d.cfg.CatchUp)
	return append(d.evict(), d.publish(b, entries)...)
}

// Abandon forgets a batch that could not be made durable. The phones that sent
// it are asked to come again.
func (d *Desk) Abandon(b *Batch) []Out {
	d.open = newBatch()
	d.rewind()
	var outs []Out
	for _, c := range d.all() {
		if len(b.verdicts[c.key()]) > 0 {
			outs = append(outs, d.bye(c, wire.CodeUnavailable))
		}
	}
	return outs
}

package desk

import (
	"crypto/cipher"
	"fmt"
	"io"
	"maps"

	"golang.org/x/crypto/chacha20poly1305"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/wire"
)

// Config is what a Desk is made of.
type Config struct {
	Log    Log
	Shoot  string    // which shoot of the log
	Key    [32]byte  // seals cursors; the same for the life of the store
	Random io.Reader // nonces of cursors

	Knows   func(name string, version int) bool // whether an intent can be decided here; nil is shoot.Knows
	Every   int                                 // entries from one checkpoint to the next; 0 is 500
	CatchUp int                                 // visible entries up to which a phone is sent events and no snapshot; 0 is 400, past which a snapshot is quicker
}

// ConnID names a connection; whoever runs the desk makes them up.
type ConnID uint64

// Out is one encoded message for one connection. After a message with Close
// the connection is to be closed; the desk has forgotten it already.
type Out struct {
	To    ConnID
	Text  []byte
	Rest  []*Part // what follows Text in the same message
	Close bool
	Spare bool // it may be left out where the other end is slow; others share Text, so nobody writes to it
}

// Whole is the message in one piece.
func (o Out) Whole() []byte {
	whole := o.Text
	for _, p := range o.Rest {
		whole = append(whole[:len(whole):len(whole)], p.Text...)
	}
	return whole
}

// Desk keeps one shoot. It belongs to one goroutine.
type Desk struct {
	cfg        Config
	seal       cipher.AEAD
	generation string
	rules      func(*shoot.State, shoot.Intent) (shoot.Decision, error)

	shown   *shoot.State // as committed: all that anybody has been told
	running *shoot.State // shown and the open batch on top
	head    uint64       // Seq of the last committed entry
	pointed uint64       // Seq of the last checkpoint
	floor   *Part        // as committed, encoded; nil until somebody needs it
	hash    string       // of floor
	size    int          // bytes of the floor when it was encoded last
	bare    int          // entries that changed the floor since one carried its hash
	recent  recent
	devices map[DeviceKey]uint64

	presence presence
	quarter  when.Instant // the last one in which Gather looked, counted from 1970; 0 before the first

	open  *Batch
	conns map[ConnID]*conn
	order []ConnID // of conns, so that outs come in the same order each time
}

// Open loads a shoot; one that the log does not have starts empty.
func Open(cfg Config) (*Desk, error) {
	if cfg.Every == 0 {
		cfg.Every = 500
	}
	if cfg.Knows == nil {
		cfg.Knows = shoot.Knows
	}
	if cfg.CatchUp == 0 {
		cfg.CatchUp = 400
	}
	seal, err := chacha20poly1305.NewX(cfg.Key[:])
	if err != nil {
		return nil, err
	}
	generation, err := cfg.Log.Generation(cfg.Shoot)
	if err != nil {
		return nil, err
	}
	cp, rest, err := cfg.Log.Load(cfg.Shoot)
	if err != nil {
		return nil, err
	}
	d := &Desk{cfg: cfg, seal: seal, generation: generation, rules: shoot.Decide, devices: map[DeviceKey]uint64{},
		shown: shoot.New(), bare: hashEvery, conns: map[ConnID]*conn{}}
	if cp.Version == shoot.StateVersion && cp.State != nil {
		d.head, d.pointed, d.shown, d.recent.after = cp.Seq, cp.Seq, cp.State, cp.Seq
		maps.Copy(d.devices, cp.Devices)
	} else if err := d.replayTo(cp.Seq); err != nil {
		return nil, err
	}
	if err := d.replay(rest); err != nil {
		return nil, err
	}
	d.running = d.shown.Clone()
	d.open = newBatch()
	d.presence.people, d.presence.next = map[shoot.PersonID]bool{}, map[shoot.PersonID]bool{}
	return d, nil
}

// replayTo applies the log from its beginning, where a checkpoint holds a state of
// another shape than this program's.
func (d *Desk) replayTo(seq uint64) error {
	for d.head < seq {
		page, err := d.cfg.Log.Range(d.cfg.Shoot, d.head, int(min(seq-d.head, 1000)), true)
		if err != nil {
			return err
		}
		if len(page) == 0 {
			return fmt.Errorf("%w: it ends at %d before its checkpoint at %d", ErrDamaged, d.head, seq)
		}
		if err := d.replay(page); err != nil {
			return err
		}
	}
	return nil
}

// replay applies entries that were loaded. A panic on the way is ErrDamaged.
func (d *Desk) replay(rest []Entry) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("%w: entry %d: %v", ErrDamaged, d.head+1, p)
		}
	}()
	for _, e := range rest {
		if e.Seq != d.head+1 {
			return fmt.Errorf("%w: entry %d after %d", ErrDamaged, e.Seq, d.head)
		}
		for _, ev := range e.Events {
			shoot.Apply(d.shown, ev)
		}
		d.head = e.Seq
		d.devices[KeyOf(e.Intent.Actor, e.Device)] = e.DeviceSeq
	}
	entries, err := code(rest)
	d.recent.add(entries, d.cfg.CatchUp)
	return err
}

// State is the shoot as committed. The caller must not change it, and must not
// keep it past the next call of the desk.
func (d *Desk) State() *shoot.State { return d.shown }

// Head is the sequence number of the last committed entry.
func (d *Desk) Head() uint64 { return d.head }

// Generation names the history that the desk goes on with.
func (d *Desk) Generation() string { return d.generation }

// committed is the floor as committed, encoded, and its hash; made when somebody
// needs them, and once for as long as the floor stands.
func (d *Desk) committed() (floor *Part, hash string) {
	if d.floor == nil {
		d.floor = &Part{Text: d.shown.FloorJSON(), Lasts: true}
		d.hash, d.size = shoot.HashOf(d.floor.Text), len(d.floor.Text)
	}
	return d.floor, d.hash
}

// Flush makes the open batch durable and gives what there is to say about it.
// The error is the log's; everything was rolled back then and the outs tell the
// phones concerned.
func (d *Desk) Flush() ([]Out, error) {
	b := d.Take()
	if len(b.Entries) > 0 {
		if err := d.cfg.Log.Append(d.cfg.Shoot, b.Entries, b.Checkpoint); err != nil {
			return d.Abandon(b), err
		}
	}
	return d.Commit(b), nil
}

// Waiting tells whether the open batch holds anything to flush.
func (d *Desk) Waiting() bool { return len(d.open.Entries) > 0 || len(d.open.verdicts) > 0 }

// Record decides edits that the server itself makes, such as those of a plan
// that is loaded: the actor is shoot.Desk and no connection hears the verdicts,
// which are in the batch's entries. The error is the log's.
func (d *Desk) Record(device shoot.DeviceID, edits []wire.Edit, now when.Instant) error {
	stop, err := d.submit(shoot.Desk, device, wire.Edits{Edits: edits}, now)
	if err == nil && stop != nil {
		err = fmt.Errorf("the edit numbered %d cannot be taken here", stop.Seq)
	}
	return err
}

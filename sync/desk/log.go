package desk

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"slices"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/wire"
)

// Entry is one intent in a shoot's log, with everything it led to. Entries are
// never rewritten.
type Entry struct {
	Seq       uint64         `json:"seq"` // dense per shoot from 1
	Device    shoot.DeviceID `json:"device"`
	DeviceSeq uint64         `json:"deviceSeq"`     // the edit's number on its device
	Via       shoot.PersonID `json:"via,omitempty"` // who delivered it, where that was not its owner
	Intent    shoot.Intent   `json:"intent"`
	Offset    when.Instant   `json:"offset"` // as the phone sent it; the claim was Intent.Happened + Offset
	DependsOn shoot.IntentID `json:"dependsOn,omitempty"`
	Args      string         `json:"argsHash,omitempty"` // of a refused edit: SHA-256 of the arguments, in hexadecimal, in their place
	Verdict   wire.Verdict   `json:"verdict"`
	Events    []shoot.Event  `json:"events,omitempty"`
	Hash      string         `json:"hash,omitempty"` // of the floor afterwards; on one in many that change it, the last of its batch

	raw [][]byte // Events, each encoded, where the desk that decided them did; see Encode
}

// Encode writes the entry for a log, as encoding/json would, byte for byte. An
// event that is on its way to phones is encoded once, for them and for the log.
func (e Entry) Encode() ([]byte, error) {
	if len(e.raw) == 0 || len(e.raw) != len(e.Events) {
		return json.Marshal(e)
	}
	raw, hash := e.raw, e.Hash
	e.Events, e.Hash = nil, ""
	b, err := json.Marshal(e)
	if err != nil {
		return nil, err
	}
	b = append(b[:len(b)-1], `,"events":[`...)
	for i, ev := range raw {
		if i > 0 {
			b = append(b, ',')
		}
		b = append(b, ev...)
	}
	b = append(b, ']')
	if hash != "" { // hexadecimal
		b = append(append(append(b, `,"hash":"`...), hash...), '"')
	}
	return append(b, '}'), nil
}

// encodeEvents writes each event as a log and as phones have it.
func encodeEvents(events []shoot.Event) ([][]byte, error) {
	var raw [][]byte
	for _, ev := range events {
		b, err := json.Marshal(ev)
		if err != nil {
			return nil, err
		}
		raw = append(raw, b)
	}
	return raw, nil
}

// Money tells whether the entry is about money. Such an entry writes the money
// plane and people's own pay, and nothing else; no other entry touches the money
// plane.
func (e Entry) Money() bool { return shoot.IsMoney(e.Intent.Name) }

// is tells whether the entry is that edit of that person, under whatever number and
// from whatever device it comes now.
func (e Entry) is(actor shoot.PersonID, again wire.Edit) bool {
	in := e.Intent
	if in.Actor != actor || in.ID != again.ID || in.Name != again.Name || in.Version != again.Version ||
		in.Happened != again.Happened-again.Offset || e.Offset != again.Offset {
		return false
	}
	if e.Args != "" {
		return e.Args == hashOf(again.Args)
	}
	return slices.Equal(compact(in.Args), compact(again.Args))
}

// forget leaves of the arguments of a refused edit what tells it from another one
// with its id: they led to nothing, and whoever sends many fills no disk.
func (e *Entry) forget() {
	e.Args, e.Intent.Args = hashOf(e.Intent.Args), nil
}

func hashOf(args json.RawMessage) string {
	sum := sha256.Sum256(compact(args))
	return hex.EncodeToString(sum[:])
}

// compact writes arguments as a log does.
func compact(raw json.RawMessage) []byte {
	b, err := json.Marshal(raw)
	if err != nil { // it is no JSON, and equal to nothing but itself
		return raw
	}
	return b
}

// DeviceKey names one person's device: a phone that two people use in turn
// counts for each of them by itself.
type DeviceKey string

// KeyOf makes the key of a person's device.
func KeyOf(p shoot.PersonID, d shoot.DeviceID) DeviceKey {
	return DeviceKey(string(p) + "/" + string(d))
}

// Checkpoint is a shoot as it stood after an entry, so that opening a desk does
// not replay the whole log.
type Checkpoint struct {
	Seq     uint64               `json:"seq"`     // of the last entry in it, 0 for none
	Version int                  `json:"version"` // shoot.StateVersion when it was made; one of another version is not used
	State   *shoot.State         `json:"state"`
	Devices map[DeviceKey]uint64 `json:"devices"` // each device's last number
}

// Log is what a desk needs from a store. Calls for one shoot come from one
// goroutine; calls for different shoots may come at once. What a log hands out
// is the caller's to keep and is not changed by the log afterwards; the caller
// does not change it either.
//
// Package logtest holds the suite that every Log must pass.
type Log interface {
	// Load gives the newest checkpoint and every entry after it, in order. A
	// shoot that is not there has a Checkpoint with Seq 0 and a nil State, and
	// no entries; that is no error. An entry or checkpoint that cannot be read
	// is ErrDamaged.
	Load(id string) (Checkpoint, []Entry, error)

	// Append adds entries at the end, and the checkpoint when there is one. It
	// is all or nothing, and durable before it returns; after an error nothing
	// of it is there, now or after a restart. The first Seq must be that of the
	// last entry plus one, and they are dense; otherwise it is ErrOrder. ErrFull is
	// for a store without room; phones are told to try later. The
	// first Append to a shoot makes it. The checkpoint's Seq is that of the last
	// entry of the batch.
	Append(id string, batch []Entry, cp *Checkpoint) error

	// Range gives at most limit entries after a sequence number, in order;
	// without those about money unless money is set, in which case a reader
	// cannot tell how many were left out except by the sequence numbers.
	Range(id string, after uint64, limit int, money bool) ([]Entry, error)

	// Find gives the first entry with an intent's id; false when there is none.
	// A later entry with the same id does not take its place.
	Find(id string, intent shoot.IntentID) (Entry, bool, error)

	// Generation names this history of a shoot: it is made durable at the first
	// call, whether or not there are entries yet, and stays until the shoot is
	// restored from a backup.
	Generation(id string) (string, error)
}

// Errors of a Log, to be found with errors.Is.
var (
	ErrFull    = errors.New("there is no room for more")
	ErrOrder   = errors.New("the entries do not follow the end of the log")
	ErrDamaged = errors.New("the log cannot be read")
)

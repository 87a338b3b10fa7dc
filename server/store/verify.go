package store

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"strings"

	"github.com/dgraph-io/badger/v4"

	"fairday/domain/shoot"
	"fairday/sync/desk"
	"fairday/sync/wire"
)

// Finding is what Verify says about one shoot.
type Finding struct {
	Shoot   string `json:"shoot"`
	Title   string `json:"title"`
	Entries uint64 `json:"entries"`
	Damage  string `json:"damage,omitempty"` // a sentence; "" when it is sound
}

// verifyPage is how many entries are in memory at once.
const verifyPage = 1000

// Verify replays every log from its beginning and compares it with the links
// between its rows, the hashes that went out with it, the checkpoint, the numbers
// of the devices and the rows that find verdicts. It may run while the store is
// in use; each shoot is read as it stood at one moment. The error is for what
// kept it from looking.
func (s *Store) Verify() ([]Finding, error) {
	ids, err := s.everyShoot()
	if err != nil {
		return nil, err
	}
	out := make([]Finding, 0, len(ids))
	for _, id := range ids {
		err := s.db.View(func(tx *badger.Txn) error {
			f := Finding{Shoot: id}
			if err := verify(tx, &f); err != nil {
				f.Damage = err.Error()
			}
			out = append(out, f)
			return nil
		})
		if err != nil {
			return out, err
		}
	}
	return out, nil
}

// everyShoot finds shoots by any row, so that one without its head is not
// passed over.
func (s *Store) everyShoot() (ids []string, err error) {
	seen := map[string]bool{}
	err = s.db.View(func(tx *badger.Txn) error {
		for _, letter := range []string{"h", "c", "e", "m"} {
			prefix := letter + "/"
			it := tx.NewIterator(badger.IteratorOptions{Prefix: []byte(prefix)})
			for it.Rewind(); it.Valid(); {
				id, _, _ := strings.Cut(string(it.Item().Key()[len(prefix):]), "/")
				if !seen[id] {
					seen[id], ids = true, append(ids, id)
				}
				it.Seek([]byte(prefix + id + "0")) // the letter after "/": past its rows
				if it.Valid() && string(it.Item().Key()) == prefix+id {
					it.Next()
				}
			}
			it.Close()
		}
		return nil
	})
	return ids, err
}

// replayed is a shoot as its log makes it.
type replayed struct {
	state   *shoot.State
	devices map[desk.DeviceKey]uint64
	first   map[shoot.IntentID]uint64 // where an id first came
	at      uint64
}

func verify(tx *badger.Txn, f *Finding) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("%w: a rule failed on what is in it: %v", desk.ErrDamaged, p)
		}
	}()
	var cp *desk.Checkpoint
	b, ok, err := value(tx, shootKey("c", f.Shoot))
	if err != nil {
		return err
	}
	if ok {
		cp = &desk.Checkpoint{}
		if err := json.Unmarshal(b, cp); err != nil {
			return fmt.Errorf("the checkpoint cannot be read: %w", err)
		}
	}
	r := replayed{shoot.New(), map[desk.DeviceKey]uint64{}, map[shoot.IntentID]uint64{}, 0}
	if err := r.readAll(tx, f, cp); err != nil {
		return err
	}
	if cp != nil && cp.Seq > r.at {
		return fmt.Errorf("the checkpoint is at %d, where the log ends at %d", cp.Seq, r.at)
	}
	return r.places(tx, f.Shoot)
}

// readAll replays the log a page at a time.
func (r *replayed) readAll(tx *badger.Txn, f *Finding, cp *desk.Checkpoint) error {
	for {
		page, err := entries(tx, f.Shoot, r.at, verifyPage, true)
		if err != nil {
			return err
		}
		for _, e := range page {
			if err := r.step(e); err != nil {
				return err
			}
			f.Entries, f.Title = r.at, r.state.Floor.Shoot.Title
			if cp != nil && cp.Seq == e.Seq {
				if err := r.equals(cp); err != nil {
					return err
				}
			}
		}
		if len(page) < verifyPage {
			return reaches(tx, f.Shoot, r.at)
		}
	}
}

// step applies an entry and looks at what it says about itself.
func (r *replayed) step(e desk.Entry) error {
	key := desk.KeyOf(e.Intent.Actor, e.Device)
	switch {
	case e.Seq != r.at+1:
		return fmt.Errorf("entry %d is missing", r.at+1)
	case e.Verdict.ID != e.Intent.ID || e.Verdict.Seq != e.DeviceSeq:
		return fmt.Errorf("entry %d has the verdict of another edit", e.Seq)
	case e.Verdict.Result == wire.Refused && len(e.Events) > 0:
		return fmt.Errorf("entry %d was refused and has consequences all the same", e.Seq)
	case e.DeviceSeq <= r.devices[key]:
		return fmt.Errorf("entry %d is edit %d of a device that had reached %d: an edit is there twice", e.Seq, e.DeviceSeq, r.devices[key])
	}
	for _, ev := range e.Events {
		shoot.Apply(r.state, ev)
	}
	r.at, r.devices[key] = e.Seq, e.DeviceSeq
	if _, ok := r.first[e.Intent.ID]; !ok {
		r.first[e.Intent.ID] = e.Seq
	} else if e.Verdict.Result != wire.Refused {
		return fmt.Errorf("entry %d is an edit that was taken before, at %d", e.Seq, r.first[e.Intent.ID])
	}
	if e.Hash != "" && e.Hash != r.state.FloorHash() {
		return fmt.Errorf("after entry %d the replayed floor is another than the one that went out to the phones", e.Seq)
	}
	return nil
}

// equals compares with a checkpoint; one of another shape is not used by anybody.
func (r *replayed) equals(cp *desk.Checkpoint) error {
	if cp.Version != shoot.StateVersion {
		return nil
	}
	have, err := json.Marshal(r.state)
	if err != nil {
		return err
	}
	want, err := json.Marshal(cp.State)
	if err != nil {
		return err
	}
	if !bytes.Equal(have, want) {
		return fmt.Errorf("the checkpoint at %d holds another state than the replayed log", cp.Seq)
	}
	if !maps.Equal(r.devices, cp.Devices) {
		return fmt.Errorf("the checkpoint at %d has other numbers of devices than the log", cp.Seq)
	}
	return nil
}

// places checks the rows by which a resent edit finds its verdict.
func (r *replayed) places(tx *badger.Txn, id string) error {
	opts := badger.DefaultIteratorOptions
	opts.Prefix = []byte("i/" + id + "/")
	it := tx.NewIterator(opts)
	defer it.Close()
	n := 0
	for it.Rewind(); it.Valid(); it.Next() {
		intent := shoot.IntentID(it.Item().Key()[len(opts.Prefix):])
		at, err := unpack(it.Item())
		if err != nil {
			return err
		}
		seq, ok := r.first[intent]
		if !ok || !bytes.Equal(at, seqKey("e", id, seq)) && !bytes.Equal(at, seqKey("m", id, seq)) {
			return fmt.Errorf("the verdict of edit %s is looked for in another entry than its own", intent)
		}
		n++
	}
	if n != len(r.first) {
		return errors.New("the verdicts of some edits cannot be found, so that a phone could deliver them twice")
	}
	return nil
}

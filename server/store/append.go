package store

import (
	"encoding/binary"
	"errors"
	"fmt"
	"runtime"

	"github.com/dgraph-io/badger/v4"

	"fairday/domain/shoot"
	"fairday/sync/desk"
)

// ErrClosed is what an append to a closed store gets.
var ErrClosed = errors.New("the store is closed")

// mostBytes is how much goes into one transaction when several appends share
// it. It lies well below badger's own limit, which is 15 % of a memtable.
const mostBytes = memtable / 16

// waiting is an append on its way to disk.
type waiting struct {
	shoot   string
	first   uint64
	last    uint64
	rows    []*badger.Entry // entries
	point   *badger.Entry   // the checkpoint, nil for none
	intents []place
	bytes   int
	done    chan error
}

// place is where an intent's entry is.
type place struct {
	intent shoot.IntentID
	key    []byte
}

// Append is part of desk.Log. Those who call at the same time share one sync.
func (s *Store) Append(id string, batch []desk.Entry, cp *desk.Checkpoint) error {
	if len(batch) == 0 {
		return nil
	}
	w, err := prepared(id, batch, cp)
	if err != nil {
		return err
	}
	select {
	case s.appends <- w:
		return <-w.done
	case <-s.closing:
		return ErrClosed
	}
}

// prepared encodes an append and checks what can be checked without the log.
func prepared(id string, batch []desk.Entry, cp *desk.Checkpoint) (*waiting, error) {
	if err := checkShoot(id); err != nil {
		return nil, err
	}
	w := &waiting{shoot: id, first: batch[0].Seq, last: batch[len(batch)-1].Seq, done: make(chan error, 1)}
	for i, e := range batch {
		if want := w.first + uint64(i); e.Seq != want {
			return nil, fmt.Errorf("%w: entry %d where %d comes next", desk.ErrOrder, e.Seq, want)
		}
		b, err := e.Encode()
		if err != nil {
			return nil, err
		}
		row := packed(seqKey(planeOf(e), id, e.Seq), b)
		w.rows = append(w.rows, row)
		w.bytes += len(row.Key) + len(row.Value) + linkSize
		w.intents = append(w.intents, place{e.Intent.ID, row.Key})
	}
	if cp == nil {
		return w, nil
	}
	if cp.Seq != w.last {
		return nil, fmt.Errorf("%w: a checkpoint at %d where the log ends at %d", desk.ErrOrder, cp.Seq, w.last)
	}
	row, err := pack(shootKey("c", id), cp)
	if err == nil {
		w.point = row
		w.bytes += len(row.Key) + len(row.Value)
	}
	return w, err
}

// write is the one goroutine that writes the log: it takes every append that
// waits, as far as they fit, and commits them together.
func (s *Store) write() {
	defer close(s.written)
	var held *waiting // did not fit into the last transaction
	for {
		next := held
		if next == nil {
			select {
			case next = <-s.appends:
			case job := <-s.alone:
				job()
				continue
			case <-s.closing:
				return
			}
		}
		held = s.writeTogether(next)
	}
}

// writeTogether commits one append and those that wait behind it; it gives back
// one that has to come first in the next transaction.
func (s *Store) writeTogether(w *waiting) (held *waiting) {
	runtime.Gosched() // whoever is about to append is in time for this transaction
	tx := s.db.NewTransaction(true)
	defer tx.Discard()
	var in []*waiting
	for bytes := 0; w != nil; {
		if bytes += w.bytes; len(in) > 0 && bytes > mostBytes {
			held = w
			break
		}
		if err := s.into(tx, w); errors.Is(err, desk.ErrOrder) {
			w.done <- err // it has written nothing
		} else if err != nil {
			in = append(in, w)
			answer(in, err)
			return nil
		} else {
			in = append(in, w)
		}
		select {
		case w = <-s.appends:
		default:
			w = nil
		}
	}
	if len(in) > 0 {
		answer(in, s.commit(tx))
	}
	return held
}

// commit makes a transaction of the log durable, and counts it.
func (s *Store) commit(tx *badger.Txn) error {
	if err := s.room(); err != nil {
		return err
	}
	if err := tx.Set(commitsKey, binary.BigEndian.AppendUint64(nil, s.commits+1)); err != nil {
		return err
	}
	if err := tx.Commit(); err != nil {
		return err
	}
	s.commits++
	if err := s.witness.note(s.commits); err != nil {
		s.log.Warn("the count of appends was not written", "cause", err)
	}
	return nil
}

func answer(in []*waiting, err error) {
	for _, w := range in {
		w.done <- err
	}
}

// into puts an append into a transaction. With desk.ErrOrder it has put nothing.
func (s *Store) into(tx *badger.Txn, w *waiting) error {
	k, err := s.knownOf(w.shoot)
	if err != nil {
		return err
	}
	h, err := headOf(tx, w.shoot)
	if err != nil {
		return err
	}
	if w.first != h.last+1 {
		return fmt.Errorf("%w: entry %d where %d comes next", desk.ErrOrder, w.first, h.last+1)
	}
	for i, row := range w.rows {
		end := h.plane(string(row.Key[:1]))
		own := end.after(row.Key, row.Value, w.first+uint64(i))
		row.Value, row.UserMeta = end.linked(row.Value, own), row.UserMeta|linkedValue
		*end = own
		if err := tx.SetEntry(row); err != nil {
			return err
		}
	}
	if w.point != nil {
		if err := tx.SetEntry(w.point); err != nil {
			return err
		}
	}
	for _, p := range w.intents {
		key := intentKey(w.shoot, p.intent)
		fresh := k.lacks(p.intent)
		k.add(p.intent)
		if !fresh {
			if _, err := tx.Get(key); err == nil {
				continue // the first entry keeps the name
			} else if !errors.Is(err, badger.ErrKeyNotFound) {
				return err
			}
		}
		if err := tx.Set(key, p.key); err != nil {
			return err
		}
	}
	h.last = w.last
	return tx.Set(shootKey("h", w.shoot), h.encode())
}

package store

import (
	"cmp"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"github.com/dgraph-io/badger/v4"
	"github.com/klauspost/compress/s2"

	"fairday/domain/shoot"
	"fairday/sync/desk"
)

var _ desk.Log = (*Store)(nil)

func shootKey(plane, id string) []byte { return []byte(plane + "/" + id) }

func seqKey(plane, id string, seq uint64) []byte {
	return binary.BigEndian.AppendUint64([]byte(plane+"/"+id+"/"), seq)
}

func intentKey(id string, intent shoot.IntentID) []byte {
	return []byte("i/" + id + "/" + string(intent))
}

// planeOf is the first letter of an entry's key.
func planeOf(e desk.Entry) string {
	if e.Money() {
		return "m"
	}
	return "e"
}

// checkShoot keeps one shoot's keys out of another's.
func checkShoot(id string) error {
	if id == "" || strings.Contains(id, "/") {
		return fmt.Errorf("%q cannot name a shoot", id)
	}
	return nil
}

// Shoots gives the ids of all shoots that have an entry, in order.
func (s *Store) Shoots() ([]string, error) {
	var ids []string
	err := s.db.View(func(tx *badger.Txn) error {
		it := tx.NewIterator(badger.IteratorOptions{Prefix: []byte("h/")})
		defer it.Close()
		for it.Rewind(); it.Valid(); it.Next() {
			ids = append(ids, string(it.Item().Key()[2:]))
		}
		return nil
	})
	return ids, err
}

// Last is the number of the last entry of a shoot's log, 0 where it has none.
func (s *Store) Last(id string) (uint64, error) {
	var h head
	err := s.db.View(func(tx *badger.Txn) (err error) {
		h, err = headOf(tx, id)
		return err
	})
	return h.last, err
}

// Load is part of desk.Log.
func (s *Store) Load(id string) (desk.Checkpoint, []desk.Entry, error) {
	var cp desk.Checkpoint
	var rest []desk.Entry
	err := s.db.View(func(tx *badger.Txn) error {
		b, ok, err := value(tx, shootKey("c", id))
		if err == nil && ok {
			if err = json.Unmarshal(b, &cp); err != nil {
				err = fmt.Errorf("%w: checkpoint: %w", desk.ErrDamaged, err)
			}
		}
		if err == nil {
			rest, err = entries(tx, id, cp.Seq, math.MaxInt, true)
		}
		if err == nil {
			err = reaches(tx, id, cp.Seq+uint64(len(rest)))
		}
		return err
	})
	return cp, rest, err
}

// reaches checks that what was read ends where the log does.
func reaches(tx *badger.Txn, id string, seq uint64) error {
	h, err := headOf(tx, id)
	if err == nil && h.last != seq {
		err = fmt.Errorf("%w: it goes to %d, and %d are there", desk.ErrDamaged, h.last, seq)
	}
	return err
}

// headOf reads where a shoot's log ends.
func headOf(tx *badger.Txn, id string) (head, error) {
	b, ok, err := value(tx, shootKey("h", id))
	if err != nil || !ok {
		return head{}, err
	}
	return decodeHead(b)
}

// Range is part of desk.Log.
func (s *Store) Range(id string, after uint64, limit int, money bool) ([]desk.Entry, error) {
	var out []desk.Entry
	err := s.db.View(func(tx *badger.Txn) (err error) {
		out, err = entries(tx, id, after, limit, money)
		return err
	})
	return out, err
}

// Find is part of desk.Log.
func (s *Store) Find(id string, intent shoot.IntentID) (desk.Entry, bool, error) {
	var e desk.Entry
	found := false
	if k, err := s.knownOf(id); err != nil || k.lacks(intent) {
		return e, false, err
	}
	err := s.db.View(func(tx *badger.Txn) error {
		key, ok, err := value(tx, intentKey(id, intent))
		if err != nil || !ok {
			return err
		}
		b, ok, err := value(tx, key)
		switch {
		case err != nil:
			return err
		case !ok:
			return fmt.Errorf("%w: intent %s has no entry", desk.ErrDamaged, intent)
		}
		e, err = decodeEntry(b)
		found = err == nil
		return err
	})
	return e, found, err
}

// Generation is part of desk.Log.
func (s *Store) Generation(id string) (string, error) {
	if err := checkShoot(id); err != nil {
		return "", err
	}
	s.writing.Lock()
	defer s.writing.Unlock()
	var name string
	err := s.db.Update(func(tx *badger.Txn) error {
		b, ok, err := value(tx, shootKey("g", id))
		if err != nil || ok {
			name = string(b)
			return err
		}
		name, err = s.newGeneration(tx, id)
		return err
	})
	return name, err
}

// Restored says that the folder was put back from a backup: every shoot goes on
// as a new generation, so that phones offer again what the backup does not have.
func (s *Store) Restored() error {
	ids, err := s.Shoots()
	if err != nil {
		return err
	}
	s.writing.Lock()
	defer s.writing.Unlock()
	return s.db.Update(func(tx *badger.Txn) error {
		for _, id := range ids {
			if _, err := s.newGeneration(tx, id); err != nil {
				return err
			}
		}
		return nil
	})
}

func (s *Store) newGeneration(tx *badger.Txn, id string) (string, error) {
	var b [12]byte
	if _, err := io.ReadFull(s.random, b[:]); err != nil {
		return "", err
	}
	name := hex.EncodeToString(b[:])
	return name, tx.Set(shootKey("g", id), []byte(name))
}

// numbered is an entry's row, not decoded yet.
type numbered struct {
	seq uint64
	row []byte
}

// entries reads at most limit entries after a number, in order.
func entries(tx *badger.Txn, id string, after uint64, limit int, money bool) ([]desk.Entry, error) {
	rows, err := plane(tx, "e", id, after, limit)
	if err == nil && money {
		var more []numbered
		more, err = plane(tx, "m", id, after, limit)
		rows = append(rows, more...)
		slices.SortFunc(rows, func(a, b numbered) int { return cmp.Compare(a.seq, b.seq) })
	}
	if err != nil {
		return nil, err
	}
	out := make([]desk.Entry, 0, min(limit, len(rows)))
	for _, r := range rows[:min(limit, len(rows))] {
		e, err := decodeEntry(r.row)
		if err != nil {
			return nil, err
		}
		if e.Seq != r.seq {
			return nil, fmt.Errorf("%w: entry %d lies where %d belongs", desk.ErrDamaged, e.Seq, r.seq)
		}
		out = append(out, e)
	}
	return out, nil
}

func plane(tx *badger.Txn, letter, id string, after uint64, limit int) ([]numbered, error) {
	opts := badger.DefaultIteratorOptions
	opts.Prefix = []byte(letter + "/" + id + "/")
	opts.PrefetchSize = min(limit, 100)
	it := tx.NewIterator(opts)
	defer it.Close()
	var rows []numbered
	w := walker{letter: letter, before: after}
	for it.Seek(seqKey(letter, id, after+1)); it.Valid() && len(rows) < limit; it.Next() {
		r, err := w.row(it.Item())
		if err != nil {
			return nil, err
		}
		rows = append(rows, r)
	}
	if it.Valid() || len(rows) >= limit {
		return rows, nil
	}
	h, err := headOf(tx, id)
	if err == nil {
		err = w.end(h)
	}
	return rows, err
}

// row takes the next row of a plane.
func (w *walker) row(item *badger.Item) (out numbered, err error) {
	key, meta := item.KeyCopy(nil), item.UserMeta()
	out.seq = binary.BigEndian.Uint64(key[len(key)-8:])
	err = item.Value(func(b []byte) error {
		var prev uint64
		var sum [sumSize]byte
		linked := meta&linkedValue != 0
		if linked {
			if len(b) < linkSize {
				return errors.New("its link is cut")
			}
			at := b[len(b)-linkSize:]
			prev = binary.BigEndian.Uint64(at)
			copy(sum[:], at[8:])
			b = b[:len(b)-linkSize]
		}
		if err := w.step(key, b, out.seq, linked, prev, sum); err != nil {
			return err
		}
		out.row, err = plain(meta&^linkedValue, b)
		return err
	})
	if err != nil && !errors.Is(err, desk.ErrDamaged) {
		err = fmt.Errorf("%w: row %q: %w", desk.ErrDamaged, key, err)
	}
	return out, err
}

func decodeEntry(b []byte) (desk.Entry, error) {
	var e desk.Entry
	if err := json.Unmarshal(b, &e); err != nil {
		return desk.Entry{}, fmt.Errorf("%w: %w", desk.ErrDamaged, err)
	}
	return e, nil
}

// How a value is written, in badger's meta byte of its row.
const (
	plainValue  = 0
	packedValue = 1 // s2
	linkedValue = 2 // beside one of these: it ends with a link
)

// pack makes a row; what is longer than a line or two is compressed.
func pack(key []byte, v any) (*badger.Entry, error) {
	b, err := json.Marshal(v)
	if err != nil {
		return nil, err
	}
	return packed(key, b), nil
}

// packed is pack for what is encoded already.
func packed(key, b []byte) *badger.Entry {
	if len(b) < 512 {
		return badger.NewEntry(key, b)
	}
	return badger.NewEntry(key, s2.Encode(nil, b)).WithMeta(packedValue)
}

func unpack(item *badger.Item) ([]byte, error) {
	var out []byte
	err := item.Value(func(b []byte) (err error) {
		meta := item.UserMeta()
		if meta&linkedValue != 0 && len(b) >= linkSize {
			meta, b = meta&^linkedValue, b[:len(b)-linkSize]
		}
		out, err = plain(meta, b)
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("%w: row %q: %w", desk.ErrDamaged, item.Key(), err)
	}
	return out, nil
}

// plain gives what is written in a row; meta says how.
func plain(meta byte, b []byte) ([]byte, error) {
	switch meta {
	case plainValue:
		return slices.Clone(b), nil
	case packedValue:
		return s2.Decode(nil, b)
	}
	return nil, errors.New("written in a way that is not known")
}

// value reads a row; false when there is none.
func value(tx *badger.Txn, key []byte) ([]byte, bool, error) {
	item, err := tx.Get(key)
	if errors.Is(err, badger.ErrKeyNotFound) {
		return nil, false, nil
	}
	if err != nil {
		return nil, false, err
	}
	b, err := unpack(item)
	return b, err == nil, err
}

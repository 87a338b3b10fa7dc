package store

import (
	"errors"
	"fmt"
	"sync"
	"syscall"
	"time"

	"github.com/dgraph-io/badger/v4"

	"fairday/sync/desk"
)

// reserve is how many bytes must be free on the disk for an append, besides what
// compactions need. The database writes through a mapping of files that are larger
// than what is in them, and a disk that fills up beneath one ends the whole process;
// so edits are turned away before it comes to that.
const reserve = 96 << 20

// mostTables is up to how many bytes of tables count for the reserve. A compaction
// writes a part of the tables anew before the old ones go, and none touches as much
// as this.
const mostTables = 2 << 30

// lookEvery is how often the size of the tables is looked at.
const lookEvery = time.Second

// FullError says that the disk has no room for what was to be written, of which
// nothing was; it is desk.ErrFull.
type FullError struct {
	Free, Needed uint64 // bytes
}

func (e *FullError) Error() string {
	return fmt.Sprintf("the disk of the data folder is nearly full: %d MB are free, %d MB must be. Edits wait on the phones; make room and they arrive by themselves", e.Free>>20, e.Needed>>20)
}

// Unwrap gives desk.ErrFull.
func (e *FullError) Unwrap() error { return desk.ErrFull }

// tableSize is how many bytes the tables of the database had when they were looked
// at.
type tableSize struct {
	mu    sync.Mutex
	bytes uint64
	at    time.Time
}

func (t *tableSize) look(db *badger.DB) uint64 {
	t.mu.Lock()
	defer t.mu.Unlock()
	if time.Since(t.at) > lookEvery {
		t.bytes, t.at = 0, time.Now()
		for _, l := range db.Levels() {
			t.bytes += uint64(max(0, l.Size))
		}
	}
	return t.bytes
}

// room gives a *FullError when the disk is nearly full.
func (s *Store) room() error {
	needed := reserve + min(s.tables.look(s.db), mostTables)
	if free, ok := freeBytes(s.dir); ok && free < needed {
		return &FullError{free, needed}
	}
	return nil
}

// roomToOpen gives an *Error when the disk is too full to open the folder: the
// database maps new files when it opens.
func roomToOpen(dir string) error {
	if free, ok := freeBytes(dir); ok && free < reserve {
		return noRoom(dir, &FullError{free, reserve})
	}
	return nil
}

func noRoom(dir string, cause error) *Error {
	say := fmt.Sprintf("The disk of %s is full. Make room on it and start again: nothing is lost, and what phones keep arrives by itself.", dir)
	if full := (*FullError)(nil); errors.As(cause, &full) {
		say = fmt.Sprintf("The disk of %s is full: %d MB are free, %d MB must be. Make room on it and start again: nothing is lost, and what phones keep arrives by itself.",
			dir, full.Free>>20, full.Needed>>20)
	}
	return &Error{CodeFull, say, cause}
}

// outOfSpace tells whether an error comes from a disk or a share of one that is
// full.
func outOfSpace(err error) bool {
	return errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT)
}

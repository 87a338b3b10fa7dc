package store

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"github.com/dgraph-io/badger/v4"
	"github.com/dgraph-io/badger/v4/options"
)

// format is the number of the layout that doc.go describes. It grows when an
// older server could no longer read the folder.
const format = 2 // 2: rows of entries have links

// Code is a stable name for what is wrong with a data folder.
type Code string

// The codes. Only ever add to this list.
const (
	CodeLocked  Code = "store_locked"  // another server has the folder open
	CodeDamaged Code = "store_damaged" // what is in it cannot be read
	CodeNewer   Code = "store_newer"   // a newer version wrote it
	CodeFolder  Code = "store_folder"  // the folder cannot be made or written
	CodeFull    Code = "store_full"    // its disk has no room
)

// Error says what is wrong with a data folder and what to do about it.
type Error struct {
	Code  Code
	Say   string
	Cause error // for the log; nil when there is none
}

// Error gives the sentence.
func (e *Error) Error() string { return e.Say }

// Unwrap gives the cause.
func (e *Error) Unwrap() error { return e.Cause }

// Store is an open data folder. All its methods may be called at once from many
// goroutines; appends to one shoot must come from one.
type Store struct {
	db     *badger.DB
	dir    string
	key    [32]byte
	random io.Reader
	log    *slog.Logger

	commits uint64   // transactions of the log so far
	witness *witness // counts them outside of the database

	appends chan *waiting
	alone   chan func()   // what must not meet an append
	closing chan struct{} // closed when no more appends are taken
	written chan struct{} // closed when the last one is done
	writing sync.Mutex    // held by whoever changes anything but the log
	known   sync.Map      // of each shoot, a *known
	tables  tableSize
}

// memtable is the size in bytes of what badger collects in memory, of which it
// keeps two. Its default is twice as much.
const memtable = 32 << 20

// Open opens the folder, making it where there is none. Randomness for the
// sealing key comes from random. The error is an *Error with one of the codes
// above.
func Open(dir string, random io.Reader, log *slog.Logger) (*Store, error) {
	err := os.MkdirAll(dir, 0o700)
	if outOfSpace(err) {
		return nil, noRoom(dir, err)
	}
	if err != nil {
		return nil, &Error{CodeFolder, fmt.Sprintf("The data folder %s cannot be made: %v. Choose another with --data.", dir, err), err}
	}
	if err := roomToOpen(dir); err != nil {
		return nil, err
	}
	db, drop, err := openChecked(dir, log)
	if err != nil {
		return nil, explain(dir, err)
	}
	s := &Store{db: db, dir: dir, random: random, log: log, appends: make(chan *waiting), alone: make(chan func()), closing: make(chan struct{}), written: make(chan struct{})}
	if err := s.prepare(); err != nil {
		err = errors.Join(err, db.Close())
		return nil, explain(dir, err)
	}
	if s.witness, err = openWitness(dir, s.commits); err == nil {
		err = drop()
	}
	if err == nil {
		err = s.finishDrops()
	}
	if err != nil {
		err = errors.Join(err, db.Close())
		return nil, explain(dir, err)
	}
	go s.write()
	return s, nil
}

// openChecked opens the database of a folder that nobody else has open, after a
// look at its files.
func openChecked(dir string, log *slog.Logger) (*badger.DB, func() error, error) {
	if inUse(dir) {
		return nil, nil, errLocked
	}
	if err := inspect(dir); err != nil {
		return nil, nil, err
	}
	drop, err := setAside(dir)
	if err != nil {
		return nil, nil, err
	}
	db, err := open(dir, log)
	return db, drop, err
}

// open turns a panic of the database on damaged files into an error.
func open(dir string, log *slog.Logger) (db *badger.DB, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("panic: %v", p)
		}
	}()
	return badger.Open(badger.DefaultOptions(dir).
		WithSyncWrites(true). // a receipt is a promise: on disk before it is given
		WithMetricsEnabled(false).
		WithCompression(options.None). // so that no block cache is needed
		WithBlockCacheSize(0).
		WithChecksumVerificationMode(options.OnBlockRead). // a flipped bit is an error and no news
		WithVerifyValueChecksum(true).
		WithDetectConflicts(false). // log rows have one writer, all others hold a lock
		WithMemTableSize(memtable).
		WithNumMemtables(2).
		WithNumCompactors(2).
		WithValueLogFileSize(16 << 20). // holds nothing but checkpoints of a megabyte and more
		WithLogger(bridge{log}))
}

func (s *Store) prepare() error {
	return s.db.Update(func(tx *badger.Txn) error {
		var have int
		switch _, err := get(tx, []byte("format"), &have); {
		case err != nil:
			return err
		case have > format:
			return errNewer
		case have < format: // or not there
			if err := put(tx, []byte("format"), format); err != nil {
				return err
			}
		}
		var err error
		if s.commits, err = countedIn(tx); err != nil {
			return err
		}
		var key []byte
		found, err := get(tx, []byte("key"), &key)
		if err != nil {
			return err
		}
		if found {
			copy(s.key[:], key)
			return nil
		}
		if _, err := io.ReadFull(s.random, s.key[:]); err != nil {
			return err
		}
		return put(tx, []byte("key"), s.key[:])
	})
}

var errLocked = errors.New("another process holds the lock")

var errNewer = errors.New("a newer layout")

func explain(dir string, err error) error {
	switch {
	case errors.Is(err, errNewer):
		return &Error{CodeNewer, fmt.Sprintf("The data in %s was written by a newer Fairday. Run that version, or choose another folder with --data.", dir), err}
	case errors.Is(err, errLocked), strings.Contains(err.Error(), "directory lock"):
		return &Error{CodeLocked, fmt.Sprintf("Another Fairday is using %s. Stop it first, or choose another folder with --data.", dir), err}
	case outOfSpace(err):
		return noRoom(dir, err)
	case errors.Is(err, os.ErrPermission):
		return &Error{CodeFolder, fmt.Sprintf("The data folder %s may not be written: %v. Choose another with --data.", dir, err), err}
	}
	return &Error{CodeDamaged, fmt.Sprintf("The data in %s cannot be read: %v. Keep the folder as it is, put back the last backup in another one and name that with --data.", dir, err), err}
}

// Close writes out what is pending and gives the folder free. It is called once,
// after the last Append has returned.
func (s *Store) Close() error {
	close(s.closing)
	<-s.written
	return errors.Join(s.db.Close(), s.witness.close())
}

// Key gives the key that seals cursors; it stays the same for the folder's life.
func (s *Store) Key() [32]byte { return s.key }

// DefaultDir is the folder used when none is named: "fairday" in XDG_DATA_HOME,
// or in the place where programs keep a user's data.
func DefaultDir(getenv func(string) string) (string, error) {
	if dir := getenv("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return filepath.Join(dir, "fairday"), nil
	}
	home := getenv("HOME")
	if home == "" {
		dir, err := os.UserConfigDir()
		if err != nil {
			return "", &Error{CodeFolder, "There is no home folder to keep the data in. Name a folder with --data.", err}
		}
		return filepath.Join(dir, "fairday"), nil
	}
	return filepath.Join(home, ".local", "share", "fairday"), nil
}

func put(tx *badger.Txn, key []byte, v any) error {
	b, err := json.Marshal(v)
	if err != nil {
		return err
	}
	return tx.Set(key, b)
}

// get decodes the value at key into v; false when there is none.
func get(tx *badger.Txn, key []byte, v any) (bool, error) {
	item, err := tx.Get(key)
	if errors.Is(err, badger.ErrKeyNotFound) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	return true, item.Value(func(b []byte) error {
		if err := json.Unmarshal(b, v); err != nil {
			return fmt.Errorf("row %q: %w", key, err)
		}
		return nil
	})
}

// bridge passes the database's own log lines on.
type bridge struct{ log *slog.Logger }

func (b bridge) Errorf(f string, a ...any)   { b.line(slog.LevelError, f, a) }
func (b bridge) Warningf(f string, a ...any) { b.line(slog.LevelWarn, f, a) }
func (b bridge) Infof(f string, a ...any)    { b.line(slog.LevelDebug, f, a) }
func (b bridge) Debugf(string, ...any)       {}

func (b bridge) line(level slog.Level, f string, a []any) {
	if b.log.Enabled(context.Background(), level) {
		b.log.Log(context.Background(), level, strings.TrimSpace(fmt.Sprintf(f, a...)), "part", "badger")
	}
}

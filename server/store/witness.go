package store

import (
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"os"
	"path/filepath"

	"github.com/dgraph-io/badger/v4"
)

// witnessName is the file that counts acknowledged appends beside the database.
// The database takes a write-ahead log that ends too early for one that was cut
// by a crash; the count tells the two apart. It is written after each commit and
// not synced, so it may lag behind after a power failure and never runs ahead.
const witnessName = "acknowledged"

var errTail = errors.New("appends that were acknowledged are missing at its end")

var commitsKey = []byte("commits")

// witness is the open file; nil counts nothing.
type witness struct{ file *os.File }

// openWitness opens the count, which must not be above what the database holds.
func openWitness(dir string, commits uint64) (*witness, error) {
	f, err := os.OpenFile(filepath.Join(dir, witnessName), os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, err
	}
	w := &witness{f}
	var b [12]byte
	n, _ := f.ReadAt(b[:], 0) // a short one was never written whole
	counted := binary.BigEndian.Uint64(b[:8])
	if n == len(b) && crc32.ChecksumIEEE(b[:8]) == binary.BigEndian.Uint32(b[8:]) && counted > commits {
		return nil, errors.Join(fmt.Errorf("%w: %d of %d are there", errTail, commits, counted), f.Close())
	}
	return w, w.note(commits)
}

// note writes the count.
func (w *witness) note(commits uint64) error {
	b := binary.BigEndian.AppendUint64(nil, commits)
	_, err := w.file.WriteAt(binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b)), 0)
	return err
}

func (w *witness) close() error { return errors.Join(w.file.Sync(), w.file.Close()) }

// countedIn reads how many appends the database has acknowledged.
func countedIn(tx *badger.Txn) (uint64, error) {
	b, ok, err := value(tx, commitsKey)
	if err != nil || !ok {
		return 0, err
	}
	if len(b) != 8 {
		return 0, errors.New("the count of appends cannot be read")
	}
	return binary.BigEndian.Uint64(b), nil
}

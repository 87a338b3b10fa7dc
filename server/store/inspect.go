package store

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"github.com/dgraph-io/badger/v4"
	"github.com/dgraph-io/badger/v4/options"
	"github.com/dgraph-io/badger/v4/table"
	"github.com/dgraph-io/ristretto/v2/z"
)

// inspect reads the tables of a folder before the database opens it, which does
// so in goroutines of its own, where a damaged one ends the process. Every block
// is held against its checksum. A table that the database's list does not name is
// passed over: one that was being written when the program was killed is half
// there, and what it was to hold still stands in the write-ahead log.
func inspect(dir string) error {
	files, err := tables(dir, true)
	for _, path := range files {
		if err := inspectTable(path); err != nil {
			return fmt.Errorf("table %s: %w", filepath.Base(path), err)
		}
	}
	return err
}

// tables gives the paths of the tables that the database's list names, or of those
// that it does not. Without a list all are named.
func tables(dir string, named bool) ([]string, error) {
	files, err := filepath.Glob(filepath.Join(dir, "*.sst"))
	if err != nil {
		return nil, err
	}
	f, err := os.Open(filepath.Join(dir, badger.ManifestFilename))
	switch {
	case errors.Is(err, os.ErrNotExist) && named:
		return files, nil
	case errors.Is(err, os.ErrNotExist):
		return nil, nil
	case err != nil:
		return nil, err
	}
	defer f.Close()
	listed, _, err := badger.ReplayManifestFile(f, 0, badger.DefaultOptions(dir).WithLogger(nil))
	if err != nil {
		return nil, err
	}
	return slices.DeleteFunc(files, func(path string) bool {
		id, ok := table.ParseFileID(path)
		_, is := listed.Tables[id]
		return !ok || is != named
	}), nil
}

func inspectTable(path string) (err error) {
	info, err := os.Stat(path)
	if err != nil {
		return err
	}
	if info.Size() == 0 {
		return errors.New("it is empty")
	}
	defer func() {
		if recover() != nil { // its text is for who works on the database
			err = errors.New("it cannot be understood")
		}
	}()
	f, err := z.OpenMmapFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	t, err := table.OpenTable(f, table.Options{Compression: options.None, BlockSize: 4 << 10, ChkMode: options.OnTableRead})
	if err != nil {
		return err
	}
	return t.Close(-1)
}

// asideName is a folder of links to the tables that the database is about to
// delete.
const asideName = "aside"

// setAside keeps the tables that the database's list does not name, which it
// deletes when it opens: a list that was cut would take them with it. Who is
// content afterwards calls drop.
func setAside(dir string) (drop func() error, err error) {
	aside := filepath.Join(dir, asideName)
	drop = func() error { return os.RemoveAll(aside) }
	files, err := tables(dir, false)
	if err != nil {
		return nil, err
	}
	for _, path := range files {
		if err := os.MkdirAll(aside, 0o700); err != nil {
			return nil, err
		}
		if err := os.Link(path, filepath.Join(aside, filepath.Base(path))); err != nil && !errors.Is(err, os.ErrExist) {
			return nil, err
		}
	}
	return drop, nil
}

package store

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"path/filepath"
)

// A backup is a first line, the database's own stream, and a SHA-256 over both,
// so that one that was cut or changed on its way is known as such.
const backupLine = "Fairday backup 1\n"

// Codes of backups.
const (
	CodeBackup Code = "backup_damaged" // the file is not a whole backup
	CodeExists Code = "folder_exists"  // there is something where a restored folder would go
)

// Backup writes everything to w as it stands at one moment, while the store goes
// on. Whoever has it can read everything, money included.
func (s *Store) Backup(w io.Writer) error {
	sum := sha256.New()
	both := io.MultiWriter(w, sum)
	if _, err := io.WriteString(both, backupLine); err != nil {
		return err
	}
	if _, err := s.db.Backup(both, 0); err != nil {
		return err
	}
	_, err := w.Write(sum.Sum(nil))
	return err
}

// CheckBackup tells whether a file is a whole backup, and gives the database's
// stream in it. The error is an *Error with CodeBackup.
func CheckBackup(f *os.File) (io.Reader, error) {
	bad := func(why string, cause error) error {
		return &Error{CodeBackup, fmt.Sprintf("%s is not a whole backup: %s. Use an earlier one.", f.Name(), why), cause}
	}
	info, err := f.Stat()
	if err != nil {
		return nil, bad("it cannot be read", err)
	}
	end := info.Size() - sha256.Size
	if end < int64(len(backupLine)) {
		return nil, bad("it is too short", nil)
	}
	sum, line := sha256.New(), make([]byte, len(backupLine))
	if _, err := f.ReadAt(line, 0); err != nil || string(line) != backupLine {
		return nil, bad("it does not begin like one", err)
	}
	if _, err := io.Copy(sum, io.NewSectionReader(f, 0, end)); err != nil {
		return nil, bad("it cannot be read", err)
	}
	want := make([]byte, sha256.Size)
	if _, err := f.ReadAt(want, end); err != nil || !bytes.Equal(sum.Sum(nil), want) {
		return nil, bad("part of it is missing or was changed", err)
	}
	return io.NewSectionReader(f, int64(len(backupLine)), end-int64(len(backupLine))), nil
}

// Restore makes a data folder from a backup. Its shoots go on as a new
// generation, so that phones offer again what the backup does not have. A folder
// that is there already is left alone; after an error there is none.
func Restore(f *os.File, dir string, random io.Reader, log *slog.Logger) ([]Finding, error) {
	stream, err := CheckBackup(f)
	if err != nil {
		return nil, err
	}
	if _, err := os.Lstat(dir); err == nil {
		return nil, &Error{CodeExists, fmt.Sprintf("There is something at %s already, and nothing is overwritten. Name a folder that does not exist yet.", dir), nil}
	}
	if err := os.MkdirAll(filepath.Dir(filepath.Clean(dir)), 0o700); err != nil {
		return nil, &Error{CodeFolder, fmt.Sprintf("The data folder %s cannot be made: %v.", dir, err), err}
	}
	part, err := os.MkdirTemp(filepath.Dir(filepath.Clean(dir)), ".restoring-")
	if err != nil {
		return nil, &Error{CodeFolder, fmt.Sprintf("The data folder %s cannot be made: %v.", dir, err), err}
	}
	found, err := fill(stream, part, random, log)
	if err == nil {
		err = os.Rename(part, dir)
	}
	if err != nil {
		return found, errors.Join(err, os.RemoveAll(part))
	}
	return found, nil
}

// fill loads a stream into an empty folder and looks at what came out.
func fill(stream io.Reader, dir string, random io.Reader, log *slog.Logger) ([]Finding, error) {
	db, err := open(dir, log)
	if err != nil {
		return nil, explain(dir, err)
	}
	if err := errors.Join(db.Load(stream, 16), db.Close()); err != nil {
		return nil, fmt.Errorf("the backup was not loaded: %w", err)
	}
	s, err := Open(dir, random, log)
	if err != nil {
		return nil, err
	}
	found, err := s.Verify()
	if err == nil {
		err = s.Restored()
	}
	return found, errors.Join(err, s.Close())
}

// Exists tells whether there is a data folder.
func Exists(dir string) bool {
	_, err := os.Stat(filepath.Join(dir, "MANIFEST"))
	return err == nil
}

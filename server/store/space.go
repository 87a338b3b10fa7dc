package store

import (
	"fmt"

	"fairday/sync/desk"
)

// reserve is how many bytes must be free on the disk for an append. The
// database writes through a mapping of files that are larger than what is in
// them, and a disk that fills up beneath one ends the whole process; so edits are
// turned away before it comes to that.
const reserve = 96 << 20

// FullError says that the disk has no room for what was to be written, of which
// nothing was; it is desk.ErrFull.
type FullError struct {
	Free uint64 // bytes
}

func (e *FullError) Error() string {
	return fmt.Sprintf("the disk of the data folder is nearly full: %d MB are free, %d MB must be. Edits wait on the phones; make room and they arrive by themselves", e.Free>>20, reserve>>20)
}

// Unwrap gives desk.ErrFull.
func (e *FullError) Unwrap() error { return desk.ErrFull }

// room gives a *FullError when the disk is nearly full.
func (s *Store) room() error {
	if free, ok := freeBytes(s.dir); ok && free < reserve {
		return &FullError{free}
	}
	return nil
}

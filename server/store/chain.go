package store

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"

	"fairday/sync/desk"
)

// sumSize is the length in bytes of a row's sum: half a SHA-256, against damage
// and not against people.
const sumSize = 16

// linkSize is what an entry's row ends with: the number of the entry before it
// in its plane, 0 for none, and the row's sum.
const linkSize = 8 + sumSize

// link names a row of a plane: its number and its sum, which covers the sum of
// the row before it, the row's key and what is written there. So no row can be
// lost, moved or changed without a later one, or the head, saying otherwise.
type link struct {
	seq uint64
	sum [sumSize]byte
}

// after is the link of a row that follows this one.
func (l link) after(key, body []byte, seq uint64) link {
	h := sha256.New()
	h.Write(l.sum[:])
	h.Write(key)
	h.Write(body)
	next := link{seq: seq}
	copy(next.sum[:], h.Sum(nil))
	return next
}

// linked adds the link to what is written in a row.
func (l link) linked(body []byte, own link) []byte {
	return append(binary.BigEndian.AppendUint64(body, l.seq), own.sum[:]...)
}

// head is the row that tells where a shoot's log ends, as a whole and in each
// plane. Heads that were written before rows had links end after the first
// number; their planes are then without an end.
type head struct {
	last         uint64
	floor, money link
}

func (h *head) plane(letter string) *link {
	if letter == "m" {
		return &h.money
	}
	return &h.floor
}

func (h head) encode() []byte {
	b := binary.BigEndian.AppendUint64(nil, h.last)
	for _, l := range []link{h.floor, h.money} {
		b = append(binary.BigEndian.AppendUint64(b, l.seq), l.sum[:]...)
	}
	return b
}

func decodeHead(b []byte) (h head, err error) {
	if len(b) != 8 && len(b) != 8+2*linkSize {
		return h, fmt.Errorf("%w: its end is written in %d bytes", desk.ErrDamaged, len(b))
	}
	h.last = binary.BigEndian.Uint64(b)
	if len(b) > 8 {
		for i, l := range []*link{&h.floor, &h.money} {
			at := b[8+i*linkSize:]
			l.seq = binary.BigEndian.Uint64(at)
			copy(l.sum[:], at[8:linkSize])
		}
	}
	return h, nil
}

// walker follows the rows of one plane and tells where one is missing or not as
// it was written.
type walker struct {
	letter string
	before uint64 // the number that the walk starts after
	last   link   // the row before, when there was one
	began  bool
	chain  bool // the row before had a link
}

// step takes the next row; linked says whether it has a link.
func (w *walker) step(key, body []byte, seq uint64, linked bool, prev uint64, sum [sumSize]byte) error {
	switch {
	case !linked && w.chain:
		return fmt.Errorf("%w: entry %d has lost its link", desk.ErrDamaged, seq)
	case linked && w.chain && prev != w.last.seq:
		return fmt.Errorf("%w: entry %d follows %d, which is missing", desk.ErrDamaged, seq, prev)
	case linked && !w.began && prev > w.before:
		return fmt.Errorf("%w: entry %d follows %d, which is missing", desk.ErrDamaged, seq, prev)
	case linked && w.began && !w.chain && prev != 0:
		return fmt.Errorf("%w: entry %d follows %d, which is missing", desk.ErrDamaged, seq, prev)
	}
	// Where the walk starts in the middle, the sum before it is not at hand.
	if linked && (w.chain || prev == 0) {
		if want := w.last.onlyIf(w.chain).after(key, body, seq); want.sum != sum {
			return fmt.Errorf("%w: entry %d is not as it was written", desk.ErrDamaged, seq)
		}
	}
	w.last, w.began, w.chain = link{seq, sum}, true, linked
	return nil
}

func (l link) onlyIf(yes bool) link {
	if yes {
		return l
	}
	return link{}
}

// end checks that the walk reached the end of the plane.
func (w *walker) end(h head) error {
	end := *h.plane(w.letter)
	if end.seq <= w.before {
		return nil
	}
	if !w.began || w.last.seq != end.seq {
		return fmt.Errorf("%w: entry %d is missing", desk.ErrDamaged, end.seq)
	}
	if w.last.sum != end.sum {
		return fmt.Errorf("%w: entry %d is not as it was written", desk.ErrDamaged, end.seq)
	}
	return nil
}

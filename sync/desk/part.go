package desk

import "sync"

// Part is a part of a message. Many messages may share it, so nobody writes to it.
type Part struct {
	Text  []byte
	Lasts bool // whoever asks next is sent the same, so that it pays to pack it well

	once   sync.Once
	packed []byte
}

// Packed gives what pack makes of Text. It runs once, whoever asks, so that a
// storm of phones costs one packing; all callers have the same pack. It may be
// called by many goroutines.
func (p *Part) Packed(pack func(*Part) []byte) []byte {
	p.once.Do(func() { p.packed = pack(p) })
	return p.packed
}

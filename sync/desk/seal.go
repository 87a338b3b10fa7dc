package desk

import (
	"encoding/base64"
	"encoding/binary"
	"io"

	"fairday/domain/shoot"
)

// A cursor is how far a phone has come: the log's sequence number and the
// epoch of its audience. It is sealed, bound to the shoot, the generation and
// the person, and always of the same length, so that a phone can neither read
// nor change it nor lend it to anybody.

// sealed makes a cursor.
func (d *Desk) sealed(p shoot.PersonID, epoch int, seq uint64) (string, error) {
	nonce := make([]byte, d.seal.NonceSize(), d.seal.NonceSize()+16+d.seal.Overhead())
	if _, err := io.ReadFull(d.cfg.Random, nonce); err != nil {
		return "", err
	}
	var plain [16]byte
	binary.BigEndian.PutUint64(plain[:8], seq)
	binary.BigEndian.PutUint64(plain[8:], uint64(epoch))
	return base64.RawURLEncoding.EncodeToString(d.seal.Seal(nonce, nonce, plain[:], d.bound(p))), nil
}

// unsealed reads a cursor; false when it is not one of ours for this person,
// this epoch and this generation, or lies past the end of the log.
func (d *Desk) unsealed(p shoot.PersonID, epoch int, cursor string) (uint64, bool) {
	b, err := base64.RawURLEncoding.DecodeString(cursor)
	if n := d.seal.NonceSize(); err == nil && len(b) > n {
		plain, err := d.seal.Open(nil, b[:n], b[n:], d.bound(p))
		if err == nil && len(plain) == 16 && binary.BigEndian.Uint64(plain[8:]) == uint64(epoch) {
			seq := binary.BigEndian.Uint64(plain[:8])
			return seq, seq <= d.head
		}
	}
	return 0, false
}

// bound is what a cursor is good for.
func (d *Desk) bound(p shoot.PersonID) []byte {
	return []byte("cursor 1\x00" + d.cfg.Shoot + "\x00" + d.generation + "\x00" + string(p))
}

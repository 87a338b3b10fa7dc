package live

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"errors"
	"io"
	"sync"

	"fairday/sync/desk"
)

// packer deflates (RFC 1951) what phones are sent, where they take that. A message
// is packed in pieces, each of which ends on a byte and refers to nothing before it,
// so that pieces that were packed apart make one stream one behind the other.
type packer struct{ quick, thorough *deflater }

// deflater is one for all sockets, since it takes nearly a megabyte.
type deflater struct {
	mu sync.Mutex
	w  *flate.Writer
}

// packedFrom is from how many bytes on a piece gets smaller by more than packing costs.
const packedFrom = 512

// packedEnd is a last block with nothing in it.
var packedEnd = []byte{3, 0}

func newPacker() *packer {
	return &packer{newDeflater(flate.BestSpeed), newDeflater(flate.DefaultCompression)}
}

func newDeflater(level int) *deflater {
	w, err := flate.NewWriter(io.Discard, level)
	if err != nil { // there is such a level
		panic(err)
	}
	return &deflater{w: w}
}

// message gives the pieces of a message.
func (p *packer) message(m message) [][]byte {
	out := [][]byte{p.quick.piece(m.text)}
	for _, r := range m.rest {
		out = append(out, r.Packed(p.piece))
	}
	return append(out, packedEnd)
}

func (p *packer) piece(part *desk.Part) []byte {
	if part.Lasts {
		return p.thorough.piece(part.Text)
	}
	return p.quick.piece(part.Text)
}

func (d *deflater) piece(text []byte) []byte {
	if n := uint16(len(text)); len(text) < packedFrom { // a block that is stored as it is
		b := binary.LittleEndian.AppendUint16([]byte{0}, n)
		return append(binary.LittleEndian.AppendUint16(b, ^n), text...)
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	var b bytes.Buffer
	d.w.Reset(&b)
	defer d.w.Reset(io.Discard) // so that it does not hold on to b
	_, err := d.w.Write(text)
	if err = errors.Join(err, d.w.Flush()); err != nil { // memory takes everything
		panic(err)
	}
	return b.Bytes()
}

package main

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"errors"
	"slices"
)

// Section ids and opcodes of the WebAssembly binary format (WebAssembly Core
// Specification 2.0, sections 5.4.1 and 5.5).
const (
	dataSection = 11
	opI32Const  = 0x41
	opEnd       = 0x0b
)

// widestGap is how many zeros between two data segments are written out so that
// the two become one.
const widestGap = 64

// errWasm says that a module is not built as Go's linker builds it.
var errWasm = errors.New("the engine is not laid out as expected: does it come from another Go?")

// segment is bytes that are put into memory at an address.
type segment struct {
	at   int64
	data []byte
}

// slim gives the module as it is shipped: with its data in few segments and with
// thinner tables of functions.
func slim(module []byte) ([]byte, error) {
	return rewriteData(module, func(segments []segment) ([]segment, error) {
		segments, err := join(segments)
		if err != nil {
			return nil, err
		}
		var found *table
		var at int64
		for _, s := range segments {
			t, err := thinTable(s.data)
			if err != nil || t != nil && found != nil {
				return nil, errWasm
			}
			if t != nil {
				found, at = t, s.at+int64(t.at)
			}
		}
		if found == nil {
			return nil, errWasm
		}
		return segments, coarsenSearch(segments, found, at)
	})
}

// rewriteData gives the module with other data.
func rewriteData(module []byte, rewrite func([]segment) ([]segment, error)) ([]byte, error) {
	const preamble = 8
	if len(module) < preamble {
		return nil, errWasm
	}
	out := slices.Clone(module[:preamble])
	for rest := module[preamble:]; len(rest) > 0; {
		size, n := binary.Uvarint(rest[1:])
		if n <= 0 || uint64(len(rest)-1-n) < size {
			return nil, errWasm
		}
		head, body := 1+n, rest[1+n:][:size]
		if rest[0] != dataSection {
			out = append(out, rest[:head+len(body)]...)
		} else {
			segments, err := readSegments(body)
			if err != nil {
				return nil, err
			}
			if segments, err = rewrite(segments); err != nil {
				return nil, err
			}
			body = writeSegments(segments)
			out = append(out, dataSection)
			out = binary.AppendUvarint(out, uint64(len(body)))
			out = append(out, body...)
		}
		rest = rest[head+int(size):]
	}
	return out, nil
}

// join puts segments in the order of their addresses, and those that lie close
// together into one. They may not overlap. Go's linker cuts the data wherever
// eight zeros stand together, into some hundred thousand segments whose
// addresses cannot be packed well: as few, the packed engine is a tenth smaller.
// Memory is all zeros at the start, so the module is the same.
func join(segments []segment) (joined []segment, err error) {
	slices.SortFunc(segments, func(a, b segment) int { return cmp.Compare(a.at, b.at) })
	for _, s := range segments {
		if n := len(joined); n > 0 {
			last := &joined[n-1]
			gap := s.at - last.at - int64(len(last.data))
			if gap < 0 {
				return nil, errWasm
			}
			if gap <= widestGap {
				last.data = append(append(last.data, make([]byte, gap)...), s.data...)
				continue
			}
		}
		joined = append(joined, s)
	}
	return joined, nil
}

// readSegments reads a data section.
func readSegments(body []byte) (segments []segment, err error) {
	r := bytes.NewReader(body)
	count, err := binary.ReadUvarint(r)
	if err != nil {
		return nil, errWasm
	}
	for range count {
		s, err := readSegment(r)
		if err != nil {
			return nil, err
		}
		segments = append(segments, s)
	}
	if r.Len() > 0 {
		return nil, errWasm
	}
	return segments, nil
}

// readSegment reads one that is active in the first memory, at a constant.
func readSegment(r *bytes.Reader) (s segment, err error) {
	var start [2]byte
	if _, err := r.Read(start[:]); err != nil || start != [2]byte{0, opI32Const} {
		return s, errWasm
	}
	if s.at, err = readSigned(r); err != nil || s.at < 0 {
		return s, errWasm
	}
	if end, err := r.ReadByte(); err != nil || end != opEnd {
		return s, errWasm
	}
	size, err := binary.ReadUvarint(r)
	if err != nil || size > uint64(r.Len()) {
		return s, errWasm
	}
	s.data = make([]byte, size)
	_, err = r.Read(s.data)
	return s, err
}

func writeSegments(segments []segment) []byte {
	out := binary.AppendUvarint(nil, uint64(len(segments)))
	for _, s := range segments {
		out = append(out, 0, opI32Const)
		out = append(appendSigned(out, s.at), opEnd)
		out = binary.AppendUvarint(out, uint64(len(s.data)))
		out = append(out, s.data...)
	}
	return out
}

// readSigned and appendSigned know a number as signed LEB128.
func readSigned(r *bytes.Reader) (v int64, err error) {
	for shift := 0; shift < 64; shift += 7 {
		b, err := r.ReadByte()
		if err != nil {
			return 0, err
		}
		v |= int64(b&0x7f) << shift
		if b < 0x80 {
			if b&0x40 != 0 && shift < 57 {
				v |= -1 << (shift + 7)
			}
			return v, nil
		}
	}
	return 0, errWasm
}

func appendSigned(out []byte, v int64) []byte {
	for {
		b := byte(v & 0x7f)
		v >>= 7
		if v == 0 && b&0x40 == 0 || v == -1 && b&0x40 != 0 {
			return append(out, b)
		}
		out = append(out, b|0x80)
	}
}

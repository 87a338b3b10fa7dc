package main

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"io"
	"reflect"
	"testing"

	"fairday/domain/shoot"
	"fairday/sync/wire"
	plans "fairday/testdata/demo"
)

// unpacked reads a packed message as a phone does.
func unpacked(b []byte) ([]byte, error) {
	return io.ReadAll(io.LimitReader(flate.NewReader(bytes.NewReader(b)), wire.MaxDown+1))
}

// SPEC W10, A10: a phone that takes packed messages is sent the same as one that does
// not, in the same order; what is large comes packed, and what it shares with others
// is the same bytes for all.
func TestPackedMessages(t *testing.T) {
	s := newSite(t)
	crew := s.joined(cleo)
	plain := s.phone(crew)
	s.packed = true
	packed, other := s.phone(crew), s.phone(s.joined(pia))
	if packed.packed != 1 || plain.packed != 0 || other.packed != 1 {
		t.Fatalf("%d, %d and %d messages came packed", packed.packed, plain.packed, other.packed)
	}
	_, a, _ := cut(packed.raw)
	if _, b, _ := cut(other.raw); len(a) < 200 || !bytes.Equal(a, b) {
		t.Errorf("the floor is %d bytes for one and %d for the other", len(a), len(b))
	}
	s.packed = false
	author := s.phone(s.joined(ari))
	var edits []wire.Edit
	for i := range 40 { // one batch, and one large frame
		edits = append(edits, author.edit("setup.set", `{"id":%q,"name":"Corner %d","minutes":20,"base":0}`, s.uuid(), i))
	}
	author.send(edits...)
	author.accepted(author.edit("setup.set", `{"id":%q,"name":"The last one","minutes":20,"base":0}`, s.uuid()))
	for _, p := range []*phone{plain, packed} {
		p.sees("The last one")
	}
	if packed.packed != 2 || plain.packed != 0 {
		t.Errorf("afterwards %d and %d messages came packed", packed.packed, plain.packed)
	}
	if !reflect.DeepEqual(told(t, plain), told(t, packed)) {
		t.Errorf("one was told\n%s\nand the other\n%s", plain.down.String(), packed.down.String())
	}
}

// cut takes a packed message apart: a short text, the piece that it shares with others,
// and what follows.
func cut(b []byte) (head, shared, rest []byte) {
	n := 5 + int(binary.LittleEndian.Uint16(b[1:]))
	mark := []byte{0, 0, 0xff, 0xff}
	shared, rest, _ = bytes.Cut(b[n:], mark)
	return b[5:n], shared, rest
}

// told are the snapshots and frames that came, without what is sealed for each.
func told(t *testing.T, p *phone) (all []wire.Message) {
	t.Helper()
	for each := json.NewDecoder(bytes.NewReader(p.down.Bytes())); each.More(); {
		var text json.RawMessage
		if err := each.Decode(&text); err != nil {
			t.Fatal(err)
		}
		m, err := wire.DecodeDown(text)
		if err != nil {
			t.Fatal(err)
		}
		switch m := m.(type) {
		case wire.Snapshot:
			m.Cursor = ""
			all = append(all, m)
		case wire.Frame:
			m.Cursor = ""
			all = append(all, m)
		}
	}
	return all
}

// BenchmarkSnapshotSize is what a phone that knows nothing is sent.
func BenchmarkSnapshotSize(b *testing.B) {
	for _, of60 := range []bool{false, true} {
		for _, role := range []shoot.Role{shoot.Crew, shoot.Producer} {
			b.Run(fmt.Sprintf("grown=%v/%s", of60, role), func(b *testing.B) {
				file := plans.File
				if of60 {
					file = bigPlan()
				}
				s, _, people := crowded(b, file, 1)
				s.packed = true
				p := s.phone(s.joined(of(people, role)))
				text, err := unpacked(p.raw)
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(len(text)), "bytes")
				b.ReportMetric(float64(len(p.raw)), "packed-bytes")
				b.ReportMetric(0, "ns/op")
			})
		}
	}
}

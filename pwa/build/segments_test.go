package main

import (
	"bytes"
	"errors"
	"strings"
	"testing"
)

// module puts a data section between two others.
func module(data []byte) []byte {
	out := []byte("\x00asm\x01\x00\x00\x00\x05\x03\x01\x00\x02")
	out = append(append(out, dataSection, byte(len(data))), data...)
	return append(out, 0, 2, 1, 'x')
}

// memory is what segments leave in memory.
func memory(t *testing.T, segments []segment) []byte {
	t.Helper()
	mem := make([]byte, 1<<12)
	for _, s := range segments {
		if copy(mem[s.at:], s.data) != len(s.data) {
			t.Fatalf("a segment at %d does not fit", s.at)
		}
	}
	return mem
}

func TestSegmentsJoin(t *testing.T) {
	apart := []segment{{8, []byte("one")}, {11, []byte("next to it")}, {29, []byte("eight further")},
		{42 + widestGap, []byte("as far as may be")}, {3000, []byte("far away")},
		{58 + 2*widestGap + 1, []byte("too far, and out of order")}}
	for i := range apart {
		apart[i].data = bytes.Clone(apart[i].data)
	}
	out, err := rewriteData(module(writeSegments(apart)), join)
	if err != nil {
		t.Fatal(err)
	}
	again, err := rewriteData(out, join)
	if err != nil || !bytes.Equal(again, out) {
		t.Error("joined twice it is another module", err)
	}
	head := len(module(nil)) - 4 - 2 // up to the data section
	size := len(out) - head - 4 - 3  // which is longer than 127 bytes here
	joined, err := readSegments(out[head+3:][:size])
	if err != nil || len(joined) != 3 {
		t.Fatalf("%d segments, %v", len(joined), err)
	}
	if !bytes.Equal(memory(t, joined), memory(t, apart)) {
		t.Error("the memory is not the same")
	}
	if !bytes.HasPrefix(out, module(nil)[:head]) || !bytes.HasSuffix(out, []byte("\x00\x02\x01x")) {
		t.Error("the other sections have changed")
	}
}

func TestModulesRefused(t *testing.T) {
	for name, m := range map[string][]byte{
		"nothing":             nil,
		"cut short":           module(writeSegments([]segment{{8, []byte("one")}}))[:20],
		"overlapping":         module(writeSegments([]segment{{8, []byte("one")}, {9, []byte("two")}})),
		"below zero":          module(writeSegments([]segment{{-9, []byte("one")}})),
		"passive":             module([]byte{1, 1, 1, 'x'}),
		"at no constant":      module([]byte{1, 0, 0x23, 0, opEnd, 1, 'x'}),
		"fewer than promised": module([]byte{2, 0, opI32Const, 8, opEnd, 1, 'x'}),
		"more than promised":  module([]byte{1, 0, opI32Const, 8, opEnd, 1, 'x', 'y'}),
		"longer than it is":   module([]byte{1, 0, opI32Const, 8, opEnd, 9, 'x'}),
	} {
		if out, err := rewriteData(m, join); !errors.Is(err, errWasm) {
			t.Errorf("%s: %x, %v", name, out, err)
		}
	}
}

func TestClientIsHeldToItsSize(t *testing.T) {
	if err := withinBudget(engineBudget, pagesBudget); err != nil {
		t.Error(err)
	}
	for _, c := range []struct {
		engine, pages int64
		says          string
	}{{engineBudget + 1, 0, "engine"}, {0, pagesBudget + 1, "scripts"}} {
		if err := withinBudget(c.engine, c.pages); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Error(c, err)
		}
	}
}

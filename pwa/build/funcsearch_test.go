package main

import (
	"encoding/binary"
	"errors"
	"testing"
)

// Buckets are made coarse where they are what they should be, and refused otherwise.
func TestSearchCoarsened(t *testing.T) {
	const funcs, at, buckets = 40, 0x8000, 0x10000 // the address of the table ends in a zero byte
	sound := func() ([]segment, *table) {
		tb := &table{data: make([]byte, headerSize)}
		binary.LittleEndian.PutUint64(tb.data[headNames:], 72)
		module := make([]byte, 16+moduleSize)
		for field, v := range map[int]uint64{0: at, moduleNames: at + 72, moduleFuncs + 8: funcs + 1, moduleSearch: buckets} {
			binary.LittleEndian.PutUint64(module[16+field:], v)
		}
		data := make([]byte, (funcs-2)*funcBuckets*bucketSize+2)
		for i := 0; i+bucketSize <= len(data); i += bucketSize {
			binary.LittleEndian.PutUint32(data[i:], uint32(1+i/bucketSize/funcBuckets))
		}
		return []segment{{0x100 + 17, module[17:]}, {buckets + funcBuckets*bucketSize, data}}, tb
	}
	segments, tb := sound()
	if err := coarsenSearch(segments, tb, at); err != nil {
		t.Fatal(err)
	}
	for i := 1; i < funcs-1; i++ { // each search starts at the function or at few before it
		got := int(binary.LittleEndian.Uint32(segments[1].data[(i-1)*funcBuckets*bucketSize:]))
		if got > i || i-got >= coarse || got%coarse != 0 {
			t.Errorf("function %d is searched from %d", i, got)
		}
	}
	for name, spoil := range map[string]func([]segment) []segment{
		"no module":        func(s []segment) []segment { return s[1:] },
		"no buckets":       func(s []segment) []segment { return s[:1] },
		"another function": func(s []segment) []segment { s[1].data[5*funcBuckets*bucketSize]++; return s },
		"too few":          func(s []segment) []segment { s[1].data = s[1].data[:len(s[1].data)-3]; return s },
		"no functions":     func(s []segment) []segment { s[0].data[moduleFuncs+8-1] = 1; return s },
	} {
		segments, tb := sound()
		if err := coarsenSearch(spoil(segments), tb, at); !errors.Is(err, errWasm) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

package main

import (
	"bytes"
	"encoding/binary"
)

// The runtime finds the function of an address by a table of buckets, each with the
// number of a function at or before it, from where it searches on (findfunc in
// runtime/symtab.go, moduledata and findfuncbucket there, as of Go 1.26). In
// WebAssembly a function counts as 16 buckets, of which the first is read.
const (
	bucketSize  = 20
	funcBuckets = 16
	// coarse is how many functions start their search at the same one: more pack
	// better, and are searched longer.
	coarse = 16

	moduleNames  = 8                  // where the module's own data has a slice of the table's names
	moduleFuncs  = moduleNames + 5*24 // of its functions, the count behind the address
	moduleSearch = moduleFuncs + 24   // the address of the buckets
	moduleFirst  = moduleSearch + 8   // the first address of code
	moduleSize   = moduleFirst + 2*8  // and the last
)

// coarsenSearch has functions searched from a few places, in the segments of a
// module with that table at an address.
func coarsenSearch(segments []segment, t *table, at int64) error {
	module := findModule(segments, t, at)
	if module == nil {
		return errWasm
	}
	long := func(from int) int64 { return int64(binary.LittleEndian.Uint64(module[from:])) }
	funcs := long(moduleFuncs+8) - 1 // the last stands for the end
	// The first function's are all zeros, and so in no segment; the last is left as it
	// is, since the segment may end within it.
	const each = funcBuckets * bucketSize
	buckets := bytesAt(segments, long(moduleSearch)+each, (funcs-2)*each)
	if buckets == nil {
		return errWasm
	}
	for i := 1; i < int(funcs)-1; i++ {
		b := buckets[(i-1)*each:][:each]
		if binary.LittleEndian.Uint32(b) != uint32(i) {
			return errWasm
		}
		for ; len(b) >= bucketSize; b = b[bucketSize:] {
			binary.LittleEndian.PutUint32(b, uint32(i/coarse*coarse))
		}
	}
	return nil
}

// findModule gives the data of the module that a table at an address belongs to. It is
// found by the address of the names, which never ends in a zero byte, as the one before
// it may: then the segment starts within that.
func findModule(segments []segment, t *table, at int64) []byte {
	names := binary.LittleEndian.AppendUint64(nil, uint64(at)+uint64(t.long(headNames)))
	for _, s := range segments {
		for from := 0; ; from++ {
			i := bytes.Index(s.data[from:], names)
			if i < 0 {
				break
			}
			from += i
			if module := copyAt(segments, s.at+int64(from)-moduleNames); int64(binary.LittleEndian.Uint64(module)) == at {
				return module
			}
		}
	}
	return nil
}

// copyAt copies the data of a module from memory, with zeros where no segment lies.
func copyAt(segments []segment, at int64) []byte {
	out := make([]byte, moduleSize)
	for _, s := range segments {
		switch {
		case s.at >= at && s.at < at+moduleSize:
			copy(out[s.at-at:], s.data)
		case s.at < at && s.at+int64(len(s.data)) > at:
			copy(out, s.data[at-s.at:])
		}
	}
	return out
}

// bytesAt gives size bytes of memory from an address on; nil where they are not all in
// one segment.
func bytesAt(segments []segment, at, size int64) []byte {
	for _, s := range segments {
		if at >= s.at && size > 0 && at+size <= s.at+int64(len(s.data)) {
			return s.data[at-s.at:][:size]
		}
	}
	return nil
}

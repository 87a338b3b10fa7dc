package main

import "encoding/binary"

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
	// The first function's are all zeros, and so in no segment; the last has one.
	const each = funcBuckets * bucketSize
	buckets := bytesAt(segments, long(moduleSearch)+each, (funcs-2)*each+bucketSize)
	if buckets == nil {
		return errWasm
	}
	for i := 1; i < int(funcs); i++ {
		b := buckets[(i-1)*each:]
		b = b[:min(each, len(b))]
		if binary.LittleEndian.Uint32(b) != uint32(i) {
			return errWasm
		}
		for ; len(b) >= bucketSize; b = b[bucketSize:] {
			binary.LittleEndian.PutUint32(b, uint32(i/coarse*coarse))
		}
	}
	return nil
}

// findModule finds the data of the module that a table at an address belongs to.
func findModule(segments []segment, t *table, at int64) []byte {
	for _, s := range segments {
		for i := 0; i+moduleSize <= len(s.data); i += 8 - int(s.at+int64(i))%8 {
			if int64(binary.LittleEndian.Uint64(s.data[i:])) == at &&
				int64(binary.LittleEndian.Uint64(s.data[i+moduleNames:])) == at+int64(t.long(headNames)) {
				return s.data[i:]
			}
		}
	}
	return nil
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

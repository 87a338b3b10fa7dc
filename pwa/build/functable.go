package main

import (
	"bytes"
	"encoding/binary"
	"strings"
)

// The layout of the table of functions that Go's linker writes and Go's runtime
// reads: pcHeader and _func in runtime/symtab.go and runtime/runtime2.go of the
// Go source, and the layout in pclntab in cmd/link/internal/ld/pcln.go, as of
// Go 1.26. Offsets are in bytes, numbers little endian.
const (
	tableMagic = "\xf1\xff\xff\xff\x00\x00\x01\x08" // Go 1.20 and later, byte-sized steps, eight-byte pointers
	headerSize = 8 + 8*8
	headCount  = 8 // number of functions
	headNames  = 32
	headUnits  = 40
	headSteps  = 56
	headFuncs  = 64

	funcName  = 4
	funcStack = 16 // steps of the stack pointer, first of the offsets into the steps
	funcFile  = 20
	funcLine  = 24
	funcLists = 28 // number of further offsets into the steps, which follow at funcSize
	funcUnit  = 32
	funcStart = 36 // line the function starts at
	funcKind  = 40 // one byte: what the runtime treats in its own way
	funcDatas = 43 // one byte: number of offsets to further data, which follow the lists
	funcSize  = 44

	noData = 0xffffffff // there is none

	kindWrapper = 23 // abi.FuncIDWrapper: written by the compiler around a method
)

// Of the lists and the data of a function (internal/abi/symtab.go), these are read
// only where a goroutine is stopped in the middle of its work, which WebAssembly
// cannot do, or where a trace prints the arguments of a call.
var (
	idleLists = map[int]bool{0: true, 3: true} // PCDATA_UnsafePoint, PCDATA_ArgLiveIndex
	idleDatas = map[int]bool{5: true, 6: true} // FUNCDATA_ArgInfo, FUNCDATA_ArgLiveInfo
)

// keptNames are what the runtime itself looks for by name.
var keptNames = map[string]bool{"reflect.makeFuncStub": true, "reflect.methodValueCall": true}

// thinTable takes out of a segment with the table of functions, where it is
// one, what only the traces of a panic read: files and lines, and the names of
// most functions that are not our own. Nothing is moved but the records of the
// functions, within their place; what goes becomes zeros, which pack into nothing.
// A trace still names every function of ours, without its arguments. The table is nil where there is none.
func thinTable(data []byte) (*table, error) {
	at := bytes.Index(data, []byte(tableMagic))
	if at < 0 {
		return nil, nil
	}
	t := &table{data: data[at:], at: at}
	names, units, steps, funcs := t.long(headNames), t.long(headUnits), t.long(headSteps), t.long(headFuncs)
	if t.bad || !(headerSize <= names && names < units && units <= steps && steps < funcs && funcs < len(t.data)) {
		return nil, errWasm
	}
	t.names, t.steps = t.data[names:units], t.data[steps:funcs]
	t.used = make([]bool, len(t.steps))
	t.shorter = []byte{0}
	t.placed = map[string]int{"": 0}
	for i := range t.long(headCount) {
		if t.thinFunc(funcs + t.word(funcs+8*i+4)); t.bad {
			return nil, errWasm
		}
	}
	if t.evenFuncs(funcs); t.bad {
		return nil, errWasm
	}
	for i, used := range t.used {
		if !used {
			t.steps[i] = 0
		}
	}
	clear(t.data[units:steps])
	clear(t.names)
	if copy(t.names, t.shorter) != len(t.shorter) {
		return nil, errWasm
	}
	return t, nil
}

// table is a table of functions while it is made thinner.
type table struct {
	data    []byte // from its header on
	at      int    // where it starts in its segment
	bad     bool   // something pointed outside
	names   []byte
	steps   []byte // values that change along a function's code
	used    []bool // the steps that the runtime needs
	shorter []byte // the names that are kept, each ended by a zero
	placed  map[string]int
}

// thinFunc makes one function thinner and marks the steps that it needs.
func (t *table) thinFunc(at int) {
	t.use(t.word(at + funcStack))
	lists := t.word(at + funcLists)
	for i := range lists {
		if field := at + funcSize + 4*i; idleLists[i] {
			t.put(field, 0)
		} else {
			t.use(t.word(field))
		}
		if t.bad {
			return
		}
	}
	datas := t.word(at+funcDatas-3) >> 24
	for i := range datas {
		if idleDatas[i] {
			t.put(at+funcSize+4*(lists+i), noData)
		}
	}
	name := shortName(t.name(t.word(at + funcName)))
	if t.word(at+funcKind)&0xff != kindWrapper {
		name = plainName(name)
	}
	for field, value := range map[int]int{funcName: t.place(name), funcFile: 0, funcLine: 0, funcUnit: 0, funcStart: 0} {
		t.put(at+field, value)
	}
}

// use marks one list of steps: pairs of numbers in base 128, ended by a zero
// that is not its first byte. Offset 0 says that there is none.
func (t *table) use(from int) {
	if from == 0 {
		return
	}
	if from < 0 || from >= len(t.steps) {
		t.bad = true
		return
	}
	at := from
	number := func() (v uint64) {
		v, n := binary.Uvarint(t.steps[at:])
		if n <= 0 {
			t.bad = true
			return 0
		}
		at += n
		return v
	}
	for number() != 0 || at == from+1 {
		if number(); t.bad {
			return
		}
	}
	for i := from; i < at; i++ {
		t.used[i] = true
	}
}

func (t *table) name(at int) string {
	if at < 0 || at >= len(t.names) {
		t.bad = true
		return ""
	}
	name, _, _ := bytes.Cut(t.names[at:], []byte{0})
	return string(name)
}

// place gives where a name stands among those that are kept.
func (t *table) place(name string) int {
	at, ok := t.placed[name]
	if !ok {
		at = len(t.shorter)
		t.placed[name] = at
		t.shorter = append(append(t.shorter, name...), 0)
	}
	return at
}

func (t *table) word(at int) int {
	if at < 0 || at+4 > len(t.data) {
		t.bad = true
		return 0
	}
	return int(binary.LittleEndian.Uint32(t.data[at:]))
}

func (t *table) long(at int) int {
	if t.word(at+4) != 0 { // no table is that large
		t.bad = true
	}
	return t.word(at)
}

func (t *table) put(at, v int) {
	if t.word(at); !t.bad {
		binary.LittleEndian.PutUint32(t.data[at:], uint32(v))
	}
}

// shortName is what is kept of the name of what the compiler wrote around a method: a
// panic reads it (panicwrap in runtime/error.go). What a generic function was made
// for goes, as it does when a trace is printed.
func shortName(name string) string {
	if strings.HasPrefix(name, "type:") { // equality, written by the compiler
		return "type:"
	}
	if open, end := strings.IndexByte(name, '['), strings.LastIndexByte(name, ']'); open >= 0 && end > open {
		name = name[:open+1] + "..." + name[end:]
	}
	if strings.Contains(name, ".(*") {
		return name
	}
	return plainName(name)
}

// plainName leaves of the name of a function that is not ours its package: the runtime
// asks whether it is its own.
func plainName(name string) string {
	if strings.HasPrefix(name, "fairday/") || strings.HasPrefix(name, "main.") || keptNames[name] {
		return name
	}
	path := strings.LastIndexByte(name, '/') + 1
	if dot := strings.IndexByte(name[path:], '.'); dot >= 0 {
		return name[:path+dot+1]
	}
	return name
}

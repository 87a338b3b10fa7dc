package main

import (
	"bytes"
	"encoding/binary"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// A program whose table of functions was thinned runs as it did before, with
// stacks that grow, a collector, panics and reflection.
func TestThinnedProgramRunsTheSame(t *testing.T) {
	dir := t.TempDir()
	plain, thin := filepath.Join(dir, "plain.wasm"), filepath.Join(dir, "thin.wasm")
	if err := link("./testdata/trial", plain); err != nil {
		t.Fatal(err)
	}
	module, err := os.ReadFile(plain)
	if err != nil {
		t.Fatal(err)
	}
	out, err := slim(module)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(thin, out, 0o644); err != nil {
		t.Fatal(err)
	}
	if bytes.Contains(out, []byte("trial/main.go")) || !bytes.Contains(module, []byte("trial/main.go")) {
		t.Error("names of files are still there, or never were")
	}
	want, have := runWasm(t, plain), runWasm(t, thin)
	if have != want {
		t.Errorf("before:\n%s\nafter:\n%s", want, have)
	}
	for _, says := range []string{"deep ", "index runtime error: index out of range [0] with length 0 true",
		"nil value value method main.day.first called using nil *day pointer false",
		"time.Time.String called using nil", "swapped kept 2", "by method 2"} {
		if !strings.Contains(have, says) {
			t.Errorf("%q is not in:\n%s", says, have)
		}
	}
}

func runWasm(t *testing.T, module string, args ...string) string {
	t.Helper()
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	args = append([]string{filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec_node.js"), module}, args...)
	said, err := exec.Command("node", args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, said)
	}
	return string(said)
}

// A table that points outside itself is refused, not read.
func TestTablesRefused(t *testing.T) {
	sound := func() []byte {
		b := make([]byte, 240)
		copy(b, tableMagic)
		for field, v := range map[int]uint64{headCount: 1, headNames: 72, headUnits: 80, headSteps: 84, headFuncs: 90} {
			binary.LittleEndian.PutUint64(b[field:], v)
		}
		copy(b[72:], "\x00main.a\x00")
		copy(b[84:], "\x00\x02\x04\x00\x07\x07")
		binary.LittleEndian.PutUint32(b[90+4:], 20) // where the function is
		f := b[90+20:]
		binary.LittleEndian.PutUint32(f[funcName:], 1)
		binary.LittleEndian.PutUint32(f[funcStack:], 1)
		binary.LittleEndian.PutUint32(f[funcLine:], 4)
		f[funcLists], f[funcDatas] = 1, 6
		binary.LittleEndian.PutUint32(f[funcSize:], 4)
		for i, v := range []uint32{7, 8, 9, noData, noData, 12} {
			binary.LittleEndian.PutUint32(f[funcSize+4+4*i:], v)
		}
		return b
	}
	b := sound()
	if found, err := thinTable(b); found == nil || err != nil {
		t.Fatal(found, err)
	}
	if got := string(b[84:90]); got != "\x00\x02\x04\x00\x00\x00" {
		t.Errorf("steps are %q", got)
	}
	record := b[90+20:]
	for i, want := range []uint32{0, 0, 7, 8, 9, 0} { // two lists that nobody reads, three data, none of arguments
		if got := binary.LittleEndian.Uint32(record[funcSize+4*i:]); got != want {
			t.Errorf("word %d of the record is %d, want %d", i, got, want)
		}
	}
	if record[funcLists] != evenLists || record[funcDatas] != evenDatas {
		t.Errorf("the record holds %d lists and %d data", record[funcLists], record[funcDatas])
	}
	if got := string(b[72:80]); got != "\x00main.a\x00" {
		t.Errorf("names are %q", got)
	}
	if found, err := thinTable([]byte("no table at all")); found != nil || err != nil {
		t.Error(found, err)
	}
	for name, spoil := range map[string]func(b []byte){
		"count":         func(b []byte) { b[headCount] = 200 },
		"large":         func(b []byte) { b[headNames+5] = 1 },
		"order":         func(b []byte) { b[headUnits] = 71 },
		"function":      func(b []byte) { b[90+5] = 200 },
		"no room":       func(b []byte) { b[90+20+funcDatas] = 3 },
		"many data":     func(b []byte) { b[90+20+funcDatas] = 200 },
		"name":          func(b []byte) { b[90+20+funcName] = 9 },
		"steps":         func(b []byte) { b[90+20+funcStack] = 6 },
		"further steps": func(b []byte) { b[90+20+funcLists+2] = 1 },
		"endless steps": func(b []byte) { b[87], b[89] = 1, 0x80 },
	} {
		b := sound()
		spoil(b)
		if _, err := thinTable(b); !errors.Is(err, errWasm) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestShortNames(t *testing.T) {
	for long, short := range map[string]string{
		"fairday/domain/shoot.Decide":                "fairday/domain/shoot.Decide",
		"main.main.func1":                            "main.main.func1",
		"runtime.mallocgc":                           "runtime.",
		"encoding/json.Marshal":                      "encoding/json.",
		"encoding/json.(*decodeState).object":        "encoding/json.(*decodeState).object",
		"slices.SortFunc[go.shape.[]int,go.shape.x]": "slices.",
		"fairday/x.Of[go.shape.struct { A []int }]":  "fairday/x.Of[...]",
		"reflect.makeFuncStub":                       "reflect.makeFuncStub",
		"type:.eq.fairday/domain/money.Amount":       "type:",
		"gcWriteBarrier1":                            "gcWriteBarrier1",
	} {
		if have := shortName(long); have != short {
			t.Errorf("%s becomes %s", long, have)
		}
	}
}

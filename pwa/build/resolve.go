package main

import (
	"bufio"
	"debug/gosym"
	"fmt"
	"io"
	"os"
	"regexp"
	"strconv"
	"strings"
)

// A trace of a panic on a phone names our functions and no lines, since slim
// takes those out of what is shipped. What the linker wrote is kept beside it, of
// the same build, and has them.

// within is the line of a trace that says where in the function before it.
var within = regexp.MustCompile(`^\t.*:\d+ \+0x([0-9a-f]+)$`)

// called is the line before it: the function, then its arguments or where it was
// started from.
var called = regexp.MustCompile(`^(?:created by )?(\S.*?)(?:\([^()]*\)| in goroutine \d+)$`)

// resolve copies a trace and gives each function of ours its file and line. What
// it does not know stays as it was.
func resolve(trace io.Reader, out io.Writer) error {
	module, err := os.ReadFile(linked)
	if err != nil {
		return fmt.Errorf("the build keeps the engine as the linker left it; build the very commit that the trace is of: %w", err)
	}
	return resolveFrom(module, trace, out)
}

func resolveFrom(module []byte, trace io.Reader, out io.Writer) error {
	table, err := functions(module)
	if err != nil {
		return err
	}
	byName := map[string][]uint64{} // entries, by the name that is left of a function's
	for _, f := range table.Funcs {
		name := shortName(f.Name)
		byName[name] = append(byName[name], f.Entry)
	}
	lines, name := bufio.NewScanner(trace), ""
	for lines.Scan() {
		line := lines.Text()
		if m := within.FindStringSubmatch(line); m != nil && len(byName[name]) == 1 {
			if offset, err := strconv.ParseUint(m[1], 16, 32); err == nil && offset > 0 {
				// the offset is that of the return, the call lies before it
				if file, at, f := table.PCToLine(byName[name][0] + offset - 1); f != nil && shortName(f.Name) == name {
					line = fmt.Sprintf("\t%s:%d +0x%x", file, at, offset)
				}
			}
		}
		name = ""
		if m := called.FindStringSubmatch(line); m != nil {
			name = m[1]
		}
		if _, err := fmt.Fprintln(out, line); err != nil {
			return err
		}
	}
	return lines.Err()
}

// functions reads the table of functions of a module that was not slimmed. In
// WebAssembly the table counts functions, while an address is the number of a
// function times 65,536 and a place in it (cmd/internal/obj/wasm of the Go
// source); the library reads addresses, so the numbers are made into these.
func functions(module []byte) (*gosym.Table, error) {
	var data []byte
	_, err := rewriteData(module, func(segments []segment) ([]segment, error) {
		joined, err := join(segments)
		for _, s := range joined {
			if at := strings.Index(string(s.data), tableMagic); at >= 0 {
				data = s.data[at:]
			}
		}
		return joined, err
	})
	if err != nil {
		return nil, err
	}
	t := &table{data: data}
	funcs := t.long(headFuncs)
	for i := range t.long(headCount) + 1 {
		entry := t.word(funcs + 8*i)
		if t.put(funcs+8*i, entry<<16); i < t.long(headCount) {
			t.put(funcs+t.word(funcs+8*i+4), entry<<16)
		}
		if t.bad {
			return nil, errWasm
		}
	}
	return gosym.NewTable(nil, gosym.NewLineTable(data, 0))
}

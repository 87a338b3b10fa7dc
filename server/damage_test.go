package main

import (
	"bytes"
	"flag"
	"fmt"
	"maps"
	"math/rand/v2"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

var damages = flag.Int("damages", 1, "how many seeded positions TestDamagedFiles damages in each file, in each way")

// program1 is the program in a process of its own, not started.
func program1(args ...string) *exec.Cmd {
	cmd := exec.Command(os.Args[0], args...)
	cmd.Env = append(os.Environ(), asCommand+"=1")
	return cmd
}

// spoil is one way to damage a file.
type spoil struct {
	name string
	do   func(file, *rand.Rand) file
}

// written is how much of a file is not the zeros that it was made with.
func written(b []byte) int { return len(bytes.TrimRight(b, "\x00")) }

func spoils() []spoil {
	return []spoil{
		{"cut", func(f file, r *rand.Rand) file {
			at := r.IntN(len(f.data))
			return file{f.data[:at], int64(at)}
		}},
		{"a bit", func(f file, r *rand.Rand) file {
			f.data[r.IntN(len(f.data))] ^= 1 << r.IntN(8)
			return f
		}},
		{"a page of zeros", func(f file, r *rand.Rand) file {
			at := r.IntN(len(f.data))
			clear(f.data[at:min(at+512, len(f.data))])
			return f
		}},
	}
}

// files are those of a folder, each without the zeros at its end and with its
// length.
type files map[string]file

type file struct {
	data []byte
	size int64
}

func readFolder(t *testing.T, dir string) files {
	t.Helper()
	out := files{}
	all, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range all {
		if !d.Type().IsRegular() || d.Name() == "LOCK" {
			continue
		}
		b, err := os.ReadFile(filepath.Join(dir, d.Name()))
		if err != nil {
			t.Fatal(err)
		}
		out[d.Name()] = file{bytes.Clone(b[:written(b)]), int64(len(b))}
	}
	return out
}

func (all files) lay(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	for name, f := range all {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, f.data, 0o600); err != nil {
			t.Fatal(err)
		}
		if err := os.Truncate(path, f.size); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// Whatever file of the database is damaged, wherever: verify says so, or the
// folder is refused, or everything that was acknowledged is still there.
func TestDamagedFiles(t *testing.T) {
	p := serveDemo(t)
	s := remote(t, p.base)
	c := s.browser()
	if r := s.ask(c, "POST", p.link, ""); r.status != http.StatusSeeOther {
		t.Fatal(r)
	}
	phone := s.phone(c)
	for range 100 {
		phone.accepted(phone.setup())
	}
	_ = phone.ws.Close()
	if err := p.end(t, syscall.SIGTERM); err != nil { // leaves tables
		t.Fatal(err)
	}
	again := start(t, "serve", "--data", p.dir, "--addr", "127.0.0.1:0")
	now := remote(t, again.base)
	now.carry(c, s)
	now.ids.Store(s.ids.Load())
	other := now.phone(c)
	for range 100 {
		other.accepted(other.setup())
	}
	_ = again.end(t, syscall.SIGKILL) // leaves a write-ahead log
	all := readFolder(t, p.dir)
	want := logOf(t, all.lay(t))
	if len(want) < 200 {
		t.Fatalf("only %d entries", len(want))
	}
	kinds := map[string]int{}
	for name, whole := range all {
		kind := filepath.Ext(name)
		if kind == "" {
			kind = name
		}
		if len(whole.data) == 0 {
			continue
		}
		for seed := range uint64(*damages) {
			for _, how := range spoils() {
				r := rand.New(rand.NewPCG(seed, 1))
				broken := maps.Clone(all)
				broken[name] = how.do(file{bytes.Clone(whole.data), whole.size}, r)
				dir := broken.lay(t)
				kinds[kind+" "+judge(t, fmt.Sprintf("%s, %s, seed %d", name, how.name, seed), dir, want)]++
				if err := os.RemoveAll(dir); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	t.Log(kinds)
}

// judge runs verify in a process of its own over a damaged folder.
func judge(t *testing.T, name, dir string, want []string) string {
	t.Helper()
	cmd := program1("verify", "--data", dir)
	out, err := cmd.CombinedOutput()
	switch {
	case err != nil && strings.Contains(string(out), "Damaged: "):
		return "found"
	case err != nil && cmd.ProcessState.ExitCode() == exitFault && (strings.Contains(string(out), "cannot be read") || strings.Contains(string(out), "no shoots")):
		return "refused"
	case err != nil:
		t.Errorf("%s: verify ends with %v and %s", name, err, out)
		return "crashed"
	}
	if got := logOf(t, dir); strings.Join(got, " ") != strings.Join(want, " ") {
		t.Errorf("%s: verify is content with %d of %d entries", name, len(got), len(want))
		return "missed"
	}
	return "whole"
}

// logOf reads the ids of all entries of the one shoot of a folder.
func logOf(t *testing.T, dir string) (ids []string) {
	t.Helper()
	for _, e := range entriesOf(t, dir) {
		ids = append(ids, string(e.Intent.ID))
	}
	return ids
}

package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// What is made twice is the same, its sums fit, and it runs with nothing beside
// it.
func TestRelease(t *testing.T) {
	here := target{runtime.GOOS, runtime.GOARCH}
	first, second := filepath.Join(t.TempDir(), "a"), filepath.Join(t.TempDir(), "b")
	for _, folder := range []string{first, second} {
		if err := release(folder, []target{here}); err != nil {
			t.Fatal(err)
		}
	}
	one, two := read(t, first, "SHA256SUMS"), read(t, second, "SHA256SUMS")
	if !bytes.Equal(one, two) {
		t.Errorf("made twice, the sums differ:\n%s\n%s", one, two)
	}
	for line := range strings.Lines(string(one)) {
		sum, name, _ := strings.Cut(strings.TrimSpace(line), "  ")
		out, err := exec.Command("sha256sum", filepath.Join(first, name)).Output()
		if err != nil || !strings.HasPrefix(string(out), sum+" ") {
			t.Errorf("%s: SHA256SUMS has %s, sha256sum says %s (%v)", name, sum, out, err)
		}
	}
	cmd := exec.Command(filepath.Join(first, here.program()), "version")
	cmd.Env, cmd.Dir = []string{}, t.TempDir()
	if out, err := cmd.CombinedOutput(); err != nil || !strings.HasPrefix(string(out), "fairday ") {
		t.Errorf("the program says %q (%v)", out, err)
	}
	if err := release(first, nil); err == nil {
		t.Error("a release was put over another")
	}
}

// The unit is one that systemd takes, where there is a systemd to ask.
func TestUnit(t *testing.T) {
	if _, err := exec.LookPath("systemd-analyze"); err != nil {
		t.Skip("no systemd-analyze here")
	}
	program := filepath.Join(t.TempDir(), "fairday")
	if err := os.WriteFile(program, []byte("#!/bin/sh\n"), 0o755); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "fairday.service")
	text := strings.ReplaceAll(string(unit), "/usr/local/bin/fairday", program)
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("systemd-analyze", "verify", file).CombinedOutput(); err != nil || len(out) > 0 {
		t.Errorf("systemd says: %s (%v)", out, err)
	}
}

func read(t *testing.T, folder, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(folder, name))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

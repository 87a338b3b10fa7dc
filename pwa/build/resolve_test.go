package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// The trace of a slimmed program has no lines; what the linker left gives them
// back, for every function of ours.
func TestTraceResolved(t *testing.T) {
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
	trace := func(said string) string {
		_, after, found := strings.Cut(said, "trace of\n")
		if !found {
			t.Fatalf("the trial prints no trace:\n%s", said)
		}
		return after
	}
	want, stripped := trace(runWasm(t, plain, "trace")), trace(runWasm(t, thin, "trace"))
	if strings.Contains(stripped, "trial/main.go") {
		t.Fatalf("the slimmed program knows its lines:\n%s", stripped)
	}
	var have strings.Builder
	if err := resolveFrom(module, strings.NewReader("some words\n"+stripped), &have); err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(have.String(), "some words\n") {
		t.Errorf("what is no trace does not stay:\n%s", have.String())
	}
	ours := regexp.MustCompile(`(?m)^main\..*\n\t(\S+/main\.go:\d+)`)
	lines := ours.FindAllStringSubmatch(want, -1)
	if len(lines) < 3 {
		t.Fatalf("the trace has %d lines of ours:\n%s", len(lines), want)
	}
	for _, m := range lines {
		if !strings.Contains(have.String(), "\t"+m[1]+" +0x") {
			t.Errorf("%s is not found again in:\n%s", m[1], have.String())
		}
	}
}

// A module of which nothing is known is said to be one.
func TestTraceOfAnotherModule(t *testing.T) {
	for _, module := range []string{"", "\x00asm", "\x00asm\x01\x00\x00\x00", "no module at all"} {
		if err := resolveFrom([]byte(module), strings.NewReader("main.a(...)\n\t:0 +0x1\n"), &strings.Builder{}); err == nil {
			t.Errorf("%q has functions", module)
		}
	}
}

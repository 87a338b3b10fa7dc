package store

import (
	"os"
	"path/filepath"
	"testing"
)

// A program that was killed while it wrote a table leaves it empty or half there,
// and not in the database's list: what it was to hold is still in the write-ahead
// log. The folder opens, with everything in it.
func TestTableOfAKilledWriter(t *testing.T) {
	dir := t.TempDir()
	s := opened(t, dir)
	play(t, s, played, 1, 20)
	closed(t, s) // makes a table that the list names
	whole, err := filepath.Glob(filepath.Join(dir, "*.sst"))
	if err != nil || len(whole) == 0 {
		t.Fatalf("tables %v, %v", whole, err)
	}
	text, err := os.ReadFile(whole[0])
	if err != nil {
		t.Fatal(err)
	}
	for name, left := range map[string][]byte{"empty": nil, "half": text[:len(text)/2], "zeros": make([]byte, len(text))} {
		t.Run(name, func(t *testing.T) {
			dir := copied(t, dir)
			if err := os.WriteFile(filepath.Join(dir, "000990.sst"), left, 0o600); err != nil {
				t.Fatal(err)
			}
			s := opened(t, dir)
			sound(t, s, 20)
			closed(t, s)
			if kept, err := filepath.Glob(filepath.Join(dir, asideName, "*")); err != nil || len(kept) > 0 {
				t.Errorf("%v is still aside, %v", kept, err)
			}
		})
		t.Run(name+", of one that is named", func(t *testing.T) {
			dir := copied(t, dir)
			if err := os.WriteFile(filepath.Join(dir, filepath.Base(whole[0])), left, 0o600); err != nil {
				t.Fatal(err)
			}
			if s, err := Open(dir, nil, quiet()); err == nil {
				closed(t, s)
				t.Error("it opens")
			}
		})
	}
}

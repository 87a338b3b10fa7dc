package main

import (
	"bytes"
	"image/png"
	"os"
	"path/filepath"
	"regexp"
	"testing"
)

// The committed TypeScript types are the ones that the Go types give today.
func TestTypesAreFresh(t *testing.T) {
	t.Chdir("..")
	dir := t.TempDir()
	if err := writeTypes(dir); err != nil {
		t.Fatal(err)
	}
	committed, err := os.ReadDir(genDir)
	if err != nil {
		t.Fatal(err)
	}
	if len(committed) != len(typed) {
		t.Errorf("%d files in %s, %d packages are shared", len(committed), genDir, len(typed))
	}
	for _, p := range typed {
		want, err := os.ReadFile(filepath.Join(dir, p.file))
		if err != nil {
			t.Fatal(err)
		}
		have, err := os.ReadFile(filepath.Join(genDir, p.file))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(have, want) {
			t.Errorf("%s is stale: run `go generate ./...`", p.file)
		}
		if loose := regexp.MustCompile(`(unknown|any) /\*.*`).Find(want); loose != nil {
			t.Errorf("%s: a Go type has no TypeScript form yet: %s; name it in types.go", p.file, loose)
		}
	}
}

// The lockfile names no place that packages come from.
func TestLockfileNamesNoPlace(t *testing.T) {
	lock, err := os.ReadFile("../package-lock.json")
	if err != nil {
		t.Fatal(err)
	}
	if found := regexp.MustCompile(`"resolved"|\.tgz`).Find(lock); found != nil {
		t.Errorf("package-lock.json has %s", found)
	}
}

func TestIconsAreSquare(t *testing.T) {
	dir := t.TempDir()
	if err := writeIcons(dir); err != nil {
		t.Fatal(err)
	}
	for name, px := range map[string]int{"icon-192.png": 192, "icon-512.png": 512, "icon-maskable-512.png": 512, "apple-touch-icon.png": 180} {
		b, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(bytes.NewReader(b))
		if err != nil {
			t.Fatal(err)
		}
		if size := img.Bounds().Size(); size.X != px || size.Y != px {
			t.Errorf("%s is %v", name, size)
		}
	}
}

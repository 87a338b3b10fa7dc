package main

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync"

	"github.com/andybalholm/brotli"
)

// worthPacking is the size in bytes from which a file gets packed forms.
const worthPacking = 1024

// packable are the endings of files that become smaller.
var packable = map[string]bool{".html": true, ".js": true, ".css": true, ".wasm": true, ".svg": true, ".webmanifest": true}

// packedDir keeps packed forms by what they were made from, since packing the
// engine takes longer than all the rest.
const packedDir = ".out/packed"

// pack writes a .br and a .gz beside every file in dir that is worth it.
func pack(dir string) error {
	if err := os.MkdirAll(packedDir, 0o755); err != nil {
		return err
	}
	var group sync.WaitGroup
	var mu sync.Mutex
	var failed error
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !packable[filepath.Ext(path)] {
			return err
		}
		group.Go(func() {
			if err := packFile(path); err != nil {
				mu.Lock()
				failed = err
				mu.Unlock()
			}
		})
		return nil
	})
	group.Wait()
	if err != nil {
		return err
	}
	return failed
}

// packFile packs one file, or takes what packing the same bytes gave before.
func packFile(path string) error {
	plain, err := os.ReadFile(path)
	if err != nil || len(plain) < worthPacking {
		return err
	}
	packers := map[string]func(io.Writer) (io.WriteCloser, error){
		".br": func(w io.Writer) (io.WriteCloser, error) { return brotli.NewWriterLevel(w, brotliLevel), nil },
		".gz": func(w io.Writer) (io.WriteCloser, error) { return gzip.NewWriterLevel(w, gzip.BestCompression) },
	}
	for ext, open := range packers {
		done := filepath.Join(packedDir, sum(plain)+ext)
		if b, err := os.ReadFile(done); err == nil {
			if err := os.WriteFile(path+ext, b, 0o644); err != nil {
				return err
			}
			continue
		}
		var out bytes.Buffer
		w, err := open(&out)
		if err != nil {
			return err
		}
		if _, err := w.Write(plain); err != nil {
			return err
		}
		if err := w.Close(); err != nil {
			return err
		}
		for _, to := range []string{path + ext, done} {
			if err := os.WriteFile(to, out.Bytes(), 0o644); err != nil {
				return err
			}
		}
	}
	return nil
}

// brotliLevel is the strongest: the client is packed once and fetched often.
const brotliLevel = 11

// report prints what the client weighs on the wire, by kind.
func report() error {
	weight := map[string]int64{}
	err := filepath.WalkDir(distDir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(path) != ".br" {
			return err
		}
		info, err := d.Info()
		if err == nil {
			weight[filepath.Ext(path[:len(path)-3])] += info.Size()
		}
		return err
	})
	kb := func(exts ...string) (n float64) {
		for _, e := range exts {
			n += float64(weight[e]) / 1024
		}
		return n
	}
	fmt.Printf("brotli: engine %.0f KB, scripts and styles %.0f KB\n", kb(".wasm"), kb(".js", ".css", ".html"))
	return err
}

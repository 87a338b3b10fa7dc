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

// The most that the client may weigh on the wire, in bytes packed with brotli.
const (
	engineBudget = 1 << 20  // near screens and what they need; what is done at a desk is the server's
	pagesBudget  = 60 << 10 // scripts, styles and the page they start from
)

// report prints what the client weighs on the wire, by kind, and returns an
// error where that is more than its budget. An engine that was not slimmed, of
// which a warning told, has none.
func report(slimmed bool) error {
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
	if err != nil {
		return err
	}
	engine, pages := weight[".wasm"], weight[".js"]+weight[".css"]+weight[".html"]
	fmt.Printf("brotli: engine %d of %d bytes, scripts and styles %d of %d\n", engine, engineBudget, pages, pagesBudget)
	if !slimmed {
		engine = 0
	}
	return withinBudget(engine, pages)
}

// withinBudget holds the packed client to its size.
func withinBudget(engine, pages int64) error {
	if engine > engineBudget {
		return fmt.Errorf("the packed engine has %d bytes and may have %d: see what has come into it before the budget is raised", engine, engineBudget)
	}
	if pages > pagesBudget {
		return fmt.Errorf("packed scripts and styles have %d bytes and may have %d: load more of them only when they are needed", pages, pagesBudget)
	}
	return nil
}

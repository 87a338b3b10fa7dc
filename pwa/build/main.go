// Command build makes pwa/dist: the engine, the TypeScript types, the pages and
// their packed forms. It runs in the pwa folder, as go generate starts it, needs
// Go, Node and npm on PATH, and leaves out what is fresh already.
//
// The steps and their order: icons and the engine go to .out, the types to
// src/gen (they are committed), then vite reads all of these and writes dist,
// and at last every big file in dist gets a .br and a .gz beside it.
package main

import (
	"errors"
	"fmt"
	"os"
	"time"
)

// Folders and files, relative to pwa.
const (
	outDir  = ".out"             // made, not committed
	pubDir  = ".out/public"      // what vite serves as it stands
	linked  = ".out/linked.wasm" // the engine as Go's linker leaves it
	wasm    = ".out/engine.wasm"
	stamp   = ".out/stamp" // names the inputs that dist was made from
	genDir  = "src/gen"    // made and committed
	distDir = "dist"
)

func main() {
	began := time.Now()
	if err := build(); err != nil {
		fmt.Fprintf(os.Stderr, "The client was not built: %v\n", err)
		os.Exit(1)
	}
	fmt.Printf("client built in %.1f s\n", time.Since(began).Seconds())
}

func build() error {
	if _, err := os.Stat("package.json"); err != nil {
		return errors.New("run it through `go generate ./...`, or inside the pwa folder: there is no package.json here")
	}
	if err := needTools("node", "npm"); err != nil {
		return err
	}
	if err := os.MkdirAll(pubDir, 0o755); err != nil {
		return err
	}
	if err := install(); err != nil {
		return err
	}
	if err := writeIcons(pubDir); err != nil {
		return err
	}
	if err := buildEngine(); err != nil {
		return err
	}
	if err := writeTypes(genDir); err != nil {
		return err
	}
	release, err := inputs()
	if err != nil {
		return err
	}
	if fresh(release) {
		return report()
	}
	if err := bundle(release); err != nil {
		return err
	}
	if err := pack(distDir); err != nil {
		return err
	}
	if err := os.WriteFile(stamp, []byte(release), 0o644); err != nil {
		return err
	}
	return report()
}

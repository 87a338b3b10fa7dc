// Command build makes pwa/dist: the engine, the TypeScript types, the pages and
// their packed forms. It runs in the pwa folder, as go generate starts it, needs
// Go, Node and npm on PATH, and leaves out what is fresh already.
//
// The steps and their order: icons and the engine go to .out, the types to
// src/gen (they are committed), then vite reads all of these and writes dist,
// and at last every big file in dist gets a .br and a .gz beside it. With
// FAIRDAY_DRAFT set the last step, which takes longest, and the budget are left
// out: for work on the code, never for a release.
//
// Two further uses, run by hand in the pwa folder:
//
//	go run ./build watch              builds again whenever a file changes, and serves it
//	go run ./build resolve < trace    gives files and lines to the trace of a panic on a phone
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
	if err := start(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func start(args []string) error {
	switch {
	case len(args) == 0:
		began := time.Now()
		if err := build(os.Getenv("FAIRDAY_DRAFT") != "", false); err != nil {
			return fmt.Errorf("the client was not built: %w", err)
		}
		fmt.Printf("client built in %.1f s\n", time.Since(began).Seconds())
		return nil
	case args[0] == "watch" && len(args) == 1:
		return watch()
	case args[0] == "resolve" && len(args) == 1:
		return resolve(os.Stdin, os.Stdout)
	}
	return errors.New("run it without arguments to build the client, or with watch or resolve")
}

// build makes dist. A draft is not packed and may weigh what it likes. With
// onlyPages the engine and the types stay as they were built.
func build(draft, onlyPages bool) error {
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
	slimmed := true
	if !onlyPages {
		var err error
		if slimmed, err = buildEngine(); err != nil {
			return err
		}
		if err := writeTypes(genDir); err != nil {
			return err
		}
	}
	release, err := inputs()
	if err != nil {
		return err
	}
	state := release
	if draft {
		state += " draft"
	}
	if !fresh(state) {
		if err := bundle(release); err != nil {
			return err
		}
		if !draft {
			if err := pack(distDir); err != nil {
				return err
			}
		}
		if err := os.WriteFile(stamp, []byte(state), 0o644); err != nil {
			return err
		}
	}
	if draft {
		return nil
	}
	return report(slimmed)
}

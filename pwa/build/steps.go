package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

// needTools says which program is missing and what to do about it.
func needTools(names ...string) error {
	for _, n := range names {
		if _, err := exec.LookPath(n); err != nil {
			return fmt.Errorf("%s is not on PATH. Install Node 20.19 or newer, which brings npm, and run it again", n)
		}
	}
	return nil
}

// run starts a program and shows what it said only when it failed.
func run(env []string, name string, args ...string) error {
	cmd := exec.Command(name, args...)
	cmd.Env = append(os.Environ(), env...)
	var said bytes.Buffer
	cmd.Stdout, cmd.Stderr = &said, &said
	if err := cmd.Run(); err != nil {
		return fmt.Errorf("%s %s: %w\n%s", name, strings.Join(args, " "), err, said.String())
	}
	return nil
}

// install runs npm ci unless node_modules was made from this very lockfile.
func install() error {
	lock, err := os.ReadFile("package-lock.json")
	if err != nil {
		return err
	}
	want := sum(lock)
	mark := filepath.Join("node_modules", ".fairday-lock")
	if have, err := os.ReadFile(mark); err == nil && string(have) == want {
		return nil
	}
	if err := run(nil, "npm", "ci", "--include=dev", "--no-audit", "--no-fund"); err != nil {
		return err
	}
	return os.WriteFile(mark, []byte(want), 0o644)
}

// link compiles a program to WebAssembly. Inlining is off: it makes the packed
// engine a twelfth smaller. A package that needs the speed gets it back with a
// further -gcflags that names it. The collector is the smaller of the two that Go
// 1.26 has: a phone's heap fits into its cache, where the other one gains nothing.
// A Go that does not know the choice is left its own.
func link(program, out string) error {
	build := func(more ...string) error {
		env := append([]string{"GOOS=js", "GOARCH=wasm", "GOFLAGS=-buildvcs=false"}, more...)
		return run(env, "go", "build", "-trimpath", "-tags", "phone", "-ldflags", "-s -w", "-gcflags", "all=-l", "-o", out, program)
	}
	if build("GOEXPERIMENT=nogreenteagc") == nil {
		return nil
	}
	return build()
}

// buildEngine compiles the engine and takes the glue that belongs to the very
// Go that compiled it. An engine whose layout slim does not know, as another Go
// may write it, is shipped as it is, with a warning; slimmed tells which.
func buildEngine() (slimmed bool, err error) {
	if err := link("./engine", linked); err != nil {
		return false, err
	}
	module, err := os.ReadFile(linked)
	if err != nil {
		return false, err
	}
	thin, err := slim(module)
	if slimmed = err == nil; slimmed {
		module = thin
	} else {
		fmt.Fprintf(os.Stderr, "Warning: %v The engine is shipped as the linker left it, larger than its budget.\n", err)
	}
	if err := os.WriteFile(wasm, module, 0o644); err != nil {
		return false, err
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return false, fmt.Errorf("go env GOROOT: %w", err)
	}
	glue, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return false, fmt.Errorf("the glue for WebAssembly that comes with Go is missing: %w", err)
	}
	return slimmed, os.WriteFile(filepath.Join(outDir, "wasm_exec.js"), glue, 0o644)
}

// inputs sums up everything that dist is made from.
func inputs() (string, error) {
	files := []string{"index.html", "vite.config.ts", "tsconfig.json", "package-lock.json", wasm, filepath.Join(outDir, "wasm_exec.js")}
	for _, dir := range []string{"src", pubDir, "build"} {
		err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
			if err == nil && d.Type().IsRegular() {
				files = append(files, path)
			}
			return err
		})
		if err != nil {
			return "", err
		}
	}
	slices.Sort(files)
	h := sha256.New()
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			return "", err
		}
		fmt.Fprintf(h, "%s %d\n", filepath.ToSlash(f), len(b))
		h.Write(b)
	}
	return hex.EncodeToString(h.Sum(nil))[:12], nil
}

// fresh tells whether dist was made from these inputs.
func fresh(release string) bool {
	have, err := os.ReadFile(stamp)
	if err != nil || string(have) != release {
		return false
	}
	_, err = os.Stat(filepath.Join(distDir, "index.html"))
	return err == nil
}

// bundle empties dist, all but the file that keeps it in git, and has vite fill
// it. The release is what the client calls its build.
func bundle(release string) error {
	if err := os.RemoveAll(stamp); err != nil {
		return err
	}
	old, err := os.ReadDir(distDir)
	if err != nil {
		return err
	}
	for _, e := range old {
		if e.Name() == ".keep" {
			continue
		}
		if err := os.RemoveAll(filepath.Join(distDir, e.Name())); err != nil {
			return err
		}
	}
	return run([]string{"FAIRDAY_RELEASE=" + release}, "npm", "run", "--silent", "build")
}

func sum(b []byte) string {
	s := sha256.Sum256(b)
	return hex.EncodeToString(s[:])
}

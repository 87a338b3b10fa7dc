package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"slices"
	"syscall"
	"time"
)

// watched are the folders whose files make the client or the server.
var watched = []string{"../domain", "../sync", "../server", "../testdata/demo", "engine", "src", "index.html", "vite.config.ts"}

// served is the program that watch starts.
const served = ".out/fairday"

// kept is where the shoot stays that watch serves: the demo's plan, with whoever
// has joined and whatever they did. Whoever removes the folder starts afresh.
const kept = ".out/watched"

// watch builds a draft of the client and serves it with a shoot of the demo's plan,
// and does so again whenever a file changes, until it is interrupted. The phones
// that have joined stay in; a page shows the change once it has updated.
func watch() error {
	stop := make(chan os.Signal, 1)
	signal.Notify(stop, os.Interrupt, syscall.SIGTERM)
	var server *exec.Cmd
	defer func() { halt(server) }()
	before := map[string]time.Time{}
	for {
		now, err := times()
		if err != nil {
			return err
		}
		if changed := differing(before, now); len(changed) > 0 {
			before = now
			server = renew(server, changed)
		}
		select {
		case <-stop:
			return nil
		case <-time.After(200 * time.Millisecond):
		}
	}
}

// renew builds what the changed files are part of. What does not build is told,
// and the server that runs stays.
func renew(server *exec.Cmd, changed []string) *exec.Cmd {
	began := time.Now()
	pages := func(f string) bool { ext := filepath.Ext(f); return ext == ".ts" || ext == ".tsx" || ext == ".css" }
	onlyPages := server != nil && !slices.ContainsFunc(changed, func(f string) bool { return !pages(f) })
	err := build(true, onlyPages)
	if err == nil && !onlyPages {
		err = run(nil, "go", "build", "-o", served, "../server")
	}
	if err != nil {
		fmt.Fprintf(os.Stderr, "%v\nIt is tried again once a file changes.\n", err)
		return server
	}
	halt(server)
	args := []string{"serve", "--data", kept}
	if _, err := os.Stat(kept); errors.Is(err, fs.ErrNotExist) {
		args = append(args, "--import", "../testdata/demo/shoot.yaml", "--date", time.Now().Format(time.DateOnly))
	}
	server = exec.Command(served, args...)
	server.Env = append(os.Environ(), "FAIRDAY_CLIENT="+distDir) // so that pages need no other program
	server.Stdout, server.Stderr = os.Stdout, os.Stderr
	if err := server.Start(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return nil
	}
	fmt.Printf("%d changed, built in %.1f s: update the page\n", len(changed), time.Since(began).Seconds())
	return server
}

// halt ends the server as an interrupt from a terminal would, and waits for it.
func halt(server *exec.Cmd) {
	if server == nil {
		return
	}
	_ = server.Process.Signal(os.Interrupt) // it may have ended by itself
	_ = server.Wait()
}

// times are when each watched file was written. What the build itself writes
// among them is left out.
func times() (map[string]time.Time, error) {
	found := map[string]time.Time{}
	for _, root := range watched {
		err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			if errors.Is(err, fs.ErrNotExist) {
				return nil // gone since its folder was read
			}
			if err != nil {
				return err
			}
			if d.IsDir() && path == genDir {
				return fs.SkipDir
			}
			if info, err := d.Info(); err == nil && d.Type().IsRegular() {
				found[path] = info.ModTime()
			}
			return nil
		})
		if err != nil {
			return nil, err
		}
	}
	return found, nil
}

// differing lists the files that were changed, added or taken away.
func differing(before, now map[string]time.Time) []string {
	var list []string
	for path, at := range now {
		if !before[path].Equal(at) {
			list = append(list, path)
		}
	}
	for path := range before {
		if _, ok := now[path]; !ok {
			list = append(list, path)
		}
	}
	return list
}

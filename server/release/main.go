// Command release makes what people install: one program for each system, with
// the client and the time zones inside, their checksums, a unit for systemd and
// a recipe for a container. It runs at the top of a clean checkout:
//
//	go run ./server/release --to ../fairday-release
//
// The same commit and the same Go give the same bytes: paths of the machine are
// left out, nothing is linked from outside of Go, and a tree with changes is
// refused, since nobody could make its programs again.
package main

import (
	"crypto/sha256"
	_ "embed"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

//go:embed fairday.service
var unit []byte

//go:embed Containerfile
var recipe []byte

// target is a system that programs are made for.
type target struct{ os, arch string }

var targets = []target{
	{"linux", "amd64"}, {"linux", "arm64"},
	{"darwin", "amd64"}, {"darwin", "arm64"},
	{"windows", "amd64"}, {"windows", "arm64"},
}

// program is the name of the file for a target.
func (t target) program() string {
	name := "fairday-" + t.os + "-" + t.arch
	if t.os == "windows" {
		name += ".exe"
	}
	return name
}

func main() {
	to := flag.String("to", "", "the new folder to put the release into")
	flag.Parse()
	if err := start(*to, flag.Args()); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func start(to string, rest []string) error {
	if to == "" || len(rest) > 0 {
		return errors.New("say where the release goes, as in: go run ./server/release --to ../fairday-release")
	}
	if err := clean(); err != nil {
		return err
	}
	client := exec.Command("go", "generate", "./...")
	client.Env = append(os.Environ(), "FAIRDAY_DRAFT=")
	client.Stdout, client.Stderr = os.Stdout, os.Stderr
	if err := client.Run(); err != nil {
		return fmt.Errorf("the client was not built: %w", err)
	}
	if err := clean(); err != nil {
		return err
	}
	return release(to, targets)
}

// clean refuses a tree whose programs nobody could make again.
func clean() error {
	out, err := exec.Command("git", "status", "--porcelain").Output()
	if err != nil {
		return fmt.Errorf("a release is made in a checkout of the repository: %w", err)
	}
	if len(out) > 0 {
		return fmt.Errorf("a release is made from a commit; these files differ from it:\n%s", out)
	}
	return nil
}

// release writes the programs of the targets, their checksums and the recipes
// into a new folder. On an error the folder may be half full.
func release(to string, targets []target) error {
	if err := os.Mkdir(to, 0o755); err != nil {
		return fmt.Errorf("the release goes into a new folder: %w", err)
	}
	var names []string
	for _, t := range targets {
		if err := compile(filepath.Join(to, t.program()), t); err != nil {
			return fmt.Errorf("%s was not made: %w", t.program(), err)
		}
		names = append(names, t.program())
	}
	for name, content := range map[string][]byte{"fairday.service": unit, "Containerfile": recipe} {
		if err := os.WriteFile(filepath.Join(to, name), content, 0o644); err != nil {
			return err
		}
	}
	return writeSums(to, append(names, "fairday.service", "Containerfile"))
}

// compile makes one program, the same bytes wherever it is made.
func compile(file string, t target) error {
	cmd := exec.Command("go", "build", "-trimpath", "-ldflags=-s -w", "-o", file, "fairday/server")
	cmd.Env = append(os.Environ(), "GOOS="+t.os, "GOARCH="+t.arch, "CGO_ENABLED=0", "GOFLAGS=", "GOAMD64=", "GOARM64=", "GOEXPERIMENT=")
	cmd.Stdout, cmd.Stderr = os.Stdout, os.Stderr
	return cmd.Run()
}

// writeSums writes SHA256SUMS, in the form that sha256sum -c reads.
func writeSums(folder string, names []string) error {
	var sums strings.Builder
	for _, name := range names {
		sum, err := sumOf(filepath.Join(folder, name))
		if err != nil {
			return err
		}
		fmt.Fprintf(&sums, "%x  %s\n", sum, name)
	}
	return os.WriteFile(filepath.Join(folder, "SHA256SUMS"), []byte(sums.String()), 0o644)
}

func sumOf(name string) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return nil, err
	}
	return h.Sum(nil), nil
}

package phones

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"fairday/pwa"
)

// patience is how long anything may take before a test counts it as missing.
const patience = 60 * time.Second

// notBuilt says what to do first.
const notBuilt = "the client is not built, so no browser can open it. Run \"go generate ./...\" in the project folder, then test again"

// program is the built server.
var program string

func TestMain(m *testing.M) {
	code, err := prepared(m.Run)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		code = 1
	}
	os.Exit(code)
}

// prepared builds the server once and runs the tests.
func prepared(run func() int) (int, error) {
	if _, err := fs.Stat(pwa.Files(), "index.html"); err != nil {
		return 0, errors.New(notBuilt)
	}
	dir, err := os.MkdirTemp("", "fairday-phones-")
	if err != nil {
		return 0, err
	}
	defer os.RemoveAll(dir)
	program = filepath.Join(dir, "fairday")
	if out, err := exec.Command("go", "build", "-o", program, "fairday/server").CombinedOutput(); err != nil {
		return 0, fmt.Errorf("the server does not build: %w\n%s", err, out)
	}
	return run(), nil
}

// until asks again and again whether something is so. Where it does not become
// so in time, it says what was last seen instead.
func until(t testing.TB, what string, is func() (bool, string)) {
	t.Helper()
	end := time.Now().Add(patience)
	for {
		ok, seen := is()
		if ok {
			return
		}
		if time.Now().After(end) {
			t.Fatalf("%s: not within %s; last seen: %s", what, patience, seen)
		}
		time.Sleep(30 * time.Millisecond)
	}
}

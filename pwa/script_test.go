package pwa

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// SPEC S5: how the page connects again; test/socket.mjs says what it must do.
func TestSocket(t *testing.T) { script(t, "socket") }

// What did not change from view to view stays the same object; test/same.mjs.
func TestSame(t *testing.T) { script(t, "same") }

// script runs the test of one script of src that stands by itself.
func script(t *testing.T, name string) {
	t.Helper()
	tsc := filepath.Join("node_modules", ".bin", "tsc")
	if _, err := os.Stat(tsc); err != nil {
		t.Skip("the client's tools are not installed: run go generate ./...")
	}
	source, tests := filepath.Join("src", name+".ts"), filepath.Join("test", name+".mjs")
	for _, path := range []string{source, tests} {
		if _, err := os.ReadFile(path); err != nil { // so that a kept result is not used when they change
			t.Fatal(err)
		}
	}
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "package.json"), []byte(`{"type":"module"}`), 0o644); err != nil {
		t.Fatal(err)
	}
	run := func(program string, args ...string) {
		t.Helper()
		cmd := exec.Command(program, args...)
		cmd.Env = append(os.Environ(), "SCRIPT="+filepath.Join(dir, name+".js"))
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("%s: %v\n%s", program, err, out)
		}
	}
	run(tsc, "--ignoreConfig", "--target", "es2023", "--module", "esnext", "--lib", "es2023,dom", "--types", "", "--skipLibCheck", "--outDir", dir, source)
	run("node", "--test", tests)
}

package pwa

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// SPEC S5: how the page connects again; test/socket.mjs says what it must do.
func TestSocket(t *testing.T) {
	tsc := filepath.Join("node_modules", ".bin", "tsc")
	if _, err := os.Stat(tsc); err != nil {
		t.Skip("the client's tools are not installed: run go generate ./...")
	}
	for _, path := range []string{filepath.Join("src", "socket.ts"), filepath.Join("test", "socket.mjs")} {
		if _, err := os.ReadFile(path); err != nil { // so that a kept result is not used when they change
			t.Fatal(err)
		}
	}
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "package.json"), []byte(`{"type":"module"}`), 0o644); err != nil {
		t.Fatal(err)
	}
	run := func(name string, args ...string) {
		t.Helper()
		cmd := exec.Command(name, args...)
		cmd.Env = append(os.Environ(), "SOCKET="+filepath.Join(dir, "socket.js"))
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("%s: %v\n%s", name, err, out)
		}
	}
	run(tsc, "--ignoreConfig", "--target", "es2023", "--module", "esnext", "--lib", "es2023,dom", "--types", "", "--skipLibCheck", "--outDir", dir, filepath.Join("src", "socket.ts"))
	run("node", "--test", filepath.Join("test", "socket.mjs"))
}

package main

import (
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"fairday/sync/wire"
	plans "fairday/testdata/demo"
)

// served is the demo's shoot in a folder of its own, served by the real program.
type served struct {
	*program
	dir  string
	link string // the art director's, below the base
}

func serveDemo(t *testing.T, more ...string) served {
	t.Helper()
	file := filepath.Join(t.TempDir(), "shoot.yaml")
	if err := os.WriteFile(file, plans.File, 0o600); err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(t.TempDir(), "data")
	p := start(t, append([]string{"serve", "--data", dir, "--addr", "127.0.0.1:0", "--import", file}, more...)...)
	return served{p, dir, strings.TrimPrefix(p.line(t, `^  Art director, .*: (http://\S+)$`), p.base)}
}

// command runs one to its end; it must succeed and say something.
func command(t *testing.T, say string, args ...string) {
	t.Helper()
	if code, out, errs := run1(t, t.Context(), args...); code != exitOK || !strings.Contains(out, say) {
		t.Fatalf("%v: exit %d, %q, %q", args, code, out, errs)
	}
}

// SPEC E5, E6: a backup of a running server, put back into a new folder, is sound,
// lets the same phones in, and goes on as another generation, which gets what it
// has not seen.
func TestBackupRestoreVerify(t *testing.T) {
	p := serveDemo(t)
	s := remote(t, p.base)
	c := s.browser()
	if r := s.ask(c, "POST", p.link, ""); r.status != http.StatusSeeOther {
		t.Fatal(r)
	}
	phone := s.phone(c)
	phone.accepted(phone.setup())
	file := filepath.Join(t.TempDir(), "monday.backup")
	command(t, "The backup is in "+file, "backup", "--data", p.dir, "--to", file)
	late := phone.setup()
	phone.accepted(late)
	command(t, "Sound: ", "verify", "--data", p.dir)
	command(t, "Sound: ", "verify", "--from", file)
	if info, err := os.Stat(file); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the backup's mode is %v, %v", info.Mode(), err)
	}
	if info, err := os.Stat(filepath.Join(p.dir, keeperDir)); err != nil || info.Mode().Perm() != 0o700 {
		t.Errorf("the socket's folder is %v, %v", info.Mode(), err)
	}
	_ = phone.ws.Close()
	_ = p.end(t, syscall.SIGKILL)
	command(t, "Sound: ", "verify", "--data", p.dir) // over what a killed server leaves behind
	stopped := file + ".2"
	command(t, "The backup is in", "backup", "--data", p.dir, "--to", stopped)

	dir := filepath.Join(t.TempDir(), "again")
	command(t, "The backup is restored in "+dir, "restore", "--from", file, "--data", dir)
	again := start(t, "serve", "--data", dir, "--addr", "127.0.0.1:0")
	now := remote(t, again.base)
	now.carry(c, s)
	back := now.silent(c)
	back.say(wire.Hello{Protocol: wire.Protocol, App: "test", Device: phone.device, Cursor: phone.cursor, Sent: 2})
	if w, ok := back.next().(wire.Welcome); !ok || w.Expect != 2 {
		t.Fatalf("welcomed with %+v", w)
	}
	if _, ok := back.next().(wire.Snapshot); !ok {
		t.Error("the cursor of another generation was honoured")
	}
	back.accepted(late)
	_ = back.ws.Close()
	if err := again.end(t, syscall.SIGTERM); err != nil {
		t.Error(err)
	}
	if _, err := os.Stat(keeperPath(dir)); err == nil {
		t.Error("the socket is left behind")
	}
	for _, c := range []struct {
		args string
		code int
		say  string
	}{
		{"backup --data " + dir, exitUsage, "--to"},
		{"backup --data " + dir + " --to " + file, exitFault, "nothing is overwritten"},
		{"backup --data " + dir + "x --to " + file + "x", exitFault, "there are no shoots"},
		{"backup --data " + dir + " --to " + filepath.Join(dir, "no", "b"), exitFault, "Name another file"},
		{"restore --from " + file, exitUsage, "--data"},
		{"restore --data " + dir, exitUsage, "--from"},
		{"restore --from " + file + " --data " + dir, exitFault, "nothing is overwritten"},
		{"restore --from " + file + "x --data " + dir + "x", exitFault, "cannot be read"},
		{"restore --from " + os.Args[0] + " --data " + dir + "x", exitFault, "not a whole backup"},
		{"verify --from " + file + " --data " + dir, exitUsage, "either"},
		{"verify --data " + dir + "x", exitFault, "there are no shoots"},
		{"verify --from " + os.Args[0], exitFault, "not a whole backup"},
	} {
		code, out, errs := run1(t, t.Context(), strings.Fields(c.args)...)
		if code != c.code || !strings.Contains(errs, c.say) || out != "" {
			t.Errorf("%q: exit %d, %q, %q", c.args, code, out, errs)
		}
	}
}

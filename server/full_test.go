//go:build linux

package main

import (
	"errors"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"fairday/sync/wire"
)

// On a disk that fills up the server says so, keeps what it acknowledged, and goes
// on by itself when there is room.
func TestFullDisk(t *testing.T) {
	disk := t.TempDir()
	if err := syscall.Mount("tmpfs", disk, "tmpfs", 0, "size=192m"); errors.Is(err, syscall.EPERM) {
		t.Skip("only root can mount a small disk to fill")
	} else if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(disk, 0); err != nil {
			t.Error(err)
		}
	})
	p := serveDemo(t, "--data", filepath.Join(disk, "data")) // the later one counts
	p.dir = filepath.Join(disk, "data")
	s := remote(t, p.base)
	c := s.browser()
	if r := s.ask(c, "POST", p.link, ""); r.status != http.StatusSeeOther {
		t.Fatal(r)
	}
	phone := s.phone(c)
	device := phone.device
	kept := phone.setup()
	phone.accepted(kept)

	ballast := filepath.Join(disk, "ballast")
	f, err := os.Create(ballast)
	if err != nil {
		t.Fatal(err)
	}
	for block := make([]byte, 1<<20); err == nil; { // to the last byte
		_, err = f.Write(block)
	}
	if f.Close(); !errors.Is(err, syscall.ENOSPC) {
		t.Fatal(err)
	}
	waits := phone.setup()
	phone.say(wire.Edits{Edits: []wire.Edit{waits}})
	if b := phone.bye(); b.Code != wire.CodeUnavailable || b.RetryAfter == 0 {
		t.Errorf("it says %+v", b)
	}
	if r := s.ask(c, "POST", "/api/leave", ""); r.status != http.StatusInsufficientStorage || !strings.Contains(r.body, "disk_full") {
		t.Errorf("what has to be written gives %d: %s", r.status, r.body)
	}
	command(t, "Sound: ", "verify", "--data", p.dir)

	if err := os.Remove(ballast); err != nil {
		t.Fatal(err)
	}
	for end := time.Now().Add(20 * time.Second); ; {
		phone = s.silent(c)
		phone.device, phone.seq = device, 2
		phone.say(wire.Hello{Protocol: wire.Protocol, App: "test", Device: phone.device, Sent: 2})
		w, ok := phone.next().(wire.Welcome)
		if ok && w.Expect == 2 {
			break
		}
		if time.Now().After(end) {
			t.Fatalf("welcomed with %+v", w)
		}
	}
	phone.accepted(waits)
	_ = phone.ws.Close()
	_ = p.end(t, syscall.SIGKILL)
	command(t, "Sound: ", "verify", "--data", p.dir)
	seen := map[string]int{}
	for _, id := range logOf(t, p.dir) {
		seen[id]++
	}
	if seen[string(kept.ID)] != 1 || seen[string(waits.ID)] != 1 {
		t.Errorf("in the log %d and %d times", seen[string(kept.ID)], seen[string(waits.ID)])
	}
}

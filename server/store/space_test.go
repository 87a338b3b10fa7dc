//go:build linux

package store

import (
	"crypto/rand"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"fairday/domain/shoot"
	"fairday/sync/desk"
	"fairday/sync/wire"
)

// smallDisk is a file system of its own of so many megabytes, on a loop device;
// only root can have one.
func smallDisk(t *testing.T, megabytes int64) string {
	t.Helper()
	dir := t.TempDir()
	image, disk := filepath.Join(dir, "image"), filepath.Join(dir, "disk")
	if err := os.WriteFile(image, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(image, megabytes<<20); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(disk, 0o700); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{{"mkfs.ext4", "-q", "-F", image}, {"mount", "-o", "loop", image, disk}} {
		if out, err := exec.Command(args[0], args[1:]...).CombinedOutput(); err != nil {
			t.Skipf("no small disk to fill: %s: %s", args[0], out)
		}
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(disk, 0); err != nil {
			t.Error(err)
		}
	})
	return disk
}

// On a disk of 300 MB appends go on, with compactions on the way, until one is
// refused for want of room; the process lives, and everything that was acknowledged
// is there afterwards. Started where the last byte is taken, the store asks for
// room, and has it all once there is some.
func TestSmallDisk(t *testing.T) {
	disk := smallDisk(t, 300)
	dir := filepath.Join(disk, "data")
	s := opened(t, dir)
	const id = "0191d3f0-0000-7000-8000-000000000001"
	kept := map[uint64]string{} // arguments by number
	var full *FullError
	for full == nil {
		var batch []desk.Entry
		args := map[uint64]string{}
		for range 16 {
			chance := make([]byte, 9000) // that nothing packs
			_, _ = rand.Read(chance)
			seq := uint64(len(kept) + len(batch) + 1)
			args[seq] = base64.StdEncoding.EncodeToString(chance)
			batch = append(batch, desk.Entry{Seq: seq, Device: "0191d3f0-0000-7000-8000-00000000000d", DeviceSeq: seq,
				Intent:  shoot.Intent{ID: shoot.IntentID(fmt.Sprintf("0191d3f0-0000-7000-8000-%012x", seq)), Name: "setup.set", Args: json.RawMessage(`"` + args[seq] + `"`)},
				Verdict: wire.Verdict{Seq: seq, Result: wire.Refused}})
		}
		switch err := s.Append(id, batch, nil); {
		case err == nil:
			maps.Copy(kept, args)
		case !errors.As(err, &full):
			t.Fatalf("after %d entries: %v", len(kept), err)
		}
	}
	if len(kept) < 3000 {
		t.Errorf("only %d entries fit", len(kept))
	}
	t.Logf("%d entries fit; %d MB are left free, %d MB must be", len(kept), full.Free>>20, full.Needed>>20)
	closed(t, s)

	ballast := filepath.Join(disk, "ballast")
	fillUp(t, ballast)
	_, err := Open(dir, rand.Reader, quiet())
	var e *Error
	if !errors.As(err, &e) || e.Code != CodeFull || !strings.Contains(e.Say, "Make room") || strings.Contains(e.Say, "backup") {
		t.Fatalf("started on a full disk it says %v", err)
	}
	if err := os.Remove(ballast); err != nil {
		t.Fatal(err)
	}
	s = opened(t, dir)
	_, all, err := s.Load(id)
	if err != nil || len(all) != len(kept) {
		t.Fatalf("of %d entries there are %d, %v", len(kept), len(all), err)
	}
	for _, e := range all {
		if string(e.Intent.Args) != `"`+kept[e.Seq]+`"` {
			t.Fatalf("entry %d is another one", e.Seq)
		}
	}
}

// fillUp takes the last byte of a disk.
func fillUp(t *testing.T, ballast string) {
	t.Helper()
	f, err := os.Create(ballast)
	if err != nil {
		t.Fatal(err)
	}
	for block := make([]byte, 1<<20); err == nil; {
		_, err = f.Write(block)
	}
	if f.Close(); !errors.Is(err, syscall.ENOSPC) {
		t.Fatal(err)
	}
}

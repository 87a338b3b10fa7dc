package store

import (
	"bytes"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/dgraph-io/badger/v4"
	"github.com/klauspost/compress/s2"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/server/access"
	"fairday/sync/desk"
	"fairday/sync/wire"
)

const played = "0191d3f0-0000-7000-8000-00000000f001"

// play keeps a real desk over a store: a shoot, a person, and so many edits of it,
// a checkpoint after each tenth. From is the number of the first edit.
func play(t testing.TB, s *Store, id string, from, edits int) {
	t.Helper()
	d, err := desk.Open(desk.Config{Log: s, Shoot: id, Key: s.Key(), Random: rand.Reader, Every: 10})
	if err != nil {
		t.Fatal(err)
	}
	for i := range edits {
		n := uint64(from + i)
		e := wire.Edit{ID: shoot.IntentID(fmt.Sprintf("0191d3f0-0000-7000-8000-%012x", n)), Seq: n, Version: 1,
			Name: "shoot.set", Args: json.RawMessage(`{"title":"Kettles","client":"","base":0}`)}
		switch {
		case n == 2:
			e.Name, e.Args = "currency.set", json.RawMessage(`{"currency":"GBP"}`)
		case n > 2:
			e.Name, e.Args = "setup.set", json.RawMessage(fmt.Sprintf(`{"id":"0191d3f0-0000-7000-8000-%012x","name":"Window %d, %s","minutes":20,"base":0}`, 1<<20+n, n, strings.Repeat("north light ", 5)))
		}
		if err := d.Record("0191d3f0-0000-7000-8000-00000000de01", []wire.Edit{e}, when.Instant(n)); err != nil {
			t.Fatal(err)
		}
		if _, err := d.Flush(); err != nil {
			t.Fatal(err)
		}
	}
}

// sound checks that Verify is content with so many entries in the played shoot.
func sound(t testing.TB, s *Store, want uint64) {
	t.Helper()
	found, err := s.Verify()
	if err != nil || len(found) != 1 || found[0].Damage != "" || found[0].Entries != want || found[0].Title != "Kettles" {
		t.Fatalf("%+v, %v", found, err)
	}
}

// taken is a backup in a file.
func taken(t testing.TB, s *Store) *os.File {
	t.Helper()
	f, err := os.Create(filepath.Join(t.TempDir(), "backup"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	if err := s.Backup(f); err != nil {
		t.Fatal(err)
	}
	return f
}

// SPEC E5, E6: a folder from a backup has what was there when it was taken, later
// edits not, and goes on as another generation.
func TestBackup(t *testing.T) {
	s := opened(t, t.TempDir())
	play(t, s, played, 1, 25)
	if err := s.AddLink(access.HashOf("a"), access.Link{Shoot: played, Until: 9}); err != nil {
		t.Fatal(err)
	}
	f := taken(t, s)
	was, err := s.Generation(played)
	if err != nil {
		t.Fatal(err)
	}
	play(t, s, played, 26, 5)
	sound(t, s, 30)

	dir := filepath.Join(t.TempDir(), "new", "data")
	found, err := Restore(f, dir, rand.Reader, quiet())
	if err != nil || len(found) != 1 || found[0].Damage != "" || found[0].Entries != 25 {
		t.Fatalf("%+v, %v", found, err)
	}
	again := opened(t, dir)
	sound(t, again, 25)
	if now, err := again.Generation(played); err != nil || now == was {
		t.Errorf("generation %q, before %q, %v", now, was, err)
	}
	if again.Key() != s.Key() {
		t.Error("cursors are sealed with another key")
	}
	if l, err := again.Link(access.HashOf("a")); err != nil || l.Shoot != played {
		t.Errorf("%+v, %v", l, err)
	}
	play(t, again, played, 26, 10) // and it goes on
	sound(t, again, 35)
}

func TestRestoreRefused(t *testing.T) {
	s := opened(t, t.TempDir())
	play(t, s, played, 1, 5)
	whole, err := os.ReadFile(taken(t, s).Name())
	if err != nil {
		t.Fatal(err)
	}
	flipped := bytes.Clone(whole)
	flipped[len(flipped)/2] ^= 1
	for name, c := range map[string]struct {
		file []byte
		code Code
	}{
		"empty":        {nil, CodeBackup},
		"another file": {bytes.Repeat([]byte("shoot\n"), 100), CodeBackup},
		"cut":          {whole[:len(whole)-1], CodeBackup},
		"a bit":        {flipped, CodeBackup},
		"there":        {whole, CodeExists},
	} {
		t.Run(name, func(t *testing.T) {
			root := t.TempDir()
			path := filepath.Join(root, "backup")
			if err := os.WriteFile(path, c.file, 0o600); err != nil {
				t.Fatal(err)
			}
			f, err := os.Open(path)
			if err != nil {
				t.Fatal(err)
			}
			defer f.Close()
			dir := filepath.Join(root, "data")
			if c.code == CodeExists {
				if err := os.Mkdir(dir, 0o700); err != nil {
					t.Fatal(err)
				}
			}
			var e *Error
			if _, err := Restore(f, dir, rand.Reader, quiet()); !errors.As(err, &e) || e.Code != c.code {
				t.Errorf("got %v", err)
			}
			left, err := os.ReadDir(root)
			if want := map[bool]int{true: 2, false: 1}[c.code == CodeExists]; err != nil || len(left) != want {
				t.Errorf("left behind: %v, %v", left, err)
			}
		})
	}
}

// What Verify says about rows that were changed, lost or added.
func TestVerifyFinds(t *testing.T) {
	rewrite := func(key []byte, change func([]byte) []byte) func(*badger.Txn) error {
		return func(tx *badger.Txn) error {
			item, err := tx.Get(key)
			if err != nil {
				return err
			}
			b, err := item.ValueCopy(nil)
			if err != nil {
				return err
			}
			return tx.SetEntry(badger.NewEntry(key, change(b)).WithMeta(item.UserMeta()))
		}
	}
	lose := func(key []byte) func(*badger.Txn) error {
		return func(tx *badger.Txn) error { return tx.Delete(key) }
	}
	intent := func(n int) []byte {
		return intentKey(played, shoot.IntentID(fmt.Sprintf("0191d3f0-0000-7000-8000-%012x", n)))
	}
	for name, c := range map[string]struct {
		do   func(*badger.Txn) error
		say  string
		load bool // opening the shoot notices as well
	}{
		"an entry changed": {rewrite(seqKey("e", played, 24), func(b []byte) []byte {
			return bytes.Replace(b, []byte("Window"), []byte("Widnow"), 1)
		}), "entry 24 is not as it was written", true},
		"an old entry changed": {rewrite(seqKey("e", played, 7), func(b []byte) []byte {
			b[len(b)-linkSize-3] ^= 1
			return b
		}), "entry 7 is not as it was written", false},
		"an entry lost":            {lose(seqKey("e", played, 22)), "entry 23 follows 22, which is missing", true},
		"an entry about money":     {lose(seqKey("m", played, 2)), "entry 2 is missing", false},
		"the last entry lost":      {lose(seqKey("e", played, 25)), "entry 25 is missing", true},
		"the head lost":            {lose(shootKey("h", played)), "goes to 0", true},
		"the head changed":         {rewrite(shootKey("h", played), func(b []byte) []byte { b[7]++; return b }), "goes to 26", true},
		"the checkpoint changed":   {rewrite(shootKey("c", played), reshape(func(cp *desk.Checkpoint) { cp.State.Floor.Shoot.Title = "Pans" })), "another state", false},
		"the checkpoint's numbers": {rewrite(shootKey("c", played), reshape(func(cp *desk.Checkpoint) { cp.Devices["x/y"] = 3 })), "other numbers", false},
		"a verdict's place lost":   {lose(intent(9)), "cannot be found", false},
		"a verdict elsewhere":      {rewrite(intent(9), func([]byte) []byte { return seqKey("e", played, 10) }), "another entry", false},
	} {
		t.Run(name, func(t *testing.T) {
			s := opened(t, t.TempDir())
			play(t, s, played, 1, 25)
			sound(t, s, 25)
			if err := s.db.Update(c.do); err != nil {
				t.Fatal(err)
			}
			found, err := s.Verify()
			if err != nil || len(found) != 1 || !strings.Contains(found[0].Damage, c.say) {
				t.Errorf("%+v, %v", found, err)
			}
			if _, _, err := s.Load(played); c.load != errors.Is(err, desk.ErrDamaged) {
				t.Errorf("opening gives %v", err)
			}
		})
	}
}

// reshape changes a checkpoint in its row.
func reshape(change func(*desk.Checkpoint)) func([]byte) []byte {
	return func(b []byte) []byte {
		b, err := s2.Decode(nil, b) // it is long enough to be packed
		if err != nil {
			panic(err)
		}
		var cp desk.Checkpoint
		if err := json.Unmarshal(b, &cp); err != nil {
			panic(err)
		}
		change(&cp)
		out, err := json.Marshal(cp)
		if err != nil {
			panic(err)
		}
		return s2.Encode(nil, out)
	}
}

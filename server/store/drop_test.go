package store

import (
	"bytes"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/dgraph-io/badger/v4"

	"fairday/domain/shoot"
	"fairday/server/access"
	"fairday/server/house"
	"fairday/sync/desk"
)

const gone shoot.PersonID = "0191d3f0-0000-7000-8000-0000000000a1"

const (
	dead = "0191d3f0-0000-7000-9000-0000000d0001"
	live = "0191d3f0-0000-7000-9000-0000000d0002"
)

// inFolder tells whether a text is anywhere in the files of a folder.
func inFolder(t *testing.T, dir, text string) (in []string) {
	t.Helper()
	err := filepath.WalkDir(dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		b, err := os.ReadFile(p)
		if bytes.Contains(b, []byte(text)) {
			in = append(in, d.Name())
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return in
}

// told is an entry with a text that can be found in the files.
func told(seq uint64, text string) desk.Entry {
	e := sample(seq, seq)[0]
	e.Intent.Args = json.RawMessage(`{"x":"` + text + `"}`)
	return e
}

// kept stores two shoots with all that belongs to one.
func kept(t *testing.T, s *Store) {
	t.Helper()
	var errs []error
	for _, id := range []string{dead, live} {
		for seq := range uint64(50) {
			errs = append(errs, s.Append(id, []desk.Entry{told(seq+1, "findable-in-"+id)}, nil))
		}
		_, err := s.Generation(id)
		errs = append(errs, err, s.AddLink(access.HashOf("link "+id), access.Link{Shoot: id, Person: gone, Until: 10}),
			s.AddLink(access.HashOf("open "+id), access.Link{Shoot: id, Person: "q", Until: 10}),
			s.AddDevice(id, gone, "device-of-"+shoot.DeviceID(id), access.Device{Key: []byte("k"), Until: 10}),
			s.AddPasskey(access.HashOf("passkey "+id), access.Passkey{Shoot: id, Person: gone}),
			s.ChangeShelved(id, func(row *house.Shelved) error { row.Made = 1; return nil }))
		_, err = s.Join(access.HashOf("link "+id), access.HashOf("session "+id), "", 1, 10)
		errs = append(errs, err)
	}
	if err := errors.Join(errs...); err != nil {
		t.Fatal(err)
	}
}

// checkGone looks for anything of the deleted shoot, and that the other one is whole.
func checkGone(t *testing.T, s *Store) {
	t.Helper()
	if ids, err := s.Shoots(); err != nil || len(ids) != 1 || ids[0] != live {
		t.Errorf("there are %v, %v", ids, err)
	}
	_, rest, err := s.Load(live)
	if err != nil || len(rest) != 50 {
		t.Errorf("of the other there are %d entries, %v", len(rest), err)
	}
	if _, rest, err := s.Load(dead); err != nil || len(rest) != 0 {
		t.Errorf("%d entries are left, %v", len(rest), err)
	}
	if _, found, err := s.Find(dead, told(1, "").Intent.ID); err != nil || found {
		t.Errorf("an intent is left: %v, %v", found, err)
	}
	for id, there := range map[string]bool{dead: false, live: true} {
		_, session, err := s.Session(access.HashOf("session "+id), 5)
		_, linkErr := s.Link(access.HashOf("open " + id))
		_, device, err2 := s.Device(id, gone, "device-of-"+shoot.DeviceID(id))
		passkeys, err4 := s.Passkeys(id, gone)
		shelf, err3 := s.Shelf()
		_, row := shelf[id]
		if errors.Join(err, err2, err3, err4) != nil || len(passkeys) == 1 != there || session != there || errors.Is(linkErr, access.ErrUnknownLink) == there || device != there || row != there {
			t.Errorf("of %s: session %v, link %v, device %v, row %v", id, session, linkErr, device, row)
		}
	}
	err = s.db.View(func(tx *badger.Txn) error {
		it := tx.NewIterator(badger.DefaultIteratorOptions)
		defer it.Close()
		for it.Rewind(); it.Valid(); it.Next() {
			if strings.Contains(string(it.Item().Key()), dead) {
				t.Errorf("the row %q is left", it.Item().Key())
			}
		}
		return nil
	})
	if err != nil {
		t.Error(err)
	}
}

// A shoot that was deleted is in no row and in no file; the others are whole, also for
// verify and after the next start.
func TestDrop(t *testing.T) {
	dir := t.TempDir()
	s := opened(t, dir)
	kept(t, s)
	if len(inFolder(t, dir, "findable-in-"+dead)) == 0 {
		t.Fatal("the text cannot be found while it is there")
	}
	if err := s.Drop(dead, []shoot.PersonID{gone}); err != nil {
		t.Fatal(err)
	}
	checkGone(t, s)
	closed(t, s)
	if in := inFolder(t, dir, "findable-in-"+dead); len(in) > 0 {
		t.Errorf("what was deleted lies in %v", in)
	}
	s = opened(t, dir)
	checkGone(t, s)
	if err := s.Append(live, []desk.Entry{told(51, "on")}, nil); err != nil {
		t.Error(err)
	}
	if err := s.Drop(dead, nil); err != nil {
		t.Errorf("deleting again: %v", err)
	}
	if err := s.Drop("a/b", nil); err == nil {
		t.Error("what is no id was deleted")
	}
}

// A deletion that was cut after its first half is finished when the folder is opened.
func TestDropCut(t *testing.T) {
	dir := t.TempDir()
	s := opened(t, dir)
	kept(t, s)
	if err := s.change(func(tx *badger.Txn) error { return s.dropAround(tx, dead, []shoot.PersonID{gone}) }); err != nil {
		t.Fatal(err)
	}
	checkGone(t, opened(t, copied(t, dir)))
}

// While a shoot is deleted, edits of others are taken.
func TestDropBesideAppends(t *testing.T) {
	s := opened(t, t.TempDir())
	kept(t, s)
	var all sync.WaitGroup
	for i := range 4 {
		all.Go(func() {
			id := "0191d3f0-0000-7000-8000-00000000001" + string(rune('0'+i))
			for seq := range uint64(100) {
				if err := s.Append(id, []desk.Entry{told(seq+1, "beside")}, nil); err != nil {
					t.Error(err)
					return
				}
				if err := s.ChangeShelved(id, func(row *house.Shelved) error { row.Made++; return nil }); err != nil {
					t.Error(err)
					return
				}
			}
		})
	}
	if err := s.Drop(dead, []shoot.PersonID{gone}); err != nil {
		t.Error(err)
	}
	all.Wait()
	if ids, err := s.Shoots(); err != nil || len(ids) != 5 {
		t.Errorf("there are %v, %v", ids, err)
	}
}

package store

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"testing/iotest"
	"time"

	"github.com/dgraph-io/badger/v4"

	"fairday/server/access"
	"fairday/server/access/accesstest"
	"fairday/server/house"
	"fairday/server/house/housetest"
	"fairday/sync/desk"
	"fairday/sync/desk/logtest"
)

func quiet() *slog.Logger { return slog.New(slog.DiscardHandler) }

func opened(t testing.TB, dir string) *Store {
	t.Helper()
	s, err := Open(dir, rand.Reader, quiet())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		select {
		case <-s.closing: // the test did it
		default:
			if err := s.Close(); err != nil {
				t.Error(err)
			}
		}
	})
	return s
}

func closed(t testing.TB, s *Store) {
	t.Helper()
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
}

// copied takes the files as a killed process leaves them: what badger has
// written is in the page cache, whatever else it holds in memory is not.
func copied(t testing.TB, dir string) string {
	t.Helper()
	to := t.TempDir()
	err := filepath.WalkDir(dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || d.Name() == "LOCK" {
			return err
		}
		b, err := os.ReadFile(p)
		if err != nil {
			return err
		}
		return os.WriteFile(filepath.Join(to, d.Name()), b, 0o600)
	})
	if err != nil {
		t.Fatal(err)
	}
	return to
}

// SPEC L6.
func TestLog(t *testing.T) {
	logtest.Run(t, func(t *testing.T) logtest.Under {
		dir := t.TempDir()
		s := opened(t, dir)
		return logtest.Under{
			Log:    s,
			Reopen: func(t *testing.T) desk.Log { closed(t, s); return opened(t, dir) },
			Crash:  func(t *testing.T) desk.Log { return opened(t, copied(t, dir)) },
			Restore: func(t *testing.T) desk.Log {
				closed(t, s)
				again := opened(t, dir)
				if err := again.Restored(); err != nil {
					t.Fatal(err)
				}
				return again
			},
		}
	})
}

func sample(from, to uint64) (out []desk.Entry) {
	for s := from; s <= to; s++ {
		out = append(out, logtest.Sample(s))
	}
	return out
}

func TestShoots(t *testing.T) {
	s := opened(t, t.TempDir())
	for _, id := range []string{"b", "a"} {
		if err := s.Append(id, sample(1, 1), nil); err != nil {
			t.Fatal(err)
		}
	}
	if ids, err := s.Shoots(); err != nil || fmt.Sprint(ids) != "[a b]" {
		t.Errorf("got %v, %v", ids, err)
	}
	for _, bad := range []string{"", "a/b"} {
		if err := s.Append(bad, sample(1, 1), nil); err == nil {
			t.Errorf("%q names a shoot", bad)
		}
	}
}

// What a floor reader iterates over holds no entry about money, whatever the
// code above it does.
func TestMoneyApart(t *testing.T) {
	s := opened(t, t.TempDir())
	if err := s.Append("a", sample(1, 9), nil); err != nil {
		t.Fatal(err)
	}
	got, err := s.Range("a", 0, 100, false)
	if err != nil || len(got) != 6 {
		t.Fatalf("%d entries, %v", len(got), err)
	}
	for _, e := range got {
		if e.Money() {
			t.Errorf("entry %d is about money", e.Seq)
		}
	}
}

// Of appends that share a transaction, one that is out of order fails alone.
func TestTogether(t *testing.T) {
	s := opened(t, t.TempDir())
	var wg sync.WaitGroup
	for i := range 40 {
		wg.Go(func() {
			id := fmt.Sprint("shoot ", i)
			for seq := uint64(1); seq <= 5; seq++ {
				if err := s.Append(id, sample(seq, seq), nil); err != nil {
					t.Errorf("%s, %d: %v", id, seq, err)
				}
				if err := s.Append(id, sample(seq, seq), nil); !errors.Is(err, desk.ErrOrder) {
					t.Errorf("%s, %d again: %v", id, seq, err)
				}
			}
		})
	}
	wg.Wait()
}

// A batch larger than what may share a transaction goes alone, and waits for
// nothing to shrink.
func TestLargeAlone(t *testing.T) {
	s := opened(t, t.TempDir())
	var wg sync.WaitGroup
	for i := range 4 {
		wg.Go(func() {
			batch := sample(1, 300)
			for j := range batch {
				b := make([]byte, 6<<10) // random, so that it does not pack well
				if _, err := rand.Read(b); err != nil {
					t.Error(err)
				}
				batch[j].Intent.Args = fmt.Appendf(nil, `"%x"`, b)
			}
			if err := s.Append(fmt.Sprint(i), batch, nil); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
}

func TestClosed(t *testing.T) {
	s := opened(t, t.TempDir())
	closed(t, s)
	if err := s.Append("a", sample(1, 1), nil); !errors.Is(err, ErrClosed) {
		t.Errorf("got %v", err)
	}
}

func TestKeyStays(t *testing.T) {
	dir := t.TempDir()
	s := opened(t, dir)
	key := s.Key()
	closed(t, s)
	if key == ([32]byte{}) || opened(t, dir).Key() != key {
		t.Error("the sealing key does not stay")
	}
}

// Why a folder cannot be used: the code, and words that a person can act on.
func TestOpenRefused(t *testing.T) {
	locked := t.TempDir()
	opened(t, locked)
	newer := t.TempDir()
	s := opened(t, newer)
	if err := s.db.Update(func(tx *badger.Txn) error { return put(tx, []byte("format"), format+1) }); err != nil {
		t.Fatal(err)
	}
	closed(t, s)
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	damaged := t.TempDir()
	closed(t, opened(t, damaged))
	if err := os.WriteFile(filepath.Join(damaged, "MANIFEST"), []byte("no manifest"), 0o600); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		dir  string
		code Code
		say  string
	}{
		"in use":       {locked, CodeLocked, "Another Fairday"},
		"newer":        {newer, CodeNewer, "newer Fairday"},
		"not folder":   {file, CodeFolder, "cannot be made"},
		"damaged":      {damaged, CodeDamaged, "backup"},
		"below a file": {filepath.Join(file, "x"), CodeFolder, "--data"},
	} {
		_, err := Open(c.dir, rand.Reader, quiet())
		var e *Error
		if !errors.As(err, &e) || e.Code != c.code || !strings.Contains(e.Say, c.say) || !strings.Contains(e.Say, c.dir) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := Open(t.TempDir(), iotest.ErrReader(errors.New("no randomness")), quiet()); err == nil {
		t.Error("a folder without a sealing key was opened")
	}
}

// Sessions and links on the real database.
func TestAccess(t *testing.T) {
	accesstest.Run(t, func(t *testing.T) accesstest.Under {
		dir := t.TempDir()
		s := opened(t, dir)
		return accesstest.Under{Book: s, Reopen: func(t *testing.T) access.Book { closed(t, s); return opened(t, dir) }}
	})
}

func TestHouseBook(t *testing.T) {
	housetest.Run(t, func(t *testing.T) housetest.Under {
		dir := t.TempDir()
		s := opened(t, dir)
		return housetest.Under{Book: s, Reopen: func(t *testing.T) house.Book { closed(t, s); return opened(t, dir) }}
	})
}

// A token is nowhere in the folder.
func TestTokensAreHashed(t *testing.T) {
	dir := t.TempDir()
	s := opened(t, dir)
	const link, session = "the-link-token-0123456789", "the-session-token-0123456789"
	if err := s.AddLink(access.HashOf(link), access.Link{Shoot: "findable-shoot", Person: "p", Until: 10}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Join(access.HashOf(link), access.HashOf(session), "", 1, 10); err != nil {
		t.Fatal(err)
	}
	closed(t, s)
	var all strings.Builder
	err := filepath.WalkDir(dir, func(p string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			b, rerr := os.ReadFile(p)
			all.Write(b)
			err = rerr
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(all.String(), "findable-shoot") {
		t.Fatal("the search finds nothing at all")
	}
	for _, token := range []string{link, session} {
		if strings.Contains(all.String(), token) {
			t.Errorf("%s is in the folder", token)
		}
	}
}

func TestDefaultDir(t *testing.T) {
	for _, c := range []struct{ xdg, home, want string }{
		{"/x", "/h", "/x/fairday"}, {"", "/h", "/h/.local/share/fairday"}, {"relative", "/h", "/h/.local/share/fairday"},
	} {
		got, err := DefaultDir(func(k string) string { return map[string]string{"XDG_DATA_HOME": c.xdg, "HOME": c.home}[k] })
		if err != nil || got != c.want {
			t.Errorf("%+v: %q, %v", c, got, err)
		}
	}
}

// BenchmarkAppend counts durable entries; shoots append side by side.
func BenchmarkAppend(b *testing.B) {
	for _, shoots := range []int{1, 8, 64} {
		b.Run(fmt.Sprintf("shoots=%d", shoots), func(b *testing.B) {
			s := opened(b, b.TempDir())
			start := time.Now()
			var wg sync.WaitGroup
			for i := range shoots {
				wg.Go(func() {
					for n := range b.N {
						if err := s.Append(fmt.Sprint(i), sample(uint64(n+1), uint64(n+1)), nil); err != nil {
							b.Error(err)
							return
						}
					}
				})
			}
			wg.Wait()
			b.ReportMetric(float64(b.N*shoots)/time.Since(start).Seconds(), "entries/s")
		})
	}
}

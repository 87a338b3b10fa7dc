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
	"sync/atomic"
	"testing"
	"testing/iotest"
	"time"

	"github.com/dgraph-io/badger/v4"

	"fairday/domain/when"
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

func TestLinks(t *testing.T) {
	s := opened(t, t.TempDir())
	const now when.Instant = 1_000_000
	for token, l := range map[string]Link{
		"once": {Shoot: "a", Person: "p", Until: now + 10}, "many": {Shoot: "a", Person: "p", Until: now + 10, Many: true},
		"old": {Shoot: "a", Person: "p", Until: now},
	} {
		if err := s.AddLink(HashOf(token), l); err != nil {
			t.Fatal(err)
		}
	}
	for i, c := range []struct {
		token string
		want  error
	}{{"once", nil}, {"once", ErrUsedLink}, {"many", nil}, {"many", nil}, {"old", ErrExpiredLink}, {"none", ErrUnknownLink}} {
		session := HashOf(fmt.Sprint(i))
		got, err := s.Spend(HashOf(c.token), session, now, now+100)
		if !errors.Is(err, c.want) {
			t.Errorf("%d, %s: %v, want %v", i, c.token, err, c.want)
		}
		have, ok, err := s.Session(session, now+99)
		if err != nil || ok != (c.want == nil) || have != got {
			t.Errorf("%d, %s: session %+v, %v, %v", i, c.token, have, ok, err)
		}
	}
}

// Of many who use a link at the same moment, one gets in.
func TestSpendOnce(t *testing.T) {
	s := opened(t, t.TempDir())
	if err := s.AddLink(HashOf("once"), Link{Shoot: "a", Person: "p", Until: 10}); err != nil {
		t.Fatal(err)
	}
	var in atomic.Int32
	var wg sync.WaitGroup
	for i := range 16 {
		wg.Go(func() {
			if _, err := s.Spend(HashOf("once"), HashOf(fmt.Sprint(i)), 1, 10); err == nil {
				in.Add(1)
			} else if !errors.Is(err, ErrUsedLink) {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	if in.Load() != 1 {
		t.Errorf("%d got in", in.Load())
	}
}

func TestSessionEnds(t *testing.T) {
	dir := t.TempDir()
	s := opened(t, dir)
	if err := s.AddLink(HashOf("l"), Link{Shoot: "a", Person: "p", Until: 10, Many: true}); err != nil {
		t.Fatal(err)
	}
	alive := func(s *Store, token string, at when.Instant, want bool) {
		t.Helper()
		if _, ok, err := s.Session(HashOf(token), at); err != nil || ok != want {
			t.Errorf("session %s at %d: %v, %v", token, at, ok, err)
		}
	}
	for _, token := range []string{"one", "two"} {
		if _, err := s.Spend(HashOf("l"), HashOf(token), 1, 20); err != nil {
			t.Fatal(err)
		}
	}
	alive(s, "one", 19, true)
	alive(s, "one", 20, false)
	if err := s.Extend(HashOf("one"), 40); err != nil {
		t.Fatal(err)
	}
	alive(s, "one", 39, true)
	closed(t, s)
	s = opened(t, dir)
	alive(s, "one", 39, true)
	if err := errors.Join(s.DropSession(HashOf("two")), s.DropSession(HashOf("none")), s.Extend(HashOf("two"), 99)); err != nil {
		t.Fatal(err)
	}
	alive(s, "two", 2, false)
	if err := s.Sweep(30); err != nil {
		t.Fatal(err)
	}
	alive(s, "one", 39, true)
	if _, err := s.Link(HashOf("l")); !errors.Is(err, ErrUnknownLink) {
		t.Errorf("an old link is still there: %v", err)
	}
}

// A token is nowhere in the folder.
func TestTokensAreHashed(t *testing.T) {
	dir := t.TempDir()
	s := opened(t, dir)
	const link, session = "the-link-token-0123456789", "the-session-token-0123456789"
	if err := s.AddLink(HashOf(link), Link{Shoot: "findable-shoot", Person: "p", Until: 10}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Spend(HashOf(link), HashOf(session), 1, 10); err != nil {
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

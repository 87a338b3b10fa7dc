package main

import (
	"flag"
	"log/slog"
	"math/rand/v2"
	"net/http"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"fairday/domain/shoot"
	"fairday/server/store"
	"fairday/sync/desk"
	"fairday/sync/wire"
)

var kills = flag.Int("kills", 12, "how often TestKilledAgainAndAgain kills the server; 100 for the long run")

// zeros is what a folder that is only read takes for randomness.
type zeros struct{}

func (zeros) Read(b []byte) (int, error) { clear(b); return len(b), nil }

// loader is a phone that sends edits without waiting, over many lives of the
// server.
type loader struct {
	client *http.Client
	device shoot.DeviceID
	edits  []wire.Edit // all it ever made
	mu     sync.Mutex
	got    map[shoot.IntentID]wire.Verdict
}

// burst connects, sends from the number that the server expects on, and collects
// receipts until the socket breaks. Tell is called for each receipt.
func (l *loader) burst(t *testing.T, s *site, more int, tell func()) {
	d := websocket.Dialer{Jar: l.client.Jar, HandshakeTimeout: 10 * time.Second}
	ws, _, err := d.Dial("ws"+strings.TrimPrefix(s.base, "http")+"/sync", http.Header{"Origin": {s.base}})
	if err != nil {
		return // killed before
	}
	defer ws.Close()
	hello, err := wire.Encode(wire.Hello{Protocol: wire.Protocol, App: "test", Device: l.device, Sent: uint64(len(l.edits))})
	if err != nil {
		t.Error(err)
		return
	}
	if ws.WriteMessage(websocket.TextMessage, hello) != nil || ws.SetReadDeadline(time.Now().Add(time.Minute)) != nil {
		return
	}
	_, text, err := ws.ReadMessage()
	if err != nil {
		return
	}
	m, err := wire.DecodeDown(text)
	w, ok := m.(wire.Welcome)
	if err != nil || !ok {
		t.Errorf("no welcome but %s, %v", text, err)
		return
	}
	l.mu.Lock()
	for _, e := range l.edits[min(int(w.Expect)-1, len(l.edits)):] {
		if _, has := l.got[e.ID]; has {
			t.Errorf("edit %d had a receipt, and the server asks for it again", e.Seq)
		}
	}
	for range more - (len(l.edits) - min(int(w.Expect)-1, len(l.edits))) { // what had no receipt comes first
		e := wire.Edit{ID: shoot.IntentID(s.uuid()), Seq: uint64(len(l.edits)) + 1, Name: "setup.set", Version: 1, Happened: s.now(),
			Args: []byte(`{"id":"` + s.uuid() + `","name":"Window","minutes":20,"base":0}`)}
		l.edits = append(l.edits, e)
	}
	// A few that it has already come again, as from a phone that heard nothing.
	rest := l.edits[max(0, int(w.Expect)-1-5):]
	l.mu.Unlock()
	sent := make(chan struct{})
	go func() {
		defer close(sent)
		for len(rest) > 0 {
			n := min(5, len(rest))
			text, err := wire.Encode(wire.Edits{Edits: rest[:n]})
			if err != nil || ws.WriteMessage(websocket.TextMessage, text) != nil {
				return
			}
			rest = rest[n:]
		}
	}()
	defer func() { <-sent }()
	defer ws.Close()
	for {
		if ws.SetReadDeadline(time.Now().Add(time.Minute)) != nil {
			return
		}
		_, text, err := ws.ReadMessage()
		if err != nil {
			return
		}
		m, err := wire.DecodeDown(text)
		if f, ok := m.(wire.Frame); ok && err == nil {
			for _, v := range f.Verdicts {
				l.mu.Lock()
				l.got[v.ID] = v
				l.mu.Unlock()
				tell()
			}
		}
	}
}

// SPEC V8, V2: however often the server is killed, each receipt's edit is in the
// log once, nothing is there twice, and verify is content after every start.
func TestKilledAgainAndAgain(t *testing.T) {
	const phones, burst = 4, 30
	p := serveDemo(t)
	s := remote(t, p.base)
	var all []*loader
	for range phones {
		l := &loader{client: s.browser(), device: shoot.DeviceID(s.uuid()), got: map[shoot.IntentID]wire.Verdict{}}
		all = append(all, l)
	}
	if r := s.ask(all[0].client, "POST", p.link, ""); r.status != http.StatusSeeOther {
		t.Fatal(r)
	}
	for _, l := range all[1:] { // one person's phones
		l.client.Jar = all[0].client.Jar
	}
	r := rand.New(rand.NewPCG(7, 7))
	for n := range *kills {
		after := r.IntN(phones * burst * 3 / 4)
		enough := make(chan struct{})
		told := 0
		var mu sync.Mutex
		tell := func() {
			mu.Lock()
			defer mu.Unlock()
			if told++; told == after+1 {
				close(enough)
			}
		}
		var bursts sync.WaitGroup
		for _, l := range all {
			bursts.Go(func() { l.burst(t, s, burst, tell) })
		}
		select {
		case <-enough:
		case <-time.After(time.Minute):
			t.Fatalf("kill %d: fewer than %d receipts", n, after)
		}
		_ = p.end(t, syscall.SIGKILL)
		bursts.Wait()
		if t.Failed() {
			return
		}
		p.program = start(t, "serve", "--data", p.dir, "--addr", "127.0.0.1:0")
		command(t, "Sound: ", "verify", "--data", p.dir)
		next := remote(t, p.base)
		next.ids.Store(s.ids.Load())
		next.carry(all[0].client, s)
		s = next
	}
	_ = p.end(t, syscall.SIGKILL)
	once(t, p.dir, all)
}

// once checks a log against the receipts of phones.
func once(t *testing.T, dir string, all []*loader) {
	t.Helper()
	times := map[shoot.IntentID]int{}
	entries := entriesOf(t, dir)
	for _, e := range entries {
		times[e.Intent.ID]++
	}
	receipts := 0
	for _, l := range all {
		for _, e := range l.edits {
			v, has := l.got[e.ID]
			if has {
				receipts++
			}
			if n := times[e.ID]; n > 1 || has && n != 1 || has && v.Result != wire.Accepted {
				t.Errorf("edit %d of %s is %d times in the log, with the receipt %+v", e.Seq, l.device, n, v)
			}
		}
	}
	t.Logf("%d kills, %d receipts, %d entries in the log", *kills, receipts, len(entries))
}

// entriesOf reads all entries of the one shoot of a folder.
func entriesOf(t *testing.T, dir string) []desk.Entry {
	t.Helper()
	s, err := store.Open(dir, zeros{}, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	}()
	shoots, err := s.Shoots()
	if err != nil || len(shoots) != 1 {
		t.Fatalf("shoots %v, %v", shoots, err)
	}
	all, err := s.Range(shoots[0], 0, 1<<30, true)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

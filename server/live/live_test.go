package live

import (
	"bytes"
	"crypto/rand"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"fairday/domain/when"
	"fairday/server/store"
	"fairday/sync/wire"
)

// SPEC A11, S6: a phone that is slow is spared what may be left out, and goes on.
func TestSlowPhoneIsSpared(t *testing.T) {
	k := newSocket(nil, 1, Limits{QueueTexts: 4, queueBytes: 1 << 10}, slog.New(slog.DiscardHandler))
	for range 3 {
		k.Enqueue([]byte("frame"), false)
		k.EnqueueSpare([]byte("presence"))
	}
	var got []string
	for _, m := range k.queue {
		got = append(got, string(m.text))
	}
	if want := []string{"frame", "presence", "frame", "frame"}; !slices.Equal(got, want) || k.full {
		t.Errorf("the queue is %q, full %v", got, k.full)
	}
}

// A message that is large may take longer than one write has, as long as the phone
// takes some of it; one that takes nothing is let go meanwhile.
func TestLargeMessageOverAWeakNetwork(t *testing.T) {
	log := slog.New(slog.DiscardHandler)
	kept, err := store.Open(t.TempDir(), rand.Reader, log)
	if err != nil {
		t.Fatal(err)
	}
	l := Usual()
	l.Write = 2 * time.Second
	all := NewSockets(l, log)
	house := NewShoots(kept, func() when.Instant { return 0 }, rand.Reader, log, all, NewMetrics(all.Open))
	r, err := house.Get("a shoot")
	if err != nil {
		t.Fatal(err)
	}
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, q *http.Request) {
		if err := all.Upgrade(w, q, Arrival{Runner: r, Address: "here"}); err != nil {
			t.Error(err)
		}
	}))
	t.Cleanup(func() {
		house.Stop()
		all.Stop(time.Second)
		srv.Close()
		if err := kept.Close(); err != nil {
			t.Error(err)
		}
	})
	dial := func() *websocket.Conn {
		n := all.Open()
		ws, _, err := websocket.DefaultDialer.Dial("ws"+strings.TrimPrefix(srv.URL, "http"), nil)
		if err != nil {
			t.Fatal(err)
		}
		for deadline := time.Now().Add(20 * time.Second); all.Open() == n; {
			if time.Now().After(deadline) {
				t.Fatal("the socket is not counted")
			}
			time.Sleep(time.Millisecond)
		}
		return ws
	}
	weak, dead := dial(), dial()
	text := bytes.Repeat([]byte("x"), wire.MaxDown)
	all.mu.Lock()
	for k := range all.all {
		k.Enqueue(text, false)
	}
	all.mu.Unlock()
	if err := weak.SetReadDeadline(time.Now().Add(20 * time.Second)); err != nil {
		t.Fatal(err)
	}
	_, body, err := weak.NextReader()
	if err != nil {
		t.Fatal(err)
	}
	got := 0
	for all.Open() != 1 { // a little at a time
		n, err := io.CopyN(io.Discard, body, 24<<10)
		if got += int(n); err != nil {
			t.Fatalf("a phone that takes nothing stays, or the weak one was let go after %d bytes: %v", got, err)
		}
		time.Sleep(10 * time.Millisecond) // the weak network
	}
	n, err := io.Copy(io.Discard, body)
	if got += int(n); err != nil || got != len(text) {
		t.Errorf("%d of %d bytes came, %v", got, len(text), err)
	}
	_ = dead.Close()
}

package main

import (
	"net/http"
	"net/http/httptest"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/dgraph-io/badger/v4"
	"github.com/gorilla/websocket"

	"fairday/server/live"
)

// bareFan is the floor under a fan-out: whatever one socket says, every other
// one is sent a text, by a goroutine and through a queue of its own, and
// nothing is decided, kept or encoded.
type bareFan struct {
	upgrader *websocket.Upgrader
	first    func() error // comes before the sending; nil for nothing
	text     []byte

	mu          sync.Mutex
	subscribers []chan []byte
}

func (f *bareFan) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	ws, err := f.upgrader.Upgrade(w, r, nil)
	if err != nil {
		return
	}
	defer ws.Close()
	if r.URL.Path == "/subscribe" {
		subscriber := make(chan []byte, 64)
		f.mu.Lock()
		f.subscribers = append(f.subscribers, subscriber)
		f.mu.Unlock()
		for text := range subscriber {
			if ws.SetWriteDeadline(time.Now().Add(15*time.Second)) != nil || ws.WriteMessage(websocket.TextMessage, text) != nil {
				return
			}
		}
		return
	}
	for {
		if _, _, err := ws.ReadMessage(); err != nil {
			return
		}
		if f.first != nil && f.first() != nil {
			return
		}
		f.mu.Lock()
		for _, subscriber := range f.subscribers {
			subscriber <- f.text
		}
		f.mu.Unlock()
	}
}

// serve opens the fan with some subscribers and gives the socket that speaks.
func (f *bareFan) serve(b *testing.B, subscribers int, c *countdown) *websocket.Conn {
	b.Helper()
	f.upgrader = live.Upgrader()
	srv := httptest.NewServer(f)
	b.Cleanup(srv.Close)
	dial := func(path string) *websocket.Conn {
		ws, _, err := websocket.DefaultDialer.Dial("ws"+srv.URL[len("http"):]+path, nil)
		if err != nil {
			b.Fatal(err)
		}
		b.Cleanup(func() { ws.Close() })
		return ws
	}
	for range subscribers {
		go c.listen(dial("/subscribe"))
	}
	b.Cleanup(func() {
		f.mu.Lock()
		defer f.mu.Unlock()
		for _, subscriber := range f.subscribers {
			close(subscriber)
		}
		f.subscribers = nil
	})
	for ready := 0; ready < subscribers; time.Sleep(time.Millisecond) { // until the last has its queue
		f.mu.Lock()
		ready = len(f.subscribers)
		f.mu.Unlock()
	}
	return dial("/mouth")
}

// countdown tells when a text has come to all sockets that listen.
type countdown struct {
	left atomic.Int64
	done chan time.Time
}

func (c *countdown) listen(ws *websocket.Conn) {
	for {
		if _, _, err := ws.ReadMessage(); err != nil {
			return
		}
		if c.left.Add(-1) == 0 {
			c.done <- time.Now()
		}
	}
}

// time is how long it takes from say to the last of n sockets.
func (c *countdown) time(b *testing.B, n int, say func()) time.Duration {
	b.Helper()
	c.left.Store(int64(n))
	start := time.Now()
	say()
	select {
	case at := <-c.done:
		return at.Sub(start)
	case <-time.After(time.Minute):
		b.Fatalf("%d did not hear it", c.left.Load())
		return 0
	}
}

// bareCommits is the floor under the log: values that wait at the same time
// share one synced transaction of badger.
type bareCommits struct {
	db *badger.DB
	in chan bareValue
}

type bareValue struct {
	key, value []byte
	done       chan error
}

func newBareCommits(b *testing.B) *bareCommits {
	b.Helper()
	db, err := badger.Open(badger.DefaultOptions(b.TempDir()).WithSyncWrites(true).WithLogger(nil))
	if err != nil {
		b.Fatal(err)
	}
	c := &bareCommits{db: db, in: make(chan bareValue, 1024)}
	ended := make(chan bool)
	go func() {
		defer close(ended)
		for v := range c.in {
			c.together(v)
		}
	}()
	b.Cleanup(func() {
		close(c.in)
		<-ended
		if err := db.Close(); err != nil {
			b.Error(err)
		}
	})
	return c
}

func (c *bareCommits) together(first bareValue) {
	all := []bareValue{first}
	for more := true; more && len(all) < 1024; {
		select {
		case v, open := <-c.in:
			if more = open; open {
				all = append(all, v)
			}
		default:
			more = false
		}
	}
	err := c.db.Update(func(tx *badger.Txn) error {
		for _, v := range all {
			if err := tx.Set(v.key, v.value); err != nil {
				return err
			}
		}
		return nil
	})
	for _, v := range all {
		v.done <- err
	}
}

func (c *bareCommits) set(key, value []byte) error {
	v := bareValue{key, value, make(chan error, 1)}
	c.in <- v
	return <-v.done
}

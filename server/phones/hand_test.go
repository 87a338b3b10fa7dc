package phones

import (
	"crypto/rand"
	"encoding/json"
	"fmt"
	"net/http"
	"sync"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/wire"
)

// hand speaks to the server by hand: a socket with somebody's cookie and
// messages as they are written down here.
type hand struct {
	t      testing.TB
	host   *host
	addr   string // where it reaches the server
	cookie string
	device shoot.DeviceID
	ws     *websocket.Conn
	ended  chan struct{} // closed when the socket is

	mu       sync.Mutex
	seq      uint64
	edits    []wire.Edit // all that were ever made
	welcome  *wire.Welcome
	state    *shoot.State
	verdicts map[shoot.IntentID]wire.Verdict
	news     map[shoot.PersonID]int // events heard, by whose they are
	broken   error                  // what could not be read
	tape     tape                   // all that was heard
}

// hand joins as somebody without a browser.
func (h *host) hand(t testing.TB, key string) *hand {
	t.Helper()
	plain := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	answer, err := plain.Post("http://"+h.addr+"/join/"+h.token(key), "", nil)
	if err != nil {
		t.Fatal(err)
	}
	answer.Body.Close()
	if len(answer.Cookies()) != 1 {
		t.Fatalf("%s joined with %s and %d cookies", key, answer.Status, len(answer.Cookies()))
	}
	c := answer.Cookies()[0]
	return h.handWith(t, c.Name+"="+c.Value)
}

// handWith speaks by hand with a cookie that somebody else got.
func (h *host) handWith(t testing.TB, cookie string) *hand {
	t.Helper()
	a := &hand{t: t, host: h, addr: h.addr, cookie: cookie, device: shoot.DeviceID(newID(t)), verdicts: map[shoot.IntentID]wire.Verdict{}, news: map[shoot.PersonID]int{}}
	t.Cleanup(func() {
		if a.ws != nil {
			_ = a.ws.Close() // it may be closed already
		}
	})
	if err := a.connect(); err != nil {
		t.Fatal(err)
	}
	a.sees("the shoot", func(s *shoot.State) bool { return len(s.Floor.Shots) > 0 })
	return a
}

func newID(t testing.TB) string {
	t.Helper()
	var b [10]byte
	if _, err := rand.Read(b[:]); err != nil {
		t.Fatal(err)
	}
	return shoot.NewID(when.FromTime(time.Now()), b)
}

// connect opens the socket and says hello without a cursor.
func (a *hand) connect() error {
	ws, _, err := websocket.DefaultDialer.Dial("ws://"+a.addr+"/sync", http.Header{"Cookie": {a.cookie}})
	if err != nil {
		return err
	}
	a.mu.Lock()
	a.ws, a.ended, a.welcome, a.state = ws, make(chan struct{}), nil, nil
	ended := a.ended
	sent := a.seq
	a.mu.Unlock()
	go func() {
		defer close(ended)
		for {
			_, text, err := ws.ReadMessage()
			if err != nil {
				return
			}
			a.hear(text)
		}
	}()
	return a.send(wire.Hello{Protocol: wire.Protocol, App: "by hand", Device: a.device, Sent: sent})
}

func (a *hand) send(m wire.Message) error {
	text, err := wire.Encode(m)
	if err != nil {
		return err
	}
	return a.ws.WriteMessage(websocket.TextMessage, text)
}

func (a *hand) hear(text []byte) {
	_, _ = a.tape.Write(append(text, '\n')) // a buffer takes everything
	m, err := wire.DecodeDown(text)
	a.mu.Lock()
	defer a.mu.Unlock()
	if err == nil {
		err = a.take(m)
	}
	if err != nil && a.broken == nil {
		a.broken = fmt.Errorf("%w: %s", err, trimmed(string(text), 300))
	}
}

func (a *hand) take(m wire.Message) error {
	switch m := m.(type) {
	case wire.Welcome:
		a.welcome = &m
	case wire.Snapshot:
		return json.Unmarshal(m.State, &a.state)
	case wire.Frame:
		for _, raw := range m.Events {
			var e shoot.Event
			if err := json.Unmarshal(raw, &e); err != nil {
				return err
			}
			shoot.Apply(a.state, e)
			a.news[e.By]++
		}
		for _, v := range m.Verdicts {
			if was, again := a.verdicts[v.ID]; again && was.Result != v.Result {
				return fmt.Errorf("the verdict on %s was %s and is %s now", v.ID, was.Result, v.Result)
			}
			a.verdicts[v.ID] = v
		}
	}
	return nil
}

// make gives the next edit its number; it is not sent yet.
func (a *hand) make(name string, args any) wire.Edit {
	a.t.Helper()
	raw, err := json.Marshal(args)
	if err != nil {
		a.t.Fatal(err)
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	a.seq++
	e := wire.Edit{ID: shoot.IntentID(newID(a.t)), Seq: a.seq, Name: name, Version: 1, Args: raw, Happened: when.FromTime(time.Now())}
	a.edits = append(a.edits, e)
	return e
}

// does sends an edit and waits for its verdict.
func (a *hand) does(name string, args any) wire.Verdict {
	a.t.Helper()
	e := a.make(name, args)
	if err := a.send(wire.Edits{Edits: []wire.Edit{e}}); err != nil {
		a.t.Fatal(err)
	}
	var v wire.Verdict
	until(a.t, "a verdict on "+name, func() (bool, string) {
		a.mu.Lock()
		defer a.mu.Unlock()
		got, ok := a.verdicts[e.ID]
		v = got
		return ok, fmt.Sprint(a.broken)
	})
	return v
}

// accepted is does for what has to be accepted without a remark.
func (a *hand) accepted(name string, args any) {
	a.t.Helper()
	if v := a.does(name, args); v.Result != wire.Accepted {
		a.t.Fatalf("%s was %s: %+v %+v", name, v.Result, v.Refusal, v.Flag)
	}
}

// sees waits until what the server said fits, and gives a copy of it.
func (a *hand) sees(what string, fits func(*shoot.State) bool) *shoot.State {
	a.t.Helper()
	var out *shoot.State
	until(a.t, "by hand: "+what, func() (bool, string) {
		a.mu.Lock()
		defer a.mu.Unlock()
		if a.broken != nil {
			a.t.Fatal(a.broken)
		}
		if a.state == nil || !fits(a.state) {
			return false, fmt.Sprintf("state %t", a.state != nil)
		}
		out = a.state.Clone()
		return true, ""
	})
	return out
}

// now is what the server said so far.
func (a *hand) now() *shoot.State {
	a.t.Helper()
	return a.sees("the shoot", func(*shoot.State) bool { return true })
}

// reads reads a hero's plate just as the brief has it.
func (a *hand) reads(name string) wire.Verdict {
	a.t.Helper()
	h := heroOf(a.t, a.now(), name)
	return a.does("hero.read", map[string]any{"hero": h.ID, "plate": h.Plate, "checked": h.Checklist})
}

package main

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/url"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"fairday/domain/shoot"
	"fairday/sync/wire"
)

// knocker is a phone that knocks until each of its edits has its receipt, and
// waits as long as it is told in between.
type knocker struct {
	s      *site
	jar    http.CookieJar
	from   string // the address that it comes from
	device shoot.DeviceID
	edits  []wire.Edit
	got    map[shoot.IntentID]wire.Verdict
	cursor string
	fresh  bool // takes a snapshot each time
	told   func()
	knocks int
}

// knockers are n phones of a shoot, 16 to a session as the limits have it, each
// with some edits, and 1,000 to an address. Every other session is a crew member's.
func knockers(s *site, n, edits int) []*knocker {
	s.t.Helper()
	var all []*knocker
	for len(all) < n {
		who := []shoot.PersonID{ari, cleo}[len(all)/16%2]
		jar := s.joined(who).Jar
		for range min(16, n-len(all)) {
			c := &knocker{s: s, jar: jar, from: address(len(all) / 1000), device: shoot.DeviceID(s.uuid()), got: map[shoot.IntentID]wire.Verdict{}, told: func() {}}
			for i := range edits {
				e := wire.Edit{ID: shoot.IntentID(s.uuid()), Seq: uint64(i + 1), Name: "setup.set", Version: 1, Happened: s.now(),
					Args: fmt.Appendf(nil, `{"id":%q,"name":"Window","minutes":20,"base":0}`, s.uuid())}
				if who == cleo {
					e.Name, e.Args = "punch", fmt.Appendf(nil, `{"day":%q,"people":[%q],"kind":"in"}`, day1, cleo)
				}
				c.edits = append(c.edits, e)
			}
			all = append(all, c)
		}
	}
	return all
}

// visit knocks once and stays until every edit has its receipt. It gives how
// long the server asks it to stay away when it says goodbye before.
func (c *knocker) visit() (wait time.Duration, err error) {
	c.knocks++
	u, err := url.Parse(c.s.base)
	if err != nil {
		return 0, err
	}
	d := websocket.Dialer{Jar: c.jar, HandshakeTimeout: 15 * time.Second} // the patience of the page
	ws, _, err := d.Dial("ws://"+u.Host+"/sync", http.Header{"Origin": {c.s.base}, "X-Forwarded-For": {c.from}})
	if err != nil {
		return 0, err
	}
	defer ws.Close()
	if err := ws.SetReadDeadline(time.Now().Add(45 * time.Second)); err != nil { // as SPEC S1
		return 0, err
	}
	hello := wire.Hello{Protocol: wire.Protocol, App: "test", Device: c.device, Cursor: c.cursor, Sent: uint64(len(c.edits))}
	if c.fresh {
		hello.Cursor = ""
	}
	if err := utter(ws, hello); err != nil {
		return 0, err
	}
	for len(c.got) < len(c.edits) {
		_, text, err := ws.ReadMessage()
		if err != nil {
			return 0, err
		}
		m, err := wire.DecodeDown(text)
		if err != nil {
			return 0, err
		}
		switch m := m.(type) {
		case wire.Welcome:
			if rest := c.waiting(); len(rest) > 0 {
				err = utter(ws, wire.Edits{Edits: rest})
			}
		case wire.Snapshot:
			c.cursor = m.Cursor
		case wire.Frame:
			c.cursor = m.Cursor
			for _, v := range m.Verdicts {
				c.got[v.ID] = v
				c.told()
			}
		case wire.Bye:
			return time.Duration(m.RetryAfter) * time.Millisecond, errors.New(string(m.Code))
		case wire.Expect:
			err = fmt.Errorf("asked for edit %d", m.Seq)
		}
		if err != nil {
			return 0, err
		}
	}
	return 0, nil
}

// waiting are the edits without a receipt.
func (c *knocker) waiting() []wire.Edit {
	var rest []wire.Edit
	for _, e := range c.edits {
		if _, has := c.got[e.ID]; !has {
			rest = append(rest, e)
		}
	}
	return rest
}

// address is one of many that phones come from.
func address(n int) string { return fmt.Sprintf("203.0.113.%d", n%256) }

func utter(ws *websocket.Conn, m wire.Message) error {
	text, err := wire.Encode(m)
	if err != nil {
		return err
	}
	return ws.WriteMessage(websocket.TextMessage, text)
}

// persist visits until all has its receipt, waiting as the page does.
func (c *knocker) persist(until time.Time) error {
	for {
		wait, err := c.visit()
		if err == nil {
			return nil
		}
		if time.Now().After(until) {
			return fmt.Errorf("%s has no receipt for %d edits after %d visits: %w", c.device, len(c.waiting()), c.knocks, err)
		}
		wait += max(wait, 500*time.Millisecond)
		time.Sleep(wait/2 + rand.N(wait/2)) // what a phone does, and nothing waits for it
	}
}

// storm has all phones send their edits, stops the server when some receipts
// are out, starts it again and has all of them come back at once. It gives how
// long it took from the start to the last receipt.
func storm(s *site, all []*knocker) time.Duration {
	s.t.Helper()
	enough := make(chan struct{})
	var receipts atomic.Int64
	for _, c := range all {
		c.told = func() {
			if receipts.Add(1) == int64(len(all)/4) {
				close(enough)
			}
		}
	}
	var before sync.WaitGroup
	for _, c := range all {
		before.Go(func() { _, _ = c.visit() }) // however it ends
	}
	select {
	case <-enough:
	case <-time.After(2 * time.Minute):
		s.t.Fatalf("%d receipts before the storm", receipts.Load())
	}
	s.reopen()
	before.Wait()
	start := time.Now()
	var after sync.WaitGroup
	for _, c := range all {
		after.Go(func() {
			if err := c.persist(start.Add(2 * time.Minute)); err != nil {
				s.t.Error(err)
			}
		})
	}
	after.Wait()
	return time.Since(start)
}

// receipted checks that no edit was refused and that the log has each once.
func receipted(s *site, all []*knocker) {
	s.t.Helper()
	entries, err := s.stored.Range(s.shoot, 0, 1<<30, true)
	if err != nil {
		s.t.Fatal(err)
	}
	times := map[shoot.IntentID]int{}
	for _, e := range entries {
		times[e.Intent.ID]++
	}
	for _, c := range all {
		for _, e := range c.edits {
			if v, has := c.got[e.ID]; !has || v.Result == wire.Refused || times[e.ID] != 1 {
				s.t.Errorf("%s is %d times in the log, with %+v", e.Name, times[e.ID], v)
			}
		}
	}
}

// SPEC S3, S4, V2: a whole crew that comes back at once after the server was
// restarted among its edits, with cursors and without, has every edit taken
// once and none refused.
func TestStorm(t *testing.T) {
	s := newSite(t)
	all := knockers(s, 200, 3)
	for i, c := range all {
		c.fresh = i%2 == 0
	}
	storm(s, all)
	receipted(s, all)
}

// BenchmarkStorm is 5,000 phones that all come back at the same moment, with
// nothing in their caches and an edit waiting: the time until the last of them
// has its receipt.
func BenchmarkStorm(b *testing.B) {
	for _, phones := range []int{500, 5000} {
		b.Run(fmt.Sprintf("phones=%d", phones), func(b *testing.B) {
			for b.Loop() {
				s := newSite(b)
				all := knockers(s, phones, 1)
				for _, c := range all {
					c.fresh = true
				}
				took := storm(s, all)
				receipted(s, all)
				knocks := 0
				for _, c := range all {
					knocks += c.knocks
				}
				b.ReportMetric(took.Seconds(), "s")
				b.ReportMetric(float64(knocks)/float64(phones)-1, "visits/phone")
			}
			b.ReportMetric(0, "ns/op")
		})
	}
}

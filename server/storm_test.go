package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"fairday/domain/shoot"
	"fairday/sync/wire"
	plans "fairday/testdata/demo"
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
	bytes  int // that came
}

// knockers are n phones of the site's shoot, 16 to a session as the limits have it,
// and 1,000 to an address, each with some edits. Every other session is a crew
// member's, who signs in; the others set up.
func knockers(s *site, artDirector, crew shoot.PersonID, n, edits int) []*knocker {
	s.t.Helper()
	day := s.firstDay()
	var all []*knocker
	for len(all) < n {
		who := []shoot.PersonID{artDirector, crew}[len(all)/16%2]
		jar := s.joined(who).Jar
		for range min(16, n-len(all)) {
			c := &knocker{s: s, jar: jar, from: address(len(all) / 1000), device: shoot.DeviceID(s.uuid()), got: map[shoot.IntentID]wire.Verdict{}, told: func() {}}
			for i := range edits {
				e := wire.Edit{ID: shoot.IntentID(s.uuid()), Seq: uint64(i + 1), Name: "setup.set", Version: 1, Happened: s.now(),
					Args: fmt.Appendf(nil, `{"id":%q,"name":"Window","minutes":20,"base":0}`, s.uuid())}
				if who == crew {
					e.Name, e.Args = "punch", fmt.Appendf(nil, `{"day":%q,"people":[%q],"kind":"in"}`, day, crew)
				}
				c.edits = append(c.edits, e)
			}
			all = append(all, c)
		}
	}
	return all
}

// firstDay is the first day that the site's shoot was given.
func (s *site) firstDay() (day shoot.DayID) {
	s.t.Helper()
	entries, err := s.stored.Range(s.shoot, 0, 1<<30, false)
	if err != nil {
		s.t.Fatal(err)
	}
	for _, e := range entries {
		var args struct{ ID shoot.DayID }
		if e.Intent.Name == "day.set" && day == "" {
			if err := json.Unmarshal(e.Intent.Args, &args); err != nil {
				s.t.Fatal(err)
			}
			day = args.ID
		}
	}
	return day
}

// address is one of many that phones come from.
func address(n int) string { return fmt.Sprintf("203.0.113.%d", n%256) }

// visit knocks once and stays until every edit has its receipt. It gives how
// long the server asks it to stay away when it says goodbye before.
func (c *knocker) visit() (wait time.Duration, err error) {
	c.knocks++
	u, err := url.Parse(c.s.base)
	if err != nil {
		return 0, err
	}
	d := websocket.Dialer{Jar: c.jar, HandshakeTimeout: 15 * time.Second} // the patience of the page
	ws, _, err := d.Dial(c.s.socketAt(u), http.Header{"Origin": {c.s.base}, "X-Forwarded-For": {c.from}})
	if err != nil {
		return 0, err
	}
	defer ws.Close()
	hello := wire.Hello{Protocol: wire.Protocol, App: "test", Device: c.device, Cursor: c.cursor, Sent: uint64(len(c.edits))}
	if c.fresh {
		hello.Cursor = ""
	}
	if err := utter(ws, hello); err != nil {
		return 0, err
	}
	for len(c.got) < len(c.edits) {
		if err := ws.SetReadDeadline(time.Now().Add(45 * time.Second)); err != nil { // as SPEC S1
			return 0, err
		}
		kind, text, err := ws.ReadMessage()
		if err != nil {
			return 0, err
		}
		c.bytes += len(text)
		if kind == websocket.BinaryMessage {
			head, _, rest := cut(text)
			if rest, err = unpacked(rest); err != nil { // what it shares is not for this phone alone
				return 0, err
			}
			text = slices.Concat(head, rest)
		}
		if wait, err := c.hear(ws, text); err != nil {
			return wait, err
		}
	}
	return 0, nil
}

var numbered = regexp.MustCompile(`^\{"type":"(snapshot|frame)","n":\d+,"cursor":"([^"]*)"`)

// hear takes a message. What is large is not decoded: thousands of phones share
// the processors with the server here, where each has one of its own in the field.
func (c *knocker) hear(ws *websocket.Conn, text []byte) (wait time.Duration, err error) {
	if part := numbered.FindSubmatch(text); part != nil {
		c.cursor = string(part[2])
		i := bytes.LastIndex(text, []byte(`,"verdicts":[`))
		if string(part[1]) == "snapshot" || i < 0 {
			return 0, nil
		}
		var f wire.Frame
		err = json.Unmarshal(append([]byte{'{'}, text[i+1:]...), &f)
		for _, v := range f.Verdicts {
			c.got[v.ID] = v
			c.told()
		}
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
	case wire.Bye:
		return time.Duration(m.RetryAfter) * time.Millisecond, errors.New(string(m.Code))
	case wire.Expect:
		err = fmt.Errorf("asked for edit %d", m.Seq)
	}
	return 0, err
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

// interrupt has all phones send their edits, stops the server when some receipts
// are out and starts it again.
func interrupt(s *site, all []*knocker) {
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
}

// storm has all phones come back at once, and gives how long it took to the last
// receipt.
func storm(s *site, all []*knocker) time.Duration {
	s.t.Helper()
	start := time.Now()
	var after sync.WaitGroup
	for _, c := range all {
		after.Go(func() {
			if err := c.persist(start.Add(10 * time.Minute)); err != nil {
				s.t.Error(err)
			}
		})
	}
	after.Wait()
	return time.Since(start)
}

// receipted checks that no edit was refused and that the log of the site's shoot has
// each once.
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
	s.packed = true
	all := knockers(s, ari, cleo, 200, 3)
	for i, c := range all {
		c.fresh = i%2 == 0
	}
	interrupt(s, all)
	storm(s, all)
	receipted(s, all)
}

// BenchmarkStorm is a server that has just started and phones that all come back
// to it at the same moment, each with nothing in its cache and an edit waiting: the
// time until the last of them has its receipt. The shoots have 60 shots and 60
// people.
func BenchmarkStorm(b *testing.B) {
	for _, n := range []struct{ shoots, phones int }{{1, 500}, {25, 5000}, {1, 5000}} {
		b.Run(fmt.Sprintf("shoots=%d/phones=%d", n.shoots, n.phones), func(b *testing.B) {
			for b.Loop() {
				s, shoots, people := crowded(b, bigPlan(), n.shoots)
				s.packed = true
				crews := make([][]*knocker, n.shoots)
				var all []*knocker
				for i, id := range shoots {
					s.shoot = id
					crews[i] = knockers(s, of(people, shoot.ArtDirector), of(people, shoot.Crew), n.phones/n.shoots, 1)
					all = append(all, crews[i]...)
				}
				for _, c := range all {
					c.fresh = true
				}
				s.reopen()
				took := storm(s, all)
				knocks, bytes := 0, 0
				for i, id := range shoots {
					s.shoot = id
					receipted(s, crews[i])
				}
				for _, c := range all {
					knocks, bytes = knocks+c.knocks, bytes+c.bytes
				}
				b.ReportMetric(took.Seconds(), "s")
				b.ReportMetric(float64(knocks)/float64(n.phones), "visits/phone")
				b.ReportMetric(float64(bytes)/1000/float64(n.phones), "KB/phone")
			}
			b.ReportMetric(0, "ns/op")
		})
	}
}

// bigPlan is the demo's plan, grown to 60 people and 60 shots.
func bigPlan() []byte {
	r := rand.New(rand.NewPCG(60, 60))
	word := func(from ...string) string { return from[r.IntN(len(from))] }
	var people, shots bytes.Buffer
	for i := range 60 - 18 {
		fmt.Fprintf(&people, "  more-%d: {name: %s %s, role: crew, department: %s, job: %s, phone: 555-01%02d, diet: %s, terms: assistant}\n", i,
			word("Aldo", "Brisa", "Corin", "Dagny", "Elske", "Fenn", "Gita", "Halle", "Ivo"), word("Ashgrove", "Berrick", "Coldwater", "Dunmere", "Eastlow", "Farrowby"),
			word("Camera", "Lights", "Art", "Food", "Production"), word("Assistant", "Runner", "Driver", "Electrician", "Carpenter"), 20+i,
			word("omnivore", "vegetarian", "vegan", "halal"))
	}
	for i := range 60 - 16 {
		thing, place := word("Kettle", "Lamp", "Stool", "Tart", "Bowl", "Jug", "Basket"), word("on the sill", "by the door", "under glass", "on the stair", "in the yard")
		fmt.Fprintf(&shots, "      - {number: %d, title: %s %s, set-up: %s, minutes: %d, priority: %s, crop: %s, fallback: %s without %s, notes: %s}\n", 101+i,
			thing, place, word("long-table", "range", "stair", "bench"), 10+5*r.IntN(5), word("must", "want", "spare"), word("Square", "Wide 3:2", "Upright 4:5"),
			thing, word("hands", "steam", "the cloth", "flowers"), word("Mind the glass", "Quiet on the stair", "The client wants it warm", "Two lamps at most"))
	}
	file := bytes.Replace(plans.File, []byte("\npeople:\n"), append([]byte("\npeople:\n"), people.Bytes()...), 1)
	return bytes.Replace(file, []byte("\n    shots:\n"), append([]byte("\n    shots:\n"), shots.Bytes()...), 1)
}

package main

import (
	"bytes"
	"context"
	"crypto/rand"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/netip"
	"net/url"
	"strings"
	"sync/atomic"
	"testing"
	"testing/fstest"
	"time"

	"github.com/gorilla/websocket"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/server/access"
	"fairday/server/live"
	"fairday/server/store"
	"fairday/server/web"
	"fairday/sync/wire"
)

// The people of the tests' shoot.
const (
	pia  shoot.PersonID = "0191d3f0-0000-7000-8000-0000000000a1" // producer
	ari  shoot.PersonID = "0191d3f0-0000-7000-8000-0000000000a2" // art director
	cleo shoot.PersonID = "0191d3f0-0000-7000-8000-0000000000a3" // crew
	day1 shoot.DayID    = "0191d3f0-0000-7000-8000-0000000000d1"
	// secret is an amount in minor units that crew must not see.
	secret = 7345600
)

// site is a server over a real store and real sockets, with a clock that tests
// turn.
type site struct {
	t      testing.TB
	dir    string
	app    *web.App
	server *httptest.Server
	base   string // address of the server
	shoot  string
	clock  *atomic.Int64 // ms
	ids    atomic.Int64
	stored *store.Store
	phones []*phone           // opened since the server started
	change func(*live.Limits) // of the usual ones, also after a restart; nil for none
	packed bool               // phones that open a socket take packed messages
}

func newSite(t testing.TB) *site {
	t.Helper()
	s := &site{t: t, dir: t.TempDir(), clock: newClock(time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC))}
	s.open(s.dir)
	var err error
	if s.shoot, err = s.app.Shoots.Create(s.plan()); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.close)
	return s
}

func newClock(at time.Time) *atomic.Int64 {
	c := &atomic.Int64{}
	c.Store(at.UnixMilli())
	return c
}

func (s *site) now() when.Instant { return when.Instant(s.clock.Load()) }

func (s *site) open(dir string) {
	s.t.Helper()
	now := func() time.Time { return time.UnixMilli(s.clock.Load()) }
	log := slog.New(slog.DiscardHandler)
	var err error
	if s.stored, err = store.Open(dir, rand.Reader, log); err != nil {
		s.t.Fatal(err)
	}
	client := fstest.MapFS{"index.html": {Data: []byte("<p>the client</p>")}, "assets/a-1234.js": {Data: []byte("plain")},
		"assets/a-1234.js.br": {Data: []byte("packed")}, "sw.js": {Data: []byte("worker")}}
	if s.app, err = web.New(s.stored, client, now, rand.Reader, log); err != nil {
		s.t.Fatal(err)
	}
	s.app.Proxies = []netip.Prefix{netip.MustParsePrefix("127.0.0.1/32")}
	if s.change != nil {
		s.change(&s.app.Sockets.Limits)
	}
	s.server = httptest.NewServer(s.app.Handler())
	s.base = s.server.URL
}

func (s *site) close() {
	s.app.Stop()
	s.server.Close()
	if err := s.stored.Close(); err != nil {
		s.t.Error(err)
	}
}

// reopen stops the server and starts it again over the same folder.
func (s *site) reopen() {
	s.t.Helper()
	for _, p := range s.phones { // they would not answer its farewell
		_ = p.ws.Close()
	}
	s.phones = nil
	s.close()
	s.open(s.dir)
}

// uuid makes an id that no other call makes: a UUIDv7 of the site's time; those of
// one millisecond go up.
func (s *site) uuid() string {
	at := s.clock.Load()
	return fmt.Sprintf("%08x-%04x-7000-9000-%012x", at>>16, at&0xffff, s.ids.Add(1))
}

func (s *site) plan() []shoot.Intent {
	var out []shoot.Intent
	add := func(name string, args string, a ...any) {
		out = append(out, shoot.Intent{ID: shoot.IntentID(s.uuid()), Name: name, Version: 1, Args: json.RawMessage(fmt.Sprintf(args, a...)),
			Actor: shoot.Desk, Happened: s.now()})
	}
	add("shoot.set", `{"title":"Kettles","client":"","base":0}`)
	add("day.set", `{"id":%q,"name":"Day 1","date":"2026-11-25","zone":"Europe/London","base":0}`, day1)
	for _, p := range []struct {
		id   shoot.PersonID
		name string
		role shoot.Role
	}{{pia, "Pia", shoot.Producer}, {ari, "Ari", shoot.ArtDirector}, {cleo, "Cleo", shoot.Crew}} {
		add("person.set", `{"id":%q,"name":%q,"role":%q,"department":"","job":"","phone":"555-0101","base":0}`, p.id, p.name, p.role)
	}
	add("currency.set", `{"currency":"GBP"}`)
	return out
}

// link makes a join link for a person and gives its path.
func (s *site) link(p shoot.PersonID, many bool) string {
	s.t.Helper()
	address, err := s.app.Invite("", access.Link{Shoot: s.shoot, Person: p, Many: many})
	if err != nil {
		s.t.Fatal(err)
	}
	return address
}

// linkFrom has a producer's browser make a join link, and gives its path.
func (s *site) linkFrom(producer *http.Client, p shoot.PersonID) string {
	s.t.Helper()
	r := s.ask(producer, "POST", "/api/links", fmt.Sprintf(`{"person":%q}`, p))
	var made web.Link
	if err := json.Unmarshal([]byte(r.body), &made); err != nil || r.status != http.StatusCreated {
		s.t.Fatalf("no link was made: %d, %s", r.status, r.body)
	}
	return strings.TrimPrefix(made.URL, s.base)
}

// browser is one with cookies that does not follow redirects.
func (s *site) browser() *http.Client {
	jar, err := cookiejar.New(nil)
	if err != nil {
		s.t.Fatal(err)
	}
	return &http.Client{Jar: jar, Timeout: 20 * time.Second,
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
}

// reply is what came back.
type reply struct {
	status int
	header http.Header
	body   string
}

// ask sends a request; headers are "Name: value".
func (s *site) ask(c *http.Client, method, path, body string, headers ...string) reply {
	s.t.Helper()
	req, err := http.NewRequest(method, s.base+path, strings.NewReader(body))
	if err != nil {
		s.t.Fatal(err)
	}
	for _, h := range headers {
		name, value, _ := strings.Cut(h, ": ")
		req.Header.Set(name, value)
	}
	resp, err := c.Do(req)
	if err != nil {
		s.t.Fatal(err)
	}
	defer resp.Body.Close()
	b, err := io.ReadAll(resp.Body)
	if err != nil {
		s.t.Fatal(err)
	}
	return reply{resp.StatusCode, resp.Header, string(b)}
}

// carry gives a browser the cookies that it has from another site.
func (s *site) carry(c *http.Client, from *site) {
	s.t.Helper()
	was, err := url.Parse(from.base)
	if err != nil {
		s.t.Fatal(err)
	}
	now, err := url.Parse(s.base)
	if err != nil {
		s.t.Fatal(err)
	}
	c.Jar.SetCookies(now, c.Jar.Cookies(was))
}

// joined is a browser that has joined as a person.
func (s *site) joined(p shoot.PersonID) *http.Client {
	s.t.Helper()
	c := s.browser()
	if r := s.ask(c, "POST", s.link(p, false), ""); r.status != http.StatusSeeOther {
		s.t.Fatalf("joining gives %d: %s", r.status, r.body)
	}
	return c
}

// phone is a socket of a browser, with what a device counts.
type phone struct {
	s      *site
	ws     *websocket.Conn
	device shoot.DeviceID
	seq    uint64
	cursor string
	frames uint64
	down   bytes.Buffer // all that came
	packed int          // how many messages came packed
	raw    []byte       // the last of them as it came
}

func (s *site) socketAt(u *url.URL) string {
	if s.packed {
		return "ws://" + u.Host + "/sync?packed=1"
	}
	return "ws://" + u.Host + "/sync"
}

// dial opens a socket without a word.
func (s *site) dial(c *http.Client, headers ...string) (*phone, *http.Response, error) {
	u, err := url.Parse(s.base)
	if err != nil {
		s.t.Fatal(err)
	}
	h := http.Header{"Origin": {s.base}}
	for _, line := range headers {
		name, value, _ := strings.Cut(line, ": ")
		h.Set(name, value)
	}
	d := websocket.Dialer{Jar: c.Jar, HandshakeTimeout: 10 * time.Second}
	ws, resp, err := d.DialContext(context.Background(), s.socketAt(u), h)
	if err != nil {
		return nil, resp, err
	}
	s.t.Cleanup(func() { ws.Close() })
	p := &phone{s: s, ws: ws, device: shoot.DeviceID(s.uuid())}
	s.phones = append(s.phones, p)
	return p, resp, nil
}

func (s *site) silent(c *http.Client) *phone {
	s.t.Helper()
	p, _, err := s.dial(c)
	if err != nil {
		s.t.Fatal(err)
	}
	return p
}

// phone opens a socket and says hello.
func (s *site) phone(c *http.Client) *phone {
	s.t.Helper()
	p := s.silent(c)
	p.hello()
	return p
}

func (p *phone) say(m wire.Message) {
	p.s.t.Helper()
	text, err := wire.Encode(m)
	if err != nil {
		p.s.t.Fatal(err)
	}
	p.write(websocket.TextMessage, text)
}

func (p *phone) write(kind int, text []byte) {
	p.s.t.Helper()
	if err := p.ws.WriteMessage(kind, text); err != nil {
		p.s.t.Fatal(err)
	}
}

// hello says hello and waits for the welcome and for all there is to catch up.
func (p *phone) hello() {
	p.s.t.Helper()
	p.frames = 0
	p.say(wire.Hello{Protocol: wire.Protocol, App: "test", Device: p.device, Cursor: p.cursor, Sent: p.seq})
	if m, ok := p.next().(wire.Welcome); !ok || m.Expect != p.seq+1 {
		p.s.t.Fatalf("hello is answered with %#v", m)
	}
	p.say(wire.Ping{N: 1})
	for {
		if _, ok := p.next().(wire.Pong); ok {
			return
		}
	}
}

// next is the next message; it checks the numbers of frames.
func (p *phone) next() wire.Message {
	p.s.t.Helper()
	if err := p.ws.SetReadDeadline(time.Now().Add(20 * time.Second)); err != nil {
		p.s.t.Fatal(err)
	}
	kind, text, err := p.ws.ReadMessage()
	if err == nil && kind == websocket.BinaryMessage {
		p.packed, p.raw = p.packed+1, text
		text, err = unpacked(text)
	}
	if err != nil {
		p.s.t.Fatalf("no message: %v", err)
	}
	p.down.Write(text)
	m, err := wire.DecodeDown(text)
	if err != nil {
		p.s.t.Fatalf("%s: %v", text, err)
	}
	switch m := m.(type) {
	case wire.Frame:
		p.numbered(m.N, m.Cursor)
	case wire.Snapshot:
		p.numbered(m.N, m.Cursor)
	}
	return m
}

func (p *phone) numbered(n uint64, cursor string) {
	p.s.t.Helper()
	if p.frames++; n != p.frames {
		p.s.t.Fatalf("frame %d where %d comes next", n, p.frames)
	}
	p.cursor = cursor
}

// edit makes the device's next edit.
func (p *phone) edit(name, args string, a ...any) wire.Edit {
	p.seq++
	return wire.Edit{ID: shoot.IntentID(p.s.uuid()), Seq: p.seq, Name: name, Version: 1, Args: json.RawMessage(fmt.Sprintf(args, a...)), Happened: p.s.now()}
}

// setup is an edit that an art director may always make.
func (p *phone) setup() wire.Edit {
	return p.edit("setup.set", `{"id":%q,"name":"Window","minutes":20,"base":0}`, p.s.uuid())
}

// verdicts reads on until each of some edits has its verdict.
func (p *phone) verdicts(edits ...wire.Edit) map[shoot.IntentID]wire.Verdict {
	p.s.t.Helper()
	got := map[shoot.IntentID]wire.Verdict{}
	for len(got) < len(edits) {
		switch m := p.next().(type) {
		case wire.Frame:
			for _, v := range m.Verdicts {
				got[v.ID] = v
			}
		case wire.Bye, wire.Expect:
			p.s.t.Fatalf("instead of verdicts there came %+v", m)
		}
	}
	return got
}

// send sends edits and waits for their verdicts.
func (p *phone) send(edits ...wire.Edit) map[shoot.IntentID]wire.Verdict {
	p.s.t.Helper()
	p.say(wire.Edits{Edits: edits})
	return p.verdicts(edits...)
}

// accepted sends an edit that must be accepted.
func (p *phone) accepted(e wire.Edit) {
	p.s.t.Helper()
	if v := p.send(e)[e.ID]; v.Result != wire.Accepted {
		p.s.t.Fatalf("%s: %+v, %+v", e.Name, v, v.Refusal)
	}
}

// bye reads on to the farewell and checks that the socket closes behind it.
func (p *phone) bye() wire.Bye {
	p.s.t.Helper()
	for {
		m, ok := p.next().(wire.Bye)
		if !ok {
			continue
		}
		if _, _, err := p.ws.ReadMessage(); !websocket.IsCloseError(err, websocket.CloseNormalClosure) {
			p.s.t.Errorf("after bye there came %v", err)
		}
		return m
	}
}

// sees reads on until a frame holds a text.
func (p *phone) sees(text string) {
	p.s.t.Helper()
	for {
		if f, ok := p.next().(wire.Frame); ok {
			for _, e := range f.Events {
				if strings.Contains(string(e), text) {
					return
				}
			}
		}
	}
}

// silentHello opens a socket and says hello without waiting for an answer.
func (s *site) silentHello(c *http.Client) *phone {
	s.t.Helper()
	p := s.silent(c)
	p.say(wire.Hello{Protocol: wire.Protocol, App: "test", Device: p.device})
	return p
}

package main

import (
	"net/http"
	"strings"
	"testing"
	"time"
)

// Whose count a request is on.
func TestAddressOf(t *testing.T) {
	for _, c := range []struct{ from, forwarded, want string }{
		{"203.0.113.7:4711", "", "203.0.113.7"},
		{"203.0.113.7:4711", "198.51.100.1", "203.0.113.7"}, // anybody can write that
		{"127.0.0.1:4711", "198.51.100.1, 203.0.113.9", "203.0.113.9"},
		{"10.0.0.2:4711", "nonsense", "10.0.0.2"},
		{"[2001:db8:1:2:3::4]:4711", "", "2001:db8:1:2::/64"},
		{"[::ffff:203.0.113.7]:4711", "", "203.0.113.7"},
		{"[::1]:4711", "2001:db8:1:2:ffff::1", "2001:db8:1:2::/64"},
	} {
		r := &http.Request{RemoteAddr: c.from, Header: http.Header{}}
		if c.forwarded != "" {
			r.Header.Set("X-Forwarded-For", c.forwarded)
		}
		if got := addressOf(r); got != c.want {
			t.Errorf("%s, %q: got %s", c.from, c.forwarded, got)
		}
	}
}

func TestMeter(t *testing.T) {
	now := time.UnixMilli(0)
	m := newMeter(0.5, 2, 2)
	for _, a := range []string{"a", "a", "b", "c"} {
		m.count(now, a)
	}
	for a, want := range map[string]time.Duration{"a": 2 * time.Second, "b": 0, "c": 0, "d": 0} {
		if got := m.wait(now, a); got != want {
			t.Errorf("%s waits %v", a, got)
		}
	}
	m.count(now, "d") // shares with c
	if m.wait(now, "c") == 0 || m.wait(now, "e") == 0 {
		t.Error("those who are not remembered have no count in common")
	}
	if len(m.each) != 2 {
		t.Errorf("%d are remembered", len(m.each))
	}
	later := now.Add(4 * time.Second)
	m.count(later, "e")
	if got := m.wait(later, "a"); got != 0 || len(m.each) != 1 {
		t.Errorf("later a waits %v and %d are remembered", got, len(m.each))
	}
}

// An address that comes with many links that do not work is told when to come
// again; others are not concerned, nor is whoever has one that works in between.
func TestTriesAreLimited(t *testing.T) {
	s := newSite(t)
	good := s.link(cleo, true)
	for range usual().tries {
		if r := s.ask(s.browser(), "POST", "/join/nothing", ""); r.status != http.StatusNotFound {
			t.Fatalf("%d: %s", r.status, r.body)
		}
	}
	for _, method := range []string{"GET", "POST"} {
		r := s.ask(s.browser(), method, good, "")
		if r.status != http.StatusTooManyRequests || r.header.Get("Retry-After") != "5" || !strings.Contains(r.body, "Wait a minute") {
			t.Errorf("%s: %d, %q: %s", method, r.status, r.header.Get("Retry-After"), r.body)
		}
	}
	if r := s.ask(s.browser(), "POST", good, "", "X-Forwarded-For: 203.0.113.5"); r.status != http.StatusSeeOther {
		t.Errorf("another address gets %d", r.status)
	}
	s.clock.Add(5000)
	if r := s.ask(s.browser(), "POST", good, ""); r.status != http.StatusSeeOther {
		t.Errorf("afterwards it gets %d", r.status)
	}
}

// A shoot that nobody asks for leaves memory, and is there again when somebody
// does.
func TestIdleShootsLeaveMemory(t *testing.T) {
	s := newSite(t)
	s.app.sockets.limits.keep = time.Millisecond
	c := s.joined(ari)
	p := s.phone(c)
	p.accepted(p.setup())
	r, err := s.app.shoots.get(s.shoot)
	if err != nil {
		t.Fatal(err)
	}
	loaded := func() bool {
		said := make(chan bool, 1)
		if err := r.submit(func() { said <- r.desk != nil }); err != nil {
			t.Fatal(err)
		}
		return <-said
	}
	if !loaded() {
		t.Error("it left memory while a phone listened")
	}
	_ = p.ws.Close()
	until(t, "it stays in memory", func() bool { return !loaded() })
	p = s.phone(c)
	p.accepted(p.setup())
	if n := strings.Count(p.down.String(), `"Window"`); n < 2 {
		t.Errorf("%d set-ups", n)
	}
}

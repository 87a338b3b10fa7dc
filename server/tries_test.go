package main

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"fairday/server/live"
)

// An address that comes with many links that do not work is told when to come
// again; others are not concerned, nor is whoever has one that works, whether from
// that address or another one.
func TestTriesAreLimited(t *testing.T) {
	s := newSite(t)
	good := s.link(cleo, true)
	for range live.Usual().Tries {
		if r := s.ask(s.browser(), "POST", "/join/nothing", ""); r.status != http.StatusNotFound {
			t.Fatalf("%d: %s", r.status, r.body)
		}
	}
	for _, method := range []string{"GET", "POST"} {
		r := s.ask(s.browser(), method, "/join/nothing", "")
		if r.status != http.StatusTooManyRequests || r.header.Get("Retry-After") != "5" || !strings.Contains(r.body, "Wait a minute") {
			t.Errorf("%s: %d, %q: %s", method, r.status, r.header.Get("Retry-After"), r.body)
		}
	}
	if r := s.ask(s.browser(), "POST", good, ""); r.status != http.StatusSeeOther {
		t.Errorf("a link that works gets %d", r.status)
	}
	if r := s.ask(s.browser(), "POST", "/join/nothing", "", "X-Forwarded-For: 203.0.113.5"); r.status != http.StatusNotFound {
		t.Errorf("another address gets %d", r.status)
	}
	s.clock.Add(5000)
	if r := s.ask(s.browser(), "POST", "/join/nothing", ""); r.status != http.StatusNotFound {
		t.Errorf("afterwards it gets %d", r.status)
	}
}

// A shoot that nobody asks for leaves memory, and is there again when somebody
// does.
func TestIdleShootsLeaveMemory(t *testing.T) {
	s := newSite(t)
	s.app.Sockets.Limits.UnloadAfter = time.Millisecond
	c := s.joined(ari)
	p := s.phone(c)
	p.accepted(p.setup())
	r, err := s.app.Shoots.Get(s.shoot)
	if err != nil {
		t.Fatal(err)
	}
	loaded := func() bool {
		in, err := r.Loaded(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		return in
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

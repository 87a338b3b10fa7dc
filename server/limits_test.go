package main

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"fairday/server/live"
	"fairday/server/web"
	"fairday/sync/wire"
)

// until waits for what happens on the server's own account.
func until(t *testing.T, what string, done func() bool) {
	t.Helper()
	for end := time.Now().Add(20 * time.Second); !done(); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatal(what)
		}
	}
}

// places is how many sockets are counted at an address.
func (s *site) places(address string) int {
	return s.app.Sockets.At(address)
}

// An address has so many places for sockets, and a few more in which it is said
// why nobody may stay. Another address, and who is connected already, notice
// nothing, and whoever leaves makes room.
func TestCrowdedAddress(t *testing.T) {
	s := limited(t, func(l *live.Limits) { l.FromAddress, l.Farewells, l.Write, l.Drain = 2, 2, time.Minute, time.Minute })
	ended := s.joined(ari)
	s.clock.Add(int64(web.SessionLife/time.Millisecond) + 1)
	const studio, other = "203.0.113.5", "198.51.100.7"
	crew := s.joined(cleo)
	var open []*phone
	for _, c := range []struct {
		name, from string
		who        *http.Client
		hears      wire.Code // "" for a welcome
		status     int
	}{
		{"the first", studio, s.joined(ari), "", 101},
		{"another session", studio, crew, "", 101},
		{"one too many", studio, crew, wire.CodeCrowded, 101},
		{"one too many, signed out", studio, ended, wire.CodeSignedOut, 101},
		{"not even for a farewell", studio, s.joined(pia), "", 429},
		{"the same session elsewhere", other, crew, "", 101},
		{"half an address", "2001:db8:1:2::3", crew, "", 101},
		{"the other half", "2001:db8:1:2:ffff::4", crew, "", 101},
		{"too many for both", "2001:db8:1:2:aaaa::5", crew, wire.CodeCrowded, 101},
		{"the address beside it", "2001:db8:1:3::3", crew, "", 101},
	} {
		p, resp, err := s.dial(c.who, "X-Forwarded-For: "+c.from)
		if resp == nil || resp.StatusCode != c.status {
			t.Fatalf("%s: %v, %v", c.name, resp, err)
		}
		if c.status != 101 {
			if resp.Header.Get("Retry-After") != "20" {
				t.Errorf("%s: %v", c.name, resp.Header)
			}
			continue
		}
		open = append(open, p)
		if c.hears == "" {
			p.hello()
			continue
		}
		if b, ok := p.next().(wire.Bye); !ok || b.Code != c.hears || (b.Code == wire.CodeCrowded) != (b.RetryAfter > 0) {
			t.Errorf("%s: hears %+v", c.name, b)
		}
	}
	if n := s.places(studio); n != 4 {
		t.Errorf("%d places are taken", n)
	}
	open[1].accepted(open[1].edit("punch", `{"day":%q,"people":[%q],"kind":"in"}`, day1, cleo))
	open[0].sees(string(cleo))

	for _, p := range open[1:4] { // one that was welcome and two that were not
		_ = p.ws.Close()
	}
	until(t, "who left keeps the place", func() bool { return s.places(studio) == 1 })
	p, _, err := s.dial(s.joined(pia), "X-Forwarded-For: "+studio)
	if err != nil {
		t.Fatal(err)
	}
	p.hello()
	for _, p := range append(open, p) {
		_ = p.ws.Close()
	}
	until(t, "addresses without sockets are remembered", func() bool {
		return s.app.Sockets.Addresses() == 0
	})
}

// A request that does not become a socket takes no place.
func TestNoSocketNoPlace(t *testing.T) {
	s := limited(t, func(l *live.Limits) { l.FromAddress, l.Farewells = 1, 0 })
	c := s.joined(cleo)
	for range 3 {
		if r := s.ask(c, "GET", "/sync", "", "Connection: Upgrade", "Upgrade: websocket", "Sec-WebSocket-Version: 7", "Origin: "+s.base); r.status != http.StatusBadRequest {
			t.Fatalf("%d: %s", r.status, r.body)
		}
	}
	s.phone(c)
	if r := s.ask(c, "GET", "/sync", "", "Connection: Upgrade", "Upgrade: websocket", "Origin: "+s.base); r.status != http.StatusTooManyRequests ||
		r.header.Get("Retry-After") != "20" || !strings.Contains(r.body, `"crowded"`) {
		t.Errorf("%d, %v: %s", r.status, r.header, r.body)
	}
}

package main

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"
)

// Passkeys are for producers and owners, on a server that has a name; an answer
// without its question, or after it ran out, lets nobody in.
func TestPasskeyRequests(t *testing.T) {
	s := newSite(t)
	for who, c := range map[string]*http.Client{"crew": s.joined(cleo), "art director": s.joined(ari), "stranger": s.browser()} {
		for _, ask := range []struct{ method, path string }{{"GET", "/passkeys"}, {"POST", "/api/passkeys/ask?for=" + s.shoot}, {"POST", "/passkeys/end"}} {
			if r := s.ask(c, ask.method, ask.path, ""); r.status != http.StatusForbidden {
				t.Errorf("%s, %s %s: %d", who, ask.method, ask.path, r.status)
			}
		}
	}
	producer := s.joined(pia)
	if r := s.ask(producer, "GET", "/passkeys", ""); r.status != 200 || !strings.Contains(r.body, "has no name") || strings.Contains(r.body, "data-add") {
		t.Errorf("at an address without a name: %d %s", r.status, r.body)
	}
	if r := s.ask(s.browser(), "POST", "/api/passkey/ask", ""); r.status != http.StatusConflict {
		t.Errorf("at an address without a name: %d", r.status)
	}
	s.app.Base = &url.URL{Scheme: "http", Host: "shoot.example.com"}
	origin := "Origin: http://shoot.example.com"
	if r := s.ask(producer, "POST", "/api/passkeys/ask?for="+s.shoot, "", origin); r.status != 200 || !strings.Contains(r.body, `"id":"shoot.example.com"`) {
		t.Errorf("asked to add one: %d %s", r.status, r.body)
	}
	if r := s.ask(producer, "POST", "/api/passkeys/ask?for=house", "", origin); r.status != http.StatusForbidden {
		t.Errorf("a producer asked to add an owner's: %d %s", r.status, r.body)
	}
	c := s.browser()
	if r := s.ask(c, "POST", "/api/passkey", `{"id":"x"}`, origin); r.status != http.StatusGone || !strings.Contains(r.body, "passkey_late") {
		t.Errorf("an answer without a question: %d %s", r.status, r.body)
	}
	for name, after := range map[string]time.Duration{"in time": time.Minute, "late": 6 * time.Minute} {
		asked := s.ask(c, "POST", "/api/passkey/ask", "", origin)
		if asked.status != 200 {
			t.Fatal(asked)
		}
		cookie, _, _ := strings.Cut(asked.header.Get("Set-Cookie"), ";") // its end is by the site's clock
		s.clock.Add(after.Milliseconds())
		want := http.StatusForbidden
		if name == "late" {
			want = http.StatusGone
		}
		for i, body := range []string{`{"id":"x"}`, `{"id":"x"}`} { // each question is answered once
			if i > 0 {
				want = http.StatusGone
			}
			if r := s.ask(c, "POST", "/api/passkey", body, origin, "Cookie: "+cookie); r.status != want {
				t.Errorf("a wrong answer, %s: %d %s", name, r.status, r.body)
			}
		}
	}
}

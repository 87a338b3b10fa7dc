package main

import (
	"encoding/json"
	"regexp"
	"strings"
	"testing"

	"fairday/domain/shoot"
	"fairday/server/web"
)

var firstBlock = regexp.MustCompile(`(?s)^<p>the client</p><script type="application/json" id="first">(.*)</script>\n$`)

// The page brings a person's first screens and nobody else's, and no cache keeps it.
func TestFirstScreens(t *testing.T) {
	s := newSite(t)
	for who, c := range map[shoot.PersonID]struct {
		opens       string
		has, hasNot []string
	}{
		pia:  {"overtime {}", []string{`"name":"Pia"`, "£"}, nil},
		ari:  {"shots {}", []string{`"name":"Ari"`}, []string{"£", "7345600"}},
		cleo: {"callsheet {}", []string{`"name":"Cleo"`}, []string{"£", "7345600"}},
	} {
		r := s.ask(s.joined(who), "GET", "/", "", "Accept-Encoding: identity")
		if r.status != 200 || r.header.Get("Cache-Control") != "private, no-store" || r.header.Get("ETag") != "" {
			t.Errorf("%s: %d, %v", who, r.status, r.header)
		}
		m := firstBlock.FindStringSubmatch(r.body)
		if m == nil {
			t.Fatalf("%s gets %s", who, r.body)
		}
		var first web.FirstScreens
		if err := json.Unmarshal([]byte(m[1]), &first); err != nil {
			t.Fatal(err)
		}
		if first.Me.Person != who || len(first.Views) != 2 || first.Views["shell {}"].View == nil || first.Views[c.opens].View == nil {
			t.Errorf("%s gets %s", who, m[1])
		}
		for _, w := range c.has {
			if !strings.Contains(m[1], w) {
				t.Errorf("%s does not read %q: %s", who, w, m[1])
			}
		}
		for _, w := range c.hasNot {
			if strings.Contains(m[1], w) {
				t.Errorf("%s reads %q", who, w)
			}
		}
		if strings.ContainsAny(m[1], "<>&") {
			t.Errorf("%s: a browser could read the block as more than data", who)
		}
	}
}

// Whoever has no session, a made-up one, one that was left or one that was withdrawn
// gets the page that is the same for all.
func TestFirstScreensAreForNobodyElse(t *testing.T) {
	s := newSite(t)
	left, withdrawn := s.joined(cleo), s.joined(cleo)
	if r := s.ask(left, "POST", "/api/leave", ""); r.status != 204 {
		t.Fatal(r)
	}
	producer := s.phone(s.joined(pia))
	producer.accepted(producer.edit("person.access", `{"person":%q,"revoked":true}`, cleo))
	for name, c := range map[string]struct {
		headers []string
	}{"nobody": {}, "made up": {[]string{"Cookie: fairday=abc"}}} {
		if r := s.ask(s.browser(), "GET", "/", "", append(c.headers, "Accept-Encoding: identity")...); r.body != "<p>the client</p>" || r.header.Get("Cache-Control") != "no-cache" {
			t.Errorf("%s gets %s, %v", name, r.body, r.header)
		}
	}
	for name, c := range map[string]reply{
		"left":      s.ask(left, "GET", "/", "", "Accept-Encoding: identity"),
		"withdrawn": s.ask(withdrawn, "GET", "/", "", "Accept-Encoding: identity"),
		"shell":     s.ask(s.joined(ari), "GET", "/index.html", "", "Accept-Encoding: identity"),
	} {
		if c.body != "<p>the client</p>" {
			t.Errorf("%s gets %s", name, c.body)
		}
	}
}

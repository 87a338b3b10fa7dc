package main

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"fairday/domain/when"
	"fairday/server/web"
)

// tally counts what a request may change.
type tally struct{ sessions, links, entries int }

func (s *site) tally() tally {
	s.t.Helper()
	sessions, links, err := s.stored.Count()
	if err != nil {
		s.t.Fatal(err)
	}
	got, err := s.stored.Range(s.shoot, 0, 10_000, true)
	if err != nil {
		s.t.Fatal(err)
	}
	return tally{sessions, links, len(got)}
}

// What each route answers: to whom, with what and without what, and what it
// changes.
func TestRequests(t *testing.T) {
	s := newSite(t)
	crew, producer, director, stranger := s.joined(cleo), s.joined(pia), s.joined(ari), s.browser()
	gone := s.link(cleo, false)
	if r := s.ask(s.browser(), "POST", gone, ""); r.status != 303 {
		t.Fatal(r)
	}
	link := s.link(cleo, false)
	hello := func(device string) string {
		return fmt.Sprintf(`{"hello":{"protocol":1,"app":"","device":%q,"cursor":"","generation":"","sent":0},"edits":[]}`, device)
	}
	own := "Origin: " + s.server.URL
	for name, c := range map[string]struct {
		who          *http.Client
		method, path string
		body         string
		headers      []string
		status       int
		has, hasNot  []string
		changes      tally
	}{
		"health":                 {who: stranger, method: "GET", path: "/healthz", status: 200, has: []string{"ok"}},
		"start page":             {who: stranger, method: "GET", path: "/", status: 200, has: []string{"the client"}},
		"head of start page":     {who: stranger, method: "HEAD", path: "/", status: 200, hasNot: []string{"client"}},
		"no such page":           {who: stranger, method: "GET", path: "/nothing", status: 404, has: []string{"There is nothing here"}},
		"out of the folder":      {who: stranger, method: "GET", path: "/../app.go", status: 404, hasNot: []string{"package"}},
		"no such method":         {who: stranger, method: "DELETE", path: "/api/me", status: 405, has: []string{`"bad_method"`}},
		"no demo here":           {who: producer, method: "GET", path: "/demo", status: 404, hasNot: []string{"/join/"}},
		"me, nobody":             {who: stranger, method: "GET", path: "/api/me", status: 401, has: []string{`"no_session"`, "join link"}, hasNot: []string{"Pia", "Kettles", "demo"}},
		"me":                     {who: crew, method: "GET", path: "/api/me", status: 200, has: []string{`"name":"Cleo"`, `"role":"crew"`, `"roleLabel":"Crew"`, `"title":"Kettles"`, s.shoot, string(cleo)}},
		"me, made-up session":    {who: stranger, method: "GET", path: "/api/me", headers: []string{"Cookie: fairday=abc"}, status: 401, has: []string{`"no_session"`}},
		"join page":              {who: stranger, method: "GET", path: link, status: 200, has: []string{"Cleo", "Crew", "Kettles", `<form method="post">`, "Join as Cleo"}},
		"join page, used":        {who: stranger, method: "GET", path: gone, status: 410, has: []string{"was used already", "ask the producer"}, hasNot: []string{"Cleo"}},
		"join page, unknown":     {who: stranger, method: "GET", path: "/join/abc", status: 404, has: []string{"not known here"}},
		"join, used":             {who: stranger, method: "POST", path: gone, status: 410, has: []string{"was used already"}},
		"join, unknown":          {who: stranger, method: "POST", path: "/join/abc", status: 404},
		"join, other site":       {who: stranger, method: "POST", path: link, headers: []string{"Origin: https://example.com"}, status: 403, has: []string{"another site"}},
		"join, origin null":      {who: stranger, method: "POST", path: link, headers: []string{"Origin: null"}, status: 403},
		"links, nobody":          {who: stranger, method: "POST", path: "/api/links", body: `{"person":"` + string(cleo) + `"}`, status: 401, has: []string{`"no_session"`}},
		"links, crew":            {who: crew, method: "POST", path: "/api/links", body: `{"person":"` + string(cleo) + `"}`, status: 403, has: []string{`"not_allowed"`}},
		"links, producer":        {who: producer, method: "POST", path: "/api/links", body: `{"person":"` + string(ari) + `"}`, headers: []string{own}, status: 201, has: []string{"/join/", "Ari", `"until"`, `svg`}, changes: tally{links: 1}},
		"links, for nobody":      {who: producer, method: "POST", path: "/api/links", body: `{"person":"x"}`, status: 404, has: []string{`"unknown_person"`}},
		"links, no JSON":         {who: producer, method: "POST", path: "/api/links", body: `person`, status: 400, has: []string{`"malformed"`}},
		"links, unknown field":   {who: producer, method: "POST", path: "/api/links", body: `{"person":"x","role":"producer"}`, status: 400},
		"links, much":            {who: producer, method: "POST", path: "/api/links", body: `{"person":"` + strings.Repeat("x", 400<<10) + `"}`, status: 413, has: []string{`"too_large"`}},
		"links, other site":      {who: producer, method: "POST", path: "/api/links", body: `{"person":"` + string(cleo) + `"}`, headers: []string{"Origin: http://evil.example.com"}, status: 403, has: []string{`"bad_origin"`}},
		"plan, nobody":           {who: stranger, method: "GET", path: "/api/screens/plan", status: 401, has: []string{`"no_session"`}, hasNot: []string{"Kettles"}},
		"plan, crew":             {who: crew, method: "GET", path: "/api/screens/plan", status: 403, has: []string{`"not_allowed"`, "art director change"}, hasNot: []string{"Kettles", "555-01"}},
		"plan, director":         {who: director, method: "GET", path: "/api/screens/plan?day=" + string(day1), status: 200, has: []string{`"shot.set"`, `"person":"` + string(ari), `"made"`}, hasNot: []string{"Withdraw access", "null"}},
		"plan, producer":         {who: producer, method: "GET", path: "/api/screens/plan?day=no-such-day", status: 200, has: []string{"Withdraw access", "Kettles"}},
		"terms, director":        {who: director, method: "GET", path: "/api/screens/terms?of=" + string(cleo), status: 403, has: []string{`"not_allowed"`}, hasNot: []string{"Rate", "450"}},
		"terms, producer":        {who: producer, method: "GET", path: "/api/screens/terms?of=" + string(cleo), status: 200, has: []string{`"terms.set"`, "Cleo"}},
		"terms, of nobody":       {who: producer, method: "GET", path: "/api/screens/terms?of=x", status: 200, has: []string{"not on the shoot any more"}, hasNot: []string{`"terms.rate"`}},
		"a near screen":          {who: producer, method: "GET", path: "/api/screens/overtime", status: 404, has: []string{`"not_found"`}},
		"wrap report, nobody":    {who: stranger, method: "GET", path: "/wrap", status: 401, has: []string{"You have not joined yet"}},
		"wrap report, crew":      {who: crew, method: "GET", path: "/wrap", status: 403, has: []string{"That is for the producer"}},
		"wrap report, producer":  {who: producer, method: "GET", path: "/wrap?day=" + string(day1), status: 200, has: []string{"Wrap report", "Day 1", "Overtime</h2>"}, hasNot: []string{"<no value>"}},
		"wrap report, director":  {who: director, method: "GET", path: "/wrap?day=nothing", status: 200, has: []string{"Wrap report"}, hasNot: []string{"Overtime</h2>", "Together", "£"}},
		"punches, crew":          {who: crew, method: "GET", path: "/wrap/punches.csv", status: 403},
		"punches, producer":      {who: producer, method: "GET", path: "/wrap/punches.csv", status: 200, has: []string{"date,person,role,department,job,punch,time,zone,instant,reported by\r\n"}},
		"leave, other site":      {who: producer, method: "POST", path: "/api/leave", headers: []string{"Origin: http://evil.example.com"}, status: 403},
		"leave, nobody":          {who: stranger, method: "POST", path: "/api/leave", status: 204},
		"sync, no socket":        {who: crew, method: "GET", path: "/sync", status: 400, has: []string{`"malformed"`}},
		"sync by post":           {who: crew, method: "POST", path: "/sync", body: hello(s.uuid()), headers: []string{own}, status: 200, has: []string{`"welcome"`, `"snapshot"`}, hasNot: []string{"GBP"}},
		"sync by post, producer": {who: producer, method: "POST", path: "/sync", body: hello(s.uuid()), status: 200, has: []string{"GBP"}},
		"sync by post, nobody":   {who: stranger, method: "POST", path: "/sync", body: hello(s.uuid()), status: 401, has: []string{`"no_session"`}},
		"sync by post, site":     {who: crew, method: "POST", path: "/sync", body: hello(s.uuid()), headers: []string{"Origin: http://evil.example.com"}, status: 403},
		"sync by post, bad":      {who: crew, method: "POST", path: "/sync", body: `{"hello":1}`, status: 400, has: []string{`[{"type":"bye","code":"malformed"`}},
		"sync by post, no hello": {who: crew, method: "POST", path: "/sync", body: `{"edits":[]}`, status: 400, has: []string{`"malformed"`}},
		"sync by post, large":    {who: crew, method: "POST", path: "/sync", body: strings.Repeat(" ", 257<<10), status: 413, has: []string{`"too_large"`}},
		"sync by post, larger":   {who: crew, method: "POST", path: "/sync", body: strings.Repeat(" ", 400<<10), status: 413, has: []string{`"too_large"`}},
		"sync by post, protocol": {who: crew, method: "POST", path: "/sync", body: strings.Replace(hello(s.uuid()), `"protocol":1`, `"protocol":99`, 1), status: 200, has: []string{`"bye"`, `"protocol"`}},
	} {
		t.Run(name, func(t *testing.T) {
			before := s.tally()
			r := s.ask(c.who, c.method, c.path, c.body, c.headers...)
			if r.status != c.status {
				t.Errorf("status %d, want %d: %.300s", r.status, c.status, r.body)
			}
			for _, text := range c.has {
				if !strings.Contains(r.body, text) {
					t.Errorf("%q is missing in %.500s", text, r.body)
				}
			}
			for _, text := range c.hasNot {
				if strings.Contains(r.body, text) {
					t.Errorf("%q is in %.500s", text, r.body)
				}
			}
			before.links += c.changes.links
			if after := s.tally(); after != before {
				t.Errorf("afterwards there are %+v, want %+v", after, before)
			}
			if p := r.header.Get("Content-Security-Policy"); !strings.Contains(p, "'wasm-unsafe-eval'") || r.header.Get("X-Content-Type-Options") != "nosniff" {
				t.Errorf("the headers are %v", r.header)
			}
		})
	}
}

// A link works once; its page, as often as a preview fetches it.
func TestJoin(t *testing.T) {
	s := newSite(t)
	link := s.link(cleo, false)
	for range 3 {
		if r := s.ask(s.browser(), "GET", link, ""); r.status != 200 || len(r.header["Set-Cookie"]) > 0 {
			t.Fatalf("the page gives %d, %v", r.status, r.header)
		}
	}
	c := s.browser()
	r := s.ask(c, "POST", link, "", "Origin: "+s.server.URL)
	if r.status != 303 || r.header.Get("Location") != "/" {
		t.Fatalf("joining gives %d, %v", r.status, r.header)
	}
	cookie := r.header.Get("Set-Cookie")
	for _, want := range []string{"HttpOnly", "SameSite=Lax", "Path=/", "Expires="} {
		if !strings.Contains(cookie, want) {
			t.Errorf("%q is missing in %q", want, cookie)
		}
	}
	if strings.Contains(cookie, "Secure") {
		t.Errorf("%q is for https only", cookie)
	}
	if r := s.ask(c, "POST", link, ""); r.status != 303 { // pressed twice
		t.Errorf("the same browser again: %d", r.status)
	}
	if r := s.ask(s.browser(), "POST", link, ""); r.status != 410 {
		t.Errorf("another browser: %d", r.status)
	}
	r = s.ask(s.browser(), "POST", s.link(cleo, false), "", "X-Forwarded-Proto: https")
	if !strings.Contains(r.header.Get("Set-Cookie"), "Secure") {
		t.Errorf("behind https the cookie is %q", r.header.Get("Set-Cookie"))
	}
	many := s.link(ari, true)
	for range 2 {
		if r := s.ask(s.browser(), "POST", many, ""); r.status != 303 {
			t.Errorf("a link for many: %d", r.status)
		}
	}
}

// Joining as somebody else ends what the browser was before.
func TestJoinAsAnother(t *testing.T) {
	s := newSite(t)
	c := s.joined(cleo)
	p := s.phone(c)
	link := s.link(ari, false)
	if r := s.ask(c, "GET", link, ""); !strings.Contains(r.body, "you are Cleo") {
		t.Errorf("the page does not warn: %s", r.body)
	}
	if r := s.ask(c, "POST", link, ""); r.status != 303 {
		t.Fatal(r)
	}
	if b := p.bye(); b.Code != "signed_out" {
		t.Errorf("the old socket hears %s", b.Code)
	}
	if r := s.ask(c, "GET", "/api/me", ""); !strings.Contains(r.body, `"name":"Ari"`) {
		t.Errorf("now it is %s", r.body)
	}
}

// Links end after 14 days, sessions 30 days after their last use.
func TestExpiry(t *testing.T) {
	s := newSite(t)
	const day = int64(24 * time.Hour / time.Millisecond)
	link := s.link(cleo, false)
	s.clock.Add(14*day - 1)
	if r := s.ask(s.browser(), "GET", link, ""); r.status != 200 {
		t.Errorf("before its end the link gives %d", r.status)
	}
	s.clock.Add(1)
	for _, method := range []string{"GET", "POST"} {
		if r := s.ask(s.browser(), method, link, ""); r.status != 410 || !strings.Contains(r.body, "has run out") || !strings.Contains(r.body, "Ask the producer") {
			t.Errorf("after its end %s gives %d, %s", method, r.status, r.body)
		}
	}
	c := s.joined(cleo)
	for range 3 {
		s.clock.Add(29 * day)
		r := s.ask(c, "GET", "/api/me", "")
		if r.status != 200 || r.header.Get("Set-Cookie") == "" {
			t.Fatalf("after 29 days: %d, %v", r.status, r.header)
		}
		if r := s.ask(c, "GET", "/api/me", ""); r.header.Get("Set-Cookie") != "" {
			t.Error("the session moves with every request")
		}
	}
	s.clock.Add(30 * day)
	if r := s.ask(c, "GET", "/api/me", ""); r.status != 401 {
		t.Errorf("after 30 days: %d", r.status)
	}
}

func TestLeave(t *testing.T) {
	s := newSite(t)
	c, other := s.joined(cleo), s.joined(cleo)
	p := s.phone(c)
	if r := s.ask(c, "POST", "/api/leave", ""); r.status != 204 || !strings.Contains(r.header.Get("Set-Cookie"), "Max-Age=0") {
		t.Fatalf("leaving gives %d, %v", r.status, r.header)
	}
	if b := p.bye(); b.Code != "signed_out" {
		t.Errorf("the socket hears %s", b.Code)
	}
	if r := s.ask(c, "GET", "/api/me", ""); r.status != 401 {
		t.Errorf("afterwards: %d", r.status)
	}
	if r := s.ask(other, "GET", "/api/me", ""); r.status != 200 {
		t.Errorf("the person's other phone: %d", r.status)
	}
}

// A link that a producer makes works, and names the server as it was asked.
func TestNewLink(t *testing.T) {
	s := newSite(t)
	r := s.ask(s.joined(pia), "POST", "/api/links", fmt.Sprintf(`{"person":%q}`, ari))
	var made struct {
		URL, Name string
		Until     when.Instant
	}
	if err := json.Unmarshal([]byte(r.body), &made); err != nil || made.Until != s.now()+14*24*when.Hour {
		t.Fatalf("%s, %v", r.body, err)
	}
	path, ok := strings.CutPrefix(made.URL, s.server.URL)
	if !ok {
		t.Fatalf("the link is %s", made.URL)
	}
	c := s.browser()
	if r := s.ask(c, "POST", path, ""); r.status != 303 {
		t.Fatal(r)
	}
	if r := s.ask(c, "GET", "/api/me", ""); !strings.Contains(r.body, `"role":"art-director"`) {
		t.Error(r.body)
	}
}

// Whoever has no access any more gets in nowhere, by old session or old link.
func TestWithdrawn(t *testing.T) {
	s := newSite(t)
	crew, producer := s.joined(cleo), s.phone(s.joined(pia))
	link := s.link(cleo, false)
	producer.accepted(producer.edit("person.access", `{"person":%q,"revoked":true}`, cleo))
	for _, r := range []reply{s.ask(crew, "GET", "/api/me", ""), s.ask(s.browser(), "GET", link, ""), s.ask(s.browser(), "POST", link, "")} {
		if r.status != 403 || !strings.Contains(r.body, "speak to the producer") {
			t.Errorf("got %d, %s", r.status, r.body)
		}
	}
	if b := s.silentHello(crew).bye(); b.Code != "revoked" {
		t.Errorf("a socket hears %s", b.Code)
	}
	producer.accepted(producer.edit("person.access", `{"person":%q,"revoked":false}`, cleo))
	if r := s.ask(s.browser(), "POST", link, ""); r.status != 410 {
		t.Errorf("with access again the old link gives %d", r.status)
	}
	if r := s.ask(crew, "GET", "/api/me", ""); r.status != 401 || !strings.Contains(r.body, "access_changed") {
		t.Errorf("with access again the old phone gets %d, %s", r.status, r.body)
	}
	if b := s.silentHello(crew).bye(); b.Code != "signed_out" {
		t.Errorf("with access again a socket of the old phone hears %s", b.Code)
	}
	if r := s.ask(s.browser(), "POST", s.linkFrom(s.joined(pia), cleo), ""); r.status != 303 {
		t.Errorf("with access again a new link gives %d", r.status)
	}
}

func TestUnbuilt(t *testing.T) {
	s := newSite(t)
	a, err := web.New(s.stored, nil, s.app.Now, s.app.Rand, s.app.Log)
	if err != nil {
		t.Fatal(err)
	}
	s.server.Config.Handler = a.Handler()
	if r := s.ask(s.browser(), "GET", "/", ""); r.status != 503 || !strings.Contains(r.body, "go generate ./...") {
		t.Errorf("got %d, %s", r.status, r.body)
	}
}

func TestStatic(t *testing.T) {
	s := newSite(t)
	for _, c := range []struct{ path, accept, body, coding, cache string }{
		{"/assets/a-1234.js", "gzip, br", "packed", "br", "immutable"},
		{"/assets/a-1234.js", "br;q=0", "plain", "", "immutable"},
		{"/assets/a-1234.js", "identity", "plain", "", "immutable"},
		{"/sw.js", "br", "worker", "", "no-cache"},
		{"/", "br", "<p>the client</p>", "", "no-cache"},
	} {
		r := s.ask(s.browser(), "GET", c.path, "", "Accept-Encoding: "+c.accept)
		if r.body != c.body || r.header.Get("Content-Encoding") != c.coding || !strings.Contains(r.header.Get("Cache-Control"), c.cache) {
			t.Errorf("%s for %q: %q, %v", c.path, c.accept, r.body, r.header)
		}
		again := s.ask(s.browser(), "GET", c.path, "", "Accept-Encoding: "+c.accept, "If-None-Match: "+r.header.Get("ETag"))
		if again.status != http.StatusNotModified {
			t.Errorf("%s again: %d", c.path, again.status)
		}
	}
}

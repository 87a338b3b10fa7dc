package main

import (
	"net/http"
	"net/url"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"fairday/server/house"
)

// newHouse is a server over an empty folder.
func newHouse(t testing.TB) *site {
	t.Helper()
	s := &site{t: t, dir: t.TempDir(), clock: newClock(time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC))}
	s.open(s.dir)
	t.Cleanup(s.close)
	return s
}

// form sends a form as a page does.
func (s *site) form(c *http.Client, path string, fields url.Values) reply {
	s.t.Helper()
	return s.ask(c, "POST", path, fields.Encode(), "Content-Type: application/x-www-form-urlencoded", "Origin: "+s.base)
}

// ownerLink makes a link for an owner who has said no name yet.
func (s *site) ownerLink() (house.Owner, string) {
	s.t.Helper()
	o, err := s.app.NewOwner("")
	if err != nil {
		s.t.Fatal(err)
	}
	return o, s.linkFor(o)
}

func (s *site) linkFor(o house.Owner) string {
	s.t.Helper()
	path, err := s.app.InviteOwner("", o)
	if err != nil {
		s.t.Fatal(err)
	}
	return path
}

// owning is the browser of a new owner.
func (s *site) owning(name string) *http.Client {
	s.t.Helper()
	c := s.browser()
	_, path := s.ownerLink()
	if r := s.form(c, path, url.Values{"name": {name}}); r.status != http.StatusSeeOther || r.header.Get("Location") != "/shoots" {
		s.t.Fatalf("coming in gives %d: %s", r.status, r.body)
	}
	return c
}

// holds checks that an answer has a status and words.
func holds(t *testing.T, what string, r reply, status int, words ...string) {
	t.Helper()
	if r.status != status {
		t.Errorf("%s gives %d, not %d: %s", what, r.status, status, r.body)
	}
	for _, w := range words {
		if !strings.Contains(r.body, w) {
			t.Errorf("%s does not say %q: %s", what, w, r.body)
		}
	}
}

// An owner comes in by a link, once, says their name, and finds nothing yet.
func TestOwnerComesIn(t *testing.T) {
	s := newHouse(t)
	o, path := s.ownerLink()
	c := s.browser()
	holds(t, "the link", s.ask(c, "GET", path, ""), 200, "Your name", "Come in")
	holds(t, "no name", s.form(c, path, url.Values{"name": {"  "}}), 422, "Write your name")
	holds(t, "a name that turns around", s.form(c, path, url.Values{"name": {"Ada\u202e"}}), 422, "cannot be shown")
	holds(t, "a long name", s.form(c, path, url.Values{"name": {strings.Repeat("a", 81)}}), 422, "too long")
	holds(t, "before", s.ask(c, "GET", "/shoots", ""), 401, "This page is for owners")
	if r := s.form(c, path, url.Values{"name": {"Ada Example"}}); r.status != 303 {
		t.Fatal(r)
	}
	holds(t, "the list", s.ask(c, "GET", "/shoots", ""), 200, "There is no shoot here yet")
	if r := s.ask(c, "GET", path, ""); r.status != 303 {
		t.Errorf("the link again, in the same browser: %d", r.status)
	}
	holds(t, "the link again, elsewhere", s.ask(s.browser(), "GET", path, ""), 410, "used already")
	all, err := s.stored.Owners()
	if err != nil || all[o.ID].Name != "Ada Example" || all[o.ID].Joined != s.now() {
		t.Errorf("there are %+v, %v", all, err)
	}
	s.reopen()
	holds(t, "after a restart", s.ask(c, "GET", "/shoots", ""), 200)
}

// What owners' links and pages refuse.
func TestOwnersRefused(t *testing.T) {
	s := newSite(t)
	ada := s.owning("Ada")
	o, expired := s.ownerLink()
	s.clock.Add(15 * 24 * time.Hour.Milliseconds())
	again := s.linkFor(o)
	newer := s.linkFor(o)
	holds(t, "an expired link", s.ask(s.browser(), "GET", expired, ""), 410)
	holds(t, "a link that a newer one replaced", s.ask(s.browser(), "GET", again, ""), 410)
	holds(t, "a link that does not exist", s.ask(s.browser(), "POST", "/join/nothing", ""), 404)
	producer := s.joined(pia)
	for _, path := range []string{"/shoots", "/shoots/owners"} {
		holds(t, path+" for nobody", s.ask(s.browser(), "GET", path, ""), 401, "This page is for owners")
		holds(t, path+" for a producer", s.ask(producer, "GET", path, ""), 401, "This page is for owners")
	}
	holds(t, "a stranger's page", s.ask(ada, "POST", "/shoots/owners", "name=Eve", "Content-Type: application/x-www-form-urlencoded", "Origin: http://elsewhere.example.com"), 403)
	// A session of the house is none of a shoot, and the other way round.
	swapped := func(c *http.Client, to string) *http.Client {
		u, err := url.Parse(s.base)
		if err != nil {
			t.Fatal(err)
		}
		out := s.browser()
		for _, k := range c.Jar.Cookies(u) {
			out.Jar.SetCookies(u, []*http.Cookie{{Name: to, Value: k.Value, Path: "/"}})
		}
		return out
	}
	holds(t, "an owner's session as a phone's", s.ask(swapped(ada, "fairday"), "GET", "/api/me", ""), 401, "no_session")
	holds(t, "a phone's session as an owner's", s.ask(swapped(producer, "fairday-owner"), "GET", "/shoots", ""), 401)
	if r := s.ask(s.browser(), "POST", newer, "name=Bo", "Content-Type: application/x-www-form-urlencoded"); r.status != 303 {
		t.Errorf("the newest link: %d, %s", r.status, r.body)
	}
}

// Owners let others in, sign their browsers out and end their access; nobody ends
// their own.
func TestOwnersInviteOwners(t *testing.T) {
	s := newHouse(t)
	ada := s.owning("Ada")
	invite := func(c *http.Client, fields url.Values) string {
		r := s.form(c, "/shoots/owners", fields)
		holds(t, "inviting", r, 200)
		at := regexp.MustCompile(`<code data-joins>([^<]*)</code>`).FindStringSubmatch(r.body)
		if at == nil {
			t.Fatalf("there is no link in %s", r.body)
		}
		return strings.TrimPrefix(at[1], s.base)
	}
	holds(t, "nobody in particular", s.form(ada, "/shoots/owners", url.Values{"name": {" "}}), 422, "Write the name")
	bo := s.browser()
	if r := s.form(bo, invite(ada, url.Values{"name": {"Bo"}}), nil); r.status != 303 {
		t.Fatal(r)
	}
	holds(t, "the owners", s.ask(bo, "GET", "/shoots/owners", ""), 200, `data-owner="Ada"`, `data-owner="Bo"`)
	ids := map[string]string{}
	all, err := s.stored.Owners()
	if err != nil {
		t.Fatal(err)
	}
	for id, o := range all {
		ids[o.Name] = string(id)
	}
	second := s.browser()
	if r := s.form(second, invite(bo, url.Values{"owner": {ids["Bo"]}}), nil); r.status != 303 {
		t.Fatal(r)
	}
	if r := s.form(bo, "/shoots/owners/signout", url.Values{"owner": {ids["Bo"]}}); r.status != 303 {
		t.Fatal(r)
	}
	holds(t, "the other browser", s.ask(second, "GET", "/shoots", ""), 401)
	holds(t, "this browser", s.ask(bo, "GET", "/shoots", ""), 200)
	holds(t, "one's own end", s.form(bo, "/shoots/owners/end", url.Values{"owner": {ids["Bo"]}}), 409, "cannot end your own")
	holds(t, "nobody's end", s.form(bo, "/shoots/owners/end", url.Values{"owner": {"x"}}), 404)
	link := invite(ada, url.Values{"owner": {ids["Bo"]}})
	if r := s.form(ada, "/shoots/owners/end", url.Values{"owner": {ids["Bo"]}}); r.status != 303 {
		t.Fatal(r)
	}
	holds(t, "whose access ended", s.ask(bo, "GET", "/shoots", ""), 401)
	holds(t, "with a link from before", s.ask(s.browser(), "GET", link, ""), 410)
	holds(t, "signing out", s.form(ada, "/shoots/leave", nil), 200, "signed out")
	holds(t, "after that", s.ask(ada, "GET", "/shoots", ""), 401)
}

// On an empty folder the program prints one link for an owner, a new one with each
// start, until somebody has come in; "owner" prints others, while it runs or not.
func TestServePrintsAnOwner(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "data")
	const line = `^  Owner: (http://\S+)$`
	p := start(t, "serve", "--data", dir, "--addr", "127.0.0.1:0")
	first := p.line(t, line)
	if err := p.end(t, syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	p = start(t, "serve", "--data", dir, "--addr", "127.0.0.1:0")
	link := strings.TrimPrefix(p.line(t, line), p.base)
	s := remote(t, p.base)
	c := s.browser()
	if r := s.ask(c, "GET", first[strings.Index(first, "/join/"):], ""); r.status != 410 {
		t.Errorf("the link of before: %d", r.status)
	}
	if r := s.form(c, link, url.Values{"name": {"Ada"}}); r.status != 303 {
		t.Fatal(r)
	}
	code, out, errs := run1(t, t.Context(), "owner", "--data", dir, "--name", "ada")
	if code != exitOK || !strings.Contains(out, "  Owner: "+p.base+"/join/") {
		t.Fatalf("exit %d, %s, %s", code, out, errs)
	}
	again := s.browser()
	if r := s.form(again, out[strings.Index(out, "/join/"):len(out)-1], nil); r.status != 303 {
		t.Fatal(r)
	}
	holds(t, "Ada's other browser", s.ask(again, "GET", "/shoots/owners", ""), 200, `data-owner="Ada"`, "(you)")
	if err := p.end(t, syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	code, out, errs = run1(t, t.Context(), "owner", "--data", dir, "--base", "https://shoot.example.com")
	if code != exitOK || !strings.Contains(out, "  Owner: https://shoot.example.com/join/") {
		t.Fatalf("exit %d, %s, %s", code, out, errs)
	}
	p = start(t, "serve", "--data", dir, "--addr", "127.0.0.1:0")
	if err := p.end(t, syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
}

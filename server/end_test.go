package main

import (
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"fairday/sync/wire"
)

// Archived, a shoot signs everybody out and lets nobody in; brought back, it is as it
// was and needs new links.
func TestArchived(t *testing.T) {
	s := newSite(t)
	ada, producer, crew := s.owning("Ada"), s.joined(pia), s.joined(cleo)
	link := s.link(ari, false)
	socket := s.phone(crew)
	socket.seq = 0
	before := len(s.state(s.shoot).Floor.People)
	if r := s.form(ada, "/shoots/"+s.shoot+"/archive", nil); r.status != 303 {
		t.Fatal(r)
	}
	if bye := socket.bye(); bye.Code != wire.CodeSignedOut {
		t.Errorf("the phone hears %+v", bye)
	}
	for what, c := range map[string]*http.Client{"the crew": crew, "the producer": producer} {
		holds(t, what, s.ask(c, "GET", "/api/me", ""), 401, "no_session")
	}
	holds(t, "a link", s.ask(s.browser(), "POST", link, ""), 410)
	holds(t, "the list", s.ask(ada, "GET", "/shoots", ""), 200, `data-stage="archived"`, "Kettles")
	holds(t, "its page", s.ask(ada, "GET", "/shoots/"+s.shoot, ""), 200, "Bring it back")
	holds(t, "an invitation", s.form(ada, "/shoots/"+s.shoot+"/invite", url.Values{"person": {string(pia)}}), 409, "archived")
	holds(t, "opening it", s.form(ada, "/shoots/"+s.shoot+"/enter", nil), 409, "archived")
	s.reopen()
	if r := s.form(ada, "/shoots/"+s.shoot+"/archive", url.Values{"back": {"1"}}); r.status != 303 {
		t.Fatal(r)
	}
	holds(t, "whoever was in", s.ask(crew, "GET", "/api/me", ""), 401)
	c := s.browser()
	if r := s.ask(c, "POST", s.shown(s.form(ada, "/shoots/"+s.shoot+"/invite", url.Values{"person": {string(pia)}})), ""); r.status != 303 {
		t.Fatal(r)
	}
	if n := len(s.state(s.shoot).Floor.People); n != before {
		t.Errorf("%d people are left of %d", n, before)
	}
}

// Deleting says what goes, asks for the title, and leaves nothing; other shoots stay.
func TestDeleted(t *testing.T) {
	s := newSite(t)
	ada, crew := s.owning("Ada"), s.joined(cleo)
	other := s.starts(ada)
	socket := s.phone(crew)
	page := "/shoots/" + s.shoot + "/delete"
	holds(t, "what would go", s.ask(ada, "GET", page, ""), 200, "cannot be undone", "3 people", "the way in of 1 phone;", "fairday backup --to FILE")
	for _, typed := range []string{"", "Spring table", "Kettle"} {
		holds(t, "typing "+typed, s.form(ada, page, url.Values{"title": {typed}}), 422, "Nothing was deleted")
	}
	holds(t, "the phone", s.ask(crew, "GET", "/api/me", ""), 200)
	if r := s.form(ada, page, url.Values{"title": {" kettles "}}); r.status != 303 {
		t.Fatal(r)
	}
	if bye := socket.bye(); bye.Code != wire.CodeSignedOut {
		t.Errorf("the phone hears %+v", bye)
	}
	holds(t, "the phone", s.ask(crew, "GET", "/api/me", ""), 401)
	r := s.ask(ada, "GET", "/shoots", "")
	holds(t, "the list", r, 200, "Spring table")
	if strings.Contains(r.body, "Kettles") {
		t.Error("it is still on the list")
	}
	holds(t, "its page", s.ask(ada, "GET", "/shoots/"+s.shoot, ""), 404)
	holds(t, "the form that would make it anew", s.form(ada, "/shoots/new", s.startForm("id="+s.shoot)), 404, "There is no such shoot")
	holds(t, "deleting again", s.form(ada, page, url.Values{"title": {"Kettles"}}), 404)
	s.reopen()
	if ids, err := s.stored.Shoots(); err != nil || len(ids) != 1 || ids[0] != other {
		t.Errorf("there are %v, %v", ids, err)
	}
}

// A producer ends their own shoot and no other; nobody else ends any.
func TestWhoEndsAShoot(t *testing.T) {
	s := newSite(t)
	ada := s.owning("Ada")
	other := s.starts(ada)
	producer := s.joined(pia)
	for what, c := range map[string]*http.Client{"nobody": s.browser(), "the art director": s.joined(ari), "the crew": s.joined(cleo)} {
		for _, id := range []string{s.shoot, other} {
			holds(t, what, s.form(c, "/shoots/"+id+"/archive", nil), 401)
			holds(t, what, s.ask(c, "GET", "/shoots/"+id+"/delete", ""), 401)
			holds(t, what, s.form(c, "/shoots/"+id+"/delete", url.Values{"title": {"Kettles"}}), 401)
		}
	}
	holds(t, "another's shoot", s.form(producer, "/shoots/"+other+"/archive", nil), 401)
	holds(t, "another's shoot", s.form(producer, "/shoots/"+other+"/delete", url.Values{"title": {"Spring table"}}), 401)
	holds(t, "their own page", s.ask(producer, "GET", "/shoots/"+s.shoot, ""), 200, "Archive it", "Back to the shoot")
	holds(t, "their own shoot", s.form(producer, "/shoots/"+s.shoot+"/archive", nil), 200, "an owner can bring it back")
	if r := s.form(ada, "/shoots/"+s.shoot+"/archive", url.Values{"back": {"1"}}); r.status != 303 {
		t.Fatal(r)
	}
	again := s.joined(pia)
	holds(t, "deleting it", s.form(again, "/shoots/"+s.shoot+"/delete", url.Values{"title": {"Kettles"}}), 200, "is deleted")
	if ids, err := s.stored.Shoots(); err != nil || len(ids) != 1 {
		t.Errorf("there are %v, %v", ids, err)
	}
}

// The commands list, archive and delete, while the server runs and while it does not.
func TestShelfCommands(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "data")
	file := filepath.Join(t.TempDir(), "plan.yaml")
	code, out, _ := run1(t, t.Context(), "example")
	if err := os.WriteFile(file, []byte(out), 0o600); err != nil || code != exitOK {
		t.Fatal(err)
	}
	p := start(t, "serve", "--data", dir, "--addr", "127.0.0.1:0", "--import", file)
	p.line(t, `^  Producer, .*: (http://\S+)$`)
	for _, running := range []bool{true, false} {
		if !running {
			if err := p.end(t, syscall.SIGTERM); err != nil {
				t.Fatal(err)
			}
		}
		says := func(code int, words string, args ...string) string {
			t.Helper()
			got, out, errs := run1(t, t.Context(), append(args, "--data", dir)...)
			if got != code || !strings.Contains(out+errs, words) {
				t.Errorf("%v, running %v: exit %d, %s%s", args, running, got, out, errs)
			}
			return out
		}
		out := says(exitOK, "The long evening", "shoots")
		id, _, _ := strings.Cut(out, " ")
		says(exitOK, "is archived", "archive", "--shoot", id)
		says(exitOK, "archived ", "shoots")
		says(exitOK, "is back", "archive", "--shoot", id, "--back")
		says(exitFault, "there is no shoot x", "archive", "--shoot", "x")
		says(exitFault, "fairday backup --to FILE", "delete", "--shoot", id)
		says(exitFault, "nothing was deleted", "delete", "--shoot", id)
		if !running {
			says(exitOK, "is deleted", "delete", "--shoot", id, "--yes")
			says(exitOK, "There are no shoots in it", "shoots")
			says(exitOK, "There are no shoots in it", "verify")
		}
	}
}

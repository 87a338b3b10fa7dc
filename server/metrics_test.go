package main

import (
	"net/http"
	"strings"
	"testing"
)

// The figures and profiles are on an address of their own, and say what phones
// did without saying who.
func TestWatch(t *testing.T) {
	p := serveDemo(t, "--watch", "127.0.0.1:0")
	s := remote(t, p.base)
	c := s.browser()
	if r := s.ask(c, "POST", p.link, ""); r.status != http.StatusSeeOther {
		t.Fatal(r)
	}
	phone := s.phone(c)
	phone.accepted(phone.setup())
	phone.send(phone.edit("setup.set", `{"id":"","name":"","minutes":0,"base":0}`))
	at := remote(t, p.watched)
	r := at.ask(at.browser(), "GET", "/metrics", "")
	for _, line := range []string{
		"fairday_sockets 1", "fairday_shoots_loaded 1", `fairday_verdicts_total{result="accepted"} 1`, `fairday_verdicts_total{result="refused"} 1`,
		`fairday_verdicts_total{result="flagged"} 0`, "fairday_batch_edits_count 2", "fairday_commit_seconds_count 2", "fairday_commit_failures_total 0",
		`fairday_messages_sent_total{kind="snapshot"} 1`, `fairday_messages_sent_total{kind="frame"} 2`, "go_goroutines ",
	} {
		if !strings.Contains(r.body, "\n"+line) {
			t.Errorf("no %s", line)
		}
	}
	if strings.Contains(r.body, string(phone.device)) || strings.Contains(r.body, "Window") {
		t.Error("the figures say who or what")
	}
	if r := at.ask(at.browser(), "GET", "/debug/pprof/goroutine?debug=1", ""); r.status != 200 || !strings.Contains(r.body, "goroutine profile") {
		t.Errorf("the profile gives %d", r.status)
	}
	for _, path := range []string{"/metrics", "/debug/pprof/"} {
		if r := s.ask(s.browser(), "GET", path, ""); strings.Contains(r.body, "fairday_") || strings.Contains(r.body, "goroutine") {
			t.Errorf("phones can reach %s", path)
		}
	}
}

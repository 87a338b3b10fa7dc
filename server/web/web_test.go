package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/netip"
	"strings"
	"testing"
	"time"

	"fairday/server/access"
)

// Every problem has its row: a status that fits, a headline, a sentence that
// says what to do.
func TestProblems(t *testing.T) {
	for _, c := range []Code{CodeNoSession, codeLinkUnknown, codeLinkUsed, codeLinkExpired, codeWithdrawn, CodeBadOrigin, codeNotAllowed, codeNoPerson,
		CodeMalformed, codeTooLarge, codeNotFound, codeBadMethod, codeNotBuilt, codeShuttingDown, codeFault,
		CodeHandShoot, CodeHandGap, CodeHandWithdrawn, codeHandMany, codeHandLater,
		codeTooManyTries, codeDiskFull, codeDamaged, codeCrowded} {
		k, ok := problems[c]
		if !ok || k.status < 400 || k.title == "" || !strings.HasSuffix(k.say, ".") {
			t.Errorf("%s: %+v", c, k)
		}
	}
	if got := problemOf(access.ErrUsedLink).Code; got != codeLinkUsed {
		t.Errorf("a used link is %s", got)
	}
	if _, err := json.Marshal(fail(codeFault, fmt.Errorf("secret cause"))); err != nil {
		t.Error(err)
	}
	if b, _ := json.Marshal(fail(codeFault, fmt.Errorf("secret cause"))); strings.Contains(string(b), "secret") {
		t.Errorf("the cause is told: %s", b)
	}
}

// Whose count a request is on.
func TestAddressOf(t *testing.T) {
	for _, c := range []struct{ from, forwarded, want string }{
		{"203.0.113.7:4711", "", "203.0.113.7"},
		{"203.0.113.7:4711", "198.51.100.1", "203.0.113.7"}, // anybody can write that
		{"127.0.0.1:4711", "198.51.100.1, 203.0.113.9", "203.0.113.9"},
		{"[::ffff:127.0.0.1]:4711", "203.0.113.9", "203.0.113.9"},
		{"10.0.0.2:4711", "nonsense", "10.0.0.2"},
		{"10.0.0.2:4711", "203.0.113.9", "203.0.113.9"},
		{"10.0.0.9:4711", "203.0.113.9", "10.0.0.9"}, // near, and not named
		{"127.0.0.2:4711", "203.0.113.9", "127.0.0.2"},
		{"[2001:db8:1:2:3::4]:4711", "", "2001:db8:1:2::/64"},
		{"[::ffff:203.0.113.7]:4711", "", "203.0.113.7"},
		{"[::1]:4711", "2001:db8:1:2:ffff::1", "2001:db8:1:2::/64"},
	} {
		r := &http.Request{RemoteAddr: c.from, Header: http.Header{}}
		if c.forwarded != "" {
			r.Header.Set("X-Forwarded-For", c.forwarded)
		}
		a := &App{Proxies: []netip.Prefix{netip.MustParsePrefix("127.0.0.1/32"), netip.MustParsePrefix("10.0.0.0/30"), netip.MustParsePrefix("::1/128")}}
		if got := a.addressOf(r); got != c.want {
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

func TestMediaType(t *testing.T) {
	for name, want := range map[string]string{"x.wasm": "application/wasm", "x.js": "text/javascript; charset=utf-8", "x.webmanifest": "application/manifest+json"} {
		if got := mediaType(name); got != want {
			t.Errorf("%s is %s", name, got)
		}
	}
}

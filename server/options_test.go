package main

import (
	"bytes"
	"crypto/rand"
	"net"
	"net/url"
	"regexp"
	"testing"
	"time"

	"fairday/domain/when"
	plans "fairday/testdata/demo"
)

// What a command line means.
func TestParse(t *testing.T) {
	o, err := parse([]string{"serve"})
	if err != nil || o.addr != "127.0.0.1:8080" || o.data != "" || o.logStyle != "text" || o.restored {
		t.Errorf("serve alone is %+v, %v", o, err)
	}
	o, err = parse([]string{"serve", "--addr", ":0", "--data", "d", "--import", "f.yaml", "--date", "2026-12-01", "--restored", "--base", "https://day.example.com/", "--log", "json"})
	if err != nil || o.addr != ":0" || o.data != "d" || o.plan != "f.yaml" || o.date != "2026-12-01" || !o.restored || o.base.String() != "https://day.example.com" || o.logStyle != "json" {
		t.Errorf("all of serve is %+v, %v", o, err)
	}
	o, err = parse([]string{"serve", "--proxy", "127.0.0.1, 10.0.0.0/24,::1"})
	if err != nil || len(o.proxies) != 3 || o.proxies[0].String() != "127.0.0.1/32" || o.proxies[1].Bits() != 24 || o.proxies[2].Bits() != 128 {
		t.Errorf("proxies are %v, %v", o.proxies, err)
	}
	if _, err := parse([]string{"serve", "--proxy", "here"}); err == nil {
		t.Error("a proxy without an address is taken")
	}
}

// How printed links start.
func TestBaseAt(t *testing.T) {
	at := func(ip string) net.Addr { return &net.TCPAddr{IP: net.ParseIP(ip), Port: 8080} }
	for _, c := range []struct {
		base *url.URL
		at   net.Addr
		want string
	}{
		{nil, at("127.0.0.1"), `^http://127\.0\.0\.1:8080$`},
		{nil, at("::1"), `^http://\[::1\]:8080$`},
		{nil, at("0.0.0.0"), `^http://[1-9][0-9.]+:8080$`},
		{nil, at("::"), `^http://[1-9][0-9.]+:8080$`},
		{&url.URL{Scheme: "https", Host: "day.example.com"}, at("0.0.0.0"), `^https://day\.example\.com$`},
	} {
		if got := baseAt(options{base: c.base}, c.at); !regexp.MustCompile(c.want).MatchString(got) {
			t.Errorf("%v at %v: %s", c.base, c.at, got)
		}
	}
}

// The demo is dated by the clock on its own wall: in New York it is still the
// 25th when UTC has turned.
func TestToday(t *testing.T) {
	for utc, want := range map[string]when.Date{"2026-11-26T02:00:00Z": "2026-11-25", "2026-11-26T06:00:00Z": "2026-11-26"} {
		now, err := time.Parse(time.RFC3339, utc)
		if err != nil {
			t.Fatal(err)
		}
		p, err := parsePlan(bytes.NewReader(plans.File), plans.Name, "", world{Now: func() time.Time { return now }, Rand: rand.Reader})
		if err != nil {
			t.Fatal(err)
		}
		if got, err := today(p, now); err != nil || got != want {
			t.Errorf("at %s it is %s, %v", utc, got, err)
		}
	}
}

package main

import (
	"net"
	"net/url"
	"regexp"
	"testing"
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

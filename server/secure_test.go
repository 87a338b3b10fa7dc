package main

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"fmt"
	"math/big"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	plans "fairday/testdata/demo"
)

// A server with a certificate of its own speaks https to phones, on sockets as
// well, tells browsers to stay with it, and sends plain http on.
func TestServeSecure(t *testing.T) {
	dir := t.TempDir()
	roots := keepPair(t, dir, "shoot.example.com")
	file := filepath.Join(dir, "plan.yaml")
	if err := os.WriteFile(file, plans.File, 0o600); err != nil {
		t.Fatal(err)
	}
	plain := freeAddress(t)
	p := start(t, "serve", "--addr", "127.0.0.1:0", "--data", filepath.Join(dir, "data"), "--import", file,
		"--cert", filepath.Join(dir, "cert.pem"), "--key", filepath.Join(dir, "key.pem"), "--plain", plain)
	base, err := url.Parse(p.base)
	if err != nil || base.Scheme != "https" || base.Hostname() != "shoot.example.com" {
		t.Fatalf("it serves %s", p.base)
	}
	link := strings.TrimPrefix(p.line(t, `^  Producer, .+: (https://\S+)$`), p.base)
	secure := &tls.Config{RootCAs: roots, ServerName: "shoot.example.com"}
	s := remote(t, "https://127.0.0.1:"+base.Port())
	c := s.browser()
	c.Transport = &http.Transport{TLSClientConfig: secure.Clone(), ForceAttemptHTTP2: true}
	answer := func(path string) *http.Response {
		t.Helper()
		r, err := c.Get(s.base + path)
		if err != nil {
			t.Fatal(err)
		}
		_ = r.Body.Close()
		return r
	}
	if r := answer("/healthz"); r.StatusCode != 200 || r.ProtoMajor != 2 || r.Header.Get("Strict-Transport-Security") != "max-age=31536000" {
		t.Errorf("it answers %s by %s with %v", r.Status, r.Proto, r.Header)
	}
	r := s.ask(c, "POST", link, "")
	if r.status != http.StatusSeeOther || !strings.Contains(r.header.Get("Set-Cookie"), "Secure") {
		t.Fatalf("joining gives %d and %v", r.status, r.header)
	}
	name, value, _ := strings.Cut(strings.SplitN(r.header.Get("Set-Cookie"), ";", 2)[0], "=")
	dialer := websocket.Dialer{TLSClientConfig: secure.Clone()}
	ws, _, err := dialer.Dial("wss://127.0.0.1:"+base.Port()+"/sync", http.Header{"Cookie": {name + "=" + value}})
	if err != nil {
		t.Errorf("no socket: %v", err)
	} else {
		_ = ws.Close()
	}
	bare := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	moved, err := bare.Get("http://" + plain + link)
	if err != nil {
		t.Fatal(err)
	}
	_ = moved.Body.Close()
	if to := moved.Header.Get("Location"); moved.StatusCode != http.StatusPermanentRedirect || to != p.base+link {
		t.Errorf("plain http gives %s to %s", moved.Status, to)
	}
	if err := p.end(t, os.Interrupt); err != nil {
		t.Errorf("it ends with %v", err)
	}
}

// A name that was made to lead here is no name of the server's: nothing is shown to it,
// nothing is done for it, and no link is made of it.
func TestOtherNames(t *testing.T) {
	s := newSite(t)
	s.app.Names = []string{"studio.local"}
	s.app.Base = &url.URL{Scheme: "https", Host: "shoot.example.com"}
	port := s.base[strings.LastIndex(s.base, ":"):]
	for _, row := range []struct {
		host, path string
		status     int
	}{
		{"shoot.example.com", "/", 200},
		{"SHOOT.example.com.", "/", 200},
		{"shoot.example.com:8443", "/", 200},
		{"studio.local" + port, "/", 200},
		{"127.0.0.1" + port, "/", 200},
		{"[::1]" + port, "/", 200},
		{"192.168.1.20:8080", "/", 200},
		{"localhost" + port, "/", 200},
		{"evil.example.org", "/", 421},
		{"evil.example.org", "/demo", 421},
		{"evil.example.org", "/api/me", 421},
		{"evil.example.org", "/nothing", 421},
		{"shoot.example.com.evil.example.org", "/", 421},
		{"127.0.0.1.evil.example.org", "/", 421},
		{"xshoot.example.com", "/", 421},
		{"evil.example.org", "/healthz", 200},
	} {
		req, err := http.NewRequest("GET", s.base+row.path, nil)
		if err != nil {
			t.Fatal(err)
		}
		req.Host = row.host
		r, err := http.DefaultClient.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		_ = r.Body.Close()
		if r.StatusCode != row.status {
			t.Errorf("%s%s: %d, want %d", row.host, row.path, r.StatusCode, row.status)
		}
	}
	r := s.ask(s.joined(pia), "POST", "/api/links", fmt.Sprintf(`{"person":%q}`, cleo))
	if !strings.Contains(r.body, `"url":"https://shoot.example.com/join/`) {
		t.Errorf("a link asked for at %s is %.200s", s.base, r.body)
	}
}

// What is said of an address that browsers do not trust.
func TestOfflineWord(t *testing.T) {
	for base, lacks := range map[string]bool{
		"http://192.168.1.20:8080": true, "http://shoot.example.com": true, "http://127.0.0.1:8080": false,
		"http://localhost:8080": false, "http://[::1]:8080": false, "https://shoot.example.com": false,
	} {
		u, err := url.Parse(base)
		if err != nil {
			t.Fatal(err)
		}
		if word := offlineWord(u); (word != "") != lacks || lacks && !strings.Contains(word, "without signal") {
			t.Errorf("%s: %q", base, word)
		}
	}
}

func TestClockJumps(t *testing.T) {
	for _, row := range []struct{ wall, passed, by time.Duration }{
		{10 * time.Second, 10 * time.Second, 0},
		{11 * time.Second, 10 * time.Second, 0}, // set gently
		{time.Hour, time.Hour, 0},               // a laptop that slept
		{3*time.Hour + 10*time.Second, 10 * time.Second, 3 * time.Hour},
		{10*time.Second - time.Minute, 10 * time.Second, -time.Minute},
		{12 * time.Second, 10 * time.Second, 2 * time.Second},
	} {
		if got := jumped(row.wall, row.passed); got != row.by {
			t.Errorf("%v on the wall in %v: %v, want %v", row.wall, row.passed, got, row.by)
		}
	}
}

// freeAddress is one that nobody listens at.
func freeAddress(t *testing.T) string {
	t.Helper()
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer ln.Close()
	return ln.Addr().String()
}

// keepPair writes a certificate for a name and its key into a folder, and gives
// who trusts it.
func keepPair(t *testing.T, dir, name string) *x509.CertPool {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	about := &x509.Certificate{SerialNumber: big.NewInt(1), DNSNames: []string{name}, IsCA: true, BasicConstraintsValid: true,
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().AddDate(0, 2, 0)}
	der, err := x509.CreateCertificate(rand.Reader, about, about, key.Public(), key)
	if err != nil {
		t.Fatal(err)
	}
	private, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		t.Fatal(err)
	}
	roots := x509.NewCertPool()
	for file, block := range map[string]*pem.Block{"cert.pem": {Type: "CERTIFICATE", Bytes: der}, "key.pem": {Type: "PRIVATE KEY", Bytes: private}} {
		text := pem.EncodeToMemory(block)
		if err := os.WriteFile(filepath.Join(dir, file), text, 0o600); err != nil {
			t.Fatal(err)
		}
		if file == "cert.pem" {
			roots.AppendCertsFromPEM(text)
		}
	}
	return roots
}

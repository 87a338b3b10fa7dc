package cert

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"log/slog"
	"math/big"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

var day = time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)

// Files that are renewed are served without a new start; broken ones, and one
// without the other, change nothing and are told.
func TestFilesAreTakenAnew(t *testing.T) {
	dir := t.TempDir()
	certFile, keyFile := filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")
	turn := 0 // each write has a time of its own, as on a machine where renewals are weeks apart
	write := func(file string, content []byte) {
		t.Helper()
		if err := os.WriteFile(file, content, 0o600); err != nil {
			t.Fatal(err)
		}
		turn++
		if err := os.Chtimes(file, day, day.Add(time.Duration(turn)*time.Second)); err != nil {
			t.Fatal(err)
		}
	}
	c1, k1 := pairOf(t, 1, day.AddDate(0, 2, 0), name)
	c2, k2 := pairOf(t, 2, day.AddDate(0, 4, 0), name)
	write(certFile, c1)
	write(keyFile, k1)
	told := make(chan string, 64)
	source, err := Files(certFile, keyFile, func() time.Time { return day }, slog.New(slog.NewTextHandler(lines(told), nil)))
	if err != nil {
		t.Fatal(err)
	}
	ln := listen(t)
	serve(t, ln, source.TLS, http.NotFoundHandler())
	shows := func(serial int64) {
		t.Helper()
		c, err := tls.Dial("tcp", ln.Addr().String(), &tls.Config{InsecureSkipVerify: true})
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		if got := c.ConnectionState().PeerCertificates[0].SerialNumber; got.Cmp(big.NewInt(serial)) != 0 {
			t.Errorf("it shows certificate %v, not %d", got, serial)
		}
	}
	hears := func(what string) {
		t.Helper()
		select {
		case line := <-told:
			if !contains(line, what) {
				t.Errorf("the log says %q, not %q", line, what)
			}
		default:
			t.Errorf("the log does not say %q", what)
		}
	}
	shows(1)
	write(certFile, c2) // the key is still to come
	shows(1)
	hears("the old one stays in use")
	write(keyFile, k2)
	shows(2)
	hears("a new certificate is in use")
	write(certFile, []byte("not a certificate"))
	shows(2)
	hears("the old one stays in use")
	if err := os.Remove(keyFile); err != nil {
		t.Fatal(err)
	}
	shows(2)
	hears("the old one stays in use")
	shows(2)
	if len(told) > 0 {
		t.Errorf("told twice: %q", <-told)
	}
}

func TestFilesAtTheStart(t *testing.T) {
	dir := t.TempDir()
	file := func(name string, content []byte) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, content, 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	c, k := pairOf(t, 1, day.AddDate(0, 2, 0), name)
	_, other := pairOf(t, 2, day.AddDate(0, 2, 0), name)
	nameless, itsKey := pairOf(t, 3, day.AddDate(0, 2, 0))
	ended, endedKey := pairOf(t, 4, day.AddDate(0, 0, -1), name)
	ending, endingKey := pairOf(t, 5, day.AddDate(0, 0, 3), name)
	for _, row := range []struct{ name, cert, key, fails, warns string }{
		{"both", file("c", c), file("k", k), "", ""},
		{"no such file", filepath.Join(dir, "none"), file("k", k), "no such file", ""},
		{"empty", file("empty", nil), file("k", k), "not a certificate and its key", ""},
		{"the other way round", file("k", k), file("c", c), "not a certificate and its key", ""},
		{"another key", file("c", c), file("other", other), "not a certificate and its key", ""},
		{"for no name", file("nameless", nameless), file("itsKey", itsKey), "for no name", ""},
		{"ended", file("ended", ended), file("endedKey", endedKey), "", "has ended"},
		{"ending", file("ending", ending), file("endingKey", endingKey), "", "ends soon"},
	} {
		told := make(chan string, 8)
		_, err := Files(row.cert, row.key, func() time.Time { return day }, slog.New(slog.NewTextHandler(lines(told), nil)))
		if (err == nil) != (row.fails == "") || err != nil && !contains(err.Error(), row.fails) {
			t.Errorf("%s: %v, not %q", row.name, err, row.fails)
		}
		close(told)
		if line := <-told; contains(line, "level=") != (row.warns != "") || !contains(line, row.warns) {
			t.Errorf("%s: the log says %q, not %q", row.name, line, row.warns)
		}
	}
}

func TestRedirect(t *testing.T) {
	for _, row := range []struct{ host, port, path, to string }{
		{name, "443", "/join/abc?x=1", "https://" + name + "/join/abc?x=1"},
		{name + ":80", "443", "/", "https://" + name + "/"},
		{name, "8443", "/", "https://" + name + ":8443/"},
		{"evil.example.org", "443", "/", "https://" + name + "/"},
		{name, "443", "//evil.example.org/", "https://" + name + "//evil.example.org/"},
	} {
		w := httptest.NewRecorder()
		r := httptest.NewRequest(http.MethodGet, "http://x"+row.path, nil)
		r.Host = row.host
		Redirect([]string{name, "second.example.com"}, row.port).ServeHTTP(w, r)
		if got := w.Header().Get("Location"); w.Code != http.StatusPermanentRedirect || got != row.to {
			t.Errorf("%s%s: %d %s, not %s", row.host, row.path, w.Code, got, row.to)
		}
	}
}

// pairOf makes a certificate and its key, in PEM.
func pairOf(t *testing.T, serial int64, until time.Time, names ...string) (cert, key []byte) {
	t.Helper()
	k, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	about := &x509.Certificate{SerialNumber: big.NewInt(serial), Subject: pkix.Name{CommonName: "test"}, DNSNames: names,
		NotBefore: until.AddDate(0, -3, 0), NotAfter: until}
	c, err := x509.CreateCertificate(rand.Reader, about, about, k.Public(), k)
	if err != nil {
		t.Fatal(err)
	}
	b, err := x509.MarshalPKCS8PrivateKey(k)
	if err != nil {
		t.Fatal(err)
	}
	return pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: c}), pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: b})
}

// lines takes what a log writes.
type lines chan string

func (l lines) Write(b []byte) (int, error) {
	select {
	case l <- string(b):
	default: // nobody reads so far
	}
	return len(b), nil
}

func contains(s, part string) bool { return strings.Contains(s, part) }

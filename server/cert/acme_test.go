package cert

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"io"
	"log"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/letsencrypt/pebble/v2/ca"
	"github.com/letsencrypt/pebble/v2/db"
	"github.com/letsencrypt/pebble/v2/va"
	"github.com/letsencrypt/pebble/v2/wfe"
	"github.com/miekg/dns"
)

const name = "shoot.example.com"

// An authority of its own gives the server a certificate, by its look at the one
// port or the other, and a new one before the first has ended; phones that trust it
// are served all along, and a server that starts again has it without asking.
func TestACME(t *testing.T) {
	for _, ports := range []string{"https alone", "http as well"} {
		t.Run(ports, func(t *testing.T) {
			secure, plain := listen(t), listen(t)
			a := newAuthority(t, port(secure), port(plain))
			m := a.managed(t, port(secure))
			if ports == "http as well" {
				m.PlainPort = port(plain)
			}
			m.every, m.share = 100*time.Millisecond, 0.6
			source, err := ACME(t.Context(), m)
			if err != nil {
				t.Fatal(err)
			}
			defer source.Stop()
			hello := http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { _, _ = io.WriteString(w, "hello") })
			serve(t, secure, source.TLS, hello)
			if m.PlainPort != 0 {
				serve(t, plain, nil, source.Plain(Redirect(source.Names, "443")))
			}
			first := a.until(t, secure, func(c *x509.Certificate) bool { return true })
			second := a.until(t, secure, func(c *x509.Certificate) bool { return c.SerialNumber.Cmp(first.SerialNumber) != 0 })
			if !second.NotAfter.After(first.NotAfter) {
				t.Errorf("renewed, it ends at %v; before, at %v", second.NotAfter, first.NotAfter)
			}
			a.until(t, secure, func(*x509.Certificate) bool { return time.Now().After(first.NotAfter) })
		})
	}
}

// Who has a certificate and no network serves it.
func TestACMEWithoutNetwork(t *testing.T) {
	secure := listen(t)
	a := newAuthority(t, port(secure), 0)
	a.life = 3600
	a.start(t)
	m := a.managed(t, port(secure))
	source, err := ACME(t.Context(), m)
	if err != nil {
		t.Fatal(err)
	}
	stop := serve(t, secure, source.TLS, http.NotFoundHandler())
	got := a.until(t, secure, func(*x509.Certificate) bool { return true })
	stop()
	source.Stop()
	a.directory.Close()

	secure = listen(t)
	if source, err = ACME(t.Context(), m); err != nil {
		t.Fatal(err)
	}
	defer source.Stop()
	serve(t, secure, source.TLS, http.NotFoundHandler())
	if again := a.until(t, secure, func(*x509.Certificate) bool { return true }); again.SerialNumber.Cmp(got.SerialNumber) != 0 {
		t.Error("started again, it has another certificate")
	}
}

// A name that does not lead here gets none, the log says what to do, and no
// handshake is answered with somebody else's.
func TestACMERefused(t *testing.T) {
	secure := listen(t)
	a := newAuthority(t, port(secure)+1, 0) // it looks where nobody listens
	m := a.managed(t, port(secure))
	told := make(chan string, 64)
	m.Log = slog.New(slog.NewTextHandler(lines(told), nil))
	source, err := ACME(t.Context(), m)
	if err != nil {
		t.Fatal(err)
	}
	defer source.Stop()
	serve(t, secure, source.TLS, http.NotFoundHandler())
	for line := range told {
		if contains(line, "no certificate was given") && contains(line, "ports 443 and 80") {
			break
		}
	}
	if _, err := a.shake(secure); err == nil {
		t.Error("it shows a certificate that nobody gave it")
	}
}

// authority is an ACME server and the names it looks up, all of this machine.
type authority struct {
	directory *httptest.Server
	ca        *ca.CAImpl
	life      uint64 // seconds that a certificate holds
	tls, http int
	names     string // the address of its resolver
	roots     string
	trust     *x509.CertPool
}

func newAuthority(t *testing.T, tlsPort, httpPort int) *authority {
	a := &authority{life: 8, tls: tlsPort, http: httpPort, names: resolver(t)}
	t.Setenv("PEBBLE_VA_NOSLEEP", "1")
	t.Setenv("PEBBLE_WFE_NONCEREJECT", "0")
	a.start(t)
	return a
}

func (a *authority) start(t *testing.T) {
	quiet, store := log.New(io.Discard, "", 0), db.NewMemoryStore()
	a.ca = ca.New(quiet, store, "", "ecdsa", 0, 1, map[string]ca.Profile{"default": {ValidityPeriod: a.life}})
	front := wfe.New(quiet, store, va.New(quiet, a.http, a.tls, false, a.names, store), a.ca, []string{"authority.example.com"}, false, false, 0, 0)
	a.directory = httptest.NewTLSServer(front.Handler())
	t.Cleanup(a.directory.Close)
	a.roots = filepath.Join(t.TempDir(), "roots.pem")
	if err := os.WriteFile(a.roots, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: a.directory.Certificate().Raw}), 0o600); err != nil {
		t.Fatal(err)
	}
	a.trust = x509.NewCertPool()
	a.trust.AppendCertsFromPEM(a.ca.GetRootCert(0).PEM())
}

func (a *authority) managed(t *testing.T, tlsPort int) Managed {
	return Managed{Names: []string{name}, Directory: a.directory.URL + wfe.DirectoryPath, Roots: a.roots,
		Folder: t.TempDir(), TLSPort: tlsPort, Log: slog.New(slog.DiscardHandler)}
}

// shake greets a listener as a phone does that trusts the authority.
func (a *authority) shake(at net.Listener) (*x509.Certificate, error) {
	c, err := tls.Dial("tcp", at.Addr().String(), &tls.Config{ServerName: name, RootCAs: a.trust})
	if err != nil {
		return nil, err
	}
	defer c.Close()
	return c.ConnectionState().PeerCertificates[0], nil
}

// until greets until what is shown is as wanted. Once a certificate was there, no
// greeting may fail.
func (a *authority) until(t *testing.T, at net.Listener, wanted func(*x509.Certificate) bool) *x509.Certificate {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	shown := false
	for ctx.Err() == nil {
		c, err := a.shake(at)
		if err != nil && shown {
			t.Fatalf("a phone was turned away: %v", err)
		}
		if shown = shown || err == nil; err == nil && wanted(c) {
			return c
		}
		select {
		case <-ctx.Done():
		case <-time.After(20 * time.Millisecond):
		}
	}
	t.Fatal("within a minute, no certificate is as wanted")
	return nil
}

// resolver answers that every name is this machine.
func resolver(t *testing.T) string {
	ln := listen(t)
	server := &dns.Server{Listener: ln, Handler: dns.HandlerFunc(func(w dns.ResponseWriter, ask *dns.Msg) {
		answer := new(dns.Msg).SetReply(ask)
		if ask.Question[0].Qtype == dns.TypeA {
			rr, _ := dns.NewRR(ask.Question[0].Name + " 1 IN A 127.0.0.1")
			answer.Answer = append(answer.Answer, rr)
		}
		_ = w.WriteMsg(answer)
	})}
	go func() { _ = server.ActivateAndServe() }()
	t.Cleanup(func() { _ = server.Shutdown() })
	return ln.Addr().String()
}

func listen(t *testing.T) net.Listener {
	t.Helper()
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = ln.Close() })
	return ln
}

func port(ln net.Listener) int { return ln.Addr().(*net.TCPAddr).Port }

func serve(t *testing.T, ln net.Listener, secure *tls.Config, h http.Handler) (stop func()) {
	srv := &http.Server{Handler: h, TLSConfig: secure, ErrorLog: log.New(io.Discard, "", 0)}
	go func() {
		if secure != nil {
			_ = srv.ServeTLS(ln, "", "")
		} else {
			_ = srv.Serve(ln)
		}
	}()
	t.Cleanup(func() { _ = srv.Close() })
	return func() { _ = srv.Close() }
}

package cert

import (
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"os"
	"sync"
	"time"
)

// soon is how long before its end a certificate that nobody renewed is worth a
// warning.
const soon = 14 * 24 * time.Hour

// Files takes the certificate and its key from two files in PEM, and takes them
// anew when they have changed: whoever renews them need not tell the server. New
// files that do not fit together keep the old ones in use, and the log says so. The
// error says what is wrong with the files at the start.
func Files(certFile, keyFile string, now func() time.Time, log *slog.Logger) (Source, error) {
	f := &files{cert: certFile, key: keyFile, now: now, log: log}
	f.seen = f.look()
	pair, err := f.load()
	if err != nil {
		return Source{}, err
	}
	names := pair.Leaf.DNSNames
	for _, ip := range pair.Leaf.IPAddresses {
		names = append(names, ip.String())
	}
	if len(names) == 0 {
		return Source{}, fmt.Errorf("the certificate in %s is for no name. Ask for one with the name that phones open in it", certFile)
	}
	f.use(pair)
	return Source{
		TLS:   &tls.Config{GetCertificate: f.get, MinVersion: tls.VersionTLS12},
		Names: names,
		Plain: func(h http.Handler) http.Handler { return h },
		Stop:  func() {},
	}, nil
}

type files struct {
	cert, key string
	now       func() time.Time
	log       *slog.Logger

	mu   sync.Mutex
	seen stamps
	pair *tls.Certificate
}

// stamps tell whether the files changed since.
type stamps struct {
	certAt, keyAt     time.Time
	certSize, keySize int64
}

func (f *files) look() (s stamps) {
	if i, err := os.Stat(f.cert); err == nil {
		s.certAt, s.certSize = i.ModTime(), i.Size()
	}
	if i, err := os.Stat(f.key); err == nil {
		s.keyAt, s.keySize = i.ModTime(), i.Size()
	}
	return s
}

// get is asked at each handshake; two looks at a folder cost it nothing beside
// the signature.
func (f *files) get(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if s := f.look(); s != f.seen {
		f.seen = s
		if pair, err := f.load(); err != nil {
			f.log.Error("the new certificate was not taken; the old one stays in use", "cause", err)
		} else {
			f.use(pair)
			f.log.Info("a new certificate is in use", "until", pair.Leaf.NotAfter)
		}
	}
	return f.pair, nil
}

func (f *files) use(pair *tls.Certificate) {
	f.pair = pair
	switch left := pair.Leaf.NotAfter.Sub(f.now()); {
	case left <= 0:
		f.log.Error("the certificate has ended: phones will not open the server until its files are renewed", "ended", pair.Leaf.NotAfter)
	case left < soon:
		f.log.Warn("the certificate ends soon: renew its files", "ends", pair.Leaf.NotAfter)
	}
}

func (f *files) load() (*tls.Certificate, error) {
	pair, err := tls.LoadX509KeyPair(f.cert, f.key)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return nil, fmt.Errorf("there is no such file for the certificate or its key: %w", err)
	case errors.Is(err, os.ErrPermission):
		return nil, fmt.Errorf("this user may not read the certificate or its key: %w", err)
	case err != nil:
		return nil, fmt.Errorf("%s and %s are not a certificate and its key in PEM: %w", f.cert, f.key, err)
	}
	if pair.Leaf == nil {
		if pair.Leaf, err = x509.ParseCertificate(pair.Certificate[0]); err != nil {
			return nil, err
		}
	}
	return &pair, nil
}

package cert

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"fmt"
	"log/slog"
	"net/http"
	"os"
	"strings"
	"time"

	"github.com/caddyserver/certmagic"
	"go.uber.org/zap"
	_ "golang.org/x/crypto/x509roots/fallback" // a container may have no list of authorities
)

// Managed says how certificates are got by ACME.
type Managed struct {
	Names     []string // the server's own, the first for its links
	Email     string   // where the authority writes when something is wrong, "" for nowhere
	Directory string   // the authority's address, "" for the usual one
	Roots     string   // a file in PEM that says whom to trust when asking the authority, "" for the machine's own
	Folder    string   // where certificates and the account's key are kept
	TLSPort   int      // where the authority's look at port 443 arrives
	PlainPort int      // where its look at port 80 arrives, 0 for nowhere
	Log       *slog.Logger

	every time.Duration // how often renewal is thought of, 0 for the usual
	share float64       // of a certificate's life that is left when it is renewed, 0 for the usual
}

// ACME gets certificates in the background and renews them until it is stopped;
// one that was got before is in use at once, also without a network. What fails is tried
// again by itself and is told in the log.
func ACME(ctx context.Context, m Managed) (Source, error) {
	var roots *x509.CertPool
	if m.Roots != "" {
		pem, err := os.ReadFile(m.Roots)
		if err != nil {
			return Source{}, err
		}
		if roots = x509.NewCertPool(); !roots.AppendCertsFromPEM(pem) {
			return Source{}, fmt.Errorf("there is no certificate in PEM in %s", m.Roots)
		}
	}
	var magic *certmagic.Config
	cache := certmagic.NewCache(certmagic.CacheOptions{
		GetConfigForCert:   func(certmagic.Certificate) (*certmagic.Config, error) { return magic, nil },
		RenewCheckInterval: m.every,
		Logger:             zap.NewNop(),
	})
	magic = certmagic.New(cache, certmagic.Config{
		Storage:            &certmagic.FileStorage{Path: m.Folder},
		RenewalWindowRatio: m.share,
		DisableARI:         m.share != 0,
		OnEvent:            m.tell,
		Logger:             zap.NewNop(),
	})
	issuer := certmagic.NewACMEIssuer(magic, certmagic.ACMEIssuer{
		CA: m.Directory, TestCA: m.Directory, Email: m.Email, Agreed: true, TrustedRoots: roots,
		AltTLSALPNPort: m.TLSPort, AltHTTPPort: m.PlainPort, DisableHTTPChallenge: m.PlainPort == 0,
		Logger: zap.NewNop(),
	})
	magic.Issuers = []certmagic.Issuer{issuer}
	if err := magic.ManageAsync(ctx, m.Names); err != nil {
		cache.Stop()
		return Source{}, fmt.Errorf("no certificate can be had for %s: %w", strings.Join(m.Names, ", "), err)
	}
	config := magic.TLSConfig()
	config.MinVersion = tls.VersionTLS12
	return Source{
		TLS:   config,
		Names: m.Names,
		Plain: func(h http.Handler) http.Handler { return issuer.HTTPChallengeHandler(h) },
		Stop:  cache.Stop,
	}, nil
}

// tell writes down what happened to a certificate.
func (m Managed) tell(_ context.Context, event string, data map[string]any) error {
	name, _ := data["identifier"].(string)
	switch event {
	case "cert_obtaining":
		m.Log.Info("asking for a certificate", "name", name, "again", data["renewal"])
	case "cert_obtained":
		m.Log.Info("a new certificate is in use", "name", name)
	case "cert_failed":
		m.Log.Error("no certificate was given; it is asked for again by itself. The name has to lead to this machine, and ports 443 and 80 have to reach it",
			"name", name, "cause", data["error"])
	}
	return nil
}

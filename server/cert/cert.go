// Package cert gives the server the certificate that phones want to see: one
// that is got and renewed by ACME (RFC 8555), or one from two files that somebody
// else renews.
package cert

import (
	"crypto/tls"
	"net"
	"net/http"
	"net/url"
)

// Source is where certificates come from while the server runs.
type Source struct {
	// TLS is for the listener of https.
	TLS *tls.Config
	// Names are those that the server answers to, the first for its links.
	Names []string
	// Plain wraps what a listener of plain http answers, so that the authority
	// can look there whether the name is ours.
	Plain func(http.Handler) http.Handler
	// Stop ends the renewals.
	Stop func()
}

// Redirect sends whoever comes by plain http to the same page by https. It sends
// nobody to a name that is not one of the server's. Port is that of https.
func Redirect(names []string, port string) http.Handler {
	known := map[string]bool{}
	for _, n := range names {
		known[n] = true
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		host := r.Host
		if h, _, err := net.SplitHostPort(host); err == nil {
			host = h
		}
		if !known[host] {
			host = names[0]
		}
		if port != "443" {
			host = net.JoinHostPort(host, port)
		}
		to := url.URL{Scheme: "https", Host: host, Path: r.URL.Path, RawQuery: r.URL.RawQuery}
		w.Header().Set("Connection", "close")
		http.Redirect(w, r, to.String(), http.StatusPermanentRedirect)
	})
}

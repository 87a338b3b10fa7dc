package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"fairday/server/cert"
	"fairday/server/web"
)

// secureOptions say how the server comes by a certificate, if it serves https
// itself.
type secureOptions struct {
	domains, email, ca, roots string
	cert, key                 string
	plain                     string
}

func (s *secureOptions) flags(fs *flag.FlagSet) {
	fs.StringVar(&s.domains, "domain", "", "")
	fs.StringVar(&s.email, "email", "", "")
	fs.StringVar(&s.ca, "ca", "", "")
	fs.StringVar(&s.roots, "ca-roots", "", "")
	fs.StringVar(&s.cert, "cert", "", "")
	fs.StringVar(&s.key, "key", "", "")
	fs.StringVar(&s.plain, "plain", "", "")
}

// asked tells whether the server speaks https itself.
func (s secureOptions) asked() bool { return s.domains != "" || s.cert != "" }

// names are the domains, in lower case.
func (s secureOptions) names() (names []string) {
	for n := range strings.SplitSeq(s.domains, ",") {
		if n = strings.ToLower(strings.TrimSpace(n)); n != "" {
			names = append(names, n)
		}
	}
	return names
}

func (s secureOptions) check() error {
	switch {
	case s.domains != "" && s.cert != "":
		return errors.New("serve: --domain gets a certificate, --cert brings one. Use one of the two")
	case (s.cert == "") != (s.key == ""):
		return errors.New("serve: --cert and --key go together, one file each")
	case s.domains == "" && s.email+s.ca+s.roots != "":
		return errors.New("serve: --email, --ca and --ca-roots go with --domain")
	case s.plain != "" && !s.asked():
		return errors.New("serve: --plain goes with --domain or --cert; without them plain http is all there is")
	}
	for _, n := range s.names() {
		if _, err := netip.ParseAddr(n); err == nil || !strings.Contains(n, ".") || strings.ContainsAny(n, ":/*@ ") {
			return fmt.Errorf("serve: --domain %q is not a name like shoot.example.com", n)
		}
	}
	if s.domains != "" && len(s.names()) == 0 {
		return fmt.Errorf("serve: --domain %q is not a name like shoot.example.com", s.domains)
	}
	return nil
}

// door is where requests come in.
type door struct {
	ln     net.Listener
	source *cert.Source // nil for plain http
	plain  net.Listener // nil for none: where plain http is sent on
	base   *url.URL     // how links start
}

// openDoor opens the address, and that for plain http where there is one.
// Certificates that are got are kept beside the shoots.
func openDoor(ctx context.Context, o options, dir string, w world) (d *door, err error) {
	d = &door{}
	defer func() {
		if err != nil {
			d.close()
		}
	}()
	if d.ln, err = listen(o.addr); err != nil {
		return d, err
	}
	log, port := newLog(o, w), portOf(d.ln)
	if o.secure.asked() {
		if d.plain, err = o.secure.listenPlain(port, log); err != nil {
			return d, err
		}
		source, err := o.secure.source(ctx, d, dir, w, log)
		if err != nil {
			return d, err
		}
		d.source = &source
	}
	d.base, err = url.Parse(d.baseAt(o))
	return d, err
}

func (s secureOptions) source(ctx context.Context, d *door, dir string, w world, log *slog.Logger) (cert.Source, error) {
	if s.cert != "" {
		return cert.Files(s.cert, s.key, w.Now, log)
	}
	m := cert.Managed{Names: s.names(), Email: s.email, Directory: s.ca, Roots: s.roots,
		Folder: filepath.Join(dir, "certificates"), TLSPort: portOf(d.ln), Log: log}
	if d.plain != nil {
		m.PlainPort = portOf(d.plain)
	}
	return cert.ACME(ctx, m)
}

// listenPlain opens the address of plain http. Where it was not asked for and
// cannot be had, https alone does as well.
func (s secureOptions) listenPlain(port int, log *slog.Logger) (net.Listener, error) {
	if s.plain != "" {
		return listen(s.plain)
	}
	if port != 443 {
		return nil, nil
	}
	ln, err := listen(":80")
	if err != nil {
		log.Warn("plain http is not sent on to https", "cause", err)
		return nil, nil
	}
	return ln, nil
}

func portOf(ln net.Listener) int {
	if at, ok := ln.Addr().(*net.TCPAddr); ok {
		return at.Port
	}
	return 0
}

// baseAt is the start of the links that are printed.
func (d *door) baseAt(o options) string {
	if o.base != nil || d.source == nil {
		return baseAt(o, d.ln.Addr())
	}
	name := strings.Replace(d.source.Names[0], "*.", "www.", 1)
	if port := portOf(d.ln); port != 443 {
		name = net.JoinHostPort(name, strconv.Itoa(port))
	}
	return "https://" + name
}

// names are those that the server answers to besides addresses and the name of
// its base: those of its certificate, and those of this machine.
func (d *door) names() (names []string) {
	if d.source != nil {
		names = append(names, d.source.Names...)
	}
	if host, err := os.Hostname(); err == nil {
		host, _, _ = strings.Cut(strings.ToLower(host), ".")
		names = append(names, host, host+".local")
	}
	return names
}

// serve answers requests until the server is shut down.
func (d *door) serve(srv *http.Server, log *slog.Logger) error {
	if d.source == nil {
		return srv.Serve(d.ln)
	}
	if d.plain != nil {
		plain := httpServer(d.source.Plain(cert.Redirect(d.source.Names, strconv.Itoa(portOf(d.ln)))), log)
		go func() { _ = plain.Serve(d.plain) }()
		srv.RegisterOnShutdown(func() { _ = plain.Close() })
	}
	srv.TLSConfig = d.source.TLS.Clone()
	srv.TLSConfig.NextProtos = append([]string{"h2", "http/1.1"}, srv.TLSConfig.NextProtos...)
	return srv.ServeTLS(d.ln, "", "")
}

func (d *door) close() {
	for _, ln := range []net.Listener{d.ln, d.plain} {
		if ln != nil {
			_ = ln.Close()
		}
	}
	if d.source != nil {
		d.source.Stop()
	}
}

// offlineWord says what phones lack at an address that browsers do not trust, ""
// where they lack nothing.
func offlineWord(base *url.URL) string {
	if base.Scheme == "https" || web.Here(base.Host) {
		return ""
	}
	return "Phones that open " + base.String() + " will not work without signal: browsers allow that over https alone. See --domain and --cert, and the walk through three ways in server/HTTPS.md.\n"
}

// clockEvery is how often the clock is looked at.
const clockEvery = 10 * time.Second

// watchClock tells the log when the machine's clock was set: hours, deadlines
// and the forecast are reckoned by it.
func watchClock(ctx context.Context, now func() time.Time, log *slog.Logger) {
	t := time.NewTicker(clockEvery)
	defer t.Stop()
	last := now()
	for {
		select {
		case <-ctx.Done():
			return
		case <-t.C:
		}
		at := now()
		if by := jumped(at.Round(0).Sub(last.Round(0)), at.Sub(last)); by != 0 {
			log.Warn("the clock of this machine was set: times that follow are reckoned by the new one", "by", by.String(), "now", at)
		}
		last = at
	}
}

// jumped is by how much the clock on the wall went ahead (or, below zero, back)
// of the time that really passed, 0 for under two seconds.
func jumped(wall, passed time.Duration) time.Duration {
	if by := wall - passed; by.Abs() >= 2*time.Second {
		return by.Round(time.Second)
	}
	return 0
}

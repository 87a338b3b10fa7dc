package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"os"
	"runtime/debug"
	"syscall"
	"time"

	"fairday/domain/when"
	"fairday/pwa"
	"fairday/server/plan"
	"fairday/server/store"
	"fairday/server/web"
	plans "fairday/testdata/demo"
)

// keepAccess is how long ended sessions and links are remembered, so that who
// comes with one hears that it has ended.
const keepAccess = 90 * 24 * time.Hour

// serve keeps the shoots of a folder until ctx is done.
func serve(ctx context.Context, o options, w world) error {
	var p plan.Plan
	if o.plan != "" { // before anything is made or opened
		var err error
		if p, err = readPlan(o.plan, o.date, w); err != nil {
			return err
		}
	}
	dir := o.data
	if dir == "" {
		var err error
		if dir, err = store.DefaultDir(w.Getenv); err != nil {
			return err
		}
	}
	d, err := openDoor(ctx, o, dir, w)
	if err != nil {
		return err
	}
	defer d.close()
	return withApp(dir, o, w, func(s *store.Store, a *web.App) error {
		if o.restored {
			if err := s.Restored(); err != nil {
				return err
			}
		}
		base := d.base.String()
		defer keeper(dir, base, s, a)()
		if o.watch != "" {
			at, stop, err := watch(a.Metrics, o.watch, a.Log)
			if err != nil {
				return err
			}
			defer stop()
			fmt.Fprintf(w.Stdout, "Figures are at http://%s/metrics\n", at)
		}
		fmt.Fprintf(w.Stdout, "Fairday serves %s\nThe shoots are kept in %s\n%s", base, dir, offlineWord(d.base))
		if o.plan != "" {
			if err := importPlan(a, w, base, p); err != nil {
				return err
			}
		}
		if err := printOwner(a, w, base); err != nil {
			return err
		}
		return listenAndServe(ctx, a, d)
	})
}

// importPlan stores a plan and prints a link for each of its people.
func importPlan(a *web.App, w world, base string, p plan.Plan) error {
	id, err := a.Shoots.Create(p.Intents)
	if err != nil {
		return err
	}
	links, err := inviteAll(a, base, id, p.People, false)
	if err != nil {
		return err
	}
	fmt.Fprintf(w.Stdout, "\nLoaded %q. Send each person their own link; it works once, within 14 days:\n\n", p.Title)
	for _, l := range links {
		fmt.Fprintf(w.Stdout, "  %s, %s: %s\n", l.Role, l.Name, l.URL)
	}
	return nil
}

// withApp opens the store in a folder, runs do over it and closes it.
func withApp(dir string, o options, w world, do func(*store.Store, *web.App) error) (err error) {
	log := newLog(o, w)
	s, err := store.Open(dir, w.Rand, log)
	if err != nil {
		var e *store.Error
		if errors.As(err, &e) {
			log.Debug("the store was not opened", "cause", e.Cause)
		}
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	if err := s.Sweep(when.FromTime(w.Now().Add(-keepAccess))); err != nil {
		return err
	}
	files := pwa.Files()
	if dir := w.Getenv("FAIRDAY_CLIENT"); dir != "" { // where a draft of the client is built, while somebody works on it
		files = os.DirFS(dir)
	}
	a, err := web.New(s, files, w.Now, w.Rand, log)
	if err != nil {
		return err
	}
	a.Proxies, a.Example = o.proxies, plans.File
	return do(s, a)
}

// listenAndServe answers requests until ctx is done, then stops in order: the shoots write
// what they were told, the phones hear goodbye, requests end.
func listenAndServe(ctx context.Context, a *web.App, d *door) error {
	// Most of what a phone costs while it is quiet is garbage that waits to be
	// collected. The heap is small, so collecting sooner costs little.
	debug.SetGCPercent(40)
	a.Base, a.Names = d.base, d.names()
	srv := httpServer(a.Handler(), a.Log)
	failed := make(chan error, 1)
	go func() { failed <- d.serve(srv, a.Log) }()
	go watchClock(ctx, a.Now, a.Log)
	var err error
	select {
	case <-ctx.Done():
		a.Log.Info("stopping")
	case err = <-failed:
	}
	a.Stop()
	ending, cancel := context.WithTimeout(context.WithoutCancel(ctx), 5*time.Second)
	defer cancel()
	if e := srv.Shutdown(ending); e != nil {
		err = errors.Join(err, e, srv.Close())
	}
	if errors.Is(err, http.ErrServerClosed) {
		return nil
	}
	return err
}

func newLog(o options, w world) *slog.Logger {
	how := &slog.HandlerOptions{Level: slog.LevelInfo}
	if o.verbose {
		how.Level = slog.LevelDebug
	}
	if o.logStyle == "json" {
		return slog.New(slog.NewJSONHandler(w.Stderr, how))
	}
	return slog.New(slog.NewTextHandler(w.Stderr, how))
}

// listen opens the address, and says in plain words why it cannot.
func listen(addr string) (net.Listener, error) {
	ln, err := net.Listen("tcp", addr)
	switch {
	case err == nil:
		return ln, nil
	case errors.Is(err, syscall.EADDRINUSE):
		return nil, fmt.Errorf("another program listens at %s already. Stop it, or choose another address with --addr; port 0 picks a free one", addr)
	case errors.Is(err, os.ErrPermission):
		return nil, fmt.Errorf("this user may not listen at %s. Choose a port above 1023 with --addr", addr)
	}
	return nil, fmt.Errorf("cannot listen at %s: %w. Choose another address with --addr", addr, err)
}

// baseAt is the start of the links that are printed. A server that listens
// everywhere is named by its first address in the local network.
func baseAt(o options, at net.Addr) string {
	if o.base != nil {
		return o.base.String()
	}
	tcp, ok := at.(*net.TCPAddr)
	if !ok || !tcp.IP.IsUnspecified() {
		return "http://" + at.String()
	}
	host := "127.0.0.1"
	if all, err := net.InterfaceAddrs(); err == nil {
		for _, one := range all {
			if n, ok := one.(*net.IPNet); ok && n.IP.To4() != nil && n.IP.IsPrivate() {
				host = n.IP.String()
				break
			}
		}
	}
	return fmt.Sprintf("http://%s:%d", host, tcp.Port)
}

// httpServer wraps a handler in timeouts. A socket is taken out of them when it
// is upgraded.
func httpServer(h http.Handler, log *slog.Logger) *http.Server {
	return &http.Server{
		Handler:           h,
		ReadHeaderTimeout: 10 * time.Second,
		ReadTimeout:       30 * time.Second,
		WriteTimeout:      5 * time.Minute, // the engine over a weak signal
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    16 << 10,
		ErrorLog:          slog.NewLogLogger(log.Handler(), slog.LevelDebug),
	}
}

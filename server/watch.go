package main

import (
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/http/pprof"

	"github.com/prometheus/client_golang/prometheus/promhttp"

	"fairday/server/live"
	"fairday/server/web"
)

// watch serves the figures and the profiles on an address of their own until
// stop is called.
func watch(m *live.Metrics, addr string, log *slog.Logger) (at string, stop func(), err error) {
	ln, err := listen(addr)
	if err != nil {
		return "", nil, err
	}
	mux := http.NewServeMux()
	mux.Handle("GET /metrics", promhttp.HandlerFor(m.All, promhttp.HandlerOpts{}))
	mux.HandleFunc("GET /debug/pprof/", pprof.Index)
	mux.HandleFunc("GET /debug/pprof/cmdline", pprof.Cmdline)
	mux.HandleFunc("GET /debug/pprof/profile", pprof.Profile)
	mux.HandleFunc("GET /debug/pprof/symbol", pprof.Symbol)
	mux.HandleFunc("GET /debug/pprof/trace", pprof.Trace)
	srv := httpServer(mux, log)
	done := make(chan struct{})
	go func() {
		defer close(done)
		if err := srv.Serve(ln); !errors.Is(err, http.ErrServerClosed) {
			log.Warn("the figures are no longer served", "cause", err)
		}
	}()
	return ln.Addr().String(), func() { _ = srv.Close(); <-done }, nil
}

// checkWatch holds the figures to this machine.
func checkWatch(addr string) error {
	_, port, err := net.SplitHostPort(addr)
	if err == nil && port != "" && web.Here(addr) {
		return nil
	}
	return fmt.Errorf("serve: --watch %q is not an address of this machine alone. Write for example 127.0.0.1:9090", addr)
}

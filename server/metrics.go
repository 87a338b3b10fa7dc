package main

import (
	"bytes"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/http/pprof"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"fairday/sync/desk"
	"fairday/sync/wire"
)

// metrics are the server's own figures. No label says who, which shoot or how
// much money.
type metrics struct {
	all       *prometheus.Registry
	verdicts  *prometheus.CounterVec // by result
	sent      *prometheus.CounterVec // by kind of message
	sentBytes *prometheus.CounterVec
	batches   prometheus.Histogram // edits in each
	commits   prometheus.Histogram // seconds for each
	failures  prometheus.Counter
	loaded    prometheus.Gauge
}

func newMetrics(sockets func() float64) *metrics {
	m := &metrics{
		all: prometheus.NewRegistry(),
		verdicts: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "fairday_verdicts_total",
			Help: "Edits that were taken into a log, by their verdict."}, []string{"result"}),
		sent: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "fairday_messages_sent_total",
			Help: "Messages to phones, by kind: frame, snapshot or other."}, []string{"kind"}),
		sentBytes: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "fairday_messages_sent_bytes_total",
			Help: "Bytes of the messages to phones before compression, by kind."}, []string{"kind"}),
		batches: prometheus.NewHistogram(prometheus.HistogramOpts{Name: "fairday_batch_edits",
			Help: "Edits that shared one append to a log.", Buckets: prometheus.ExponentialBuckets(1, 2, 9)}),
		commits: prometheus.NewHistogram(prometheus.HistogramOpts{Name: "fairday_commit_seconds",
			Help: "Time until an append was durable.", Buckets: prometheus.ExponentialBuckets(0.0005, 2, 13)}),
		failures: prometheus.NewCounter(prometheus.CounterOpts{Name: "fairday_commit_failures_total",
			Help: "Appends that the store did not take; the phones keep their edits."}),
		loaded: prometheus.NewGauge(prometheus.GaugeOpts{Name: "fairday_shoots_loaded", Help: "Shoots in memory."}),
	}
	m.all.MustRegister(m.verdicts, m.sent, m.sentBytes, m.batches, m.commits, m.failures, m.loaded,
		prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "fairday_sockets", Help: "Open sockets of phones."}, sockets),
		collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return m
}

// committed notes an append to a log.
func (m *metrics) committed(entries []desk.Entry, took time.Duration, err error) {
	m.commits.Observe(took.Seconds())
	if err != nil {
		m.failures.Inc()
		return
	}
	m.batches.Observe(float64(len(entries)))
	for _, e := range entries {
		m.verdicts.WithLabelValues(string(e.Verdict.Result)).Inc()
	}
}

// said notes a message to a phone.
func (m *metrics) said(out desk.Out) {
	kind := "other"
	for _, k := range []string{"frame", "snapshot"} {
		if bytes.HasPrefix(out.Text, []byte(`{"type":"`+k+`"`)) {
			kind = k
		}
	}
	m.sent.WithLabelValues(kind).Inc()
	m.sentBytes.WithLabelValues(kind).Add(float64(message{out.Text, out.Rest}.size()))
}

// prepare shows each verdict from the start.
func (m *metrics) prepare() *metrics {
	for _, r := range []wire.Result{wire.Accepted, wire.Flagged, wire.Refused} {
		m.verdicts.WithLabelValues(string(r))
	}
	return m
}

// watch serves the figures and the profiles on an address of their own until
// stop is called.
func (m *metrics) watch(addr string, log *slog.Logger) (at string, stop func(), err error) {
	ln, err := listen(addr)
	if err != nil {
		return "", nil, err
	}
	mux := http.NewServeMux()
	mux.Handle("GET /metrics", promhttp.HandlerFor(m.all, promhttp.HandlerOpts{}))
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
	host, port, err := net.SplitHostPort(addr)
	if err == nil && port != "" && (host == "localhost" || net.ParseIP(host).IsLoopback()) {
		return nil
	}
	return fmt.Errorf("serve: --watch %q is not an address of this machine alone. Write for example 127.0.0.1:9090", addr)
}

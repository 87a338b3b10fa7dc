package live

import (
	"bytes"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"

	"fairday/sync/desk"
	"fairday/sync/wire"
)

// Metrics are the server's own figures. No label says who, which shoot or how
// much money.
type Metrics struct {
	All       *prometheus.Registry
	verdicts  *prometheus.CounterVec // by result
	sent      *prometheus.CounterVec // by kind of message
	sentBytes *prometheus.CounterVec
	batches   prometheus.Histogram // edits in each
	commits   prometheus.Histogram // seconds for each
	failures  prometheus.Counter
	loaded    prometheus.Gauge
}

// NewMetrics prepares the figures; sockets tells how many are open.
func NewMetrics(sockets func() float64) *Metrics {
	m := &Metrics{
		All: prometheus.NewRegistry(),
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
	m.All.MustRegister(m.verdicts, m.sent, m.sentBytes, m.batches, m.commits, m.failures, m.loaded,
		prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "fairday_sockets", Help: "Open sockets of phones."}, sockets),
		collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	for _, r := range []wire.Result{wire.Accepted, wire.Flagged, wire.Refused} { // shows each from the start
		m.verdicts.WithLabelValues(string(r))
	}
	return m
}

// committed notes an append to a log.
func (m *Metrics) committed(entries []desk.Entry, took time.Duration, err error) {
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
func (m *Metrics) said(out desk.Out) {
	kind := "other"
	for _, k := range []string{"frame", "snapshot"} {
		if bytes.HasPrefix(out.Text, []byte(`{"type":"`+k+`"`)) {
			kind = k
		}
	}
	m.sent.WithLabelValues(kind).Inc()
	m.sentBytes.WithLabelValues(kind).Add(float64(message{out.Text, out.Rest}.size()))
}

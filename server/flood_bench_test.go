package main

import (
	"sync/atomic"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"fairday/server/live"
	"fairday/sync/wire"
)

// BenchmarkFlood is the time from an edit to its durable verdict, on a quiet
// server, and while another phone of the same shoot sends full messages as fast as its
// socket takes them and comes again at once whenever it is sent away.
func BenchmarkFlood(b *testing.B) {
	s := newSite(b)
	unmetered(&s.app.Sockets.Limits) // for the phone that is timed, which is quicker than people
	p := s.phone(s.joined(ari))
	s.app.Sockets.Limits = live.Usual()
	once := func() time.Duration {
		p.down.Reset()
		e := p.setup()
		began := time.Now()
		p.say(wire.Edits{Edits: []wire.Edit{e}})
		p.verdicts(e)
		return time.Since(began)
	}
	many := func() (all []time.Duration) {
		for range max(b.N, 100) {
			all = append(all, once())
		}
		return all
	}
	b.ResetTimer()
	quiet := quantile(many(), 0.99)
	c := s.joined(cleo)
	var stop atomic.Bool
	var sent atomic.Int64
	ended, begun := make(chan bool), make(chan bool, 1)
	go func() {
		defer close(ended)
		for !stop.Load() {
			q, _, err := s.dial(c)
			if err != nil {
				continue
			}
			q.hello()
			for !stop.Load() {
				var edits []wire.Edit
				for range wire.MaxEdits {
					edits = append(edits, q.setup())
				}
				text, err := wire.Encode(wire.Edits{Edits: edits})
				if err != nil {
					b.Error(err)
					return
				}
				if q.ws.WriteMessage(websocket.TextMessage, text) != nil {
					break
				}
				sent.Add(wire.MaxEdits)
				select {
				case begun <- true:
				default:
				}
			}
			_ = q.ws.Close()
		}
	}()
	<-begun
	flooded := many()
	b.StopTimer()
	stop.Store(true)
	<-ended
	ms := func(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }
	b.ReportMetric(ms(quiet), "quiet-p99-ms")
	b.ReportMetric(ms(quantile(flooded, 0.5)), "flooded-p50-ms")
	b.ReportMetric(ms(quantile(flooded, 0.99)), "flooded-p99-ms")
	b.ReportMetric(float64(quantile(flooded, 0.99))/float64(quiet), "x-quiet-p99")
	b.ReportMetric(float64(sent.Load()), "flood-edits")
	b.ReportMetric(0, "ns/op")
}

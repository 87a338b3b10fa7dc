package main

import (
	"bytes"
	"fmt"
	"net/http"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/dgraph-io/badger/v4"

	"fairday/sync/wire"
)

// BenchmarkReceipts counts durable edits with their receipts over sockets, each
// phone sending one at a time; bare is as many writers that commit to badger
// with the same durability and about the same bytes.
func BenchmarkReceipts(b *testing.B) {
	for _, phones := range []int{1, 16} {
		b.Run(fmt.Sprintf("phones=%d", phones), func(b *testing.B) {
			s := newSite(b)
			c := s.joined(ari)
			unmetered(&s.app.Sockets.Limits)
			crowd := make([]*phone, phones)
			for i := range crowd {
				if i%8 == 0 {
					c = s.joined(ari)
				}
				crowd[i] = s.phone(c)
			}
			b.ResetTimer()
			race(b, phones, func(i int) {
				p := crowd[i]
				p.down.Reset()
				e := p.edit("setup.set", `{"id":"0191d3f0-0000-7000-9000-%012x","name":"Window","minutes":20,"base":%d}`, 1<<40+i, p.seq)
				p.say(wire.Edits{Edits: []wire.Edit{e}})
				p.verdicts(e)
			})
		})
		b.Run(fmt.Sprintf("bare=%d", phones), func(b *testing.B) {
			db, err := badger.Open(badger.DefaultOptions(b.TempDir()).WithSyncWrites(true).WithLogger(nil))
			if err != nil {
				b.Fatal(err)
			}
			defer db.Close()
			value := make([]byte, 600)
			b.ResetTimer()
			race(b, phones, func(i int) {
				key := fmt.Appendf(nil, "%d %d", i, time.Now().UnixNano())
				if err := db.Update(func(tx *badger.Txn) error { return tx.Set(key, value) }); err != nil {
					b.Error(err)
				}
			})
		})
	}
}

// race runs do b.N times in each of some goroutines and reports the rate.
func race(b *testing.B, workers int, do func(worker int)) {
	start := time.Now()
	done := make(chan bool)
	for i := range workers {
		go func() {
			defer func() { done <- true }()
			for range b.N {
				do(i)
			}
		}()
	}
	for range workers {
		<-done
	}
	b.ReportMetric(float64(b.N*workers)/time.Since(start).Seconds(), "edits/s")
}

// BenchmarkIdlePhone measures what a connected phone that says nothing adds to
// the server's resident memory, by Linux's own account of the process.
func BenchmarkIdlePhone(b *testing.B) {
	if _, err := os.Stat("/proc/self/status"); err != nil {
		b.Skip("there is no /proc here")
	}
	for _, phones := range []int{500, 5000} {
		b.Run(fmt.Sprintf("phones=%d", phones), func(b *testing.B) {
			p := start(b, "demo", "--addr", "127.0.0.1:0")
			link := strings.TrimPrefix(p.line(b, `^  Crew, .*: (http://\S+)$`), p.base)
			s := remote(b, p.base)
			s.packed = true
			connect := func(n int) {
				var c *http.Client
				for i := range n {
					if i%16 == 0 {
						c = s.browser()
						if r := s.ask(c, "POST", link, ""); r.status != http.StatusSeeOther {
							b.Fatal(r)
						}
					}
					phone, _, err := s.dial(c, "X-Forwarded-For: "+address(i/1000)) // all would be too many for one
					if err != nil {
						b.Fatal(err)
					}
					phone.hello()
					phone.down = bytes.Buffer{}
				}
			}
			connect(64) // so that what is there for the first one does not count
			before := p.resident(b)
			connect(phones)
			b.ReportMetric(float64(p.resident(b)-before)/float64(phones), "KB/phone")
			b.ReportMetric(0, "ns/op")
		})
	}
}

// resident is the memory of the process in KB.
func (p *program) resident(t testing.TB) int {
	t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", p.cmd.Process.Pid))
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(text)) {
		if after, ok := strings.CutPrefix(line, "VmRSS:"); ok {
			kb, err := strconv.Atoi(strings.TrimSuffix(strings.TrimSpace(after), " kB"))
			if err != nil {
				t.Fatal(err)
			}
			return kb
		}
	}
	t.Fatal("no VmRSS")
	return 0
}

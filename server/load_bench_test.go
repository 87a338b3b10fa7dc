package main

import (
	"bytes"
	"crypto/rand"
	"flag"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"fairday/domain/shoot"
	"fairday/server/live"
	"fairday/server/plan"
	"fairday/server/store"
	"fairday/sync/desk"
	"fairday/sync/wire"
	plans "fairday/testdata/demo"
)

var longest = flag.Int("longest", 100_000, "events in the longest log of BenchmarkLongLog; 1000000 for the long run")

// crowded is a server with the shoot of a plan in it n times over, and the plan's
// people. No session or address has too many sockets or edits, nobody needs to ping,
// and nobody is told who is on line.
func crowded(b *testing.B, file []byte, n int) (s *site, shoots []string, people []plan.Person) {
	b.Helper()
	s = newSite(b)
	s.change = func(l *live.Limits) {
		l.Sockets, l.FromAddress, l.AllSockets, l.Idle, l.Beat = 1<<20, 1<<20, 1<<20, time.Hour, time.Hour
		unmetered(l)
	}
	s.change(&s.app.Sockets.Limits)
	w := world{Rand: rand.Reader, Now: func() time.Time { return time.UnixMilli(s.clock.Load()) }}
	p, err := parsePlan(bytes.NewReader(file), plans.Name, "2026-11-25", w)
	if err != nil {
		b.Fatal(err)
	}
	for range n {
		id, err := s.app.Shoots.Create(p.Intents)
		if err != nil {
			b.Fatal(err)
		}
		shoots = append(shoots, id)
	}
	s.shoot = shoots[0]
	return s, shoots, p.People
}

// unmetered lets a session send as much as it likes.
func unmetered(l *live.Limits) {
	l.Texts, l.Edits, l.Bytes, l.DayEdits, l.DayBytes = 1<<30, 1<<30, 1<<40, 1<<30, 1<<40
}

// of finds the first of the people with a role.
func of(people []plan.Person, r shoot.Role) shoot.PersonID {
	return people[slices.IndexFunc(people, func(p plan.Person) bool { return p.Role == r })].ID
}

// quantile is the time that a share of all times does not exceed.
func quantile(all []time.Duration, share float64) time.Duration {
	all = slices.Sorted(slices.Values(all))
	return all[min(len(all)-1, int(share*float64(len(all))))]
}

// fanned is a shoot with an art director's phone and some that listen, and bare
// fan-outs of the same bytes beside it.
type fanned struct {
	b                    *testing.B
	editor               *phone
	setup                string
	subscribers          int
	all                  countdown
	bare, synced         *websocket.Conn
	ours, floor, durable []time.Duration
}

func newFanned(b *testing.B, s *site, people []plan.Person, subscribers int) *fanned {
	b.Helper()
	f := &fanned{b: b, subscribers: subscribers, setup: s.uuid(), all: countdown{done: make(chan time.Time, 1)}}
	f.editor = s.phone(s.joined(of(people, shoot.ArtDirector)))
	var listen []*phone
	for i := range subscribers { // the demo's roles in turn
		listen = append(listen, s.phone(s.joined(people[i%len(people)].ID)))
	}
	edit := f.edit()
	f.editor.accepted(edit)
	for _, p := range listen {
		p.sees("North window")
	}
	frame := listen[0].down.Bytes()
	frame = bytes.Clone(frame[bytes.LastIndex(frame, []byte(`{"type":"frame"`)):])
	for _, p := range listen {
		p.down = bytes.Buffer{}
		if err := p.ws.SetReadDeadline(time.Time{}); err != nil {
			b.Fatal(err)
		}
		go f.all.listen(p.ws)
	}
	commits := newBareCommits(b)
	value := make([]byte, 600)
	f.bare = (&bareFan{text: frame}).serve(b, subscribers, &f.all)
	f.synced = (&bareFan{text: frame, first: func() error {
		return commits.set([]byte(time.Now().String()), value)
	}}).serve(b, subscribers, &f.all)
	return f
}

func (f *fanned) edit() wire.Edit {
	return f.editor.edit("setup.set", `{"id":%q,"name":"North window","minutes":20,"base":%d}`, f.setup, f.editor.seq)
}

// once takes one time of each.
func (f *fanned) once() {
	edit := f.edit()
	text, err := wire.Encode(wire.Edits{Edits: []wire.Edit{edit}})
	if err != nil {
		f.b.Fatal(err)
	}
	f.ours = append(f.ours, f.all.time(f.b, f.subscribers, func() { f.editor.write(websocket.TextMessage, text) }))
	f.editor.down.Reset()
	if v := f.editor.verdicts(edit)[edit.ID]; v.Result != wire.Accepted {
		f.b.Fatalf("%+v", v.Refusal)
	}
	say := func(ws *websocket.Conn) func() {
		return func() {
			if err := ws.WriteMessage(websocket.TextMessage, text); err != nil {
				f.b.Fatal(err)
			}
		}
	}
	f.floor = append(f.floor, f.all.time(f.b, f.subscribers, say(f.bare)))
	f.durable = append(f.durable, f.all.time(f.b, f.subscribers, say(f.synced)))
}

// report tells the times until the last phone has it, and their ratio to the
// bare fan-out, and to one that syncs the edit to disk before it sends.
func (f *fanned) report() {
	ms := func(name string, d time.Duration) { f.b.ReportMetric(float64(d.Microseconds())/1000, name) }
	p99, floor, durable := quantile(f.ours, 0.99), quantile(f.floor, 0.99), quantile(f.durable, 0.99)
	ms("p50-ms", quantile(f.ours, 0.5))
	ms("p99-ms", p99)
	ms("bare-p50-ms", quantile(f.floor, 0.5))
	ms("bare-p99-ms", floor)
	ms("synced-p50-ms", quantile(f.durable, 0.5))
	ms("synced-p99-ms", durable)
	f.b.ReportMetric(float64(p99)/float64(floor), "x-bare-p99")
	f.b.ReportMetric(float64(p99)/float64(durable), "x-synced-p99")
	f.b.ReportMetric(0, "ns/op")
}

// BenchmarkShown is the time from an edit on one phone until the last of some
// others has its frame, durable, in turns with bare fan-outs of the same bytes.
// Idle ones are phones of other shoots that are connected and say nothing.
func BenchmarkShown(b *testing.B) {
	for _, c := range []struct{ phones, idle int }{{50, 0}, {200, 0}, {800, 0}, {200, 5000}} {
		b.Run(fmt.Sprintf("phones=%d/idle=%d", c.phones, c.idle), func(b *testing.B) {
			const crew = 200 // of each idle shoot
			s, shoots, people := crowded(b, plans.File, 1+(c.idle+crew-1)/crew)
			var who *http.Client
			for i := range c.idle {
				s.shoot = shoots[1+i/crew]
				if i%10 == 0 {
					who = s.joined(people[i/10%len(people)].ID)
				}
				s.phone(who).down = bytes.Buffer{}
			}
			s.shoot = shoots[0]
			f := newFanned(b, s, people, c.phones)
			b.ResetTimer()
			for range b.N {
				f.once()
			}
			b.StopTimer()
			f.report()
		})
	}
}

// direct is a phone without a socket: it hears what a shoot's runner says.
type direct struct {
	r    *live.Runner
	id   desk.ConnID
	p    *phone // what it counts
	told chan []byte
}

// Enqueue runs in the shoot's goroutine, and what a phone does with a receipt is no
// work of the server's: it is looked at no longer than to know it for one.
func (d *direct) Enqueue(text []byte, _ bool, _ ...*desk.Part) bool {
	if i := bytes.LastIndex(text, []byte(`"verdicts":`)); i > 0 {
		d.told <- text[i:]
	}
	return true
}

func (d *direct) EnqueueSpare([]byte) {}

func newDirect(b *testing.B, s *site, id string, who shoot.PersonID) *direct {
	b.Helper()
	r, err := s.app.Shoots.Get(id)
	if err != nil {
		b.Fatal(err)
	}
	d := &direct{r: r, id: s.app.Sockets.Number(), p: &phone{s: s, device: shoot.DeviceID(s.uuid())}, told: make(chan []byte, 1)}
	if err := r.Attach(d.id, live.Pass{Person: who}, d); err != nil {
		b.Fatal(err)
	}
	if err := r.Receive(d.id, wire.Hello{Protocol: wire.Protocol, Device: d.p.device}, 100); err != nil {
		b.Fatal(err)
	}
	return d
}

// send gives the runner an edit and waits for its receipt.
func (d *direct) send(setup string) error {
	e := d.p.edit("setup.set", `{"id":%q,"name":"North window","minutes":20,"base":%d}`, setup, d.p.seq)
	if err := d.r.Receive(d.id, wire.Edits{Edits: []wire.Edit{e}}, 300); err != nil {
		return err
	}
	if told := <-d.told; !bytes.Contains(told, []byte(`"result":"accepted"`)) {
		return fmt.Errorf("the receipt says %s", told)
	}
	return nil
}

// BenchmarkShoots counts durable edits a second over many shoots, four phones
// in each that send one edit at a time, beside as many writers that share
// synced transactions of bare badger.
func BenchmarkShoots(b *testing.B) {
	for _, n := range []int{1, 8, 64} {
		b.Run(fmt.Sprintf("shoots=%d", n), func(b *testing.B) {
			s, shoots, people := crowded(b, plans.File, n)
			var all []*direct
			for _, id := range shoots {
				for range 4 {
					all = append(all, newDirect(b, s, id, of(people, shoot.ArtDirector)))
				}
			}
			setups := make([]string, len(all))
			for i := range setups {
				setups[i] = s.uuid()
				if err := all[i].send(setups[i]); err != nil { // the first one opens the shoot
					b.Fatal(err)
				}
			}
			commits := newBareCommits(b)
			value := make([]byte, 600)
			b.ResetTimer()
			ours := perSecond(b, len(all), func(i int) error { return all[i].send(setups[i]) })
			bare := perSecond(b, len(all), func(i int) error {
				return commits.set(fmt.Appendf(nil, "%d %d", i, time.Now().UnixNano()), value)
			})
			b.ReportMetric(ours, "edits/s")
			b.ReportMetric(bare, "bare/s")
			b.ReportMetric(ours/bare, "of-bare")
			b.ReportMetric(0, "ns/op")
		})
	}
}

// perSecond runs do b.N times in each of some goroutines and gives how many that is
// in a second.
func perSecond(b *testing.B, workers int, do func(worker int) error) float64 {
	b.Helper()
	start := time.Now()
	done := make(chan error)
	for i := range workers {
		go func() {
			var err error
			for range b.N {
				if err = do(i); err != nil {
					break
				}
			}
			done <- err
		}()
	}
	for range workers {
		if err := <-done; err != nil {
			b.Error(err)
		}
	}
	return float64(b.N*workers) / time.Since(start).Seconds()
}

// long is a log with the demo's plan and very many events after it.
type long struct {
	events int
	store  *store.Store
	id     string
	desk   *desk.Desk
	seq    uint64
	times  []time.Duration
}

const longDevice shoot.DeviceID = "0191d3f0-0000-7000-a000-00000000000d"

// add decides some edits of one event each, makes them durable and visible.
func (l *long) add(b *testing.B, s *site, n int) {
	b.Helper()
	var edits []wire.Edit
	for range n {
		edits = append(edits, wire.Edit{ID: shoot.IntentID(s.uuid()), Seq: l.seq + 1, Name: "setup.set", Version: 1, Happened: s.now(),
			Args: fmt.Appendf(nil, `{"id":"0191d3f0-0000-7000-a000-00000000000e","name":"North window","minutes":20,"base":%d}`, l.seq)})
		l.seq++
	}
	if err := l.desk.Record(longDevice, edits, s.now()); err != nil {
		b.Fatal(err)
	}
	batch := l.desk.Take()
	if last := batch.Entries[len(batch.Entries)-1]; last.Verdict.Result != wire.Accepted {
		b.Fatal(last.Verdict.Refusal)
	}
	if err := l.store.Append(l.id, batch.Entries, batch.Checkpoint); err != nil {
		b.Fatal(err)
	}
	l.desk.Commit(batch)
}

// BenchmarkLongLog is one intent, decided, durable and visible, at the end of
// logs that differ only in their length, in turns.
func BenchmarkLongLog(b *testing.B) {
	var all []*long
	for n := 1000; n <= *longest; n *= 10 {
		s, shoots, _ := crowded(b, plans.File, 1)
		l := &long{events: n, store: s.stored, id: shoots[0]}
		var err error
		if l.desk, err = s.app.Shoots.Open(l.id); err != nil {
			b.Fatal(err)
		}
		for done := 0; done < n; done += 250 {
			l.add(b, s, 250)
		}
		all = append(all, l)
	}
	ids := &site{t: b, clock: newClock(time.Now())}
	ids.ids.Store(1 << 40)
	b.Run("", func(b *testing.B) {
		for range b.N {
			for _, l := range all {
				start := time.Now()
				l.add(b, ids, 1)
				l.times = append(l.times, time.Since(start))
			}
		}
		for _, l := range all {
			name := strings.TrimSuffix(fmt.Sprint(l.events), "000") + "k"
			p50 := quantile(l.times, 0.5)
			b.ReportMetric(float64(p50.Microseconds()), name+"-µs")
			b.ReportMetric(float64(p50)/float64(quantile(all[0].times, 0.5)), name+"-x")
		}
		b.ReportMetric(0, "ns/op")
	})
}

package sim

import (
	"fmt"
	"slices"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/desk"
	"fairday/sync/replica"
	"fairday/sync/wire"
)

// opened gives a desk with the plan in it and the edits that go on from there.
func opened(b *testing.B, catchUp int) *desk.Desk {
	d, err := desk.Open(desk.Config{Log: desk.NewMemory(func() string { return "g" }), Shoot: ShootID, Random: Seeded(1), CatchUp: catchUp})
	if err != nil {
		b.Fatal(err)
	}
	record(b, d, Plan())
	return d
}

func record(b *testing.B, d *desk.Desk, edits []wire.Edit) {
	if err := d.Record(Server, edits, Start+when.Hour); err != nil {
		b.Fatal(err)
	}
	if _, err := d.Flush(); err != nil {
		b.Fatal(err)
	}
}

// notes makes n edits of one event each, numbered after last.
func notes(last, n int) []wire.Edit {
	p := planner{edits: make([]wire.Edit, last)}
	for i := range n {
		p.add("shot.frames", Set{"shot": shots[i%len(shots)], "frames": fmt.Sprintf("FR_%04d–FR_%04d", last+i, last+i+17)})
	}
	return p.edits[last:]
}

// visit has a phone say hello and take everything it is answered.
func visit(b *testing.B, d *desk.Desk, conn desk.ConnID, r *replica.Replica) *replica.Cache {
	d.Attach(conn, Person(2))
	var cache *replica.Cache
	for _, text := range r.Connected(Start).Send {
		m, err := wire.DecodeUp(text)
		if err != nil {
			b.Fatal(err)
		}
		for _, o := range d.Receive(conn, m, Start) {
			if s := r.Receive(o.Whole(), Start); s.Close {
				b.Fatalf("closed on %.100s", o.Text)
			} else if s.Cache != nil {
				cache = s.Cache
			}
		}
	}
	if s := r.Disconnected(Start); s.Cache != nil {
		cache = s.Cache
	}
	d.Leave(conn)
	return cache
}

// BenchmarkCatchUp is a phone that missed many events. Event by event, the desk
// reads and encodes them and the replica decodes, applies and checks them and
// hands out its cache; as it comes, the desk sends a snapshot past its limit.
func BenchmarkCatchUp(b *testing.B) {
	for _, c := range []struct {
		name    string
		n       int
		catchUp int
	}{{"events=400", 400, 0}, {"events=2000/as it comes", 2000, 0}, {"events=2000/event by event", 2000, 10000}} {
		b.Run(c.name, func(b *testing.B) {
			n, d := c.n, opened(b, c.catchUp)
			was := visit(b, d, 1, replica.New(shoot.DeviceID(ID(1)), Person(2), "bench"))
			plan := len(Plan())
			for i := 0; i < n; i += 50 {
				record(b, d, notes(plan+i, 50))
			}
			conn := desk.ConnID(2)
			for b.Loop() {
				r := replica.New(shoot.DeviceID(ID(1)), Person(2), "bench")
				c := *was
				c.State = was.State.Clone()
				r.Load(&c, nil, 0)
				if cache := visit(b, d, conn, r); cache == nil || cache.Cursor == was.Cursor {
					b.Fatal("nothing came")
				}
				conn++
			}
		})
	}
}

// BenchmarkSnapshot is a phone that knows nothing.
func BenchmarkSnapshot(b *testing.B) {
	d := opened(b, 0)
	conn := desk.ConnID(2)
	for b.Loop() {
		if cache := visit(b, d, conn, replica.New(shoot.DeviceID(ID(1)), Person(2), "bench")); cache == nil {
			b.Fatal("nothing came")
		}
		conn++
	}
}

// BenchmarkSubmit is one edit through the desk, alone and with 63 others in one
// batch, heard by 200 connections or by none.
func BenchmarkSubmit(b *testing.B) {
	for _, c := range []struct{ batch, ears int }{{1, 0}, {64, 0}, {1, 200}, {64, 200}} {
		b.Run(fmt.Sprintf("batch=%d/connections=%d", c.batch, c.ears), func(b *testing.B) {
			d := opened(b, 0)
			for i := range c.ears {
				d.Attach(desk.ConnID(i+1), Person(1+i%9))
				d.Receive(desk.ConnID(i+1), wire.Hello{Protocol: 1, Device: shoot.DeviceID(ID(i + 1))}, Start)
			}
			last := len(Plan())
			for b.Loop() {
				b.StopTimer()
				edits := notes(last, c.batch)
				last += c.batch
				b.StartTimer()
				record(b, d, edits)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*c.batch), "ns/edit")
		})
	}
}

// BenchmarkRebase is a frame that comes to a phone with edits waiting.
func BenchmarkRebase(b *testing.B) {
	for _, waiting := range []int{0, 100} {
		b.Run(fmt.Sprint(waiting), func(b *testing.B) {
			d := opened(b, 0)
			r := replica.New(shoot.DeviceID(ID(1)), Person(2), "bench")
			visit(b, d, 1, r)
			for i, e := range notes(0, waiting) {
				step := r.Edit(e.ID, e.Name, e.Args, Start)
				step.Keep[0].Seq = uint64(i + 1)
				r.Kept(step.Keep, Start)
			}
			r.Connected(Start)
			welcome, err := wire.Encode(wire.Welcome{Protocol: 1, Oldest: 1, Now: Start, Generation: "g", Person: Person(2), Role: shoot.Photographer, Expect: 1})
			if err != nil {
				b.Fatal(err)
			}
			r.Receive(welcome, Start)
			event := Args([]shoot.Event{{At: Start, By: Person(1), Body: shoot.ShotCut{Shot: shots[0]}}})
			n := uint64(0)
			for b.Loop() {
				n++
				head, tail, err := wire.EncodeFrame(n, "c", nil, "", 0)
				text := slices.Concat(head, event, tail)
				if err != nil {
					b.Fatal(err)
				}
				if r.Receive(text, Start).Close {
					b.Fatal("closed")
				}
			}
		})
	}
}

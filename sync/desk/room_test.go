package desk_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/desk"
	"fairday/sync/sim"
	"fairday/sync/wire"
)

// Places in the plan of package sim.

const (
	producer, director, photographer, foodStylist, client, caterer, crew = 0, 1, 2, 5, 6, 7, 8
)

var now = sim.Start + when.Hour

// room is a desk with the small plan in it and people at it.
type room struct {
	t    testing.TB
	log  *desk.Memory
	d    *desk.Desk
	cfg  desk.Config
	next desk.ConnID
	ids  int
}

func newRoom(t testing.TB, change func(*desk.Config)) *room {
	n := 0
	r := &room{t: t, log: desk.NewMemory(func() string { n++; return fmt.Sprintf("g%d", n) })}
	r.cfg = desk.Config{Log: r.log, Shoot: sim.ShootID, Random: sim.Seeded(1)}
	if change != nil {
		change(&r.cfg)
	}
	r.open()
	r.check(r.d.Record(sim.Server, sim.Plan(), sim.Start))
	r.flush()
	return r
}

func (r *room) open() {
	d, err := desk.Open(r.cfg)
	r.check(err)
	r.d = d
}

func (r *room) check(err error) {
	r.t.Helper()
	if err != nil {
		r.t.Fatal(err)
	}
}

func (r *room) flush() []desk.Out {
	r.t.Helper()
	outs, err := r.d.Flush()
	r.check(err)
	return outs
}

func deviceOf(person int) shoot.DeviceID { return shoot.DeviceID(sim.ID(0x9000 + person)) }

// joined attaches a person and says hello; it gives the answers.
func (r *room) joined(person int, h wire.Hello) (desk.ConnID, []desk.Out) {
	r.next++
	r.d.Attach(r.next, sim.Person(person))
	if h.Device == "" {
		h.Device = deviceOf(person)
	}
	if h.Protocol == 0 {
		h.Protocol = wire.Protocol
	}
	return r.next, r.d.Receive(r.next, h, now)
}

func (r *room) join(person int) desk.ConnID {
	r.t.Helper()
	id, outs := r.joined(person, wire.Hello{Sent: 1000})
	if len(outs) != 2 {
		r.t.Fatalf("hello was answered with %d messages", len(outs))
	}
	return id
}

// edit makes an edit with a fresh id.
func (r *room) edit(seq uint64, name string, args any) wire.Edit {
	r.ids++
	return wire.Edit{ID: shoot.IntentID(sim.ID(0x50000 + r.ids)), Seq: seq, Name: name, Version: shoot.Version(name), Args: sim.Args(args), Happened: now}
}

// sent has a connection send edits and commits them.
func (r *room) sent(id desk.ConnID, edits ...wire.Edit) []desk.Out {
	r.t.Helper()
	outs := r.d.Receive(id, wire.Edits{Edits: edits}, now)
	return append(outs, r.flush()...)
}

// to picks the messages for one connection.
func to(t testing.TB, id desk.ConnID, outs []desk.Out) []wire.Message {
	t.Helper()
	var got []wire.Message
	for _, o := range outs {
		if o.To != id {
			continue
		}
		m, err := wire.DecodeDown(o.Whole())
		if err != nil {
			t.Fatalf("%s: %v", o.Whole(), err)
		}
		if _, bye := m.(wire.Bye); bye != o.Close {
			t.Errorf("%s has Close %v", o.Whole(), o.Close)
		}
		got = append(got, m)
	}
	return got
}

// verdicts picks the verdicts for one connection.
func verdicts(t testing.TB, id desk.ConnID, outs []desk.Out) []wire.Verdict {
	t.Helper()
	var got []wire.Verdict
	for _, m := range to(t, id, outs) {
		if f, ok := m.(wire.Frame); ok {
			got = append(got, f.Verdicts...)
		}
	}
	return got
}

func (r *room) verdict(id desk.ConnID, outs []desk.Out) wire.Verdict {
	r.t.Helper()
	got := verdicts(r.t, id, outs)
	if len(got) != 1 {
		r.t.Fatalf("%d verdicts, want one: %+v", len(got), got)
	}
	return got[0]
}

func code(v wire.Verdict) shoot.Code {
	switch {
	case v.Refusal != nil:
		return v.Refusal.Code
	case v.Flag != nil:
		return v.Flag.Code
	}
	return ""
}

func bye(t testing.TB, id desk.ConnID, outs []desk.Out) wire.Code {
	t.Helper()
	got := to(t, id, outs)
	if len(got) == 0 {
		return ""
	}
	b, _ := got[len(got)-1].(wire.Bye)
	return b.Code
}

func encoded(t testing.TB, v any) string {
	t.Helper()
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func shotID(n int) string { return sim.ID(0x40 + n) }

var (
	capture = func(n int) any { return sim.Set{"shot": shotID(n), "frames": ""} }
	shotArg = func(n int) any { return sim.Set{"shot": shotID(n)} }
)

func wireOf[M wire.Message](t testing.TB, o desk.Out) M {
	t.Helper()
	m, err := wire.DecodeDown(o.Whole())
	got, ok := m.(M)
	if err != nil || !ok {
		t.Fatalf("%s is no %T (%v)", o.Whole(), got, err)
	}
	return got
}

// failing is a log whose Find fails.
type failing struct {
	*desk.Memory
	broken bool
}

var errDisk = errors.New("disk full")

func (f *failing) Find(id string, i shoot.IntentID) (desk.Entry, bool, error) {
	if f.broken {
		return desk.Entry{}, false, errDisk
	}
	return f.Memory.Find(id, i)
}

func (f *failing) Append(id string, b []desk.Entry, cp *desk.Checkpoint) error {
	if f.broken {
		return errDisk
	}
	return f.Memory.Append(id, b, cp)
}

package desk_test

import (
	"slices"
	"testing"
	"time"

	"fairday/domain/shoot"
	"fairday/sync/desk"
	"fairday/sync/sim"
	"fairday/sync/wire"
)

// online is what a beat tells a connection; nil where it tells nothing.
func (r *room) online(id desk.ConnID, outs []desk.Out) []shoot.PersonID {
	r.t.Helper()
	for _, m := range to(r.t, id, outs) {
		if p, ok := m.(wire.Presence); ok {
			return p.People
		}
	}
	return nil
}

func persons(all ...int) (out []shoot.PersonID) {
	for _, n := range all {
		out = append(out, sim.Person(n))
	}
	return out
}

// SPEC A11, S1: who is on line is told at a beat to those who have another list, and
// at once to whoever comes; a phone that says nothing is on line for the dead time.
func TestPresence(t *testing.T) {
	r := newRoom(t, nil)
	ad, cam := r.join(director), r.join(photographer)
	outs := r.d.Beat()
	if got := r.online(ad, outs); !slices.Equal(got, persons(director, photographer)) {
		t.Fatalf("told %v", got)
	}
	if len(outs) != 2 || &outs[0].Text[0] != &outs[1].Text[0] || !outs[0].Spare {
		t.Errorf("%d messages, or each its own", len(outs))
	}
	late, outs := r.joined(crew, wire.Hello{Sent: 1000})
	if got := r.online(late, outs); !slices.Equal(got, persons(director, photographer)) {
		t.Errorf("whoever comes is told %v", got)
	}
	ping := func(id desk.ConnID, has uint64) { r.d.Receive(id, wire.Ping{N: 1, Present: has}, now) }
	if outs := r.d.Beat(); len(outs) != 3 || len(r.online(cam, outs)) != 3 {
		t.Errorf("%d messages when one has come", len(outs))
	}
	list := uint64(2)
	for beat := 3; beat < 6; beat++ { // the photographer's phone says no word any more
		ping(ad, list)
		ping(late, list)
		outs := r.d.Beat()
		if gone := beat == 4; gone != (len(outs) > 0) || gone && !slices.Equal(r.online(ad, outs), persons(director, crew)) {
			t.Errorf("beat %d: %d messages, %v", beat, len(outs), r.online(ad, outs))
		}
		if beat == 4 {
			list++
		}
	}
	ping(ad, 2) // the newest list got lost
	if outs := r.d.Beat(); !slices.Equal(r.online(ad, outs), persons(director, crew)) {
		t.Errorf("what was lost is made good with %v", r.online(ad, outs))
	}
}

// SPEC A11, E4: nothing is told of somebody whose access was withdrawn, nor to them;
// nor to a page that does not know the message.
func TestPresenceIsProjected(t *testing.T) {
	r := newRoom(t, nil)
	boss, cam := r.join(producer), r.join(photographer)
	r.joined(crew, wire.Hello{Sent: 1000, Protocol: wire.Presents - 1})
	if outs := r.d.Beat(); len(outs) != 2 || len(r.online(boss, outs)) != 3 {
		t.Errorf("%d are told %v", len(outs), r.online(boss, outs))
	}
	r.d.Leave(cam)
	r.sent(boss, r.edit(1, "person.access", sim.Set{"person": sim.Person(photographer), "revoked": true}))
	handing, outs := r.joined(photographer, wire.Hello{Sent: 1})
	if len(outs) != 1 {
		t.Errorf("whoever has no access is told %d messages", len(outs))
	}
	late, outs := r.joined(director, wire.Hello{Sent: 1000})
	if got := r.online(late, outs); !slices.Equal(got, persons(producer, crew)) {
		t.Errorf("before the next beat: %v", got)
	}
	outs = r.d.Beat()
	if got := r.online(boss, outs); !slices.Equal(got, persons(producer, director, crew)) || len(to(t, handing, outs)) != 0 {
		t.Errorf("afterwards: %v, and %d messages to somebody without access", got, len(to(t, handing, outs)))
	}
	before := r.d.Head()
	if r.d.Beat(); r.d.Head() != before || r.d.Waiting() {
		t.Error("a beat leaves something in the log")
	}
}

// crowd is a desk with very many phones that are on line.
func crowd(t testing.TB, phones int) *room {
	r := newRoom(t, nil)
	for i := range phones {
		r.joined(i%sim.People, wire.Hello{Sent: 1000})
	}
	r.d.Beat()
	return r
}

// Where nobody comes or goes, a beat leaves no garbage, however many there are.
func TestQuietBeat(t *testing.T) {
	r := crowd(t, 5000)
	if n := testing.AllocsPerRun(1, func() { r.d.Beat() }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

// BenchmarkQuiet is what 5,000 phones of one shoot cost the desk in 15 seconds in which
// nothing happens: a ping of each, and a beat.
func BenchmarkQuiet(b *testing.B) {
	r := crowd(b, 5000)
	var beats time.Duration
	for b.Loop() {
		for id := desk.ConnID(1); id <= r.next; id++ {
			r.d.Receive(id, wire.Ping{N: 1, Present: 1}, now)
		}
		start := time.Now()
		r.d.Beat()
		beats += time.Since(start)
	}
	b.ReportMetric(float64(beats.Microseconds())/float64(b.N), "µs/beat")
}

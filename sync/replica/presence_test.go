package replica_test

import (
	"strings"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/sim"
	"fairday/sync/wire"
)

// SPEC A11: what a phone was told of who is on line lasts as long as the connection
// it came on, and what got lost comes again.
func TestPresence(t *testing.T) {
	s := newSet(t)
	p := s.phone(crew)
	knows := func(when string, people ...int) {
		t.Helper()
		got := p.r.Present()
		if len(got) != len(people) || (got == nil) != (people == nil) {
			t.Errorf("%s: %v", when, got)
		}
		for _, n := range people {
			if !got[sim.Person(n)] {
				t.Errorf("%s: person %d is missing", when, n)
			}
		}
	}
	knows("before the first connection")
	p.connect()
	knows("before the first beat")
	s.deliver(s.d.Beat())
	knows("after it", crew)
	s.phone(director).connect()
	conn := p.conn
	delete(s.at, conn) // the next list gets lost
	s.deliver(s.d.Beat())
	s.at[conn] = p
	knows("a list later", crew)
	s.now += 15 * when.Second
	p.do(p.r.Tick(s.now))
	if last := p.sent[len(p.sent)-1]; !strings.Contains(last, `"ping"`) || !strings.Contains(last, `"present":1`) {
		t.Errorf("said %s", last)
	}
	s.deliver(s.d.Beat())
	knows("after a ping and a beat", crew, director)
	text, err := wire.Encode(wire.Presence{N: 1, People: []shoot.PersonID{sim.Person(producer)}})
	s.check(err)
	if step := p.do(p.r.Receive(text, s.now)); step.Changed {
		t.Error("an older list was taken")
	}
	p.cut()
	knows("without a connection")
	p.connect()
	knows("on the next one", crew, director)
	p.start()
	knows("on a page loaded anew")
}

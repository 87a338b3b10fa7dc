package main

import (
	"slices"
	"testing"

	"fairday/domain/shoot"
	"fairday/sync/wire"
)

// SPEC A11: over real sockets, whoever opens the shoot is told to be on line, and
// whoever closes it is not any more.
func TestWhoIsOnLine(t *testing.T) {
	s := newSite(t)
	r, err := s.app.Shoots.Get(s.shoot)
	if err != nil {
		t.Fatal(err)
	}
	a := s.phone(s.joined(ari))
	told := func(want ...shoot.PersonID) {
		t.Helper()
		for {
			if err := r.Enqueue(r.Present); err != nil {
				t.Fatal(err)
			}
			a.say(wire.Ping{N: 1}) // asks for the list again, whatever it was told
			if p, ok := a.next().(wire.Presence); ok && slices.Equal(p.People, want) {
				return
			}
		}
	}
	told(ari)
	b := s.phone(s.joined(cleo))
	told(ari, cleo)
	if err := b.ws.Close(); err != nil {
		t.Fatal(err)
	}
	told(ari)
}

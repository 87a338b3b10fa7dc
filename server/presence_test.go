package main

import (
	"log/slog"
	"slices"
	"testing"

	"fairday/domain/shoot"
	"fairday/sync/wire"
)

// SPEC A11: over real sockets, whoever opens the shoot is told to be on line, and
// whoever closes it is not any more.
func TestWhoIsOnLine(t *testing.T) {
	s := newSite(t)
	r, err := s.app.shoots.get(s.shoot)
	if err != nil {
		t.Fatal(err)
	}
	a := s.phone(s.joined(ari))
	told := func(want ...shoot.PersonID) {
		t.Helper()
		for {
			if err := r.submit(r.present); err != nil {
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

// SPEC A11, S6: a phone that is slow is spared what may be left out, and goes on.
func TestSlowPhoneIsSpared(t *testing.T) {
	k := newSocket(nil, 1, limits{queueTexts: 4, queueBytes: 1 << 10}, slog.New(slog.DiscardHandler))
	for range 3 {
		k.hear([]byte("frame"), false)
		k.spare([]byte("presence"))
	}
	var got []string
	for _, m := range k.queue {
		got = append(got, string(m.text))
	}
	if want := []string{"frame", "presence", "frame", "frame"}; !slices.Equal(got, want) || k.full {
		t.Errorf("the queue is %q, full %v", got, k.full)
	}
}

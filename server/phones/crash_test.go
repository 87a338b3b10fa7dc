package phones

import (
	"fmt"
	"testing"
	"time"

	"fairday/domain/shoot"
	"fairday/sync/wire"
)

// The burst: each phone has so many edits to send, so many in one message. The
// server is killed when this many have their receipts.
const (
	burstEdits   = 1500
	burstMessage = 5
	burstKill    = 200
)

// receipts counts the verdicts on this phone's edits and the highest number that
// has one. Anything but an accepted edit, or a gap, is an error.
func (a *hand) receipts() (n int, highest uint64, err error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	for _, e := range a.edits {
		v, ok := a.verdicts[e.ID]
		if !ok {
			continue
		}
		if v.Result != wire.Accepted {
			return n, highest, fmt.Errorf("edit %d was %s", e.Seq, v.Result)
		}
		if n++; e.Seq != uint64(n) {
			return n, highest, fmt.Errorf("edit %d has a receipt before %d", e.Seq, n)
		}
		highest = e.Seq
	}
	return n, highest, a.broken
}

// pour sends the edits from a number on, until the socket breaks; then it closes
// the channel.
func (a *hand) pour(from uint64) chan struct{} {
	poured := make(chan struct{})
	go func() {
		defer close(poured)
		for rest := a.edits[from-1:]; len(rest) > 0; {
			n := min(burstMessage, len(rest))
			if a.send(wire.Edits{Edits: rest[:n]}) != nil {
				return
			}
			rest = rest[n:]
		}
	}()
	return poured
}

// reach waits until so many receipts are with these phones.
func reach(t testing.TB, want int, phones ...*hand) {
	t.Helper()
	for end := time.Now().Add(patience); ; time.Sleep(time.Millisecond) {
		done := 0
		for _, a := range phones {
			n, _, err := a.receipts()
			if err != nil {
				t.Fatal(err)
			}
			done += n
		}
		if done >= want {
			return
		}
		if time.Now().After(end) {
			t.Fatalf("only %d of %d receipts in %s", done, want, patience)
		}
	}
}

// The server is killed in the middle of a burst. Whatever had a receipt is there
// when it is back, and whatever had none arrives once.
func TestKilledInABurst(t *testing.T) {
	h := start(t)
	browser := h.phone(t, "ilmar")
	var all []*hand
	for _, key := range []string{"wren", "philippa", "gudrun"} { // who may change the guests
		all = append(all, h.hand(t, key))
	}
	first := all[0].now()
	meal := first.MealsOf(firstDay(t, first).ID)[1]
	guests := func(s *shoot.State) int { return s.Floor.Meals[meal.ID].Guests }
	for _, a := range all {
		for range burstEdits {
			a.make("meal.guests", map[string]any{"meal": meal.ID, "delta": 1})
		}
	}
	browser.tap(`[data-shot="7"] [data-action="shot.open"]`, "")
	browser.shows("7", "open")
	browser.waits(0)

	// One phone hears nothing of the burst, so that the server takes edits of it
	// whose receipts are lost.
	deaf, who, thin := all[1], personOf(t, first, h.named("philippa")).ID, newLine(t, h.addr)
	deaf.addr = thin.addr
	deaf.ws.Close()
	<-deaf.ended
	if err := deaf.connect(); err != nil {
		t.Fatal(err)
	}
	deaf.now()
	thin.deafen()

	var poured []chan struct{}
	for _, a := range all {
		poured = append(poured, a.pour(1))
	}
	reach(t, burstKill, all[0], all[2])
	until(t, "the server takes an edit whose receipt is lost", func() (bool, string) {
		all[0].mu.Lock()
		defer all[0].mu.Unlock()
		return all[0].news[who] > 0, ""
	})
	h.kill()
	thin.restore()
	before := map[*hand]uint64{}
	unanswered := 0
	for i, a := range all {
		<-poured[i]
		<-a.ended
		_, highest, err := a.receipts()
		if err != nil {
			t.Fatal(err)
		}
		before[a] = highest
		unanswered += burstEdits - int(highest)
	}
	if unanswered <= burstEdits { // the deaf phone's alone
		t.Fatal("every edit of the other phones had its receipt before the server was killed: this was no burst")
	}
	browser.away()
	browser.tap(`[data-shot="7"] [data-action="shot.capture"]`, "")
	browser.shows("7", "captured")
	browser.waits(1)

	h.restart()
	known := 0
	for _, a := range all {
		until(t, "the phone is welcome again", func() (bool, string) {
			err := a.connect()
			return err == nil, fmt.Sprint(err)
		})
		s := a.now()
		if a.welcome.Expect <= before[a] {
			t.Errorf("the server wants edit %d again, which had its receipt (up to %d)", a.welcome.Expect, before[a])
		}
		if known += int(a.welcome.Expect) - 1; a == all[len(all)-1] && guests(s) != guests(first)+known {
			t.Errorf("there are %d guests, the server has taken %d edits on top of %d", guests(s), known, guests(first))
		}
	}
	silent := known - (3*burstEdits - unanswered)
	t.Logf("killed with %d of %d edits unanswered, of which the server had taken %d", unanswered, 3*burstEdits, silent)
	if silent == 0 {
		t.Error("the server had taken no edit whose receipt was lost, so that nothing can have come twice")
	}
	for _, a := range all {
		// A phone sends what has no receipt, and here a few that have one as well.
		defer func(poured chan struct{}) { <-poured }(a.pour(max(1, before[a]-min(before[a], 10))))
	}
	total := guests(first) + 3*burstEdits
	for _, a := range all {
		until(t, "every edit has its receipt", func() (bool, string) {
			n, _, err := a.receipts()
			if err != nil {
				t.Fatal(err)
			}
			return n == burstEdits, fmt.Sprint(n)
		})
		a.sees("every guest once", func(s *shoot.State) bool { return guests(s) >= total })
	}

	browser.live() // by itself
	browser.waits(0)
	browser.shows("7", "captured")
	floor := browser.knows("every guest once", func(s *shoot.State) bool {
		return guests(s) >= total && shotOf(t, s, "7").Progress == shoot.Captured
	})
	if got := guests(floor); got != total {
		t.Errorf("there are %d guests, not %d: something came twice", got, total)
	}
	if n := len(shotOf(t, floor, "7").Spans); n != 1 {
		t.Errorf("shot 7 was up %d times", n)
	}
	fresh := h.hand(t, "sunniva")
	if got := fresh.now(); got.FloorHash() != floor.FloorHash() {
		t.Error("a fresh phone is told another day than the browser knows")
	}
}

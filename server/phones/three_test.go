package phones

import (
	"os"
	"strings"
	"testing"

	"fairday/domain/shoot"
)

// Two phones change the same thing without signal, a third looks on: one change
// stands, the other is handed back with both values, and all three end up with
// the same day.
func TestThreePhonesAgree(t *testing.T) {
	h := start(t)
	director, producer, stylist := h.phone(t, "ilmar"), h.phone(t, "wren"), h.phone(t, "oriel")
	defer unpacked(t, h)
	producer.turn("shots")
	director.sever()
	producer.sever()
	director.away()
	producer.away()
	director.tap(`[data-shot="3"] [data-action="shot.order"]`, "Move up")
	director.waits(1)
	producer.tap(`[data-shot="5"] [data-action="shot.order"]`, "Move down")
	producer.waits(1)

	director.signal()
	director.waits(0)
	run := func(s *shoot.State) (out string) {
		for _, id := range firstDay(t, s).Order {
			out += s.Floor.Shots[id].Number + " "
		}
		return out
	}
	const moved = "1 3 2 4 5 6 7 8 9 10 "
	stylist.knows("the director's order", func(s *shoot.State) bool { return run(s) == moved })

	producer.signal()
	producer.waits(0)
	producer.turn("settle")
	producer.reads(`[data-stuck]`, "Refused", "1, 2, 3, 4, 6, 5, 7", "1, 3, 2, 4, 5, 6, 7")
	producer.tap(`[data-toast="stop"] button`, "") // read and put away
	producer.tap(`[data-stuck] [data-discard]`, "")
	producer.yes()
	producer.until("nothing is left to settle", `!document.querySelector('[data-stuck]')`)
	if got := run(agree(t, director, producer, stylist)); got != moved {
		t.Errorf("the order is %s, not %s", got, moved)
	}
}

// unpacked checks that phones were sent packed messages and could read all of them:
// one that cannot goes without on its next connection (SPEC W10).
func unpacked(t *testing.T, h *host) {
	t.Helper()
	log, err := os.ReadFile(h.log)
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(log), "packed=true"); n < 3 || strings.Contains(string(log), "packed=false") {
		t.Errorf("%d sockets took packed messages, and some did not: %v", n, strings.Contains(string(log), "packed=false"))
	}
}

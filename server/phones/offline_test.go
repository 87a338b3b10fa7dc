package phones

import (
	"strings"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/when"
)

// A phone without signal goes on with the day; when it is back, the others have
// what happened, once, in the order and at the times it happened.
func TestOfflineThenShared(t *testing.T) {
	h := start(t)
	stylist := h.hand(t, "oriel")
	if v := stylist.reads("Drover stool"); v.Result != "accepted" {
		t.Fatalf("the stool was not confirmed: %+v", v)
	}
	runner := h.hand(t, "milo")
	day := firstDay(t, runner.now())
	milo := personOf(t, runner.now(), h.named("milo"))
	runner.accepted("punch", map[string]any{"day": day.ID, "people": []shoot.PersonID{milo.ID}, "kind": "in"})

	a, b := h.phone(t, "ilmar"), h.phone(t, "sunniva")
	a.tap(`[data-shot="1"] [data-action="shot.open"]`, "")
	a.shows("1", "open")
	a.tap(`[data-shot="7"] [data-action="shot.open"]`, "")
	a.yes() // shot 1 is up as well
	a.shows("7", "open")
	a.waits(0)
	b.shows("1", "open")
	b.shows("7", "open")

	a.sever()
	a.away()
	var clocks []when.Instant
	tick := func() { clocks = append(clocks, a.clock()) }
	tick()
	a.tap(`[data-shot="7"] [data-action="shot.capture"]`, "")
	a.shows("7", "captured")
	tick()
	a.tap(`[data-shot="1"] [data-action="shot.capture"]`, "")
	a.shows("1", "captured")
	tick()
	a.turn("callsheet")
	a.tap(`[data-rows="crew"] [data-person="Milo Threnow"] [data-action="punch"]`, "Sign out")
	a.reads(`[data-rows="crew"] [data-person="Milo Threnow"][data-hours="Signed out"]`, "Milo")
	tick()
	a.waits(3)

	a.reload()
	a.waits(3)
	a.away()
	a.turn("shots")
	a.shows("1", "captured")
	a.shows("7", "captured")
	b.shows("1", "open") // nobody else can know yet
	back := a.clock()

	a.signal()
	a.waits(0)
	a.live()
	b.shows("7", "captured")
	b.shows("1", "captured")
	done := b.knows("all three", func(s *shoot.State) bool {
		return shotOf(t, s, "1").Progress == shoot.Captured && shotOf(t, s, "7").Progress == shoot.Captured && len(marksOf(t, s, milo.Name)) > 1
	})

	seven, one, marks := shotOf(t, done, "7"), shotOf(t, done, "1"), marksOf(t, done, milo.Name)
	if len(marks) != 2 || marks[1].Kind != shoot.MarkOut {
		t.Fatalf("Milo's punches are %+v", marks)
	}
	for i, got := range []struct {
		what string
		at   when.Instant
	}{{"the capture of shot 7", seven.Captured}, {"the capture of shot 1", one.Captured}, {"the signing out", marks[1].At}} {
		if got.at < clocks[i] || got.at > clocks[i+1] {
			t.Errorf("%s is at %d, it happened between %d and %d", got.what, got.at, clocks[i], clocks[i+1])
		}
	}
	if marks[1].Received < back {
		t.Errorf("the signing out reached the server at %d, before the signal was back at %d", marks[1].Received, back)
	}
	if len(seven.Spans) != 1 || len(one.Spans) != 1 || len(done.Floor.Queries) != 0 {
		t.Errorf("something came twice: %+v, %+v, %d queries", seven.Spans, one.Spans, len(done.Floor.Queries))
	}
	heard, err := b.spoken()
	if err != nil {
		t.Fatal(err)
	}
	for kind, want := range map[string]int{"shot.captured": 2, "punched": 1} {
		if n := strings.Count(heard, `"kind":"`+kind+`"`); n != want {
			t.Errorf("the other phone heard %q %d times, not %d", kind, n, want)
		}
	}
	captured := day.Zone.ClockOn(day.Date, one.Captured)
	b.reads(`[data-shot="1"]`, "captured "+captured+" by "+h.named("ilmar"))
	if mine := agree(t, a, b); mine.FloorHash() != stylist.sees("the captures", func(s *shoot.State) bool {
		return s.FloorHash() == done.FloorHash()
	}).FloorHash() {
		t.Error("the phones agree with each other and not with the server")
	}
}

// The server is gone and the browser starts from nothing but its own disk: the
// day is there to read.
func TestColdStartWithoutServer(t *testing.T) {
	h := start(t)
	p := h.phone(t, "tamsin")
	p.reads(`[data-screen="callsheet"]`, "Saltglass Works", "07:30")
	p.installed()
	p.knows("the call sheet", func(s *shoot.State) bool { return len(s.Floor.Sheets) > 0 })
	p.close()
	h.kill()

	p.start()
	p.open(p.base() + "/")
	p.reads(`[data-screen="callsheet"]`, "Saltglass Works", "Kiln Passage", "07:30")
	p.until("the engine is up and not only the last picture shown", `document.querySelector('[data-painted="false"]')`)
	p.away()
	p.turn("shots")
	p.shows("9", "held")
}

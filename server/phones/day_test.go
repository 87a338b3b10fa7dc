package phones

import "testing"

// The wrap is reckoned on the phone: without signal it follows what is done, and a
// lever is taken and taken back with a tap each.
func TestWrapMovesWithoutSignal(t *testing.T) {
	h := start(t)
	p := h.phone(t, "ilmar")
	p.sever()
	p.away()
	p.turn("shots")
	p.reads("[data-wrap]", "Likely wrap")
	p.tap("[data-wrap] a", "")
	p.until("the day is shown", `document.querySelector('[data-screen="day"] [data-run]')`)
	line := func() string {
		t.Helper()
		text, err := evaluate[string](p, `document.querySelector('[data-wrap]').textContent`)
		if err != nil {
			t.Fatal(err)
		}
		return text
	}
	before := line()
	p.tap("[data-lever] [data-action]", "")
	p.reads("[data-taken]", "Taken")
	p.until("the wrap moves", `document.querySelector('[data-wrap]').textContent !== `+quoted(before))
	sooner := line()
	p.tap("[data-undo]", "")
	p.until("the wrap moves back", `!document.querySelector('[data-taken]') && document.querySelector('[data-wrap]').textContent !== `+quoted(sooner))
	p.waits(2)
}

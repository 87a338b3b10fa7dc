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

// What was taken is taken back after the page was loaded anew, too.
func TestUndoSurvivesAReload(t *testing.T) {
	h := start(t)
	p := h.phone(t, "ilmar")
	p.turn("shots")
	p.tap("[data-wrap] a", "")
	p.until("there are levers", `document.querySelector('[data-lever] [data-action]')`)
	p.until("no cut is to be taken back", `!document.querySelector('[data-back] [data-label^="Put"]')`)
	p.tap(`[data-lever^="Cut"] [data-action]`, "")
	p.reads("[data-taken]", "Taken")
	p.waits(0)
	p.reload()
	p.until("the cut can be taken back", `document.querySelector('[data-back] [data-label^="Put"]') && !document.querySelector('[data-taken]')`)
	p.tap(`[data-back] [data-label^="Put"]`, "")
	p.until("it is put back", `!document.querySelector('[data-back] [data-label^="Put"]')`)
	p.waits(0)
	p.reload()
	p.until("it is back", `document.querySelector('[data-lever^="Cut"]') && !document.querySelector('[data-back] [data-label^="Put"]')`)
}

// The producer is told what the likely wrap costs before anything else, and the plan
// says before the day whether it fits.
func TestForecastMeetsMoney(t *testing.T) {
	h := start(t)
	p := h.phone(t, "wren")
	p.reads(`[data-expected="known"]`, "Likely wrap", "Expected overtime")
	p.until("it stands before the planned wrap", `document.querySelector('[data-figure-card]').dataset.figureCard === 'likely'`)
	p.tap(`[data-tab="callsheet"]`, "")
	p.tap(`[data-tab="plan"]`, "")
	p.reads(`[data-ahead="known"]`, "Done by", "This is the plan alone", "xpected overtime")
}

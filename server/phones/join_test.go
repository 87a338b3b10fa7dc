package phones

import "testing"

// One phone goes from hand to hand. Each person's role opens on its own screen,
// and what the one before could see is gone, the money above all.
func TestJoinAndSee(t *testing.T) {
	h := start(t)
	p := h.phone(t, "wren")
	for _, next := range []struct{ key, screen, reads string }{
		{"wren", "overtime", "$"},
		{"ilmar", "shots", "Table laid for nine"},
		{"gudrun", "catering", "Lunch"},
		{"philippa", "heroes", "Ember pendant lamp"},
		{"tamsin", "callsheet", "Saltglass Works"},
	} {
		if p.key != next.key {
			p.join(next.key)
		}
		p.reads(`[data-screen="`+next.screen+`"]`, next.reads)
		p.reads("body", "The long evening", h.named(next.key))
	}
	p.until("one person's picture of the day is left", `(async () =>
		(await indexedDB.databases()).filter((d) => d.name.startsWith('fairday-cache-')).length === 1)()`)
	stored, err := p.stored()
	if err != nil {
		t.Fatal(err)
	}
	text := readable(string(stored))
	if at := moneyWords.FindStringIndex(text); at != nil {
		t.Errorf("the producer's money is left on the phone: %s", around(text, at))
	}
	for _, a := range h.amounts(t) {
		if at := traces(a).FindStringIndex(text); at != nil {
			t.Errorf("%s is left on the phone: %s", a, around(text, at))
		}
	}
}

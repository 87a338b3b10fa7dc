package phones

import "testing"

// A person opens their link, joins, and sees the day.
func TestJoinAndSee(t *testing.T) {
	h := start(t)
	p := h.phone(t, "tamsin")
	p.reads("body", h.named("tamsin"), "The long evening")
}

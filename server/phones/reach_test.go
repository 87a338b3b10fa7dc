package phones

import (
	"fmt"
	"testing"
)

// reach waits until somebody's phone is shown as on line, out of reach or not known,
// by its shape and in its words.
func (p *phone) reach(name, shape, words string) {
	p.t.Helper()
	row := fmt.Sprintf(`[aria-labelledby="people"] [data-person=%q] [data-reach=%q]`, name, shape)
	p.reads(row, words)
	p.until("it is seen", fmt.Sprintf(`document.querySelector(%s).checkVisibility({ visibilityProperty: true })`, quoted(row)))
}

// SPEC A11: who is on line shows on the call sheet and beside a hero that waits; a
// phone that is out of reach itself says that it does not know.
func TestWhoIsOnLine(t *testing.T) {
	h := start(t)
	director, stylist := h.phone(t, "ilmar"), h.phone(t, "oriel")
	oriel, ilmar := h.named("oriel"), h.named("ilmar")
	director.turn("callsheet")
	director.reach(oriel, "link-live", "Phone on line")
	director.reach(h.named("milo"), "link-away", "Phone out of reach")
	director.until("it says nothing of itself", fmt.Sprintf(`!document.querySelector('[data-person=%q] [data-reach]')`, ilmar))

	stylist.turn("heroes")
	readers := card(lamp) + ` .readers`
	stylist.reads(readers, ilmar, "Phone on line")

	stylist.sever()
	stylist.away()
	none := `!document.querySelector('[data-reach]:not([data-reach="unknown"])')`
	stylist.reads(readers, ilmar, "Reach not known")
	stylist.until("nothing is said that it cannot know", none)
	director.reach(oriel, "link-away", "Phone out of reach")
	stylist.reload()
	stylist.turn("callsheet")
	stylist.reach(ilmar, "unknown", "Reach not known")
	stylist.until("nor after a reload", none)

	stylist.signal()
	stylist.live()
	director.reach(oriel, "link-live", "Phone on line")
	stylist.reach(ilmar, "link-live", "Phone on line")
}

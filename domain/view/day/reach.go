package day

import (
	"slices"

	"fairday/domain/shoot"
	"fairday/domain/view"
)

// reach tells whether somebody's phone is on line; nil for one's own. Not knowing is
// an answer of its own: on a phone that is out of reach itself it is the only one.
func (m *maker) reach(p shoot.PersonID) *view.Mark {
	switch {
	case p == m.c.Me:
		return nil
	case m.c.Present == nil:
		return &view.Mark{Word: "Reach not known", Shape: view.ShapeUnknown, Tone: view.ToneCalm}
	case m.c.Present[p]:
		return &view.Mark{Word: "Phone on line", Shape: view.ShapeLinkLive, Tone: view.ToneGood}
	}
	return &view.Mark{Word: "Phone out of reach", Shape: view.ShapeLinkAway, Tone: view.ToneCalm}
}

// readers lists the others whose reading would count for a hero that waits for one:
// those of the day who may read, and have not.
func (m *maker) readers(st shoot.Standing) []Reader {
	var out []Reader
	sheet, published := m.State.SheetNow(m.Day.ID)
	for _, p := range m.People() {
		_, called := sheet.Calls[p.ID]
		read := slices.ContainsFunc(st.Confirmations, func(c shoot.Confirmation) bool { return c.By == p.ID })
		if p.ID != m.c.Me && !read && (called || !published) && shoot.MaySend(p.Role, "hero.read") {
			out = append(out, Reader{p.Name, *m.reach(p.ID)})
		}
	}
	return out
}

package view

import (
	"slices"

	"fairday/domain/shoot"
)

// reach tells whether somebody's phone is on line; nil for one's own. Not knowing is
// an answer of its own: on a phone that is out of reach itself it is the only one.
func (m *maker) reach(p shoot.PersonID) *Mark {
	switch {
	case p == m.c.Me:
		return nil
	case m.c.Present == nil:
		return &Mark{"Reach not known", ShapeUnknown, ToneCalm}
	case m.c.Present[p]:
		return &Mark{"Phone on line", ShapeLinkLive, ToneGood}
	}
	return &Mark{"Phone out of reach", ShapeLinkAway, ToneCalm}
}

// readers lists the others whose reading would count for a hero that waits for one:
// those of the day who may read, and have not.
func (m *maker) readers(st shoot.Standing) []Reader {
	var out []Reader
	sheet, published := m.s.SheetNow(m.day.ID)
	for _, p := range m.people() {
		_, called := sheet.Calls[p.ID]
		read := slices.ContainsFunc(st.Confirmations, func(c shoot.Confirmation) bool { return c.By == p.ID })
		if p.ID != m.c.Me && !read && (called || !published) && shoot.MaySend(p.Role, "hero.read") {
			out = append(out, Reader{p.Name, *m.reach(p.ID)})
		}
	}
	return out
}

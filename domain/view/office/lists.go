package office

import (
	"cmp"
	"strings"

	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/view"
)

// The lists that forms of the plan choose from. They stand once: sixty shots with
// sixty heroes each would be a megabyte.
const (
	listSetups = "setups"
	listDays   = "days"
	listHeroes = "heroes"
	listTalent = "talent"
	listRoles  = "roles"
)

func (m *maker) lists() map[string][]view.Option {
	out := map[string][]view.Option{}
	add := func(list, value, label string) {
		out[list] = append(out[list], view.Option{Value: value, Label: label})
	}
	for _, s := range m.setups() {
		add(listSetups, string(s.ID), s.Name)
	}
	for _, d := range m.State.DaysInOrder() {
		add(listDays, string(d.ID), d.Name)
	}
	for _, h := range m.allHeroes() {
		add(listHeroes, string(h.ID), h.Name)
	}
	for _, who := range sorting.Values(m.State.Floor.People, byName) {
		if bookable(who) {
			add(listTalent, string(who.ID), who.Name)
		}
	}
	for _, r := range shoot.Roles() {
		add(listRoles, string(r), r.Label())
	}
	return out
}

// bookable tells whether somebody can be put into a shot.
func bookable(p shoot.Person) bool { return p.Role == shoot.Talent && !p.Revoked }

// spaced writes ids as a field with a list has them.
func spaced[ID ~string](ids []ID) string {
	words := make([]string, len(ids))
	for i, id := range ids {
		words[i] = string(id)
	}
	return strings.Join(words, " ")
}

func (m *maker) setups() []shoot.Setup {
	return sorting.Values(m.State.Floor.Setups, func(a, b shoot.Setup) int { return cmp.Or(cmp.Compare(a.Name, b.Name), cmp.Compare(a.ID, b.ID)) })
}

func (m *maker) allHeroes() []shoot.Hero {
	return sorting.Values(m.State.Floor.Heroes, view.ByHeroName)
}

func byName(a, b shoot.Person) int {
	return cmp.Or(cmp.Compare(a.Name, b.Name), cmp.Compare(a.ID, b.ID))
}

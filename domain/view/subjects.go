package view

import (
	"cmp"
	"slices"
	"strings"

	"fairday/domain/shoot"
	"fairday/domain/sorting"
)

// What near and far screens alike say of a shot and of a hero.

// Run lists a day's shots in its order; those that are not in it come last.
func (m *Maker) Run(day shoot.Day) []shoot.Shot {
	place := map[shoot.ShotID]int{}
	for i, id := range day.Order {
		place[id] = i + 1
	}
	at := func(id shoot.ShotID) int { return cmp.Or(place[id], len(day.Order)+1) }
	var out []shoot.Shot
	for _, shot := range m.State.Floor.Shots {
		if shot.Day == day.ID {
			out = append(out, shot)
		}
	}
	sorting.By(out, func(a, b shoot.Shot) int {
		return cmp.Or(cmp.Compare(at(a.ID), at(b.ID)), natural(a.Number, b.Number), cmp.Compare(a.ID, b.ID))
	})
	return out
}

// Holds is the gate, with a word for a hero that this phone does not know: what
// is not known never looks like yes.
func (m *Maker) Holds(shot shoot.Shot) []string {
	for _, id := range shot.Heroes {
		if _, known := m.State.Floor.Heroes[id]; !known {
			return []string{"a hero of this shot is not known on this phone"}
		}
	}
	return m.State.Gate(shot, m.c.Now)
}

// ShotMark tells how far a shot has come.
func (m *Maker) ShotMark(shot shoot.Shot) Mark {
	switch shot.Progress {
	case shoot.Open:
		return Mark{"Open", ShapeHalfDisc, ToneWarn}
	case shoot.Shooting:
		return Mark{"Shooting", ShapeDisc, ToneWarn}
	case shoot.Captured:
		return Mark{"Captured", ShapeSquare, ToneGood}
	case shoot.Queried:
		return Mark{"Queried", ShapeDiamond, ToneStop}
	case shoot.Cut:
		return Mark{"Cut", ShapeSlash, ToneCalm}
	}
	if len(m.Holds(shot)) > 0 {
		return Mark{"Held", ShapeBar, ToneStop}
	}
	return Mark{"Ready", ShapeRing, ToneCalm}
}

// Priority says how much a shot matters.
func Priority(p shoot.Priority) string {
	switch p {
	case shoot.Must:
		return "Must have"
	case shoot.Want:
		return "Wanted"
	case shoot.Spare:
		return "If time allows"
	}
	return string(p)
}

// ByHeroName orders heroes for a list.
func ByHeroName(a, b shoot.Hero) int {
	return cmp.Or(cmp.Compare(a.Name, b.Name), cmp.Compare(a.ID, b.ID))
}

// plateLine is one thing on a plate: its place in the arguments, what it is
// called and what the brief says.
type plateLine struct{ Key, Label, Value string }

// PlateLines lists all that a plate may say.
func PlateLines(p shoot.Plate) []plateLine {
	return []plateLine{{"plate.designation", "Designation", p.Designation}, {"plate.finish", "Finish", p.Finish},
		{"plate.size", "Size", p.Size}, {"plate.serial", "Serial or batch number", p.Serial}}
}

// Plate lists what is to be read.
func Plate(p shoot.Plate) []plateLine {
	return slices.DeleteFunc(PlateLines(p), func(l plateLine) bool { return strings.TrimSpace(l.Value) == "" })
}

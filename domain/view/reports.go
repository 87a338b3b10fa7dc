package view

import (
	"cmp"
	"maps"
	"slices"

	"fairday/domain/shoot"
	"fairday/domain/sorting"
)

// reports lists what people without access had reported before, oldest first; only
// the producer decides on it.
func (m *maker) reports(open bool) []shoot.Report {
	if m.s.Office == nil || m.me.Role != shoot.Producer {
		return nil
	}
	all := slices.DeleteFunc(slices.Collect(maps.Values(m.s.Office.Reports)), func(r shoot.Report) bool { return (r.Ruling == "") != open })
	sorting.By(all, func(a, b shoot.Report) int {
		return cmp.Or(cmp.Compare(a.Intent.Happened, b.Intent.Happened), cmp.Compare(a.ID, b.ID))
	})
	return all
}

func (m *maker) reportCard(r shoot.Report) QueryCard {
	in := r.Intent
	what, gone := Describe(m.s, in.Name, in.Args), m.s.Floor.People[in.Actor].Withdrawn
	out := QueryCard{ID: string(r.ID), Title: what, Mark: Mark{"Came late", ShapeDiamond, ToneWarn}, Raised: "arrived " + m.moment(in.Received),
		Said:    QuerySide{"Reported", sentence(what), m.made(in.Happened, in.Received, in.Actor)},
		Against: QuerySide{Label: "Against it", Text: "Their access was withdrawn before this arrived."}}
	if gone != 0 {
		out.Against.Made = m.made(gone, 0, "")
	}
	ruling := func(label string, v shoot.Ruling) Action {
		return m.form(m.action(label, "report.settle", fields{"report": r.ID, "ruling": v, "note": ""}),
			Form{Title: what, Submit: label, Fields: []Field{note("Why, for whoever asks later.")}})
	}
	m.offer(&out.Actions, ruling("Let it count", shoot.Keep), ruling("Leave it out", shoot.Drop).danger())
	return out
}

func (m *maker) reportClosed(r shoot.Report) Closed {
	say := "It was left out"
	if r.Ruling == shoot.Keep {
		say = "It counts, as allowed"
	}
	say += " by " + m.who(r.By) + ", " + m.moment(r.Settled) + "."
	if r.Note != "" {
		say += " " + sentence(r.Note)
	}
	return Closed{Title: Describe(m.s, r.Intent.Name, r.Intent.Args) + ", by " + m.who(r.Intent.Actor), Say: say}
}

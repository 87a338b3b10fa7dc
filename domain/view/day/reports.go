package day

import (
	"cmp"
	"maps"
	"slices"

	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/view"
)

// reports lists what people without access had reported before, oldest first; only
// the producer decides on it.
func (m *maker) reports(open bool) []shoot.Report {
	if m.State.Office == nil || m.Me.Role != shoot.Producer {
		return nil
	}
	all := slices.DeleteFunc(slices.Collect(maps.Values(m.State.Office.Reports)), func(r shoot.Report) bool { return (r.Ruling == "") != open })
	sorting.By(all, func(a, b shoot.Report) int {
		return cmp.Or(cmp.Compare(a.Intent.Happened, b.Intent.Happened), cmp.Compare(a.ID, b.ID))
	})
	return all
}

func (m *maker) reportCard(r shoot.Report) QueryCard {
	in := r.Intent
	what, gone := view.Describe(m.State, in.Name, in.Args), m.State.Floor.People[in.Actor].Withdrawn
	out := QueryCard{ID: string(r.ID), Title: what, Mark: view.Mark{Word: "Came late", Shape: view.ShapeDiamond, Tone: view.ToneWarn}, Raised: "arrived " + m.Moment(in.Received),
		Said:    QuerySide{"Reported", view.Sentence(what), m.Made(in.Happened, in.Received, in.Actor)},
		Against: QuerySide{Label: "Against it", Text: "Their access was withdrawn before this arrived."}}
	if gone != 0 {
		out.Against.Made = m.Made(gone, 0, "")
	}
	ruling := func(label string, v shoot.Ruling) view.Action {
		return m.Form(m.Action(label, "report.settle", view.Fields{"report": r.ID, "ruling": v, "note": ""}),
			view.Form{Title: what, Submit: label, Fields: []view.Field{view.Note("Why, for whoever asks later.")}})
	}
	m.Offer(&out.Actions, ruling("Let it count", shoot.Keep), ruling("Leave it out", shoot.Drop).Dangerous())
	return out
}

func (m *maker) reportClosed(r shoot.Report) Closed {
	say := "It was left out"
	if r.Ruling == shoot.Keep {
		say = "It counts, as allowed"
	}
	say += " by " + m.Who(r.By) + ", " + m.Moment(r.Settled) + "."
	if r.Note != "" {
		say += " " + view.Sentence(r.Note)
	}
	return Closed{Title: view.Describe(m.State, r.Intent.Name, r.Intent.Args) + ", by " + m.Who(r.Intent.Actor), Say: say}
}

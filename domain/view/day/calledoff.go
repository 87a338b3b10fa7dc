package day

import (
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/when"
)

// Who was called off: a row with what is due by the notice, in no curve and in no sum
// of overtime.

func calledOffMark() view.Mark {
	return view.Mark{Word: "Called off", Shape: view.ShapeSlash, Tone: view.ToneCalm}
}

func (m *maker) calledOff(id, name, job string, t overtime.Terms, off shoot.Off) engaged {
	return engaged{id: id, job: job, off: off, mark: calledOffMark(),
		said: off.How + ", told " + m.Moment(off.Told), Engagement: overtime.Engagement{Key: id, Label: name, Terms: t}}
}

// offRow is the row of somebody who was called off.
func (m *maker) offRow(e engaged) (OvertimeRow, error) {
	row := OvertimeRow{ID: e.id, Name: e.Label, Job: e.job, Mark: e.mark, Hours: e.said, Worked: "not worked", Next: "called off"}
	s, err := m.State.OffPay(m.Day.ID, e.id, e.Terms, e.off)
	if err != nil {
		return row, err
	}
	row.Overtime, row.AtWrap = s.Overtime.Format(), s.Overtime.Format()
	notice := view.Lasts(max(when.Minutes(e.off.Told, e.off.Call), 0)) + " before the call"
	out := PaySlip{Title: view.Capital(e.off.How) + " " + notice, Worked: view.Lasts(0), Total: s.Total.Format(), Beyond: s.Exposed.Format()}
	for _, l := range s.Lines {
		out.Lines = append(out.Lines, m.payLine(l))
	}
	for _, l := range s.Costs {
		out.Costs = append(out.Costs, m.payLine(l))
	}
	if len(out.Costs) > 0 {
		out.Cost = s.Cost.Format()
	}
	switch {
	case len(s.Lines) > 0:
	case !shoot.OffSaid(e.Terms, e.off):
		out.Total = "not said"
		out.Lines = []PayLine{{Amount: "not said", Why: "Their terms do not say what a day costs that is " + e.off.How + "."}}
	default:
		out.Lines = []PayLine{{Amount: s.Total.Format(), Why: "Their terms ask for nothing at a notice of " + notice + "."}}
	}
	row.Slips = []PaySlip{out}
	return row, nil
}

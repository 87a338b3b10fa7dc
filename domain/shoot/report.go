package shoot

import (
	"strings"

	"fairday/domain/when"
)

// Somebody whose access was withdrawn may have reported things before, on a phone
// without a network. Such a report is kept apart when it arrives, and counts once
// the producer says so.

var reportRows = rows{
	intents: []intentRow{
		{name: "report.settle", plane: TopicOffice, who: office, target: "report", say: "Settled: keep|Settled: drop", args: reportSettle{}},
	},
	events: []eventRow{
		{body: ReportHeld{}},
		{body: ReportSettled{}},
	},
}

// ReportID names a report: the intent that brought it.
type ReportID string

// Report is a fact that arrived after its reporter's access was withdrawn, and was
// made before.
type Report struct {
	ID      ReportID     `json:"id"`
	Intent  Intent       `json:"intent"`
	Ruling  Ruling       `json:"ruling"` // "" while it is open
	Settled when.Instant `json:"settled"`
	By      PersonID     `json:"by"`
	Note    string       `json:"note"`
}

// mostReports is how many of one person's reports may be open.
const mostReports = 256

// ReportHeld keeps a report apart.
type ReportHeld struct{ Report }

// late tells whether the intent is a report from before the withdrawal of whoever
// sends it.
func (d *deciding) late(row *intentRow, who Person) bool {
	at, believed := d.in.at()
	return who.Revoked && row.fact && !row.money() && d.in.Happened > 0 && believed && at < who.Withdrawn && d.s.Office != nil
}

// hold keeps the report apart, unless there are too many already.
func (d *deciding) hold() *Refusal {
	n := 0
	for _, r := range d.s.Office.Reports {
		if r.Intent.Actor == d.in.Actor && r.Ruling == "" {
			n++
		}
	}
	if n >= mostReports {
		return refuse(CodeNotAllowed, "The producer has %d reports of yours to look at already. Speak to them.", n)
	}
	d.emit(ReportHeld{Report{ID: ReportID(d.in.ID), Intent: d.in}})
	d.note(FlagReview, "Your access was withdrawn before this arrived. The producer decides whether it counts.", "", "")
	return nil
}

func (ReportHeld) kind() string { return "report.held" }
func (ReportHeld) topic() Topic { return TopicOffice }
func (e ReportHeld) apply(s *State, _ Event) {
	s.Office.Reports = with(s.Office.Reports, e.ID, e.Report)
}

type reportSettle struct {
	Report ReportID `json:"report"`
	Ruling Ruling   `json:"ruling"`
	Note   string   `json:"note"`
}

// ReportSettled says whether a report counts. What it leads to stands in events of
// its own, in front of this one.
type ReportSettled struct {
	Report ReportID `json:"report"`
	Ruling Ruling   `json:"ruling"`
	Note   string   `json:"note"`
}

func (a reportSettle) decide(d *deciding) *Refusal {
	if d.s.Office == nil {
		return notHere()
	}
	r, ok := d.s.Office.Reports[a.Report]
	switch {
	case !ok:
		return unknown("report")
	case a.Ruling != Keep && a.Ruling != Drop:
		return refuse(CodeBadArgs, "Settle a report with keep or drop.")
	case r.Ruling == a.Ruling:
		return nil
	case r.Ruling != "":
		out := refuse(CodeSettled, "%s has settled this already. Speak with them if it should be otherwise.", d.s.nameOf(r.By))
		out.Yours, out.Theirs = string(a.Ruling), string(r.Ruling)
		return out
	}
	if out := text("note", a.Note, 300); out != nil {
		return out
	}
	if a.Ruling == Keep {
		if out := d.count(r.Intent); out != nil {
			return out
		}
	}
	d.emit(ReportSettled(a))
	return nil
}

// count adds what a report leads to now, as said by who made it and when they did.
func (d *deciding) count(in Intent) *Refusal {
	row := intents[in.Name]
	who := d.s.Floor.People[in.Actor]
	sub := &deciding{s: d.s, in: in, who: who, mayAll: row.allows(who.Role)}
	sub.at, _ = in.at()
	a, err := row.read(row.args, in.Version, in.Args)
	if err != nil {
		return wrong(err)
	}
	if out := a.decide(sub); out != nil {
		return refuse(out.Code, "It cannot count: %s%s", strings.ToLower(out.Say[:1]), out.Say[1:])
	}
	d.events = append(d.events, sub.events...)
	if sub.flag != nil {
		d.flag = sub.flag
	}
	return nil
}

func (ReportSettled) kind() string { return "report.settled" }
func (ReportSettled) topic() Topic { return TopicOffice }
func (e ReportSettled) apply(s *State, ev Event) {
	r, ok := s.Office.Reports[e.Report]
	if !ok {
		return
	}
	r.Ruling, r.Note, r.Settled, r.By = e.Ruling, e.Note, ev.At, ev.By
	s.Office.Reports = with(s.Office.Reports, e.Report, r)
}

package view

import (
	"cmp"
	"reflect"
	"strings"

	"fairday/domain/fault"
	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/when"
)

// WrapReport is what a day came to, to be read and filed after it. What it says
// of money is there for the producer alone. It is made where there is a
// connection; no phone's engine holds it.
type WrapReport struct {
	Shoot, Client string
	Day           DayHead
	Days          []DayTab
	Made          string   // "As of Wednesday 25 November 2026, 20:14"
	Open          []string // why it is not the last word yet
	Facts         []Line
	Shots         []ReportShot
	Heroes        []Hero
	Hours         SignOffs
	Overtime      *Overtime // for the producer
	Pay           []ReportPay
	Asks          []AskCard
	Meals         []Meal
	Queries       []QueryCard
	Settled       []Closed
	Cautions      []string
}

// ReportShot is a shot as it was planned and as it went.
type ReportShot struct {
	Number, Title, Word, Planned, Took, Frames string
	When                                       []string
}

// ReportPay is what one person, place or thing comes to by their last slip.
type ReportPay struct {
	Name, Job, Hours, Worked, Total, Beyond string
	Lines                                   []PayLine
	Floors                                  []FloorNote
}

// Report makes the wrap report of a day for somebody who runs the shoot. The
// error is a *Error: CodePerson for who is not on it or does not run it.
func Report(s *shoot.State, c Context) (*WrapReport, error) {
	m, err := newMaker(s, c)
	if err != nil {
		return nil, err
	}
	if !m.lead() {
		return nil, fault.New(CodePerson, "The wrap report is for the producer and the art director.")
	}
	job, settle := s.Floor.Shoot, m.settle()
	out := &WrapReport{Shoot: job.Title, Client: job.Client, Day: m.head(), Days: m.dayTabs(), Heroes: m.heroes().Heroes,
		Hours: *m.signOffs(), Meals: m.catering().Meals, Queries: settle.Open, Settled: settle.Settled}
	out.Made = "As of " + m.dateIn(m.day.Zone).Long() + ", " + m.clock(c.Now)
	m.reportShots(out)
	m.reportDay(out)
	if box := m.askBox(); box != nil {
		out.Asks = box.Cards
	}
	if o := m.overtime(); o.Known {
		out.Overtime = o
		out.Pay = reportPay(o)
	}
	m.reportOpen(out)
	for _, at := range []Screen{ScreenOvertime, ScreenCatering, ScreenHeroes} {
		out.Cautions = append(out.Cautions, caution(at))
	}
	complete(reflect.ValueOf(out).Elem())
	return out, nil
}

func (m *maker) reportShots(out *WrapReport) {
	run := m.run(m.day)
	made, cut := 0, 0
	var planned, took when.Instant
	for _, shot := range run {
		row := ReportShot{Number: shot.Number, Title: shot.Title, Word: m.shotMark(shot).Word, Planned: lasts(int64(shot.Minutes)), Frames: shot.Frames, When: m.shotTimes(shot)}
		if shot.OnFallback {
			row.When = append(row.When, "made after its fallback")
		}
		worked := m.s.Worked(shot, m.c.Now)
		if len(shot.Spans) > 0 {
			row.Took = lasts(int64(worked / when.Minute))
		}
		switch shot.Progress {
		case shoot.Captured, shoot.Queried:
			made++
			planned += when.Instant(shot.Minutes) * when.Minute
			took += worked
		case shoot.Cut:
			cut++
		case shoot.Planned:
			row.Word = "Not made"
		}
		out.Shots = append(out.Shots, row)
	}
	words := []string{itoa(made) + " of " + itoa(len(run)) + " made"}
	if cut > 0 {
		words = append(words, itoa(cut)+" cut")
	}
	if left := len(run) - made - cut; left > 0 {
		words = append(words, itoa(left)+" not made")
	}
	out.Facts = append(out.Facts, Line{"Shots", strings.Join(words, ", ")})
	if made > 0 {
		out.Facts = append(out.Facts, Line{"Time for them", lasts(int64(took/when.Minute)) + ", planned " + lasts(int64(planned/when.Minute))})
	}
}

// reportDay says where and when the day was.
func (m *maker) reportDay(out *WrapReport) {
	if sheet, ok := m.s.SheetNow(m.day.ID); ok {
		out.Facts = append(out.Facts, Line{"Place", sheet.Place.Name}, Line{"General call", m.clock(sheet.General)}, Line{"Planned wrap", m.clock(sheet.Wrap)})
	}
	var first, last when.Instant
	for _, p := range sorting.Keys(m.s.Floor.People) {
		h := m.hours(p)
		if in := h.First(); in != 0 && (first == 0 || in < first) {
			first = in
		}
		for _, s := range h.Stretches() {
			last = max(last, s.To)
		}
	}
	if first != 0 {
		out.Facts = append(out.Facts, Line{"First signed in", m.clock(first)})
	}
	if last != 0 {
		out.Facts = append(out.Facts, Line{"Last signed out", m.clock(last)})
	}
	for _, p := range m.s.Floor.Pauses[m.day.ID] {
		words := "since " + m.clock(p.From)
		if p.To != 0 {
			words = m.clock(p.From) + " to " + m.clock(p.To)
		}
		if p.Why != "" {
			words += ", " + p.Why
		}
		out.Facts = append(out.Facts, Line{"Waited", words})
	}
}

// reportOpen says what is not settled yet.
func (m *maker) reportOpen(out *WrapReport) {
	on := 0
	for p := range m.s.Floor.People {
		if m.hours(p).Presence() != shoot.Away {
			on++
		}
	}
	if on > 0 {
		out.Open = append(out.Open, count(on, "person is", "people are")+" still on the clock.")
	}
	if n := len(out.Queries); n > 0 {
		out.Open = append(out.Open, count(n, "thing waits", "things wait")+" to be settled.")
	}
	unsigned := 0
	for _, r := range out.Hours.Rows {
		if r.Hours != "" && r.Mark != signMark(shoot.Signed) {
			unsigned++
		}
	}
	if unsigned > 0 {
		out.Open = append(out.Open, count(unsigned, "person has", "people have")+" not signed their hours.")
	}
}

// reportPay takes the last slip of everybody: of who is signed out, what they
// get; of others, what they get if they stop now.
func reportPay(o *Overtime) []ReportPay {
	var out []ReportPay
	for _, row := range o.People {
		p := ReportPay{Name: row.Name, Job: row.Job, Hours: row.Hours, Worked: row.Worked}
		if n := len(row.Slips); n > 0 {
			slip := row.Slips[n-1]
			p.Total, p.Beyond, p.Lines = cmp.Or(slip.Cost, slip.Total), slip.Beyond, append(slip.Lines, slip.Costs...)
			p.Floors = slip.Floors
		}
		out = append(out, p)
	}
	return out
}

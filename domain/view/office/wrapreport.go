package office

import (
	"cmp"
	"slices"
	"strings"

	"fairday/domain/fault"
	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/view"
	"fairday/domain/view/day"
	"fairday/domain/when"
)

// WrapReport is what a day came to, to be read and filed after it. What it says
// of money is there for the producer alone. It is made where there is a
// connection; no phone's engine holds it.
type WrapReport struct {
	Shoot, Client string
	Day           view.DayHead
	Days          []view.DayTab
	Made          string   // "As of Wednesday 25 November 2026, 20:14"
	Open          []string // why it is not the last word yet
	Facts         []view.Line
	Shots         []ReportShot
	Heroes        []day.Hero
	Hours         day.SignOffs
	Overtime      *day.Overtime // for the producer
	Pay           []ReportPay
	Asks          []day.AskCard
	Meals         []day.Meal
	Queries       []day.QueryCard
	Settled       []day.Closed
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
	Lines                                   []day.PayLine
	Floors                                  []day.FloorNote
	Besides                                 []string // what goes with the floors, each once: what was not reckoned, how the law was read, cautions
}

// Report makes the wrap report of a day for somebody who runs the shoot. The
// error is a *Error: CodePerson for who is not on it or does not run it.
func Report(s *shoot.State, c view.Context) (*WrapReport, error) {
	base, err := view.NewMaker(s, c, shoot.Decide)
	if err != nil {
		return nil, err
	}
	m := &maker{Maker: base}
	if !m.Lead() {
		return nil, fault.New(view.CodePerson, "The wrap report is for the producer and the art director.")
	}
	job, settle, own := s.Floor.Shoot, near[day.Settle](s, c, view.ScreenSettle), near[day.OwnDay](s, c, view.ScreenHours)
	out := &WrapReport{Shoot: job.Title, Client: job.Client, Day: m.Head(), Days: m.DayTabs(), Heroes: near[day.Heroes](s, c, view.ScreenHeroes).Heroes,
		Meals: near[day.Catering](s, c, view.ScreenCatering).Meals, Queries: settle.Open, Settled: settle.Settled}
	if own.Crew != nil {
		out.Hours = *own.Crew
	}
	if own.Asks != nil {
		out.Asks = own.Asks.Cards
	}
	out.Made = "As of " + m.DateIn(m.Day.Zone).Long() + ", " + m.Clock(c.Now)
	m.reportShots(out, near[day.Shots](s, c, view.ScreenShots))
	m.reportDay(out)
	if o := near[day.Overtime](s, c, view.ScreenOvertime); o.Known {
		out.Overtime = o
		out.Pay = reportPay(o)
	}
	m.reportOpen(out)
	for _, at := range []view.Screen{view.ScreenOvertime, view.ScreenCatering, view.ScreenHeroes} {
		out.Cautions = append(out.Cautions, view.Caution(at))
	}
	view.Complete(out)
	return out, nil
}

// near is a near screen of somebody who is on the shoot, which there always is.
func near[M any](s *shoot.State, c view.Context, screen view.Screen) *M {
	v, err := day.Make(string(screen), s, day.Context{Context: c})
	if err != nil {
		panic(err)
	}
	return v.(*M)
}

func (m *maker) reportShots(out *WrapReport, shots *day.Shots) {
	times := map[string][]string{}
	for _, g := range shots.Groups {
		for _, shot := range g.Shots {
			times[shot.ID] = shot.Times
		}
	}
	run := m.Run(m.Day)
	made, cut := 0, 0
	var planned, took when.Instant
	for _, shot := range run {
		row := ReportShot{Number: shot.Number, Title: shot.Title, Word: m.ShotMark(shot).Word, Planned: view.Lasts(int64(shot.Minutes)), Frames: shot.Frames, When: times[string(shot.ID)]}
		if shot.OnFallback {
			row.When = append(row.When, "made after its fallback")
		}
		worked := m.State.Worked(shot, m.c.Now)
		if len(shot.Spans) > 0 {
			row.Took = view.Lasts(int64(worked / when.Minute))
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
	words := []string{view.Itoa(made) + " of " + view.Itoa(len(run)) + " made"}
	if cut > 0 {
		words = append(words, view.Itoa(cut)+" cut")
	}
	if left := len(run) - made - cut; left > 0 {
		words = append(words, view.Itoa(left)+" not made")
	}
	out.Facts = append(out.Facts, view.Line{Label: "Shots", Value: strings.Join(words, ", ")})
	if made > 0 {
		out.Facts = append(out.Facts, view.Line{Label: "Time for them", Value: view.Lasts(int64(took/when.Minute)) + ", planned " + view.Lasts(int64(planned/when.Minute))})
	}
}

// reportDay says where and when the day was.
func (m *maker) reportDay(out *WrapReport) {
	if sheet, ok := m.State.SheetNow(m.Day.ID); ok {
		out.Facts = append(out.Facts, view.Line{Label: "Place", Value: sheet.Place.Name}, view.Line{Label: "General call", Value: m.Clock(sheet.General)}, view.Line{Label: "Planned wrap", Value: m.Clock(sheet.Wrap)})
	}
	var first, last when.Instant
	for _, p := range sorting.Keys(m.State.Floor.People) {
		h := m.Hours(p)
		if in := h.First(); in != 0 && (first == 0 || in < first) {
			first = in
		}
		for _, s := range h.Stretches() {
			last = max(last, s.To)
		}
	}
	if first != 0 {
		out.Facts = append(out.Facts, view.Line{Label: "First signed in", Value: m.Clock(first)})
	}
	if last != 0 {
		out.Facts = append(out.Facts, view.Line{Label: "Last signed out", Value: m.Clock(last)})
	}
	for _, p := range m.State.Floor.Pauses[m.Day.ID] {
		words := "since " + m.Clock(p.From)
		if p.To != 0 {
			words = m.Clock(p.From) + " to " + m.Clock(p.To)
		}
		if p.Why != "" {
			words += ", " + p.Why
		}
		out.Facts = append(out.Facts, view.Line{Label: "Waited", Value: words})
	}
}

// reportOpen says what is not settled yet.
func (m *maker) reportOpen(out *WrapReport) {
	on := 0
	for p := range m.State.Floor.People {
		if m.Hours(p).Presence() != shoot.Away {
			on++
		}
	}
	if on > 0 {
		out.Open = append(out.Open, view.Count(on, "person is", "people are")+" still on the clock.")
	}
	if n := len(out.Queries); n > 0 {
		out.Open = append(out.Open, view.Count(n, "thing waits", "things wait")+" to be settled.")
	}
	unsigned := 0
	for _, r := range out.Hours.Rows {
		if r.Hours != "" && r.Mark.Shape != view.ShapeSign {
			unsigned++
		}
	}
	if unsigned > 0 {
		out.Open = append(out.Open, view.Count(unsigned, "person has", "people have")+" not signed their hours.")
	}
}

// reportPay takes the last slip of everybody: of who is signed out, what they
// get; of others, what they get if they stop now.
func reportPay(o *day.Overtime) []ReportPay {
	var out []ReportPay
	for _, row := range o.People {
		p := ReportPay{Name: row.Name, Job: row.Job, Hours: row.Hours, Worked: row.Worked}
		if n := len(row.Slips); n > 0 {
			slip := row.Slips[n-1]
			p.Total, p.Beyond, p.Lines = cmp.Or(slip.Cost, slip.Total), slip.Beyond, append(slip.Lines, slip.Costs...)
			p.Floors = slip.Floors
			for _, f := range slip.Floors {
				for _, say := range []string{f.Leaves, f.Reads, f.Caution} {
					if say != "" && !slices.Contains(p.Besides, say) {
						p.Besides = append(p.Besides, say)
					}
				}
			}
		}
		out = append(out, p)
	}
	return out
}

package day

import (
	"cmp"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/view"
	"fairday/domain/when"
)

func (m *maker) ownDay() *OwnDay {
	out := &OwnDay{Day: m.Head(), Hours: m.ownHours(), Pay: m.ownPay()}
	if m.seesAsks() {
		out.Asks = m.askBox()
	}
	if m.Lead() && m.Day.ID != "" {
		out.Crew = m.signOffs()
	}
	return out
}

// signMark tells how somebody stands to their hours or their pay.
func signMark(s shoot.SignOff) view.Mark {
	switch s {
	case shoot.Signed:
		return view.Mark{Word: "Signed", Shape: view.ShapeSign, Tone: view.ToneGood}
	case shoot.Lapsed:
		return view.Mark{Word: "Signed, then changed", Shape: view.ShapeSignGap, Tone: view.ToneWarn}
	case shoot.Disputed:
		return view.Mark{Word: "Disputed", Shape: view.ShapeDiamond, Tone: view.ToneStop}
	}
	return view.Mark{Word: "Not signed", Shape: view.ShapeSignLine, Tone: view.ToneCalm}
}

func (m *maker) ownHours() OwnHours {
	h := m.Hours(m.c.Me)
	state := m.State.SignOff(m.Day.ID, m.c.Me)
	out := OwnHours{Mark: signMark(state), Lines: m.dayLines(h), Words: m.disputes(m.c.Me)}
	why := ""
	switch {
	case len(h.Marks) == 0:
		out.Say = "There are no hours on this day yet."
	case h.Presence() != shoot.Away:
		out.Say, why = "Your hours are signed once you have signed out.", "Sign out first."
	case state == shoot.Signed:
		out.Say = "You have signed these hours, " + m.Moment(m.State.Floor.Signs[shoot.KeyOf(m.Day.ID, m.c.Me)].At) + "."
	case state == shoot.Lapsed:
		out.Say = "Your hours have changed since you signed them. Look again, and sign them as they stand."
	case state == shoot.Disputed:
		out.Say = "The art director or the producer looks at what you said. You can still sign the hours as they stand."
	default:
		out.Say = "Sign them if they are right. If not, say what is wrong."
	}
	for _, u := range h.Undone {
		out.Undone = append(out.Undone, view.Sentence(view.Said(u.Mark.Kind)+" "+m.Clock(u.Mark.At)+", taken back "+m.Clock(u.At)+" by "+m.Who(u.By)))
	}
	if len(h.Marks) == 0 {
		return out
	}
	seen := view.Fields{"day": m.Day.ID, "seen": h.Stamps()}
	if state != shoot.Signed {
		out.Actions = append(out.Actions, m.Action("Sign my hours", "hours.sign", seen).Off(why))
	}
	out.Actions = append(out.Actions, m.Entry("Something is wrong", "hours.dispute", seen,
		wrongForm("Hours", "The art director or the producer sees it on the Settle screen. Your signature, if you gave one, is taken back.")))
	out.Actions = append(out.Actions, m.undo(m.Me, h)...)
	return out
}

// wrongForm asks for the sentence of a dispute.
func wrongForm(what, say string) view.Form {
	return view.Form{Title: what + ": something is wrong", Submit: "Send it", Say: say,
		Fields: []view.Field{{Key: "say", Label: "What is wrong", Kind: view.KindLines, Needed: true, As: view.AsText, Hint: "One sentence is enough: I left at 18:40."}}}
}

// dayLines are a person's hours to read: in, meals, out, and how long.
func (m *maker) dayLines(h shoot.Hours) []view.Line {
	var out []view.Line
	for _, sp := range h.Stretches() {
		out = append(out, view.Line{Label: "In", Value: m.Clock(sp.From)})
		for _, meal := range h.Meals() {
			if meal.From < sp.From || sp.To != 0 && meal.From > sp.To {
				continue
			}
			line := view.Line{Label: "Meal", Value: m.Clock(meal.From) + ", not back yet"}
			if meal.To != 0 {
				line.Value = m.Clock(meal.From) + " to " + m.Clock(meal.To) + ", " + view.Lasts(int64(meal.To/when.Minute-meal.From/when.Minute))
			}
			out = append(out, line)
		}
		if sp.To != 0 {
			out = append(out, view.Line{Label: "Out", Value: m.Clock(sp.To)})
		}
	}
	if len(out) > 0 {
		out = append(out, view.Line{Label: "Worked, meals left out", Value: view.Lasts(worked(h, m.c.Now))})
	}
	return out
}

// disputes tells what a person said of their hours, newest first.
func (m *maker) disputes(p shoot.PersonID) []string {
	var out []string
	for _, q := range m.queries(func(q shoot.Query) bool { return q.Kind == shoot.QueryHours && q.Day == m.Day.ID && q.Person == p },
		func(a, b shoot.Query) int { return cmp.Compare(b.Raised, a.Raised) }) {
		line := m.Moment(q.Raised) + ": " + view.Sentence(q.Said.Text)
		if q.Ruling == "" {
			out = append(out, line+" Nobody has settled it yet.")
			continue
		}
		out = append(out, line+" "+m.closed(q).Say)
	}
	return out
}

// undo is the way to take back a punch that was a slip of the finger, for some
// minutes.
func (m *maker) undo(p shoot.Person, h shoot.Hours) []view.Action {
	n := len(h.Marks)
	if n == 0 || m.c.Now > max(h.Marks[n-1].At, h.Marks[n-1].Received)+shoot.UndoWithin {
		return nil
	}
	last := h.Marks[n-1]
	label := map[shoot.MarkKind]string{shoot.MarkIn: "Not in yet: undo", shoot.MarkOut: "Not out yet: undo",
		shoot.MarkMealOut: "Not at the meal yet: undo", shoot.MarkMealIn: "Not back yet: undo"}[last.Kind]
	return []view.Action{m.Action(label, "punch.undo", view.Fields{"day": m.Day.ID, "person": p.ID, "kind": last.Kind, "at": last.At})}
}

// ownPay is this person's own pay of the day, nil where it is not shown to them.
func (m *maker) ownPay() *OwnPay {
	row, ok := m.State.Pay[shoot.KeyOf(m.Day.ID, m.c.Me)]
	if !ok || !row.Shared && !row.Dispute.Open() {
		return nil
	}
	state := row.SignOff()
	out := &OwnPay{Mark: signMark(state), Words: m.payWords(row), Caution: view.Caution(view.ScreenOvertime)}
	switch {
	case !row.Shared:
		out.Say = "The producer does not show these lines any more."
	case row.Slip == nil && m.Hours(m.c.Me).Presence() == shoot.Away && len(m.Hours(m.c.Me).Marks) > 0:
		out.Say = "Your pay lines could not be worked out. Ask the producer to look at your terms."
	case row.Slip == nil:
		out.Say = "Your pay lines come once you have signed out."
	case state == shoot.Signed:
		out.Say = "You have signed these lines, " + m.Moment(row.Signed.At) + "."
	case state == shoot.Lapsed:
		out.Say = "You signed " + row.Signed.Total.Format() + ". The lines have been worked out anew since: look again, and sign them as they stand."
	case state == shoot.Disputed:
		out.Say = "The producer looks at what you said."
	default:
		out.Say = "Only you and the producer see this. Sign it if it is right. If not, say what is wrong."
	}
	if row.Slip == nil {
		return out
	}
	out.Slip = m.ownSlip(*row.Slip)
	if state != shoot.Signed {
		out.Actions = append(out.Actions, m.Action("Sign my pay", "pay.sign", view.Fields{"day": m.Day.ID, "seen": row.Version, "total": row.Slip.Total}))
	}
	out.Actions = append(out.Actions, m.Entry("Something is wrong", "pay.dispute", view.Fields{"day": m.Day.ID, "seen": row.Version},
		wrongForm("Pay", "The producer sees it on the Settle screen. Your signature, if you gave one, is taken back.")))
	return out
}

// payWords tells what was said of pay lines, and what came of it.
func (m *maker) payWords(row shoot.Pay) []string {
	d := row.Dispute
	if d == nil {
		return nil
	}
	line := m.Moment(d.At) + ": " + view.Sentence(d.Say)
	if d.Open() {
		return []string{line + " Nobody has settled it yet."}
	}
	return []string{line + " Answered by " + m.Who(d.By) + ", " + m.Moment(d.Settled) + ": " + view.Sentence(d.Answer)}
}

// ownSlip writes down a slip as it was worked out; nothing in it is worked out
// here.
func (m *maker) ownSlip(s shoot.PaySlip) *PaySlip {
	out := &PaySlip{Title: "Line by line", Worked: view.Lasts(s.Worked), Total: s.Total.Format()}
	for _, meal := range s.Meals {
		out.Meals = append(out.Meals, m.Clock(meal.From)+" to "+m.Clock(meal.To))
	}
	for _, l := range s.Lines {
		if l.Times.IsZero() {
			l.Times = money.Ratio{} // as a line has it that was never stored
		}
		out.Lines = append(out.Lines, m.payLine(overtime.Line{From: l.From, To: l.To, Minutes: l.Minutes, Times: l.Times, Amount: l.Amount, Why: l.Why}))
	}
	return out
}

// payDisputes lists the disputes about pay that the producer has to settle or has
// settled, oldest first.
func (m *maker) payDisputes(open bool) []shoot.Pay {
	var out []shoot.Pay
	if m.Me.Role != shoot.Producer {
		return nil
	}
	for _, row := range m.State.Pay {
		if row.Dispute != nil && row.Dispute.Open() == open {
			out = append(out, row)
		}
	}
	sorting.By(out, func(a, b shoot.Pay) int {
		return cmp.Or(cmp.Compare(a.Dispute.At, b.Dispute.At), cmp.Compare(a.Person, b.Person), cmp.Compare(a.Day, b.Day))
	})
	return out
}

// payCard is a dispute about pay as a query; only the producer sees it.
func (m *maker) payCard(row shoot.Pay) QueryCard {
	on, d := m.on(row.Day), row.Dispute
	out := QueryCard{ID: "pay " + string(shoot.KeyOf(row.Day, row.Person)), Title: "Pay of " + m.Who(row.Person), Mark: signMark(shoot.Disputed),
		Raised:  "raised " + on.Moment(d.At),
		Said:    QuerySide{"Reported", view.Sentence(d.Say), on.Made(d.At, 0, row.Person)},
		Against: QuerySide{"Against it", "The pay lines they were shown.", view.Made{}}}
	if d.Version != row.Version {
		out.Against.Text += " They have been worked out anew since."
	}
	out.Actions = []view.Action{m.Entry("Answer it", "pay.settle", view.Fields{"day": row.Day, "person": row.Person}, view.Form{
		Title: out.Title, Submit: "Answer it", Say: "Put hours or terms right first, if they are wrong: the lines follow by themselves.",
		Fields: []view.Field{{Key: "answer", Label: "Your answer", Kind: view.KindLines, Needed: true, As: view.AsText}}})}
	return out
}

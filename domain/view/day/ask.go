package day

import (
	"cmp"
	"slices"
	"strings"

	"fairday/domain/money"
	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/view"
	"fairday/domain/when"
)

// upTo writes the amount of an approval, where one was named.
func upTo(a money.Amount) string {
	if a.Currency == "" {
		return ", with no amount named"
	}
	return " and up to " + a.Format()
}

// asks lists what was asked for the day, newest first.
func (m *maker) asks() []shoot.Ask {
	out := sorting.Values(m.State.Asks, func(a, b shoot.Ask) int { return cmp.Or(cmp.Compare(b.At, a.At), cmp.Compare(a.ID, b.ID)) })
	return slices.DeleteFunc(out, func(a shoot.Ask) bool { return a.Day != m.Day.ID })
}

// askLines tells the asks of the day that were approved, as approvals.
func (m *maker) askLines() []string {
	var out []string
	for _, a := range m.asks() {
		if a.Reply == shoot.Approved {
			out = append(out, "Until "+m.Clock(a.Until)+amountOf(a)+", asked by "+m.Who(a.By)+", approved by "+m.Who(a.ReplyBy)+" "+m.Moment(a.Replied))
		}
	}
	return out
}

// amountOf is the amount that an ask names: ", up to $600.00", or "".
func amountOf(a shoot.Ask) string {
	if a.Amount == nil {
		return ""
	}
	return ", up to " + a.Amount.Format()
}

// seesAsks tells whether asks are for this person at all.
func (m *maker) seesAsks() bool {
	return shoot.Audience{Person: m.c.Me, Role: m.Me.Role}.Sees(shoot.TopicAsk)
}

// askBox is everything that was asked for on the day. The producer asks on the
// overtime screen, where the amounts are.
func (m *maker) askBox() *AskBox {
	out := &AskBox{Say: "No overtime has been asked for on this day."}
	for _, a := range m.asks() {
		out.Cards, out.Say = append(out.Cards, m.askCard(a)), ""
	}
	if m.Me.Role == shoot.ArtDirector && m.Day.ID != "" {
		a := m.askAction("Ask for overtime", shoot.Ask{}, m.plannedWrap()+when.Hour, money.Amount{})
		out.Ask = &a
	}
	return out
}

// pressing are the asks that stand on the screen a person starts on: those that
// wait, and for a while those that were answered.
func (m *maker) pressing() []AskCard {
	var out []AskCard
	for _, a := range m.asks() {
		if a.Reply == "" || a.Reply != shoot.TakenBack && m.c.Now < a.Replied+30*when.Minute {
			out = append(out, m.askCard(a))
		}
	}
	return out
}

func (m *maker) plannedWrap() when.Instant {
	if sheet, ok := m.State.SheetNow(m.Day.ID); ok {
		return sheet.Wrap
	}
	return m.c.Now
}

func (m *maker) askCard(a shoot.Ask) AskCard {
	out := AskCard{ID: string(a.ID), Title: "May the day run until " + m.Clock(a.Until) + "?", Mark: askMark(a.Reply), Note: a.Note,
		Amount: "No amount is named.", Say: "Asked by " + m.Who(a.By) + ", " + m.Moment(a.At) + "."}
	if a.Amount != nil {
		out.Amount = "Up to " + a.Amount.Format() + " of overtime for the whole day."
	}
	if a.Reply != "" {
		out.Reply = view.Capital(string(a.Reply)) + " by " + m.Who(a.ReplyBy) + ", " + m.Moment(a.Replied) + "."
		if a.Said != "" {
			out.Reply += " " + view.Sentence(a.Said)
		}
		return out
	}
	if a.By != m.c.Me {
		answer := func(label string, yes bool) view.Action {
			return m.Form(m.Action(label, "overtime.answer", view.Fields{"ask": a.ID, "base": a.Version, "approve": yes, "note": ""}),
				view.Form{Title: out.Title, Submit: label, Say: out.Amount, Fields: []view.Field{view.Note("If there is something to say with it.")}})
		}
		m.Offer(&out.Actions, answer("Approve until "+m.Clock(a.Until), true), answer("Decline", false).Dangerous())
	}
	if a.By == m.c.Me || m.Me.Role == shoot.Producer {
		amount := money.Amount{}
		if a.Amount != nil {
			amount = *a.Amount
		}
		m.Offer(&out.Actions, m.askAction("Change it", a, a.Until, amount),
			m.Action("Take it back", "overtime.unask", view.Fields{"ask": a.ID}).Confirming("Take this back? Whoever has not answered it yet cannot any more."))
	}
	return out
}

// askMark tells what became of an ask.
func askMark(r shoot.Reply) view.Mark {
	switch r {
	case shoot.Approved:
		return view.Mark{Word: "Approved", Shape: view.ShapeFlag, Tone: view.ToneGood}
	case shoot.Declined:
		return view.Mark{Word: "Declined", Shape: view.ShapeFlagDown, Tone: view.ToneStop}
	case shoot.TakenBack:
		return view.Mark{Word: "Taken back", Shape: view.ShapeFlagPole, Tone: view.ToneCalm}
	}
	return view.Mark{Word: "Waits for an answer", Shape: view.ShapeFlagLine, Tone: view.ToneWarn}
}

// askAction is the form that asks for overtime or changes what is asked. Only the
// producer names an amount.
func (m *maker) askAction(label string, a shoot.Ask, until when.Instant, amount money.Amount) view.Action {
	args := view.Fields{"day": m.Day.ID, "base": a.Version}
	title, submit := "Ask for overtime", "Ask"
	if a.ID != "" {
		args["id"] = a.ID
		title, submit = "Change what is asked", "Change it"
	}
	why := view.Note("Why, in a sentence.")
	why.Value = a.Note
	form := view.Form{Title: title, Submit: submit, Fresh: a.ID == "",
		Say:    "The client, the producer and the art director see it: the time, the note, and the amount if one is named. They see nothing of what it comes from.",
		Fields: []view.Field{{Key: "until", Label: "Until", Kind: view.KindTime, Value: m.Wall(until), Needed: true, As: view.AsInstant, Hint: view.NextMorning}}}
	if m.State.Money != nil && m.State.Money.Currency != "" {
		currency := m.State.Money.Currency
		value := ""
		if amount.Currency == currency {
			value, _, _ = strings.Cut(amount.String(), " ")
		}
		form.Currency = string(currency)
		form.Fields = append(form.Fields, view.Field{Key: "amount", Label: "Up to, in " + string(currency), Kind: view.KindMoney, Value: value, As: view.AsAmount,
			Hint: "For the whole day. Leave it empty to ask for the time alone."})
	}
	form.Fields = append(form.Fields, why)
	out := m.Entry(label, "overtime.ask", args, form)
	if a.ID == "" && slices.ContainsFunc(m.asks(), func(o shoot.Ask) bool { return o.Reply == "" }) {
		return out.Off("An ask waits for its answer already: change that one, or take it back.")
	}
	return out
}

package view

import (
	"cmp"
	"slices"
	"strings"

	"fairday/domain/money"
	"fairday/domain/shoot"
	"fairday/domain/sorting"
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
	out := sorting.Values(m.s.Asks, func(a, b shoot.Ask) int { return cmp.Or(cmp.Compare(b.At, a.At), cmp.Compare(a.ID, b.ID)) })
	return slices.DeleteFunc(out, func(a shoot.Ask) bool { return a.Day != m.day.ID })
}

// askLines tells the asks of the day that were approved, as approvals.
func (m *maker) askLines() []string {
	var out []string
	for _, a := range m.asks() {
		if a.Reply == shoot.Approved {
			out = append(out, "Until "+m.clock(a.Until)+amountOf(a)+", asked by "+m.who(a.By)+", approved by "+m.who(a.ReplyBy)+" "+m.moment(a.Replied))
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
	return shoot.Audience{Person: m.c.Me, Role: m.me.Role}.Sees(shoot.TopicAsk)
}

// askBox is everything that was asked for on the day. The producer asks on the
// overtime screen, where the amounts are.
func (m *maker) askBox() *AskBox {
	out := &AskBox{Say: "No overtime has been asked for on this day."}
	for _, a := range m.asks() {
		out.Cards, out.Say = append(out.Cards, m.askCard(a)), ""
	}
	if m.me.Role == shoot.ArtDirector && m.day.ID != "" {
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
	if sheet, ok := m.s.SheetNow(m.day.ID); ok {
		return sheet.Wrap
	}
	return m.c.Now
}

func (m *maker) askCard(a shoot.Ask) AskCard {
	out := AskCard{ID: string(a.ID), Title: "May the day run until " + m.clock(a.Until) + "?", Mark: askMark(a.Reply), Note: a.Note,
		Amount: "No amount is named.", Say: "Asked by " + m.who(a.By) + ", " + m.moment(a.At) + "."}
	if a.Amount != nil {
		out.Amount = "Up to " + a.Amount.Format() + " of overtime for the whole day."
	}
	if a.Reply != "" {
		out.Reply = sentenceWord(string(a.Reply)) + " by " + m.who(a.ReplyBy) + ", " + m.moment(a.Replied) + "."
		if a.Said != "" {
			out.Reply += " " + sentence(a.Said)
		}
		return out
	}
	if a.By != m.c.Me {
		answer := func(label string, yes bool) Action {
			return m.form(m.action(label, "overtime.answer", fields{"ask": a.ID, "base": a.Version, "approve": yes, "note": ""}),
				Form{Title: out.Title, Submit: label, Say: out.Amount, Fields: []Field{note("If there is something to say with it.")}})
		}
		m.offer(&out.Actions, answer("Approve until "+m.clock(a.Until), true), answer("Decline", false).danger())
	}
	if a.By == m.c.Me || m.me.Role == shoot.Producer {
		amount := money.Amount{}
		if a.Amount != nil {
			amount = *a.Amount
		}
		m.offer(&out.Actions, m.askAction("Change it", a, a.Until, amount),
			m.action("Take it back", "overtime.unask", fields{"ask": a.ID}).confirm("Take this back? Whoever has not answered it yet cannot any more."))
	}
	return out
}

// askMark tells what became of an ask.
func askMark(r shoot.Reply) Mark {
	switch r {
	case shoot.Approved:
		return Mark{"Approved", ShapeFlag, ToneGood}
	case shoot.Declined:
		return Mark{"Declined", ShapeFlagDown, ToneStop}
	case shoot.TakenBack:
		return Mark{"Taken back", ShapeFlagPole, ToneCalm}
	}
	return Mark{"Waits for an answer", ShapeFlagLine, ToneWarn}
}

// askAction is the form that asks for overtime or changes what is asked. Only the
// producer names an amount.
func (m *maker) askAction(label string, a shoot.Ask, until when.Instant, amount money.Amount) Action {
	args := fields{"day": m.day.ID, "base": a.Version}
	title, submit := "Ask for overtime", "Ask"
	if a.ID != "" {
		args["id"] = a.ID
		title, submit = "Change what is asked", "Change it"
	}
	why := note("Why, in a sentence.")
	why.Value = a.Note
	form := Form{Title: title, Submit: submit, Fresh: a.ID == "",
		Say:    "The client, the producer and the art director see it: the time, the note, and the amount if one is named. They see nothing of what it comes from.",
		Fields: []Field{{Key: "until", Label: "Until", Kind: KindTime, Value: m.wall(until), Needed: true, As: AsInstant, Hint: nextMorning}}}
	if m.s.Money != nil && m.s.Money.Currency != "" {
		currency := m.s.Money.Currency
		value := ""
		if amount.Currency == currency {
			value, _, _ = strings.Cut(amount.String(), " ")
		}
		form.Currency = string(currency)
		form.Fields = append(form.Fields, Field{Key: "amount", Label: "Up to, in " + string(currency), Kind: KindMoney, Value: value, As: AsAmount,
			Hint: "For the whole day. Leave it empty to ask for the time alone."})
	}
	form.Fields = append(form.Fields, why)
	out := m.entry(label, "overtime.ask", args, form)
	if a.ID == "" && slices.ContainsFunc(m.asks(), func(o shoot.Ask) bool { return o.Reply == "" }) {
		return out.off("An ask waits for its answer already: change that one, or take it back.")
	}
	return out
}

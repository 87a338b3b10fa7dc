package shoot

import (
	"cmp"

	"fairday/domain/money"
	"fairday/domain/sorting"
	"fairday/domain/when"
)

// Overtime that is asked for. An ask discloses its own time, amount and note to
// the client and the art director, and nothing of what they come from; they
// cannot see the money plane.

var askRows = rows{
	intents: []intentRow{
		{name: "overtime.ask", plane: TopicAsk, who: lead, target: "id", say: "Ask for overtime, {day}", args: overtimeAsk{}},
		{name: "overtime.answer", plane: TopicAsk, who: []Role{Client, Producer}, target: "ask", say: "Overtime approved|Overtime declined", args: overtimeAnswer{}},
		{name: "overtime.unask", plane: TopicAsk, who: lead, target: "ask", say: "Ask for overtime taken back", args: overtimeUnask{}},
	},
	events: []eventRow{
		{body: OvertimeAsked{}},
		{body: OvertimeReplied{}},
	},
}

// AskID is an id of an ask.
type AskID string

// Ask asks that a day may run on.
type Ask struct {
	ID      AskID         `json:"id"`
	Day     DayID         `json:"day"`
	Until   when.Instant  `json:"until"`
	Amount  *money.Amount `json:"amount,omitempty"` // nil where none is named
	Note    string        `json:"note"`
	By      PersonID      `json:"by"`
	At      when.Instant  `json:"at"`
	Version int           `json:"version"`
	Reply   Reply         `json:"reply,omitempty"` // "" while it waits
	Replied when.Instant  `json:"replied,omitempty"`
	ReplyBy PersonID      `json:"replyBy,omitempty"`
	Said    string        `json:"said,omitempty"` // with the reply
}

// Reply is what became of an ask.
type Reply string

// The replies.
const (
	Approved  Reply = "approved"
	Declined  Reply = "declined"
	TakenBack Reply = "taken back"
)

type overtimeAsk struct {
	ID     AskID         `json:"id"`
	Day    DayID         `json:"day"`
	Until  when.Instant  `json:"until"`
	Amount *money.Amount `json:"amount,omitempty"`
	Note   string        `json:"note"`
	Base   int           `json:"base"`
}

// OvertimeAsked asks that a day may run on, or changes what is asked.
type OvertimeAsked struct{ Ask }

func (a overtimeAsk) decide(d *deciding) *Refusal {
	day, ok := d.s.Floor.Days[a.Day]
	if !ok {
		return unknown("day")
	}
	was, there := d.s.Asks[a.ID]
	next := Ask{ID: a.ID, Day: a.Day, Until: a.Until, Amount: a.Amount, Note: a.Note, By: d.in.Actor, At: d.at, Version: was.Version + 1}
	if r := first(idCheck(a.ID), text("note", a.Note, 300), a.sound(d, day)); r != nil {
		return r
	}
	switch {
	case there && was.Reply != "":
		return refuse(CodeSettled, "This ask was %s already. Ask anew.", string(was.Reply))
	case there && d.who.Role != Producer && was.By != d.in.Actor:
		return refuse(CodeNotAllowed, "%s asked this. Speak with them if it should be otherwise.", d.s.nameOf(was.By))
	}
	if r := fresh("this ask", a.Base, was.Version, next, was); r != nil {
		return r
	}
	for id, other := range d.s.Asks {
		if id != a.ID && other.Day == a.Day && other.Reply == "" {
			return refuse(CodeWrongProgress, "An ask for this day waits for its answer already. Change that one, or take it back first.")
		}
	}
	d.emit(OvertimeAsked{next})
	return nil
}

// sound checks the time and the amount of an ask. Only the producer sees what
// the day costs, so only they name an amount.
func (a overtimeAsk) sound(d *deciding, day Day) *Refusal {
	if from, err := day.Zone.At(day.Date, 0); err == nil && (a.Until <= from || a.Until > from+48*when.Hour) {
		return refuse(CodeBadArgs, "That is not a time on this day or the next. Enter until when the day may run on.")
	}
	switch {
	case a.Amount == nil:
		return nil
	case d.who.Role != Producer:
		return refuse(CodeNotAllowed, "Only the producer names an amount. Ask for the time, and the producer adds it.")
	case a.Amount.Minor < 0:
		return refuse(CodeBadArgs, "An ask needs an amount that is not below zero.")
	}
	return amount("amount of the ask", *a.Amount)
}

func (OvertimeAsked) kind() string { return "overtime.asked" }
func (OvertimeAsked) topic() Topic { return TopicAsk }
func (e OvertimeAsked) apply(s *State, _ Event) {
	s.Asks = with(s.Asks, e.ID, e.Ask)
}

type overtimeAnswer struct {
	Ask     AskID  `json:"ask"`
	Base    int    `json:"base"` // the version that was read
	Approve bool   `json:"approve"`
	Note    string `json:"note"`
}

type overtimeUnask struct {
	Ask AskID `json:"ask"`
}

// OvertimeReplied ends an ask: approved, declined or taken back.
type OvertimeReplied struct {
	Ask   AskID  `json:"ask"`
	Reply Reply  `json:"reply"`
	Note  string `json:"note"`
}

func (a overtimeAnswer) decide(d *deciding) *Refusal {
	ask, ok := d.s.Asks[a.Ask]
	reply := Declined
	if a.Approve {
		reply = Approved
	}
	if !ok {
		return unknown("ask")
	}
	switch {
	case ask.Reply == reply:
		return nil
	case ask.Reply == TakenBack:
		return refuse(CodeSettled, "%s took this back before your answer came, so nothing is approved or declined. Speak with them if the day has to run on.", d.s.nameOf(ask.ReplyBy))
	case ask.Reply != "":
		r := refuse(CodeSettled, "%s has answered this already. Speak with them if it should be otherwise.", d.s.nameOf(ask.ReplyBy))
		r.Yours, r.Theirs = string(reply), string(ask.Reply)
		return r
	case ask.By == d.in.Actor:
		return refuse(CodeNotAllowed, "You asked this yourself. Wait for the answer, or take it back.")
	case ask.Version != a.Base:
		return refuse(CodeStale, "%s changed this after you read it, so nothing is approved or declined. Read it again, and answer it as it stands.", d.s.nameOf(ask.By))
	}
	if r := text("note", a.Note, 300); r != nil {
		return r
	}
	d.emit(OvertimeReplied{a.Ask, reply, a.Note})
	return nil
}

func (a overtimeUnask) decide(d *deciding) *Refusal {
	ask, ok := d.s.Asks[a.Ask]
	switch {
	case !ok:
		return unknown("ask")
	case ask.Reply == TakenBack:
		return nil
	case ask.Reply != "":
		return refuse(CodeSettled, "%s has answered this already. Speak with them if it should be otherwise.", d.s.nameOf(ask.ReplyBy))
	case d.who.Role != Producer && ask.By != d.in.Actor:
		return refuse(CodeNotAllowed, "%s asked this. Speak with them if it should be otherwise.", d.s.nameOf(ask.By))
	}
	d.emit(OvertimeReplied{Ask: a.Ask, Reply: TakenBack})
	return nil
}

func (OvertimeReplied) kind() string { return "overtime.replied" }
func (OvertimeReplied) topic() Topic { return TopicAsk }
func (e OvertimeReplied) apply(s *State, ev Event) {
	ask, ok := s.Asks[e.Ask]
	if !ok {
		return
	}
	ask.Reply, ask.Said, ask.Replied, ask.ReplyBy = e.Reply, e.Note, ev.At, ev.By
	s.Asks = with(s.Asks, e.Ask, ask)
}

// Limit is how far a day may run on, as somebody gave it: until a time and up to an
// amount, both at once.
type Limit struct {
	Until  when.Instant
	Amount money.Amount // without a currency where none was named
}

// Limits are what was given for a day, outright or as the answer to an ask, by time
// and then by amount. Each stands by itself: an early one with a high amount and a
// late one with a low amount allow no high amount late.
func (s *State) Limits(day DayID) []Limit {
	var out []Limit
	if s.Money != nil {
		for _, a := range s.Money.Approvals {
			if a.Day == day {
				out = append(out, Limit{a.Until, a.Amount})
			}
		}
	}
	for _, a := range s.Asks {
		if a.Day == day && a.Reply == Approved {
			l := Limit{Until: a.Until}
			if a.Amount != nil {
				l.Amount = *a.Amount
			}
			out = append(out, l)
		}
	}
	sorting.By(out, func(a, b Limit) int {
		return cmp.Or(cmp.Compare(a.Until, b.Until), cmp.Compare(a.Amount.Currency, b.Amount.Currency), cmp.Compare(a.Amount.Minor, b.Amount.Minor))
	})
	return out
}

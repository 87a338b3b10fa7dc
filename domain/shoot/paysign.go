package shoot

import (
	"fairday/domain/money"
)

var paySignRows = rows{
	intents: []intentRow{
		{name: "pay.sign", fact: true, plane: topicPay, say: "Pay lines signed, {day}", args: paySign{}},
		{name: "pay.dispute", fact: true, plane: topicPay, say: "Pay lines disputed, {day}", args: payDispute{}},
		{name: "pay.settle", plane: topicPay, who: office, say: "Answer about the pay of {person}", args: paySettle{}},
	},
	events: []eventRow{
		{body: PaySigned{}},
		{body: PayDisputed{}},
		{body: PaySettled{}},
	},
}

type paySign struct {
	Day   DayID        `json:"day"`
	Seen  int          `json:"seen"` // version of the slip
	Total money.Amount `json:"total"`
}

// PaySigned puts a person's name to the pay lines they saw.
type PaySigned struct {
	Day     DayID        `json:"day"`
	Person  PersonID     `json:"person"`
	Version int          `json:"version"`
	Total   money.Amount `json:"total"`
}

func (a paySign) decide(d *deciding) *Refusal {
	row, r := d.ownPay(a.Day, a.Seen)
	if r != nil {
		return r
	}
	if err := a.Total.Check(); err != nil {
		return wrong(err)
	}
	fits := row.Slip != nil && row.Version == a.Seen && row.Slip.Total == a.Total
	if !fits {
		d.note(FlagChanged, "Kept, but your pay lines have changed since you looked at them. Look again, and sign them as they stand.", "", "")
	}
	if was := row.Signed; was != nil && (was.Version == a.Seen && was.Total == a.Total || !fits && row.SignOff() == Signed) {
		return nil // so already, or signed anew meanwhile
	}
	d.emit(PaySigned{a.Day, d.in.Actor, a.Seen, a.Total})
	return nil
}

// ownPay gives somebody's own row, if they were ever shown one.
func (d *deciding) ownPay(day DayID, seen int) (Pay, *Refusal) {
	if _, ok := d.s.Floor.Days[day]; !ok {
		return Pay{}, unknown("day")
	}
	row, ok := d.s.Pay[KeyOf(day, d.in.Actor)]
	if !ok {
		return Pay{}, refuse(CodeNotAllowed, "Your pay lines of that day are not shared with you. Ask the producer for them.")
	}
	return row, between("version of the pay lines", seen, 1, 1<<30)
}

func (PaySigned) kind() string   { return "pay.signed" }
func (e PaySigned) topic() Topic { return payTopic(e.Person) }
func (e PaySigned) apply(s *State, ev Event) {
	s.pay(e.Day, e.Person, func(p *Pay) { p.Signed = &PaySign{ev.At, e.Version, e.Total} })
}

type payDispute struct {
	Day  DayID  `json:"day"`
	Seen int    `json:"seen"`
	Say  string `json:"say"`
}

// PayDisputed says what is wrong with the pay lines that a person saw. Whoever
// disputes takes their signature back.
type PayDisputed struct {
	Day     DayID    `json:"day"`
	Person  PersonID `json:"person"`
	Version int      `json:"version"`
	Say     string   `json:"say"`
}

func (a payDispute) decide(d *deciding) *Refusal {
	if _, r := d.ownPay(a.Day, a.Seen); r != nil {
		return r
	}
	if r := needed("sentence that says what is wrong", a.Say, 300); r != nil {
		return r
	}
	d.emit(PayDisputed{a.Day, d.in.Actor, a.Seen, a.Say})
	return nil
}

func (PayDisputed) kind() string   { return "pay.disputed" }
func (e PayDisputed) topic() Topic { return payTopic(e.Person) }
func (e PayDisputed) apply(s *State, ev Event) {
	s.pay(e.Day, e.Person, func(p *Pay) { p.Signed, p.Dispute = nil, &PayDispute{At: ev.At, Version: e.Version, Say: e.Say} })
}

type paySettle struct {
	Day    DayID    `json:"day"`
	Person PersonID `json:"person"`
	Answer string   `json:"answer"`
}

// PaySettled answers a dispute about pay lines.
type PaySettled struct {
	Day    DayID    `json:"day"`
	Person PersonID `json:"person"`
	Answer string   `json:"answer"`
}

func (a paySettle) decide(d *deciding) *Refusal {
	row, ok := d.s.Pay[KeyOf(a.Day, a.Person)]
	switch {
	case d.s.Money == nil:
		return notHere()
	case !ok || row.Dispute == nil:
		return unknown("dispute about pay")
	case !row.Dispute.Open():
		return refuse(CodeSettled, "%s has settled this already. Speak with them if it should be otherwise.", d.s.nameOf(row.Dispute.By))
	}
	if r := needed("answer", a.Answer, 300); r != nil {
		return r
	}
	d.emit(PaySettled(a))
	return nil
}

func (PaySettled) kind() string   { return "pay.settled" }
func (e PaySettled) topic() Topic { return payTopic(e.Person) }
func (e PaySettled) apply(s *State, ev Event) {
	s.pay(e.Day, e.Person, func(p *Pay) {
		if p.Dispute != nil {
			dispute := *p.Dispute
			dispute.Settled, dispute.By, dispute.Answer = ev.At, ev.By, e.Answer
			p.Dispute = &dispute
		}
	})
}

package shoot

import (
	"slices"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/sorting"
	"fairday/domain/when"
)

// A plane for each person's own pay. The producer allows it by the day; then the
// slip is worked out where the terms are known and travels as an event with
// finished amounts, so that a phone holds its own person's lines and nothing that
// they come from. What is paid on top to others is not on it.

var payShareRows = rows{
	intents: []intentRow{
		{name: "pay.share", plane: topicPay, who: office, say: "Show pay lines to {how many}|Take pay lines away from {how many}", args: payShare{}},
	},
	events: []eventRow{
		{body: PaySet{}},
	},
}

// Pay is what a person is shown of their own pay of a day, and what they say to it.
type Pay struct {
	Day     DayID       `json:"day"`
	Person  PersonID    `json:"person"`
	Shared  bool        `json:"shared"`
	Version int         `json:"version"` // grows whenever the slip changes
	Slip    *PaySlip    `json:"slip,omitempty"`
	Signed  *PaySign    `json:"signed,omitempty"`
	Dispute *PayDispute `json:"dispute,omitempty"`
}

// PaySlip is a person's pay of a day, once they have signed out.
type PaySlip struct {
	Worked int64        `json:"worked"` // minutes
	Meals  []Span       `json:"meals"`
	Lines  []PayLine    `json:"lines"`
	Total  money.Amount `json:"total"`
}

// PayLine is a line of pay, as it was worked out.
type PayLine struct {
	From    when.Instant `json:"from"`
	To      when.Instant `json:"to"`
	Minutes int64        `json:"minutes"` // paid for
	Times   money.Ratio  `json:"times"`   // the hourly base; zero where a line has none
	Amount  money.Amount `json:"amount"`
	Why     string       `json:"why"`
}

func (p *PaySlip) same(o *PaySlip) bool {
	if p == nil || o == nil {
		return p == o
	}
	return p.Worked == o.Worked && p.Total == o.Total && slices.Equal(p.Meals, o.Meals) && slices.EqualFunc(p.Lines, o.Lines, PayLine.same)
}

// same compares lines as they are stored, where there is only one nought.
func (l PayLine) same(o PayLine) bool {
	if l.Times.String() != o.Times.String() {
		return false
	}
	l.Times = o.Times
	return l == o
}

// PaySign is a person's word that the lines they saw are right.
type PaySign struct {
	At      when.Instant `json:"at"`
	Version int          `json:"version"`
	Total   money.Amount `json:"total"`
}

// PayDispute is what a person says is wrong, and what came of it.
type PayDispute struct {
	At      when.Instant `json:"at"`
	Version int          `json:"version"`
	Say     string       `json:"say"`
	Settled when.Instant `json:"settled,omitempty"` // 0 while it is open
	By      PersonID     `json:"by,omitempty"`
	Answer  string       `json:"answer,omitempty"`
}

// Open tells whether nobody has settled it yet.
func (p *PayDispute) Open() bool { return p != nil && p.Settled == 0 }

// SignOff tells how the person stands to the lines as they are.
func (p Pay) SignOff() SignOff {
	switch {
	case p.Dispute.Open():
		return Disputed
	case p.Signed == nil:
		return Unsigned
	case p.Slip == nil || p.Signed.Version != p.Version || p.Signed.Total != p.Slip.Total:
		return Lapsed
	}
	return Signed
}

// HasPay tells whether a person was ever shown pay of their own.
func (s *State) HasPay(p PersonID) bool {
	for _, row := range s.Pay {
		if row.Person == p {
			return true
		}
	}
	return false
}

type payShare struct {
	Day    DayID      `json:"day"`
	People []PersonID `json:"people"`
	On     bool       `json:"on"`
}

// PaySet shows a person their own pay as it stands, or takes it away from them.
type PaySet struct {
	Day    DayID    `json:"day"`
	Person PersonID `json:"person"`
	Shared bool     `json:"shared"`
	Slip   *PaySlip `json:"slip,omitempty"`
}

func (a payShare) decide(d *deciding) *Refusal {
	if _, ok := d.s.Floor.Days[a.Day]; !ok {
		return unknown("day")
	}
	if len(a.People) == 0 || !known(a.People, d.s.Floor.People) {
		return unknown("person")
	}
	if d.s.Money == nil {
		return notHere()
	}
	for _, p := range a.People {
		if d.s.Pay[KeyOf(a.Day, p)].Shared == a.On {
			continue
		}
		set := PaySet{Day: a.Day, Person: p, Shared: a.On}
		if a.On {
			set.Slip = d.s.slip(a.Day, p, d.at)
		}
		d.emit(set)
	}
	return nil
}

// slip is a person's pay of a day that is over for them; nil before that, and
// where their terms do not say.
func (s *State) slip(day DayID, p PersonID, now when.Instant) *PaySlip {
	terms, ok := s.Money.Terms[p]
	if !ok {
		return nil
	}
	h := s.Clocked(s.Floor.Days[day], p, terms.Terms, now)
	var pay overtime.Slip
	var err error
	if off, called := s.OffOn(day, string(p)); called {
		h.Meals = nil
		pay, err = s.OffPay(day, string(p), terms.Terms, off)
	} else if sheet, _ := s.SheetNow(day); h.Out == 0 && h.In == 0 && h.Call != 0 && !terms.Counts(h.Kind) {
		pay, err = overtime.Pay(terms.Terms, h.Wrapped(sheet.Wrap)) // the fee, however long
		pay.Worked, h.Meals = 0, nil
	} else if h.Out == 0 {
		return nil
	} else {
		pay, err = overtime.Pay(terms.Terms, h)
	}
	if err != nil {
		return nil
	}
	out := &PaySlip{Worked: pay.Worked, Total: pay.Total}
	for _, l := range pay.Lines {
		out.Lines = append(out.Lines, PayLine{l.From, l.To, l.Minutes, l.Times, l.Amount, l.Why})
	}
	for _, m := range h.Meals {
		out.Meals = append(out.Meals, Span(m))
	}
	return out
}

// reslip renews the shared slips that the events of this decision change. Only
// where the terms are known can they be worked out.
func (d *deciding) reslip() {
	if d.s.Money == nil || len(d.s.Pay) == 0 {
		return
	}
	whose := map[PersonID]bool{}
	for _, e := range d.events {
		if row := events[e.Kind()]; row.pay != nil {
			whose[row.pay(d.s, e.Body)] = true
		}
	}
	if len(whose) == 0 {
		return
	}
	next := d.s.Clone()
	for _, e := range d.events {
		Apply(next, e)
	}
	for _, key := range sorting.Keys(next.Pay) {
		row := next.Pay[key]
		if !row.Shared || !whose[everybody] && !whose[row.Person] {
			continue
		}
		if slip := next.slip(row.Day, row.Person, d.at); !slip.same(row.Slip) {
			d.emit(PaySet{row.Day, row.Person, true, slip})
		}
	}
}

func (PaySet) kind() string   { return "pay.set" }
func (e PaySet) topic() Topic { return payTopic(e.Person) }
func (e PaySet) apply(s *State, _ Event) {
	s.pay(e.Day, e.Person, func(p *Pay) {
		p.Day, p.Person, p.Shared, p.Slip = e.Day, e.Person, e.Shared, e.Slip
		p.Version++
	})
}

func (s *State) pay(day DayID, p PersonID, change func(*Pay)) {
	row := s.Pay[KeyOf(day, p)]
	change(&row)
	s.Pay = with(s.Pay, KeyOf(day, p), row)
}

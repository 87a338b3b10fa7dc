package shoot

import (
	"cmp"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/when"
)

// The money plane: terms, hires, approvals. Its intents may read the floor;
// nothing on the floor ever reads it.

var termsRows = rows{
	intents: []intentRow{
		{name: "currency.set", far: true, plane: TopicMoney, who: office, target: "-", say: "Currency of the shoot"},
		{name: "terms.set", far: true, plane: TopicMoney, who: office, target: "person", say: "Terms of {person}", older: []upgrade{same, same, same}}, // employee was added, then rules of the trade, then what its floors ask for
		{name: "hire.set", far: true, plane: TopicMoney, who: office, target: "id", say: "Plan of {name}", older: []upgrade{same}},                     // rules of the trade were added
		{name: "overtime.approve", plane: TopicMoney, who: office, say: "Approval of overtime, {day}", args: overtimeApprove{}},
	},
	events: []eventRow{
		{body: CurrencySet{}},
		{body: TermsSet{}, pay: func(_ *State, b Body) PersonID { return b.(TermsSet).Person }, older: []upgrade{same, same, same}}, // employee was added, then rules of the trade, then what its floors ask for
		{body: HireSet{}, older: []upgrade{same}},
		{body: OvertimeApproved{}},
	},
}

var termsFar = farRules{
	{"currency.set", currencySet{}},
	{"terms.set", termsSet{}},
	{"hire.set", hireSet{}},
}

// Terms are the terms a person works on.
type Terms struct {
	overtime.Terms
	Version  int      `json:"version"`
	Employee Employee `json:"employee,omitzero"`
}

// Hire is a place or a piece of equipment on terms of its own.
type Hire struct {
	ID      HireID         `json:"id"`
	Day     DayID          `json:"day"`
	Name    string         `json:"name"`
	From    when.Clock     `json:"from"` // when its hours start
	Terms   overtime.Terms `json:"terms"`
	Version int            `json:"version"`
}

// Approval allows overtime of a day up to an instant and an amount.
type Approval struct {
	ID     ApprovalID   `json:"id"`
	Day    DayID        `json:"day"`
	Until  when.Instant `json:"until"`
	Amount money.Amount `json:"amount"`
	By     PersonID     `json:"by"`
	At     when.Instant `json:"at"`
	Note   string       `json:"note"`
}

type currencySet struct {
	Currency money.Currency `json:"currency"`
}

// CurrencySet is the currency that the shoot is reckoned in.
type CurrencySet struct {
	Currency money.Currency `json:"currency"`
}

func (a currencySet) decide(d *deciding) *Refusal {
	if d.s.Money == nil {
		return notHere()
	}
	if err := a.Currency.Check(); err != nil {
		return wrong(err)
	}
	if a.Currency != d.s.Money.Currency {
		d.emit(CurrencySet(a))
	}
	return nil
}

func (CurrencySet) kind() string { return "currency.set" }
func (CurrencySet) topic() Topic { return TopicMoney }
func (e CurrencySet) apply(s *State, _ Event) {
	s.Money.Currency = e.Currency
}

type termsSet struct {
	Person PersonID       `json:"person"`
	Terms  overtime.Terms `json:"terms"`
	Base   int            `json:"base"`
	// Since version 2.
	Employee Employee `json:"employee,omitzero"`
}

// TermsSet is what a person works for.
type TermsSet struct {
	Person PersonID `json:"person"`
	Terms  Terms    `json:"terms"`
}

func (a termsSet) decide(d *deciding) *Refusal {
	if _, ok := d.s.Floor.People[a.Person]; !ok {
		return unknown("person")
	}
	if d.s.Money == nil {
		return notHere()
	}
	was := d.s.Money.Terms[a.Person]
	if d.in.Version < 3 {
		a.Terms = keptFrom(a.Terms, was.Terms)
	}
	next := Terms{Terms: a.Terms, Version: was.Version + 1, Employee: a.Employee}
	if d.in.Version < 2 {
		next.Employee = was.Employee // an older page cannot say, and takes nothing away
	} else if d.in.Version < 4 {
		kept := was.Employee
		if kept.Law, kept.Wage = a.Employee.Law, a.Employee.Wage; kept.check(a.Terms.Rate.Currency) == nil {
			next.Employee = kept
		}
	}
	if r := fresh("these terms", a.Base, was.Version, next, was); r != nil {
		return r
	}
	if err := a.Terms.Validate(); err != nil {
		return wrong(err)
	}
	if err := next.Employee.check(a.Terms.Rate.Currency); err != nil {
		return wrong(err)
	}
	d.emit(TermsSet{a.Person, next})
	return nil
}

// keptFrom keeps the rules that an older page cannot say, where they still go with
// what it says.
func keptFrom(t, was overtime.Terms) overtime.Terms {
	if kept := t.WithNewer(was); kept.Validate() == nil {
		return kept
	}
	return t
}

func (TermsSet) kind() string { return "terms.set" }
func (TermsSet) topic() Topic { return TopicMoney }
func (e TermsSet) apply(s *State, _ Event) {
	s.Money.Terms = with(s.Money.Terms, e.Person, e.Terms)
}

// Employee says under which labour law somebody works, for the floors that are
// shown beside their pay. The zero Employee is none.
type Employee struct {
	Law  overtime.Law `json:"law"`
	Wage money.Amount `json:"wage,omitzero"` // the minimum wage by the hour, where New York's spread of hours is looked at

	Waived overtime.Waived `json:"waived,omitzero"`  // meals that they agreed to go without, in California
	Week   string          `json:"week,omitempty"`   // the day that their workweek begins on, "Sunday"; "" for Monday. Of the United States
	NoRest []when.Date     `json:"noRest,omitempty"` // days on which a rest period that was owed was not given, in California
}

// WeekDay is which day of their workweek a date is, from 1.
func (e Employee) WeekDay(d when.Date) int {
	for n := range 7 {
		if d.Add(-n).Weekday() == cmp.Or(e.Week, "Monday") {
			return n + 1
		}
	}
	return 0
}

// check refuses what makes no sense beside pay in a currency.
func (e Employee) check(pay money.Currency) error {
	if err := e.Law.Check(); err != nil {
		return err
	}
	switch {
	case e.Waived != overtime.Waived{} && e.Law != overtime.LawCalifornia:
		return refuse(CodeBadArgs, "Meals are waived under the general law of California alone. Leave that out, or choose that law.")
	case len(e.NoRest) > 0 && !e.Law.California():
		return refuse(CodeBadArgs, "Rest periods that were not given are asked for under California's law alone. Leave them out, or choose that law.")
	case len(e.NoRest) > 100:
		return refuse(CodeBadArgs, "More than 100 days without a rest period are more than a shoot has.")
	case e.Week != "" && !e.Law.Federal():
		return refuse(CodeBadArgs, "The workweek is asked for under the laws of the United States alone. Leave it out, or choose one of them.")
	case e.Week != "" && e.WeekDay("2026-11-23") == 0:
		return refuse(CodeBadArgs, "The workweek begins on a day of the week. Write its English name, like Sunday.")
	}
	for _, d := range e.NoRest {
		if !d.Valid() {
			return refuse(CodeBadArgs, "A day without its rest period is a date, like 2026-11-25.")
		}
	}
	if (e.Wage == money.Amount{}) {
		return nil
	}
	if r := amount("minimum wage", e.Wage); r != nil {
		return r
	}
	switch {
	case e.Law != overtime.LawNewYork:
		return refuse(CodeBadArgs, "The minimum wage is asked for under New York's law alone. Leave it out, or choose that law.")
	case e.Wage.Minor <= 0 || e.Wage.Currency != pay:
		return refuse(CodeBadArgs, "The minimum wage must be above zero and in the currency of the rate.")
	}
	return nil
}

type hireSet struct {
	ID    HireID         `json:"id"`
	Day   DayID          `json:"day"`
	Name  string         `json:"name"`
	From  when.Clock     `json:"from"`
	Terms overtime.Terms `json:"terms"`
	Base  int            `json:"base"`
}

// HireSet adds or changes a place or a piece of equipment on hire.
type HireSet struct{ Hire }

func (a hireSet) decide(d *deciding) *Refusal {
	if _, ok := d.s.Floor.Days[a.Day]; !ok {
		return unknown("day")
	}
	if d.s.Money == nil {
		return notHere()
	}
	was := d.s.Money.Hires[a.ID]
	if d.in.Version < 2 {
		a.Terms = keptFrom(a.Terms, was.Terms)
	}
	next := Hire{a.ID, a.Day, a.Name, a.From, a.Terms, was.Version + 1}
	if r := first(idCheck(a.ID), needed("name of the hire", a.Name, 120), fresh("this hire", a.Base, was.Version, next, was)); r != nil {
		return r
	}
	if err := a.Terms.Validate(); err != nil {
		return wrong(err)
	}
	d.emit(HireSet{next})
	return nil
}

func (HireSet) kind() string { return "hire.set" }
func (HireSet) topic() Topic { return TopicMoney }
func (e HireSet) apply(s *State, _ Event) {
	s.Money.Hires = with(s.Money.Hires, e.ID, e.Hire)
}

type overtimeApprove struct {
	ID     ApprovalID   `json:"id"`
	Day    DayID        `json:"day"`
	Until  when.Instant `json:"until"`
	Amount money.Amount `json:"amount"`
	Note   string       `json:"note"`
}

// OvertimeApproved allows a day to run on, up to an instant and an amount.
type OvertimeApproved struct{ Approval }

func (a overtimeApprove) decide(d *deciding) *Refusal {
	if _, ok := d.s.Floor.Days[a.Day]; !ok {
		return unknown("day")
	}
	if d.s.Money == nil {
		return notHere()
	}
	if _, done := d.s.Money.Approvals[a.ID]; done {
		return nil
	}
	if r := first(idCheck(a.ID), text("note", a.Note, 300)); r != nil {
		return r
	}
	if a.Amount.Minor < 0 || a.Until <= 0 {
		return refuse(CodeBadArgs, "An approval needs a time and an amount that is not below zero.")
	}
	if r := amount("amount of the approval", a.Amount); r != nil {
		return r
	}
	d.emit(OvertimeApproved{Approval{a.ID, a.Day, a.Until, a.Amount, d.in.Actor, d.at, a.Note}})
	return nil
}

func (OvertimeApproved) kind() string { return "overtime.approved" }
func (OvertimeApproved) topic() Topic { return TopicMoney }
func (e OvertimeApproved) apply(s *State, _ Event) {
	s.Money.Approvals = with(s.Money.Approvals, e.ID, e.Approval)
}

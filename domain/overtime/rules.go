package overtime

import (
	"fairday/domain/money"
	"fairday/domain/when"
)

// HalfDay is a day that is short enough to cost only a share of the rate.
type HalfDay struct {
	UpTo  int64       `json:"upTo"`  // worked minutes; a longer day costs the whole rate
	Share money.Ratio `json:"share"` // of the rate, like 0.6
}

// LateCall starts the clock of a late call at a stated time of day: called after
// From and no later than To, the time from From to the call counts as worked.
type LateCall struct {
	From when.Clock `json:"from"`
	To   when.Clock `json:"to"`
}

// Turnaround is the rest that is owed between two days and what it costs when it
// is short. Either the minutes worked before the rest is over are overtime, at
// Times or with Carry at what the day before ended on, and the day itself counts
// from then; or a fixed amount is due for each started period of missed rest; or
// both.
type Turnaround struct {
	Rest    int64          `json:"rest"`
	Times   money.Ratio    `json:"times,omitzero"`
	Carry   bool           `json:"carry,omitempty"`
	Every   int64          `json:"every,omitempty"`   // length of a penalty period; a started one counts
	Amounts []money.Amount `json:"amounts,omitempty"` // for the first period, the second ...; the last one repeats
}

// IsZero tells whether there is no rule.
func (t Turnaround) IsZero() bool {
	return t.Rest == 0 && t.Times == money.Ratio{} && !t.Carry && t.Every == 0 && len(t.Amounts) == 0
}

// paid tells whether the minutes before the rest is over are paid by the hour.
func (t Turnaround) paid() bool { return t.Carry || !t.Times.IsZero() }

// RunDay is what a day late in a run of working days is worth. The rate counts
// Times, and so does every minute whose band says less.
type RunDay struct {
	Times money.Ratio `json:"times"`           // 1 at least
	Bands []Band      `json:"bands,omitempty"` // instead of those of the terms, that day
}

// IsZero tells whether there is no rule.
func (d RunDay) IsZero() bool { return d.Times == money.Ratio{} && len(d.Bands) == 0 }

// Night is time of day at which each worked minute is worth more.
type Night struct {
	From  when.Clock  `json:"from"`
	To    when.Clock  `json:"to"`    // before From for the next morning
	Extra money.Ratio `json:"extra"` // share of the hourly base, on top of whatever else is paid
}

// AgencyOn says what an agency's fee is reckoned on. It is never on penalties.
type AgencyOn string

// What there is.
const (
	AgencyOnFee      AgencyOn = "fee"      // the rate and straight time
	AgencyOnOvertime AgencyOn = "overtime" // overtime alone
	AgencyOnBoth     AgencyOn = "both"
)

// Agency is the fee of somebody's agency, on top of their pay. None is charged
// where it is left out.
type Agency struct {
	Share money.Ratio `json:"share"`
	On    AgencyOn    `json:"on"`
}

// OnCost is what an employer pays on top of all pay, such as insurance.
type OnCost struct {
	Name  string      `json:"name"`
	Share money.Ratio `json:"share"`
}

// Weekend is what a day is worth for the day of the week that it starts on, or where
// it is a holiday. The rate counts so many times, and so does every minute whose
// band says less; the highest of what applies counts, with the run of days.
type Weekend struct {
	Saturday money.Ratio `json:"saturday,omitzero"`
	Sunday   money.Ratio `json:"sunday,omitzero"`
	Holiday  money.Ratio `json:"holiday,omitzero"`
	Holidays []when.Date `json:"holidays,omitempty"` // the dates that are holidays
}

// IsZero tells whether there is no rule.
func (w Weekend) IsZero() bool {
	return w.Saturday.IsZero() && w.Sunday.IsZero() && w.Holiday.IsZero() && len(w.Holidays) == 0
}

// Extra is a line of pay that is not for time, for each day or, of agreed days, on
// the first.
type Extra struct {
	Name   string       `json:"name"`
	Amount money.Amount `json:"amount"`          // of one
	Count  int64        `json:"count,omitempty"` // how many, such as miles; 0 for one
}

// OtherDay is what a day that is no shoot day costs. The bands and rules hold on it,
// by its own rate, where it counts as worked; where not, it is the fee alone.
type OtherDay struct {
	Kind   string      `json:"kind"`  // "prep", "travel", "rehearsal", "return"
	Share  money.Ratio `json:"share"` // of the rate
	Worked bool        `json:"worked,omitempty"`
}

// Notice is the share of the rate that is due where a day is called off so short
// before its call. The shortest notice that applies counts.
type Notice struct {
	Within int64       `json:"within"` // minutes before the call
	Share  money.Ratio `json:"share"`
}

// Before is what a day's pay takes from the days before it. Terms that need a
// part of it refuse to be reckoned without.
type Before struct {
	Out   when.Instant `json:"out,omitempty"`  // last sign-out before this day; 0 for none
	Times money.Ratio  `json:"times,omitzero"` // what the last minute then was paid at, see Slip.EndedOn
	Run   int          `json:"run,omitempty"`  // which working day in a row this is, from 1; 0 for not known
	Week  int64        `json:"week,omitempty"` // minutes worked earlier in the work week
	Day   int64        `json:"day,omitempty"`  // which of the agreed days this is, from 1
}

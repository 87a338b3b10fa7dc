package view

import (
	"cmp"
	"strings"

	"fairday/domain/money"
	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/when"
)

// What was approved, and what lies beyond it: of the day, of a department and of
// everybody. An approval is for a day, until a time and up to an amount; what of
// one person's overtime comes after that time is theirs alone, the amount is not.

// approvals tells what was allowed and what lies beyond it.
func (m *maker) approvals(r *reckoning, drag when.Instant) Approvals {
	until, amount := r.approved, r.allowed
	out := Approvals{Say: "Nothing is approved yet.", Tone: ToneCalm}
	var over []string
	if until != 0 {
		out.Say = "Approved until " + m.clock(until) + upTo(amount) + "."
		if r.wrap > until {
			over = append(over, m.wrapWord(r)+" is "+lasts(when.Minutes(until, r.wrap))+" past the approved time")
			out.Tone = ToneWarn
		}
	}
	if b := beyond(r.over(r.wrap), amount); b != "" {
		over = append(over, b+" at "+m.wrapWord(r)+" is not approved")
		out.Tone = ToneWarn
	}
	if b := beyond(r.over(r.now), amount); b != "" {
		over = append(over, b+" is due already and not approved")
		out.Tone = ToneStop
	}
	out.Beyond = sentence(strings.Join(over, "; "))
	out.Lines = m.askLines()
	var given []shoot.Approval
	for _, a := range m.s.Money.Approvals {
		if a.Day == m.day.ID {
			given = append(given, a)
		}
	}
	sorting.By(given, func(a, b shoot.Approval) int { return cmp.Or(cmp.Compare(b.At, a.At), cmp.Compare(a.ID, b.ID)) })
	for _, a := range given {
		line := "Until " + m.clock(a.Until) + ", up to " + a.Amount.Format() + ", by " + m.who(a.By) + " " + m.moment(a.At)
		if a.Note != "" {
			line += ": " + a.Note
		}
		out.Lines = append(out.Lines, line)
	}
	out.Approve = m.approve(r, drag)
	out.Ask = m.askAction("Ask for approval", shoot.Ask{}, drag, r.over(drag)[m.s.Money.Currency])
	return out
}

func (m *maker) wrapWord(r *reckoning) string {
	if r.wrapSaid {
		return "the planned wrap"
	}
	return "the assumed wrap"
}

// beyond is by how much a sum is over an approved amount, "" where it is not.
func beyond(sum purse, approved money.Amount) string {
	over := purse{}
	for _, a := range sum {
		rest := a
		if a.Currency == approved.Currency {
			if less, err := a.Sub(approved); err == nil {
				rest = less
			}
		}
		if rest.Minor > 0 {
			over.add(rest)
		}
	}
	return over.text()
}

// after is what of an engagement's overtime and penalties comes after the approved time if the
// day wraps then; nothing where no time is approved.
func (r *reckoning) after(e engaged, wrap when.Instant) money.Amount {
	whole := e.over(wrap)
	if r.approved == 0 || wrap <= r.approved {
		return money.Of(0, whole.Currency)
	}
	rest, err := whole.Sub(e.over(r.approved))
	if err != nil { // both are of one curve
		return money.Of(0, whole.Currency)
	}
	return rest
}

// beyondSay says what of somebody's comes after the approved time, so far and at a
// wrap that is still to come.
func (m *maker) beyondSay(r *reckoning, now, wrap money.Amount) string {
	var words []string
	if now.Minor > 0 {
		words = append(words, now.Format()+" already")
	}
	if wrap.Minor > 0 && wrap != now && r.wrap > r.now {
		words = append(words, wrap.Format()+" at "+m.wrapWord(r))
	}
	if len(words) == 0 {
		return ""
	}
	return "Beyond the approval until " + m.clock(r.approved) + ": " + strings.Join(words, ", ") + "."
}

// ofIt says what of a sum comes after the approved time.
func ofIt(over purse) string {
	if over.zero() {
		return ""
	}
	return " (" + over.text() + " of it beyond the approval)"
}

// approve is the form that allows the day to run on; it starts from the minute
// that is being looked at.
func (m *maker) approve(r *reckoning, drag when.Instant) Action {
	currency := m.s.Money.Currency
	value, _, _ := strings.Cut(money.Of(r.over(drag)[currency].Minor, currency).String(), " ")
	a := m.entry("Approve overtime", "overtime.approve", fields{"day": m.day.ID}, Form{
		Title: "Approve overtime", Submit: "Approve", Currency: string(currency), Fresh: true,
		Say: "The widest approval counts: the latest time and the highest amount.",
		Fields: []Field{
			{Key: "until", Label: "Until", Kind: KindTime, Value: m.wall(drag), Needed: true, As: AsInstant, Hint: nextMorning},
			{Key: "amount", Label: "Up to, in " + string(currency), Kind: KindMoney, Value: value, Needed: true, As: AsAmount},
			note("Who asked for it, and why."),
		}})
	if currency == "" {
		return a.off("Set the currency of the shoot first.")
	}
	return a
}

// wall is a clock as forms take it: the next morning runs on after 24:00.
func (m *maker) wall(i when.Instant) string {
	date, c := m.at.Local(i)
	if date == m.day.Date.Add(1) {
		c += 24 * 60
	}
	return c.String()
}

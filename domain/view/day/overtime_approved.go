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

// What was approved, and what lies beyond it: of the day, of a department and of
// everybody. An approval is for a day, until a time and up to an amount; what of
// one person's overtime comes after that time is theirs alone, the amount is not.

// approvals tells what was allowed and what lies beyond it.
func (m *maker) approvals(r *reckoning, drag when.Instant) Approvals {
	out := Approvals{Say: "Nothing is approved yet.", Tone: view.ToneCalm}
	var over []string
	if r.approved != 0 {
		out.Say = "Approved " + m.limits(r.limits) + "."
		if r.wrap > r.approved {
			over = append(over, m.wrapWord(r)+" is "+view.Lasts(when.Minutes(r.approved, r.wrap))+" past the approved time")
			out.Tone = view.ToneWarn
		}
	}
	if b := r.beyond(r.wrap); b != "" {
		over = append(over, b+" at "+m.wrapWord(r)+" is not approved")
		out.Tone = view.ToneWarn
	}
	if b := r.beyond(r.now); b != "" {
		over = append(over, b+" is due already and not approved")
		out.Tone = view.ToneStop
	}
	out.Beyond = view.Sentence(strings.Join(over, "; "))
	out.Lines = m.askLines()
	var given []shoot.Approval
	for _, a := range m.State.Money.Approvals {
		if a.Day == m.Day.ID {
			given = append(given, a)
		}
	}
	sorting.By(given, func(a, b shoot.Approval) int { return cmp.Or(cmp.Compare(b.At, a.At), cmp.Compare(a.ID, b.ID)) })
	for _, a := range given {
		line := "Until " + m.Clock(a.Until) + ", up to " + a.Amount.Format() + ", by " + m.Who(a.By) + " " + m.Moment(a.At)
		if a.Note != "" {
			line += ": " + a.Note
		}
		out.Lines = append(out.Lines, line)
	}
	out.Approve = m.approve(r, drag)
	out.Ask = m.askAction("Ask for approval", shoot.Ask{}, drag, r.over(drag)[m.State.Money.Currency])
	return out
}

func (m *maker) wrapWord(r *reckoning) string {
	if r.wrapSaid {
		return "the planned wrap"
	}
	return "the assumed wrap"
}

// limits says what was given, without what another limit gives too.
func (m *maker) limits(all []shoot.Limit) string {
	var words []string
	for i, l := range all {
		within := slices.ContainsFunc(all[i+1:], func(o shoot.Limit) bool { // they are in order of time
			return l.Amount.Currency == "" || o.Amount.Currency == l.Amount.Currency && o.Amount.Minor >= l.Amount.Minor
		})
		if !within {
			words = append(words, "until "+m.Clock(l.Until)+upTo(l.Amount))
		}
	}
	return strings.Join(words, ", or ")
}

// beyond is what of the overtime at a wrap no limit covers, "" where one covers all of it.
// A limit covers what has come up to its own time, up to its own amount.
func (r *reckoning) beyond(wrap when.Instant) string {
	all := r.over(wrap)
	rest := purse{}
	for _, a := range all {
		rest.add(a)
	}
	for _, l := range r.limits {
		c := l.Amount.Currency
		if was, due := rest[c]; due {
			covered := min(l.Amount.Minor, r.over(min(wrap, l.Until))[c].Minor)
			rest[c] = money.Of(min(was.Minor, all[c].Minor-covered), c)
		}
	}
	for c, a := range rest {
		if a.Minor <= 0 {
			delete(rest, c)
		}
	}
	return rest.text()
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
	return "Beyond the approval until " + m.Clock(r.approved) + ": " + strings.Join(words, ", ") + "."
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
func (m *maker) approve(r *reckoning, drag when.Instant) view.Action {
	currency := m.State.Money.Currency
	value, _, _ := strings.Cut(money.Of(r.over(drag)[currency].Minor, currency).String(), " ")
	a := m.Entry("Approve overtime", "overtime.approve", view.Fields{"day": m.Day.ID}, view.Form{
		Title: "Approve overtime", Submit: "Approve", Currency: string(currency), Fresh: true,
		Say: "Each approval counts by itself: until its time, up to its amount.",
		Fields: []view.Field{
			{Key: "until", Label: "Until", Kind: view.KindTime, Value: m.Wall(drag), Needed: true, As: view.AsInstant, Hint: view.NextMorning},
			{Key: "amount", Label: "Up to, in " + string(currency), Kind: view.KindMoney, Value: value, Needed: true, As: view.AsAmount},
			view.Note("Who asked for it, and why."),
		}})
	if currency == "" {
		return a.Off("Set the currency of the shoot first.")
	}
	return a
}

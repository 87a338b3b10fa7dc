package day

import (
	"sort"
	"strings"

	"fairday/domain/money"
	"fairday/domain/sorting"
	"fairday/domain/view"
	"fairday/domain/when"
)

// expected is what the forecast says that the day comes to: at the likely wrap, and
// on average over every wrap that it may have.
func (m *maker) expected(r *reckoning) Expected {
	o := m.forecast()
	switch {
	case len(o.run) > 0 && len(o.left) == 0:
		return Expected{Say: view.Sentence("nothing is left to forecast. " + o.over)}
	case !o.known():
		return Expected{Say: view.Sentence("the likely wrap and the expected overtime are not known. " + o.over + o.wrong)}
	case len(r.all) == 0:
		return Expected{Say: view.Sentence(m.wrapLine() + " The expected overtime is not known: nobody's terms and hours could be reckoned")}
	}
	likely := o.instant((o.f.Wrap50 + 4) / 5 * 5)
	out := Expected{Known: true, Wrap: m.figure(r, "Likely wrap", likely)}
	out.Wrap.Say = "by " + m.round(o, o.f.Wrap80) + " four times in five"
	average := r.overs(o)
	out.Average = Figure{Label: "Expected overtime", Amount: average.text(), Say: m.withinSay(o, r), Tone: view.ToneCalm}
	if average.zero() {
		out.Average.Amount = money.Of(0, m.State.Money.Currency).Format()
	}
	if out.Notice = m.passes(r, likely, average); out.Notice != "" {
		out.Average.Tone = view.ToneStop
	} else if !average.zero() {
		out.Average.Tone = view.ToneWarn
	}
	return out
}

// reckonedTo is how far what the day costs is reckoned: as far as it is shown, and in
// steps of four hours as the forecast reaches, up to twelve hours later.
func (m *maker) reckonedTo(r *reckoning) when.Instant {
	o := m.forecast()
	if !o.known() {
		return r.to
	}
	const step = 4 * when.Hour
	past := o.instant(o.f.From+int64(len(o.f.Parts))) - r.to
	return r.to + min(max((past+step-1)/step, 0), 3)*step
}

// overs is what overtime and penalties come to on average.
func (r *reckoning) overs(o *outlook) purse {
	out := purse{}
	for _, c := range r.curves {
		currency := c.Currency
		known, last, over := false, purse{}, int64(0)
		mean := o.f.Expected(func(minute int64) int64 {
			at := o.instant(minute)
			if now := r.at(at); !known || !now.same(last) { // it is the same until something gets dearer
				known, last, over = true, now, r.over(at)[currency].Minor
			}
			return over
		})
		if a := average(mean, currency); !a.IsZero() {
			out.add(a)
		}
	}
	return out
}

// withinSay says how likely the day stays within what is approved. What lies beyond a
// limit never gets less with the time.
func (m *maker) withinSay(o *outlook, r *reckoning) string {
	say := ""
	if n := len(r.left); n > 0 {
		say = view.Sentence("without " + view.Itoa(n) + " that could not be reckoned")
	}
	if len(r.limits) == 0 {
		return say
	}
	n := sort.Search(len(o.f.Parts), func(i int) bool { return r.beyond(o.instant(o.f.From+int64(i))) != "" })
	return strings.TrimSpace("Within what is approved: " + chance(o.f.ChanceBy(o.f.From+int64(n)-1)) + ". " + say)
}

// passes says by what the expected overtime goes past what is approved, "" where one
// limit alone covers it: the amount on average, and what is due at the likely wrap in
// time.
func (m *maker) passes(r *reckoning, likely when.Instant, average purse) string {
	var past []string
	for _, c := range sorting.Keys(average) {
		if a := average[c]; a.Minor > 0 && !r.covers(a, likely) {
			past = append(past, a.Format())
		}
	}
	switch {
	case len(past) == 0:
		return ""
	case len(r.limits) == 0:
		return "Expected overtime of " + view.List(past) + ", and nothing is approved yet."
	}
	return "Expected overtime of " + view.List(past) + " with a likely wrap at " + m.Clock(likely) + " passes what is approved: " + m.limits(r.limits) + "."
}

// covers tells whether a single limit is for an amount, and for all that is due of its
// currency by the likely wrap.
func (r *reckoning) covers(a money.Amount, likely when.Instant) bool {
	for _, l := range r.limits {
		if l.Amount.Currency == a.Currency && l.Amount.Minor >= a.Minor &&
			(likely <= l.Until || r.over(likely)[a.Currency] == r.over(l.Until)[a.Currency]) {
			return true
		}
	}
	return false
}

// same tells whether the same is in two purses.
func (p purse) same(q purse) bool {
	for c, a := range p {
		if q[c] != a {
			return false
		}
	}
	return len(p) == len(q)
}

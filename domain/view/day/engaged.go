package day

import (
	"cmp"
	"errors"
	"slices"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/view"
	"fairday/domain/when"
)

// engaged is a person, a place or a thing on the day, with what it comes to.
type engaged struct {
	overtime.Engagement
	id, job, department string
	mark                view.Mark
	said                string // the hours in words
	curve               overtime.Curve
	employee            shoot.Employee
	person              bool      // and no hire
	off                 shoot.Off // where they were called off
}

// day's engagements, what could not be reckoned, and the span that is looked at.
type reckoning struct {
	all      []engaged
	off      []engaged // who was called off, in no sum of overtime
	left     []LeftOut
	noTerms  int
	now      when.Instant // the present, within the span
	wrap     when.Instant
	wrapSaid bool // a call sheet says when
	from, to when.Instant
	curves   []overtime.Curve

	limits   []shoot.Limit
	approved when.Instant // the latest of their times, 0 for nothing approved
}

// reckon works out the day's exposure.
func (m *maker) reckon() (*reckoning, error) {
	sheet, published := m.State.SheetNow(m.Day.ID)
	r := &reckoning{wrap: sheet.Wrap, wrapSaid: published}
	if !published {
		at, err := m.Day.Zone.At(m.Day.Date, 18*60) // so that there is a minute to start from
		if err != nil {
			return nil, err
		}
		r.wrap = at
	}
	candidates, err := m.engagements(r, sheet)
	if err != nil {
		return nil, err
	}
	r.limits = m.State.Limits(m.Day.ID)
	if n := len(r.limits); n > 0 {
		r.approved = r.limits[n-1].Until
	}
	r.span(m.c.Now, candidates)
	asked := make([]overtime.Engagement, len(candidates))
	for i, e := range candidates {
		asked[i] = e.Engagement
	}
	curves, each, err := m.c.Memo.expose(asked, r.from, m.reckonedTo(r))
	bad := reasons(err)
	if err != nil && len(bad) == 0 {
		return nil, err
	}
	r.curves = curves
	for i, e := range candidates {
		if why, left := bad[e.Key]; left {
			r.left = append(r.left, LeftOut{e.id, e.Label, view.Sentence(why)})
			continue
		}
		e.curve = each[i]
		r.all = append(r.all, e)
	}
	return r, nil
}

// reasons takes apart what Expose could not reckon, by key.
func reasons(err error) map[string]string {
	out := map[string]string{}
	joined, ok := err.(interface{ Unwrap() []error })
	if !ok {
		return out
	}
	for _, e := range joined.Unwrap() {
		var bad *overtime.EngagementError
		if errors.As(e, &bad) {
			out[bad.Key] = bad.Err.Error()
		}
	}
	return out
}

// span chooses what to look at: from an hour before the present or the wrap, or
// from the approved time, to five hours after, in whole quarters of an hour.
func (r *reckoning) span(now when.Instant, all []engaged) {
	const quarter = 15 * when.Minute
	first := r.wrap - 12*when.Hour
	for i, e := range all {
		if start := cmp.Or(e.Hours.In, e.Hours.Call); i == 0 || start < first {
			first = start
		}
	}
	r.now = min(max(now, first), r.wrap+12*when.Hour)
	r.from = (min(r.now, r.wrap) - when.Hour) / quarter * quarter
	r.to = (max(r.now, r.wrap) + 5*when.Hour) / quarter * quarter
	if r.approved != 0 { // what lies after it is told exactly
		r.from = min(r.from, max(r.approved, first)/quarter*quarter)
	}
}

// engagements lists whose terms count on the day. Who is on the day without
// terms is named as left out; clients are nobody's cost.
func (m *maker) engagements(r *reckoning, sheet shoot.Sheet) ([]engaged, error) {
	var out []engaged
	over, last := true, when.Instant(0) // has everybody left, and when
	for _, p := range m.There() {
		h := m.Hours(p.ID)
		call, called := sheet.Calls[p.ID]
		off, isOff := m.State.OffOn(m.Day.ID, string(p.ID))
		if !called && !isOff && len(h.Marks) == 0 {
			continue
		}
		if h.Presence() != shoot.Away || (len(h.Marks) == 0 && !isOff && m.c.Now < sheet.Wrap) {
			over = false
		}
		if n := len(h.Marks); n > 0 {
			last = max(last, h.Marks[n-1].At)
		}
		terms, has := m.State.Money.Terms[p.ID]
		if !has {
			if p.Role != shoot.Client {
				r.noTerms++
				r.left = append(r.left, LeftOut{string(p.ID), p.Name, "No terms are written for them."})
			}
			continue
		}
		if isOff {
			r.off = append(r.off, m.calledOff(string(p.ID), p.Name, view.Job(p), terms.Terms, off))
			continue
		}
		out = append(out, m.engaged(p, terms, call.At))
	}
	hires := sorting.Values(m.State.Money.Hires, func(a, b shoot.Hire) int {
		return cmp.Or(cmp.Compare(a.Name, b.Name), cmp.Compare(a.ID, b.ID))
	})
	for _, h := range hires {
		if h.Day != m.Day.ID {
			continue
		}
		if off, is := m.State.OffOn(m.Day.ID, string(h.ID)); is {
			r.off = append(r.off, m.calledOff(string(h.ID), h.Name, "Hire", h.Terms, off))
			continue
		}
		from, err := m.Day.Zone.At(m.Day.Date, h.From)
		if err != nil {
			return nil, err
		}
		hours := overtime.Hours{Call: from, Zone: m.Day.Zone}
		if over && last > from {
			hours.Out = last // the place is ours until the last one has left
		}
		out = append(out, engaged{id: string(h.ID), job: "Hire", department: "Hires", mark: view.Mark{Word: "On hire", Shape: view.ShapePost, Tone: view.ToneCalm},
			said: "from " + m.Clock(from), Engagement: overtime.Engagement{Key: string(h.ID), Label: h.Name, Terms: h.Terms, Hours: hours}})
	}
	return out, nil
}

// engaged is a person on the day, on their terms.
func (m *maker) engaged(p shoot.Person, terms shoot.Terms, call when.Instant) engaged {
	h, hours := m.Hours(p.ID), m.State.Clocked(m.Day, p.ID, terms.Terms, m.c.Now)
	said := m.inOut(h, call)
	if hours.Kind != "" {
		said += ", paid as a " + hours.Kind + " day"
	}
	return engaged{id: string(p.ID), job: view.Job(p), department: cmp.Or(p.Department, "Others"), mark: presenceMark(h), said: said,
		Engagement: overtime.Engagement{Key: string(p.ID), Label: p.Name, Terms: terms.Terms, Hours: hours, Next: m.State.NextCall(m.Day, p.ID)},
		employee:   terms.Employee, person: true}
}

// purse sums amounts up by currency.
type purse map[money.Currency]money.Amount

func (p purse) add(a money.Amount) {
	if sum, err := p[a.Currency].Add(a); err == nil { // what is summed here was summed by Expose already
		p[a.Currency] = sum
	}
}

// text writes what is in the purse: "$120.00", "$120.00 and £80.00".
func (p purse) text() string {
	var words []string
	for _, c := range sorting.Keys(p) {
		words = append(words, p[c].Format())
	}
	return view.List(words)
}

func (p purse) zero() bool {
	for _, a := range p {
		if !a.IsZero() {
			return false
		}
	}
	return true
}

// over is what of an engagement's exposure is overtime and penalties of the day:
// straight time that runs on, and the rest of half a day, need no approval, and what
// a short rest costs tomorrow is approved with tomorrow.
func (e engaged) over(wrap when.Instant) money.Amount {
	if !e.Terms.RunsOn() && (e.Next == 0 || e.Terms.Turnaround.IsZero()) {
		return e.curve.At(wrap)
	}
	a, err := e.Beyond(wrap)
	if err != nil { // Expose has reckoned the same hours
		return e.curve.At(wrap)
	}
	return a
}

// over is what is overtime and penalties if the day wraps then.
func (r *reckoning) over(wrap when.Instant) purse {
	out := purse{}
	for _, e := range r.all {
		out.add(e.over(wrap))
	}
	return out
}

// runsOn tells whether anybody is paid more of the plain rate as the day goes on.
func (r *reckoning) runsOn() bool {
	return slices.ContainsFunc(r.all, func(e engaged) bool { return e.Terms.RunsOn() })
}

// at is the whole exposure if the day wraps then.
func (r *reckoning) at(wrap when.Instant) purse {
	out := purse{}
	for _, c := range r.curves {
		out.add(c.At(wrap))
	}
	return out
}

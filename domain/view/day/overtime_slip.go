package day

import (
	"slices"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/view"
	"fairday/domain/when"
)

// slips are what a person, a place or a thing is paid at the planned wrap and
// at the present; one alone where the two are the same, or nothing has begun.
func (m *maker) slips(e engaged, r *reckoning) []PaySlip {
	if e.Hours.Out != 0 {
		return m.slip("Signed out "+m.Clock(e.Hours.Out), e, e.Hours.Out)
	}
	title := "Planned wrap"
	if !r.wrapSaid {
		title = "Assumed wrap"
	}
	out := m.slip(title+" "+m.Clock(r.wrap), e, r.wrap)
	if r.now > max(e.Hours.In, e.Hours.Call) && r.now != r.wrap {
		out = append(out, m.slip("If it wraps now, "+m.Clock(r.now), e, r.now)...)
	}
	return out
}

// slip writes down what somebody is paid if the day wraps then. Expose has
// reckoned the same hours, so that there is always one.
func (m *maker) slip(title string, e engaged, wrap when.Instant) []PaySlip {
	s, err := overtime.Pay(e.Terms, e.Hours.Wrapped(wrap))
	if err != nil {
		return nil
	}
	out := PaySlip{Title: title, Worked: view.Lasts(s.Worked), Total: s.Total.Format(), Beyond: s.Exposed.Format()}
	for _, meal := range e.Hours.Wrapped(wrap).Meals {
		out.Meals = append(out.Meals, m.Clock(meal.From)+" to "+m.Clock(meal.To))
	}
	for _, l := range s.Lines {
		out.Lines = append(out.Lines, m.payLine(l))
	}
	for _, l := range s.Costs {
		out.Costs = append(out.Costs, m.payLine(l))
	}
	if len(out.Costs) > 0 {
		out.Cost = s.Cost.Format()
	}
	m.tomorrow(&out, e, s, wrap)
	out.Floors = m.floors(e, e.Hours.Wrapped(wrap))
	return []PaySlip{out}
}

// tomorrow writes down what a call too soon after the wrap adds to the curve.
func (m *maker) tomorrow(out *PaySlip, e engaged, s overtime.Slip, wrap when.Instant) {
	if e.Next == 0 {
		return
	}
	rest, err := e.Engagement.Tomorrow(wrap)
	if err != nil || rest.Minor <= 0 {
		return
	}
	whole, err := s.Exposed.Add(rest)
	if err != nil {
		return
	}
	end := e.Hours.Wrapped(wrap).Out
	missed := max(e.Terms.Turnaround.Rest-when.Minutes(end, e.Next), 0)
	out.Tomorrow = &PayLine{Span: m.Moment(e.Next), Hours: view.Lasts(missed), Amount: rest.Format(),
		Why: "The next call leaves " + view.Lasts(when.Minutes(end, e.Next)) + " of " + view.Lasts(e.Terms.Turnaround.Rest) + " rest. It is paid and approved with that day."}
	out.Exposed = whole.Format()
}

func (m *maker) payLine(l overtime.Line) PayLine {
	out := PayLine{Span: m.Clock(l.From), Amount: l.Amount.Format(), Why: view.Sentence(view.Factors(l.Why))}
	if l.To > l.From {
		out.Span += " to " + m.Clock(l.To)
	}
	if l.Minutes > 0 {
		out.Hours = view.Lasts(l.Minutes)
	}
	if l.Times != (money.Ratio{}) {
		out.Times = view.Times(l.Times)
	}
	if slices.Contains([]overtime.Kind{overtime.KindAgency, overtime.KindOnCost}, l.Kind) {
		out.Span = "" // a share of sums, not of time
	}
	return out
}

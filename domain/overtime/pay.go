package overtime

import (
	"fmt"

	"fairday/domain/money"
	"fairday/domain/when"
)

// Kind is what a line of pay is for.
type Kind string

// The kinds.
const (
	KindFee      Kind = "fee"          // the rate itself
	KindTime     Kind = "time"         // straight time by the hour
	KindOvertime Kind = "overtime"     // time beyond what is included, or in a band
	KindMeal     Kind = "meal-penalty" // a meal that came late or not at all
)

// Line is one line of pay. Minutes are those paid for: where time is counted in
// steps there may be more of them than lie between From and To, and where a
// meal lies between there are fewer.
type Line struct {
	Kind    Kind         `json:"kind"`
	From    when.Instant `json:"from"`
	To      when.Instant `json:"to"`
	Minutes int64        `json:"minutes"`
	Times   money.Ratio  `json:"times,omitzero"` // the hourly base; not for fees and penalties
	Amount  money.Amount `json:"amount"`
	Why     string       `json:"why"`
}

// Slip is the pay for one day. Total is the sum of the lines; Overtime and
// Penalty are the parts of it that a shorter day would not cost.
type Slip struct {
	Lines    []Line       `json:"lines"`
	Total    money.Amount `json:"total"`
	Overtime money.Amount `json:"overtime"`
	Penalty  money.Amount `json:"penalty"`
	Worked   int64        `json:"worked"` // minutes
}

// Pay reckons the pay for hours that have ended. It returns an *Error for terms
// and hours that do not make sense, or a *money.Error where a sum would not
// fit.
func Pay(t Terms, h Hours) (Slip, error) {
	r, err := t.tariff()
	if err != nil {
		return Slip{}, err
	}
	d, bad := h.day()
	if bad != nil {
		return Slip{}, bad
	}
	if h.Out == 0 {
		return Slip{}, fail(CodeHoursOpen, "still on the clock; sign out first, or ask what it comes to at a given wrap")
	}
	return r.slip(d)
}

// PayWorked reckons the pay for so many minutes of work whenever they were, for
// bands that count the hours of a week. The lines have no instants.
func PayWorked(t Terms, worked int64) (Slip, error) {
	r, err := t.tariff()
	if err != nil {
		return Slip{}, err
	}
	if worked < 0 || worked > longestBand {
		return Slip{}, fail(CodeHoursLong, "%s is not the work of a week; check the hours", when.Elapsed(worked))
	}
	r.Meal = MealRule{}
	s, err := r.slip(day{out: worked})
	for i := range s.Lines {
		s.Lines[i].From, s.Lines[i].To = 0, 0
	}
	return s, err
}

func (r *tariff) slip(d day) (Slip, error) {
	zero := money.Of(0, r.Rate.Currency)
	s := Slip{Total: zero, Overtime: zero, Penalty: zero, Worked: d.worked(d.out, r.MealPaid)}
	if r.Basis != Hourly {
		if err := s.add(r.fee(d, s.Worked)); err != nil {
			return Slip{}, err
		}
	}
	over := max(s.Worked-r.Included, 0)
	paid := r.counted(over)
	for _, p := range r.tiers {
		if p.from >= r.Included+paid {
			break
		}
		line, err := r.line(d, p, r.Included+paid)
		if err != nil {
			return Slip{}, err
		}
		if r.Included+paid <= p.to && paid != over {
			line.Why += fmt.Sprintf(" (%s counted as %s)", when.Elapsed(over), when.Elapsed(paid))
		}
		if err := s.add(line); err != nil {
			return Slip{}, err
		}
	}
	for _, m := range r.late(d, d.out) {
		amount, periods, err := r.penalty(m.at - m.due)
		if err != nil {
			return Slip{}, err
		}
		err = s.add(Line{Kind: KindMeal, From: instant(m.due), To: instant(m.at), Minutes: m.at - m.due, Amount: amount,
			Why: fmt.Sprintf("meal %d late by %s: %d started × %d min", m.number, when.Elapsed(m.at-m.due), periods, r.Meal.Every)})
		if err != nil {
			return Slip{}, err
		}
	}
	return s, nil
}

// fee is the line of the rate itself.
func (r *tariff) fee(d day, worked int64) Line {
	l := Line{Kind: KindFee, From: instant(d.start), To: instant(d.out), Minutes: r.Included, Amount: r.Rate}
	name := map[Basis]string{Day: "day rate", Hire: "hire", AllIn: "all-in"}[r.Basis]
	if r.endless() {
		l.Minutes, l.Why = worked, name+", however long the day"
		return l
	}
	if worked > r.Included {
		l.To = instant(d.reached(r.Included, r.MealPaid, false))
	}
	l.Why = name + " for " + when.Elapsed(r.Included)
	return l
}

// line pays a tier up to a minute of work.
func (r *tariff) line(d day, p tier, upTo int64) (Line, error) {
	amount, err := r.amount(p, upTo)
	if err != nil {
		return Line{}, err
	}
	end := min(upTo, p.to)
	l := Line{Kind: KindTime, Minutes: end - p.from, Times: p.times, Amount: amount, Why: r.why(p),
		From: instant(min(d.reached(p.from, r.MealPaid, true), d.out)),
		To:   instant(min(d.reached(end, r.MealPaid, false), d.out))}
	if p.premium {
		l.Kind = KindOvertime
	}
	return l, nil
}

// add puts a line on the slip and into its sums.
func (s *Slip) add(l Line) error {
	sums := []*money.Amount{&s.Total}
	switch l.Kind {
	case KindOvertime:
		sums = append(sums, &s.Overtime)
	case KindMeal:
		sums = append(sums, &s.Penalty)
	}
	for _, sum := range sums {
		var err error
		if *sum, err = sum.Add(l.Amount); err != nil {
			return err
		}
	}
	s.Lines = append(s.Lines, l)
	return nil
}

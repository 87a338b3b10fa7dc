package overtime

import (
	"fmt"

	"fairday/domain/money"
	"fairday/domain/when"
)

// Floor is what a law asks for at least, to be shown beside the contract figure
// and never added to it. It is either about pay or about rest.
type Floor struct {
	Law     string
	Least   money.Amount // whole pay; unset for rest
	Extra   money.Amount // the part of it that is beyond straight time
	Rest    *Rest        // unset for pay
	Say     string       // in a sentence, to be followed with a pencil
	Source  string
	Caution string
}

// Rest is the rest that is owed and the rest that there was.
type Rest struct {
	Owed, Had int64 // minutes
}

// Short tells whether there was less than is owed.
func (r Rest) Short() bool { return r.Had < r.Owed }

// Above is by how much the floor is higher than what the contract pays; nothing
// where it is not. It returns money's CodeCurrencyMixed.
func (f Floor) Above(paid money.Amount) (money.Amount, error) {
	by, err := f.Least.Sub(paid)
	if err != nil || by.Minor < 0 {
		return money.Of(0, f.Least.Currency), err
	}
	return by, nil
}

// What is shown with every floor of its kind.
const (
	CautionFloor = "The floor may be higher or may not apply: it holds for employees that no exemption covers, and premiums already paid may count towards it. A licensed payroll or employment professional decides."
	CautionRest  = "Exceptions and agreements can allow compensatory rest instead, and young workers are owed more. Local law and a licensed professional decide."
)

// pencil works with an hourly rate that is an exact fraction: an amount over
// minutes.
type pencil struct {
	amount money.Amount
	per    int64 // minutes
	err    error
}

// times gives what so many minutes at so many times the rate come to, rounded
// once.
func (p *pencil) times(minutes int64, times money.Ratio) money.Amount {
	if p.err != nil {
		return money.Amount{}
	}
	r, err := money.NewRatio(minutes, p.per)
	if err == nil {
		r, err = r.Mul(times)
	}
	if err != nil {
		p.err = err
		return money.Amount{}
	}
	a, err := p.amount.Times(r, money.HalfUp)
	p.err = err
	return a
}

func (p *pencil) sum(amounts ...money.Amount) money.Amount {
	if p.err != nil {
		return money.Amount{}
	}
	a, err := money.Sum(amounts...)
	p.err = err
	return a
}

// hour is the rate by the hour, as it reads.
func (p *pencil) hour() string { return p.times(60, money.Whole(1)).Format() }

// FederalWeek is the US federal overtime floor of a workweek: everything that was
// paid for the hours worked, over those hours, is the regular rate, and half of
// it is due on top for each hour over 40. It holds for day rates (29 CFR 778.112),
// piece rates, salaries for all hours and several rates alike. Straight pay leaves
// out premiums for overtime. The rate is not rounded, each amount once.
func FederalWeek(straight money.Amount, worked int64) (Floor, error) {
	if worked <= 0 || worked > longestBand || straight.Minor < 0 {
		return Floor{}, fail(CodeFloor, "%s for %s is not a week's work and pay; check the days of the week", straight.Format(), when.Elapsed(worked))
	}
	p := pencil{amount: straight, per: worked}
	over := max(worked-40*60, 0)
	half := p.times(over, money.Ratio{Num: 1, Den: 2})
	f := Floor{Law: "US federal overtime", Least: p.sum(straight, half), Extra: half, Source: "29 CFR 778.109 to 778.115 (778.112 for day rates)", Caution: CautionFloor,
		Say: fmt.Sprintf("%s / %s = %s an hour; half of it for %s over 40 h is %s", straight.Format(), when.Elapsed(worked), p.hour(), when.Elapsed(over), half.Format())}
	return f, p.err
}

// FederalDays is FederalWeek for slips of one workweek: their rates and straight
// time over the time they count as worked.
func FederalDays(slips []Slip) (Floor, error) {
	var straight money.Amount
	var worked int64
	for _, s := range slips {
		a, err := s.Sum(KindFee, KindRun, KindTime)
		if err == nil {
			straight, err = straight.Add(a)
		}
		if err != nil {
			return Floor{}, err
		}
		worked += s.Worked
	}
	return FederalWeek(straight, worked)
}

// CaliforniaDay is the California daily floor (Labor Code 510): over 8 h at
// x1.5, over 12 h at x2, and on a seventh day of the workweek x1.5 and over 8 h x2.
// The regular rate is the base where the terms state one, by the hour, outright or
// weighted; otherwise a day rate pays for 8 hours, or for fewer where it includes
// fewer. What is over 40 h in a week is left out.
func CaliforniaDay(t Terms, h Hours) (Floor, error) {
	s, err := closed(t, h)
	if err != nil {
		return Floor{}, err
	}
	p, err := s.regular()
	if err != nil {
		return Floor{}, err
	}
	worked := s.day.cutAt(s.day.out)
	mins := worked.worked(s.day.out, s.MealPaid) - s.day.credit
	one, more, double := min(mins, 480), min(max(mins-480, 0), 240), max(mins-720, 0)
	first, second := money.Whole(1), money.Ratio{Num: 3, Den: 2}
	seventh := ""
	if h.Before.Run >= 7 {
		first, second, seventh = second, money.Whole(2), ", seventh day"
	}
	straight := p.times(one, first)
	if fee, err := s.dayRate(); err != nil {
		return Floor{}, err
	} else if seventh == "" && fee.Minor > straight.Minor {
		straight = fee
	}
	extra := p.sum(p.times(more, second), p.times(double, money.Whole(2)))
	say := fmt.Sprintf("regular rate %s an hour: %s × %s", p.hour(), when.Elapsed(one), first)
	if more > 0 {
		say += fmt.Sprintf(", %s × %s", when.Elapsed(more), second)
	}
	if double > 0 {
		say += fmt.Sprintf(", %s × 2", when.Elapsed(double))
	}
	return Floor{Law: "California daily overtime" + seventh, Least: p.sum(straight, extra), Extra: extra, Say: say,
		Source: "California Labor Code 510", Caution: CautionFloor}, p.err
}

// regular is the regular rate that the floors of California stand on.
func (s *sheet) regular() (pencil, error) {
	p := pencil{amount: s.Rate, per: 60}
	switch {
	case s.Basis == Hourly:
	case s.Base != money.Amount{}:
		p.amount = s.Base
	case s.Divisor == ByWeighted && s.per.Den == 1:
		p.per = s.per.Num
	case s.Divisor == ByWeighted:
		return p, fail(CodeFloor, "the weighted hours of these terms are no whole minutes, so the regular rate cannot be written down; state the hourly base")
	case s.Included > 0:
		p.per = min(s.Included, 8*60) * max(s.Days, 1)
	default:
		p.per = 8 * 60 * max(s.Days, 1)
	}
	return p, nil
}

// dayRate is the rate of a day that pays for straight time alone, which is due
// whole however short the day; nothing for other terms.
func (s *sheet) dayRate() (money.Amount, error) {
	if s.Basis == Hourly || s.Divisor == ByWeighted || s.Base != (money.Amount{}) {
		return money.Of(0, s.Rate.Currency), nil
	}
	slip, err := s.slip(s.day.out)
	if err != nil {
		return money.Amount{}, err
	}
	return slip.Sum(KindFee)
}

// closed opens hours that have ended, of a person.
func closed(t Terms, h Hours) (*sheet, error) {
	s, err := open(t, h, newWalls())
	switch {
	case err != nil:
		return nil, err
	case h.Out == 0:
		return nil, fail(CodeHoursOpen, "still on the clock; sign out first, or ask what it comes to at a given wrap")
	case t.Basis == Hire:
		return nil, fail(CodeFloor, "labour law is for people; a place or equipment has no floor")
	}
	return s, nil
}

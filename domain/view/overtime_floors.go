package view

import (
	"slices"
	"strings"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/when"
)

// The floors of labour law, beside the pay of those who are marked as employees.
// They are shown and never added to anything.

// flooring gathers what is under a floor for one wrap.
type flooring struct {
	m         *maker
	e         engaged
	h         overtime.Hours // ended at the wrap
	slip      overtime.Slip
	elsewhere []shoot.DayHours
	out       []FloorNote
}

// floors are what labour law may ask for beyond what a slip says; none for who is
// not marked as an employee.
func (m *maker) floors(e engaged, h overtime.Hours, slip overtime.Slip) []FloorNote {
	law := e.employee.Law
	if law == "" {
		return nil
	}
	f := &flooring{m: m, e: e, h: h, slip: slip, elsewhere: m.s.Elsewhere(m.day, shoot.PersonID(e.id), e.Terms, m.c.Now)}
	if law.Federal() && slip.Worked > 0 {
		f.week()
	}
	if law.California() && slip.Worked > 0 {
		f.california()
	}
	if law == overtime.LawNewYork {
		f.spread()
	}
	if rest, ok := law.Rest(); ok {
		f.rests(rest)
	}
	return f.out
}

// fail tells that a floor could not be looked at.
func (f *flooring) fail(err error) {
	f.out = append(f.out, FloorNote{Law: "Floor", Say: sentence("it could not be reckoned: " + err.Error()), above: "one could not be reckoned"})
}

// pay notes a floor that is above what was paid.
func (f *flooring) pay(floor overtime.Floor, err error, paid money.Amount, err2 error) {
	var above money.Amount
	if err == nil {
		err = err2
	}
	if err == nil {
		above, err = floor.Above(paid)
	}
	switch {
	case err != nil:
		f.fail(err)
	case above.Minor > 0:
		f.out = append(f.out, FloorNote{Law: floor.Law, Amount: "+" + above.Format(), Say: sentence(factors(floor.Say)),
			Source: sentence("source: " + floor.Source), Caution: floor.Caution, above: floor.Law + " +" + above.Format()})
	}
}

// rest notes a rest that is too short.
func (f *flooring) rest(floor overtime.Floor, err error) {
	switch {
	case err != nil:
		f.fail(err)
	case floor.Rest.Short():
		f.out = append(f.out, FloorNote{Law: sentenceWord(floor.Law), Say: sentence(floor.Say),
			Source: sentence("source: " + floor.Source), Caution: floor.Caution, short: floor.Law})
	}
}

// premium are the lines of pay that count towards a floor of overtime.
var premium = [...]overtime.Kind{overtime.KindFee, overtime.KindRun, overtime.KindTime, overtime.KindOvertime, overtime.KindEarly, overtime.KindNight}

// week looks at the federal floor over what this shoot knows of the week.
func (f *flooring) week() {
	slips := []overtime.Slip{f.slip}
	for _, d := range f.elsewhere {
		if !d.SameWeek {
			continue
		}
		s, err := overtime.Pay(f.e.Terms, d.Hours)
		if err != nil {
			f.fail(err)
			return
		}
		slips = append(slips, s)
	}
	paid := money.Of(0, f.e.Terms.Rate.Currency)
	for _, s := range slips {
		a, err := s.Sum(premium[:]...)
		if err == nil {
			paid, err = paid.Add(a)
		}
		if err != nil {
			f.fail(err)
			return
		}
	}
	floor, err := overtime.FederalDays(slips)
	floor.Say = "over " + count(len(slips), "day", "days") + " of the week that this shoot knows: " + floor.Say
	f.pay(floor, err, paid, nil)
}

// california looks at the daily floor and the meal premium.
func (f *flooring) california() {
	h := f.h
	if h.Before.Run == 0 {
		h.Before.Run = 1
		for _, d := range f.elsewhere {
			if d.SameWeek && d.Day.Date < f.m.day.Date {
				h.Before.Run++ // the seventh day of a week has six before it
			}
		}
	}
	floor, err := overtime.CaliforniaDay(f.e.Terms, h)
	paid, err2 := f.slip.Sum(premium[:]...)
	f.pay(floor, err, paid, err2)
	law := overtime.CaliforniaGeneral
	if f.e.employee.Law == overtime.LawCaliforniaPictures {
		law = overtime.CaliforniaMotionPicture
	}
	floor, err = overtime.CaliforniaMeals(law, f.e.Terms, h, overtime.Waived{})
	paid, err2 = f.slip.Sum(overtime.KindMeal)
	if paid == (money.Amount{}) {
		paid = money.Of(0, f.e.Terms.Rate.Currency)
	}
	f.pay(floor, err, paid, err2)
}

// spread looks at New York's spread of hours. Without the minimum wage there is
// no amount to state.
func (f *flooring) spread() {
	wage := f.e.employee.Wage
	known := wage != money.Amount{}
	if !known {
		wage = money.Of(1, f.e.Terms.Rate.Currency)
	}
	floor, err := overtime.NewYorkSpread(f.h, wage)
	if known || err != nil {
		f.pay(floor, err, money.Of(0, wage.Currency), nil)
		return
	}
	if floor.Extra.IsZero() {
		return
	}
	spread := when.Minutes(max(f.h.In, f.h.Call), f.h.Out)
	f.out = append(f.out, FloorNote{Law: floor.Law, Say: sentence("a spread of " + lasts(spread) + " is over 10 h: one more hour at the minimum wage, which is not written here"),
		Source: sentence("source: " + floor.Source), Caution: floor.Caution, above: floor.Law + ", one hour at the minimum wage"})
}

// rests looks at the rest before and after the day, at its break, and at the week.
func (f *flooring) rests(law overtime.RestLaw) {
	start, before := max(f.h.In, f.h.Call), when.Instant(0)
	for _, d := range f.elsewhere {
		if d.Hours.Out <= start {
			before = max(before, d.Hours.Out)
		}
	}
	if before != 0 {
		f.rest(overtime.DailyRest(law, before, start))
	}
	if f.e.Next != 0 {
		f.rest(overtime.DailyRest(law, f.h.Out, f.e.Next))
	}
	f.rest(overtime.BreakRest(law, f.h))
	from, err := f.m.s.WeekOf(f.m.day)
	if err != nil {
		f.fail(err)
		return
	}
	days := []overtime.Hours{f.h}
	for _, d := range f.elsewhere {
		days = append(days, d.Hours)
	}
	f.rest(overtime.WeeklyRest(law, from, days))
}

// floorSay is a person's floors in a sentence, for beside their figures.
func floorSay(e engaged, slips []PaySlip) string {
	if e.employee.Law == "" || len(slips) == 0 {
		return ""
	}
	var above, short, out []string
	for _, n := range slips[0].Floors {
		if n.short != "" && !slices.Contains(short, n.short) {
			short = append(short, n.short)
		}
		if n.above != "" {
			above = append(above, n.above)
		}
	}
	if len(above) > 0 {
		out = append(out, "The floor may be higher: "+list(above)+".")
	}
	if len(short) > 0 {
		out = append(out, "Too short by law: "+list(short)+".")
	}
	if len(out) == 0 {
		return e.employee.Law.Label() + ": no floor is above this, as far as this shoot knows."
	}
	return strings.Join(out, " ")
}

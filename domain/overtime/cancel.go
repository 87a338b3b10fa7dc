package overtime

import (
	"fmt"

	"fairday/domain/money"
	"fairday/domain/when"
)

// CalledOff is what a day of some kind, "" for a shoot day, costs that was cancelled,
// or postponed, so long before its call: the share of that day's rate that the
// shortest notice asks for that reaches so far, nothing where none does. Told after
// the call counts as no notice at all. By the hour it is a share of the minimum call,
// of agreed days a share of one. Costs on the rate are on it; usage and what is not
// for time are not due. Common practice, no source.
func CalledOff(t Terms, kind string, call, told when.Instant, postponed bool) (Slip, error) {
	s := &sheet{tariff: tariff{Terms: t}}
	if kind != "" {
		if err := s.onDay(kind); err != nil {
			return Slip{}, err
		}
	}
	if err := s.ready(); err != nil {
		return Slip{}, err
	}
	if call <= 0 || told <= 0 {
		return Slip{}, fail(CodeNotice, "a day that is called off has a call and a time of being told; say both")
	}
	s.day = day{start: minute(call)}
	c := &cut{sheet: s, d: s.day, w: s.day.start}
	zero := money.Of(0, t.Rate.Currency)
	out := Slip{Total: zero, Overtime: zero, Penalty: zero}
	name, all := "cancelled", t.Cancel
	if postponed {
		name, all = "postponed", t.Postpone
	}
	before := max(minute(call)-minute(told), 0)
	for _, n := range all {
		if before > n.Within {
			continue
		}
		due, of, err := s.share(n.Share)
		if err == nil {
			err = out.add(Line{Kind: KindFee, From: call, To: call, Times: n.Share, Amount: due,
				Why: fmt.Sprintf("%s %s before the call, within %s: %s × %s", name, when.Elapsed(before), when.Elapsed(n.Within), of, factor(n.Share))})
		}
		if err != nil {
			return Slip{}, err
		}
		break
	}
	return out, c.writeCosts(&out)
}

// share is a share of a day's rate, and what that is a share of.
func (s *sheet) share(share money.Ratio) (due money.Amount, of string, err error) {
	switch {
	case s.Basis == Hourly:
		worth, err := s.worth(share)
		if err == nil {
			due, err = worth.Of(s.Minimum)
		}
		return due, when.Elapsed(s.Minimum) + " × " + s.base(), err
	case s.Days > 1:
		of = fmt.Sprintf("%s / %d", s.Rate.Format(), s.Days)
		if share, err = share.Div(money.Whole(s.Days)); err != nil {
			return due, of, err
		}
	default:
		of = s.Rate.Format()
	}
	due, err = s.Rate.Times(share, money.HalfUp)
	return due, of, err
}

package overtime

import (
	"fmt"

	"fairday/domain/money"
	"fairday/domain/when"
)

// CalledOff is what a day costs that was cancelled, or postponed, so long before its
// call: the share of the rate that the shortest notice asks for that reaches so far,
// nothing where none does; by the hour the share of the minimum call. Costs on the
// rate are on it. Common practice, no source.
func CalledOff(t Terms, call, told when.Instant, postponed bool) (Slip, error) {
	s := &sheet{}
	if err := t.tariff(&s.tariff); err != nil {
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
	before := minute(call) - minute(told)
	for _, n := range all {
		if before > n.Within {
			continue
		}
		rate, what, err := t.Rate, t.Rate.Format(), error(nil)
		if t.Basis == Hourly {
			what = when.Elapsed(t.Minimum) + " × " + s.base()
			var worth money.Piece
			if worth, err = s.worth(n.Share); err == nil {
				rate, err = worth.Of(t.Minimum)
			}
		} else {
			rate, err = rate.Times(n.Share, money.HalfUp)
		}
		if err == nil {
			err = out.add(Line{Kind: KindFee, From: call, To: call, Times: n.Share, Amount: rate,
				Why: fmt.Sprintf("%s %s before the call, within %s: %s × %s", name, when.Elapsed(max(before, 0)), when.Elapsed(n.Within), what, factor(n.Share))})
		}
		if err != nil {
			return Slip{}, err
		}
		break
	}
	return out, c.writeCosts(&out)
}

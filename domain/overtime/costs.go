package overtime

import (
	"fmt"

	"fairday/domain/money"
)

// writeCosts adds what the production pays on top of the pay: an agency's fee on
// the rate, straight time and usage, on overtime, or on both; on-costs on all pay, but
// not on the agency's fee. Kit, mileage and per diem are no pay. What is due to overtime and penalties stands apart.
func (c *cut) writeCosts(s *Slip) error {
	rate, err := s.Total.Sub(s.Overtime)
	if err == nil {
		rate, err = rate.Sub(s.Penalty)
	}
	var beyond, free money.Amount
	if err == nil {
		free, err = s.Sum(KindExpense)
	}
	if err == nil {
		rate, err = rate.Sub(free)
	}
	if err == nil {
		beyond, err = s.Overtime.Add(s.Penalty)
	}
	if err != nil {
		return err
	}
	s.Exposed, s.Cost = beyond, s.Total
	if a := c.Agency; a != (Agency{}) {
		if a.On != AgencyOnOvertime {
			err = s.charge(c, KindAgency, "agency fee on the rate", a.Share, rate, false)
		}
		if err == nil && a.On != AgencyOnFee {
			err = s.charge(c, KindAgency, "agency fee on overtime", a.Share, s.Overtime, true)
		}
	}
	for _, o := range c.OnCosts {
		if err == nil {
			err = s.charge(c, KindOnCost, o.Name+" on the rate", o.Share, rate, false)
		}
		if err == nil {
			err = s.charge(c, KindOnCost, o.Name+" on overtime and penalties", o.Share, beyond, true)
		}
	}
	return err
}

// charge puts a share of an amount among the costs, if it comes to anything.
func (s *Slip) charge(c *cut, kind Kind, what string, share money.Ratio, of money.Amount, exposed bool) error {
	amount, err := of.Times(share, money.HalfUp)
	if err != nil || amount.IsZero() {
		return err
	}
	if s.Cost, err = s.Cost.Add(amount); err != nil {
		return err
	}
	if exposed {
		if s.Exposed, err = s.Exposed.Add(amount); err != nil {
			return err
		}
	}
	s.Costs = append(s.Costs, Line{Kind: kind, From: instant(c.d.start), To: instant(c.w), Times: share, Amount: amount,
		Why: fmt.Sprintf("%s: %s × %s", what, of.Format(), factor(share))})
	return nil
}

// costs is what pay brings with it, ready to be asked for often.
type costs struct {
	agency  money.Piece // of a minor unit of overtime
	agented bool
	fee     money.Piece // of a minor unit of the rate and straight time
	feed    bool
	onCosts []money.Piece // of a minor unit of either
}

func (s *sheet) costs() (c costs) {
	unit := money.Of(1, s.Rate.Currency)
	if on := s.Agency.On; on == AgencyOnOvertime || on == AgencyOnBoth {
		c.agency, c.agented = unit.Per(s.Agency.Share), true
	}
	if on := s.Agency.On; on == AgencyOnFee || on == AgencyOnBoth {
		c.fee, c.feed = unit.Per(s.Agency.Share), true
	}
	for _, o := range s.OnCosts {
		c.onCosts = append(c.onCosts, unit.Per(o.Share))
	}
	return c
}

// onRate gives the rate and straight time with the costs on them, in minor units.
func (c *costs) onRate(rate int64) (int64, error) {
	out := rate
	var err error
	if c.feed {
		out, err = pieces(out, &c.fee, rate)
	}
	for i := range c.onCosts {
		if err == nil {
			out, err = pieces(out, &c.onCosts[i], rate)
		}
	}
	return out, err
}

// fitRate tells whether fittingRate may be asked for sums up to this.
func (c *costs) fitRate(rate int64) bool {
	if rate < 0 || (c.feed && !c.fee.Fits(rate)) {
		return false
	}
	for i := range c.onCosts {
		if !c.onCosts[i].Fits(rate) {
			return false
		}
	}
	_, err := c.onRate(rate)
	return err == nil
}

// fittingRate is onRate for what is known to fit.
func (c *costs) fittingRate(rate int64) int64 {
	out := rate
	if c.feed {
		out += c.fee.Fitting(rate)
	}
	for i := range c.onCosts {
		out += c.onCosts[i].Fitting(rate)
	}
	return out
}

// fit tells whether the costs on sums up to these can be reckoned without a look
// at what fits.
func (c *costs) fit(overtime, penalty int64) bool {
	beyond := overtime + penalty
	if overtime < 0 || penalty < 0 || beyond < 0 || (c.agented && !c.agency.Fits(overtime)) {
		return false
	}
	for i := range c.onCosts {
		if !c.onCosts[i].Fits(beyond) {
			return false
		}
	}
	_, err := c.on(overtime, penalty)
	return err == nil
}

// on gives overtime and penalties with the costs on them, in minor units.
func (c *costs) on(overtime, penalty int64) (int64, error) {
	beyond, err := plus(overtime, penalty)
	out := beyond
	if err == nil && c.agented {
		out, err = pieces(out, &c.agency, overtime)
	}
	for i := range c.onCosts {
		if err == nil {
			out, err = pieces(out, &c.onCosts[i], beyond)
		}
	}
	return out, err
}

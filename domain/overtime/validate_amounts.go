package overtime

import (
	"fmt"

	"fairday/domain/money"
)

// MostMinor is the largest amount that new terms may name, in minor units. With it no
// sum over a shoot leaves 64 bits. Terms of old are reckoned with whatever they name.
const MostMinor = 1_000_000_000_000

// checkAmounts holds each amount to what somebody may be paid, and names it.
func (t *Terms) checkAmounts() *Error {
	check := func(what string, a money.Amount) *Error {
		if a.Minor > MostMinor || a.Minor < -MostMinor {
			return fail(CodeAmount, "%s is more than anybody is paid: %s; check it for a slip of the keyboard", what, a.Format())
		}
		return nil
	}
	for _, x := range [...]struct {
		what string
		money.Amount
	}{{"the rate", t.Rate}, {"the hourly base", t.Base}} {
		if err := check(x.what, x.Amount); err != nil {
			return err
		}
	}
	for _, x := range [...]struct {
		what string
		all  []money.Amount
	}{{"meal penalty", t.Meal.Amounts}, {"turnaround penalty", t.Turnaround.Amounts}} {
		for i, a := range x.all {
			if err := check(fmt.Sprintf("%s %d", x.what, i+1), a); err != nil {
				return err
			}
		}
	}
	for _, all := range [...][]Extra{t.Extras, t.Usage} {
		for _, e := range all {
			a, err := e.whole()
			if err != nil {
				a = money.Of(MostMinor+1, e.Amount.Currency) // checkExtras has told already
			}
			if err := check(e.Name, a); err != nil {
				return err
			}
		}
	}
	return nil
}

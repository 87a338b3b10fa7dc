package money

import "fairday/domain/sorting"

// Exchange turns amounts into one currency at rates that somebody stated; there
// are no others.
type Exchange struct {
	To    Currency           `json:"to"`
	Rates map[Currency]Ratio `json:"rates"` // units of To for one unit of each: 1.08 dollars for a euro
}

// Check returns CodeCurrencyUnknown for a currency that is not known and
// CodeExchangeRate for a rate that is not above zero or is of To itself.
func (x Exchange) Check() error {
	if err := x.To.Check(); err != nil {
		return err
	}
	for _, c := range sorting.Keys(x.Rates) {
		r := x.Rates[c]
		if err := c.Check(); err != nil {
			return err
		}
		if c == x.To || r.Sign() <= 0 || r.Check() != nil {
			return fail(CodeExchangeRate, "%s in one %s cannot be the rate for %s; write a number above zero for each other currency", r, c, x.To)
		}
	}
	return nil
}

// Convert gives the amount in To, half a minor unit rounded up. It returns
// CodeExchangeRate where no rate is stated, and CodeOverflow.
func (x Exchange) Convert(a Amount) (Amount, error) {
	if a.Currency == x.To || a == (Amount{}) {
		return Amount{a.Minor, x.To}, nil
	}
	rate, ok := x.Rates[a.Currency]
	if !ok {
		return Amount{}, fail(CodeExchangeRate, "no rate from %s to %s is stated; write one, or keep %s apart", a.Currency, x.To, a.Currency)
	}
	from, ok1 := a.Currency.Digits()
	to, ok2 := x.To.Digits()
	if !ok1 || !ok2 || rate.Sign() <= 0 {
		return Amount{}, x.Check()
	}
	for ; from < to; from++ {
		var err error
		if rate, err = rate.Mul(Whole(10)); err != nil {
			return Amount{}, err
		}
	}
	for ; from > to; from-- {
		var err error
		if rate, err = rate.Div(Whole(10)); err != nil {
			return Amount{}, err
		}
	}
	out, err := a.Times(rate, HalfUp)
	return Amount{out.Minor, x.To}, err
}

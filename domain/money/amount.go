package money

import (
	"cmp"
	"math"
	"math/bits"
)

// Amount is a sum of money in minor units of its currency: 125000 USD is
// 1,250.00 dollars. The zero Amount, without a currency, is "nothing yet" and
// may be added to any other.
type Amount struct {
	Minor    int64    `json:"minor"`
	Currency Currency `json:"currency"`
}

// Of is short for an Amount of so many minor units.
func Of(minor int64, c Currency) Amount { return Amount{Minor: minor, Currency: c} }

// IsZero tells whether nothing is owed, whatever the currency.
func (a Amount) IsZero() bool { return a.Minor == 0 }

// Check returns CodeCurrencyUnknown when the amount's currency is not known.
func (a Amount) Check() error { return a.Currency.Check() }

// common gives the currency two amounts share.
func common(a, b Amount) (Currency, error) {
	switch {
	case a.Currency == b.Currency, b == Amount{}:
		return a.Currency, nil
	case a == Amount{}:
		return b.Currency, nil
	}
	return "", fail(CodeCurrencyMixed, "%s and %s cannot be reckoned together; keep each currency in its own sum", a.Currency, b.Currency)
}

// Add gives a + b, or CodeCurrencyMixed or CodeOverflow.
func (a Amount) Add(b Amount) (Amount, error) {
	c, err := common(a, b)
	if err != nil {
		return Amount{}, err
	}
	sum, ok := add(a.Minor, b.Minor)
	if !ok {
		return Amount{}, tooBig()
	}
	return Amount{sum, c}, nil
}

// Neg gives -a, or CodeOverflow for the one number that has no opposite.
func (a Amount) Neg() (Amount, error) {
	if a.Minor == math.MinInt64 {
		return Amount{}, tooBig()
	}
	return Amount{-a.Minor, a.Currency}, nil
}

// Sub gives a - b, or CodeCurrencyMixed or CodeOverflow.
func (a Amount) Sub(b Amount) (Amount, error) {
	n, err := b.Neg()
	if err != nil {
		return Amount{}, err
	}
	return a.Add(n)
}

// Cmp is -1, 0 or 1 as a is less than, equal to or more than b, or
// CodeCurrencyMixed.
func (a Amount) Cmp(b Amount) (int, error) {
	if _, err := common(a, b); err != nil {
		return 0, err
	}
	return cmp.Compare(a.Minor, b.Minor), nil
}

// Sum adds amounts up, or CodeCurrencyMixed or CodeOverflow.
func Sum(amounts ...Amount) (Amount, error) {
	var total Amount
	for _, a := range amounts {
		var err error
		if total, err = total.Add(a); err != nil {
			return Amount{}, err
		}
	}
	return total, nil
}

// Rounding says which whole minor unit stands for an amount between two.
type Rounding string

// The ways of rounding. The empty Rounding is HalfUp.
const (
	HalfUp   Rounding = "half-up"   // to the nearest; from the middle away from zero
	HalfEven Rounding = "half-even" // to the nearest; from the middle to the even one
	Up       Rounding = "up"        // away from zero
	Down     Rounding = "down"      // towards zero
)

// Times gives a x r in whole minor units. The product is exact before it is
// rounded, once, as told. It returns CodeOverflow or CodeRounding.
func (a Amount) Times(r Ratio, how Rounding) (Amount, error) {
	r = r.norm()
	den := uint64(r.Den)
	hi, lo := bits.Mul64(magnitude(a.Minor), magnitude(r.Num))
	if hi >= den { // the quotient would not fit, and Div64 would panic
		return Amount{}, tooBig()
	}
	q, rem := bits.Div64(hi, lo, den)
	up := false
	switch how {
	case "", HalfUp:
		up = rem >= den-rem
	case HalfEven:
		up = rem > den-rem || (rem == den-rem && q%2 == 1)
	case Up:
		up = rem > 0
	case Down:
	default:
		return Amount{}, fail(CodeRounding, "%q is not a way of rounding; use half-up, half-even, up or down", string(how))
	}
	if up {
		q++
		if q == 0 {
			return Amount{}, tooBig()
		}
	}
	if q > math.MaxInt64 {
		return Amount{}, tooBig()
	}
	minor := int64(q)
	if (a.Minor < 0) != (r.Num < 0) {
		minor = -minor
	}
	return Amount{minor, a.Currency}, nil
}

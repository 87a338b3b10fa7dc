package money

import (
	"math"
	"math/bits"
	"strconv"
	"strings"
)

// Ratio is an exact fraction, reduced, with Den above zero; the zero value is
// nought. Its text and JSON form is a decimal where that is exact ("1.5") and a
// fraction otherwise ("4/3"); "20%" is read too.
type Ratio struct {
	Num, Den int64
}

// NewRatio reduces num/den, or returns CodeZeroDivisor or CodeOverflow.
func NewRatio(num, den int64) (Ratio, error) {
	if den == 0 {
		return Ratio{}, fail(CodeZeroDivisor, "a share of nothing has no answer; the divisor must not be zero")
	}
	if num == math.MinInt64 || den == math.MinInt64 {
		return Ratio{}, tooBig()
	}
	if den < 0 {
		num, den = -num, -den
	}
	g := int64(gcd(magnitude(num), uint64(den)))
	return Ratio{num / g, den / g}, nil
}

// Whole is n as a Ratio.
func Whole(n int64) Ratio { return Ratio{n, 1} }

// norm reads the zero value as 0/1.
func (r Ratio) norm() Ratio {
	if r.Den == 0 {
		return Ratio{0, 1}
	}
	return r
}

// Check returns CodeZeroDivisor for a Ratio that NewRatio could not have made:
// a divisor of zero or below under a number, or a fraction that is not reduced.
func (r Ratio) Check() error {
	if r == (Ratio{}) {
		return nil
	}
	if want, err := NewRatio(r.Num, r.Den); err != nil || want != r {
		return fail(CodeZeroDivisor, "%d over %d is not a reduced fraction with a divisor above zero", r.Num, r.Den)
	}
	return nil
}

// IsZero tells whether the ratio is nought.
func (r Ratio) IsZero() bool { return r.Num == 0 }

// Sign is -1, 0 or 1.
func (r Ratio) Sign() int {
	switch {
	case r.Num < 0:
		return -1
	case r.Num > 0:
		return 1
	}
	return 0
}

// Mul gives r x s, or CodeOverflow.
func (r Ratio) Mul(s Ratio) (Ratio, error) {
	r, s = r.norm(), s.norm()
	// Cross-cancelling first leaves the reduced result, so only a result that
	// does not fit fails.
	g := int64(gcd(magnitude(r.Num), uint64(s.Den)))
	h := int64(gcd(magnitude(s.Num), uint64(r.Den)))
	num, ok1 := mul(r.Num/g, s.Num/h)
	den, ok2 := mul(r.Den/h, s.Den/g)
	if !ok1 || !ok2 {
		return Ratio{}, tooBig()
	}
	return NewRatio(num, den)
}

// Div gives r / s, or CodeZeroDivisor or CodeOverflow.
func (r Ratio) Div(s Ratio) (Ratio, error) {
	inv, err := NewRatio(s.norm().Den, s.Num)
	if err != nil {
		return Ratio{}, err
	}
	return r.Mul(inv)
}

// Add gives r + s, or CodeOverflow when a step of the sum over the least common
// divisor does not fit.
func (r Ratio) Add(s Ratio) (Ratio, error) {
	r, s = r.norm(), s.norm()
	g := int64(gcd(uint64(r.Den), uint64(s.Den)))
	a, ok1 := mul(r.Num, s.Den/g)
	b, ok2 := mul(s.Num, r.Den/g)
	num, ok3 := add(a, b)
	den, ok4 := mul(r.Den/g, s.Den)
	if !ok1 || !ok2 || !ok3 || !ok4 {
		return Ratio{}, tooBig()
	}
	return NewRatio(num, den)
}

// Sub gives r - s, or CodeOverflow.
func (r Ratio) Sub(s Ratio) (Ratio, error) {
	if s.Num == math.MinInt64 {
		return Ratio{}, tooBig()
	}
	s.Num = -s.Num
	return r.Add(s)
}

// Cmp is -1, 0 or 1 as r is less than, equal to or more than s. It is exact for
// all ratios.
func (r Ratio) Cmp(s Ratio) int {
	r, s = r.norm(), s.norm()
	if a, b := r.Sign(), s.Sign(); a != b || a == 0 {
		return sign(a - b)
	}
	ah, al := bits.Mul64(magnitude(r.Num), uint64(s.Den))
	bh, bl := bits.Mul64(magnitude(s.Num), uint64(r.Den))
	c := 0
	switch {
	case ah > bh || (ah == bh && al > bl):
		c = 1
	case ah < bh || (ah == bh && al < bl):
		c = -1
	}
	return c * r.Sign()
}

// String writes "2", "1.5" or, where no short decimal is exact, "4/3".
func (r Ratio) String() string {
	r = r.norm()
	scale := int64(1)
	for digits := 0; digits <= 6; digits, scale = digits+1, scale*10 {
		if scale%r.Den != 0 {
			continue
		}
		n, ok := mul(r.Num, scale/r.Den)
		if !ok {
			break
		}
		return decimal(n, digits)
	}
	return strconv.FormatInt(r.Num, 10) + "/" + strconv.FormatInt(r.Den, 10)
}

// MarshalText writes what String does.
func (r Ratio) MarshalText() ([]byte, error) {
	if err := r.Check(); err != nil {
		return nil, err
	}
	return []byte(r.String()), nil
}

// UnmarshalText reads what ParseRatio does.
func (r *Ratio) UnmarshalText(b []byte) error {
	v, err := ParseRatio(string(b))
	if err != nil {
		return err
	}
	*r = v
	return nil
}

// ParseRatio reads "2", "1.5", "4/3" and "20%", or returns CodeUnreadable,
// CodeZeroDivisor or CodeOverflow.
func ParseRatio(s string) (Ratio, error) {
	text := strings.TrimSpace(s)
	if top, bottom, ok := strings.Cut(text, "/"); ok {
		num, err1 := strconv.ParseInt(top, 10, 64)
		den, err2 := strconv.ParseInt(bottom, 10, 64)
		if err1 != nil || err2 != nil {
			return Ratio{}, unreadableRatio(s)
		}
		return NewRatio(num, den)
	}
	text, percent := strings.CutSuffix(text, "%")
	num, digits, fits, ok := parseDecimal(text)
	switch {
	case ok && !fits:
		return Ratio{}, tooBig()
	case !ok:
		return Ratio{}, unreadableRatio(s)
	}
	if percent {
		digits += 2
	}
	den := int64(1)
	for range digits {
		if den, ok = mul(den, 10); !ok {
			return Ratio{}, tooBig()
		}
	}
	return NewRatio(num, den)
}

func unreadableRatio(s string) error {
	return fail(CodeUnreadable, "%q is not a number we can read; write it like 1.5, 4/3 or 20%%", s)
}

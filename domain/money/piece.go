package money

import (
	"math"
	"math/bits"
)

// Piece is what one of something comes to, exact, such as a minute of work. Of
// rounds only the whole, so it may be asked for many numbers quickly.
type Piece struct {
	amount Amount
	each   Ratio
	top    uint64 // amount x each over den, where that fits and is not below zero
	den    uint64 // 0 where it does not
}

// Per gives a x each as a Piece.
func (a Amount) Per(each Ratio) Piece {
	each = each.norm()
	p := Piece{amount: a, each: each}
	if top, ok := mul(a.Minor, each.Num); ok && top >= 0 {
		g := gcd(uint64(top), uint64(each.Den))
		p.top, p.den = uint64(top)/g, uint64(each.Den)/g
	}
	return p
}

// Of gives n of them, half a minor unit rounded up, or CodeOverflow.
func (p *Piece) Of(n int64) (Amount, error) {
	minor, err := p.Minor(n)
	if err != nil {
		return Amount{}, err
	}
	return Amount{minor, p.amount.Currency}, nil
}

// Minor is Of in minor units.
func (p *Piece) Minor(n int64) (int64, error) {
	if hi, lo := bits.Mul64(p.top, uint64(n)); hi == 0 && p.den != 0 && n >= 0 {
		q, rem := lo/p.den, lo%p.den
		if rem >= p.den-rem {
			q++
		}
		if q <= math.MaxInt64 {
			return int64(q), nil
		}
	}
	return p.slow(n)
}

// slow is Minor for what does not fit 64 bits on the way.
func (p *Piece) slow(n int64) (int64, error) {
	share, err := p.each.Mul(Whole(n))
	if err != nil {
		return 0, err
	}
	a, err := p.amount.Times(share, HalfUp)
	return a.Minor, err
}

// Fits tells whether Fitting may be asked for n of them and for fewer.
func (p *Piece) Fits(n int64) bool {
	hi, lo := bits.Mul64(p.top, uint64(n))
	return hi == 0 && p.den != 0 && n >= 0 && lo < math.MaxInt64 && p.den < math.MaxInt64
}

// Fitting is Minor for what is known to fit.
func (p *Piece) Fitting(n int64) int64 {
	lo := p.top * uint64(n)
	q := lo / p.den
	if rem := lo - q*p.den; rem >= p.den-rem {
		q++
	}
	return int64(q)
}

// Run is what a number of pieces comes to while it goes up one by one.
type Run struct {
	whole, rem  uint64 // of the number it stands at
	one, oneRem uint64 // of one more
	den         uint64
}

// Run stands at n of them. It also gives what the last comes to, after so many
// more; ok is false where that might not fit.
func (p *Piece) Run(n, more int64) (r Run, last int64, ok bool) {
	if n < 0 || more < 0 || n+more < 0 || !p.Fits(n+more) {
		return Run{}, 0, false
	}
	top := p.top * uint64(n)
	return Run{top / p.den, top % p.den, p.top / p.den, p.top % p.den, p.den}, p.Fitting(n + more), true
}

// Next goes to one more.
func (r *Run) Next() {
	r.whole += r.one
	r.rem += r.oneRem
	if r.rem >= r.den {
		r.rem -= r.den
		r.whole++
	}
}

// Minor is what they come to, half a minor unit rounded up.
func (r *Run) Minor() int64 {
	if r.rem >= r.den-r.rem {
		return int64(r.whole) + 1
	}
	return int64(r.whole)
}

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

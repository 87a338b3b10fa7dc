package sun

import "math"

// mul is a product that is never fused with a sum that follows.
func mul(a, b float64) float64 { return float64(a * b) }

// poly is c[0] + c[1]x + c[2]x² and so on.
func poly(x float64, c ...float64) float64 {
	sum := 0.0
	for i := len(c) - 1; i >= 0; i-- {
		sum = mul(sum, x) + c[i]
	}
	return sum
}

const perRadian = 180 / math.Pi // degrees

// sincos gives the sine and cosine of an angle in degrees, within 1e-15 for the
// reduced angle, by the Taylor series within 45 degrees of a right angle.
func sincos(degrees float64) (sin, cos float64) {
	degrees = math.Mod(degrees, 360)
	quarter := math.Floor(degrees/90 + 0.5)
	x := (degrees - mul(90, quarter)) / perRadian
	xx := mul(x, x)
	s := mul(x, poly(xx, 1, -1./6, 1./120, -1./5040, 1./362880, -1./39916800, 1./6227020800, -1./1307674368000, 1./355687428096000))
	c := poly(xx, 1, -1./2, 1./24, -1./720, 1./40320, -1./3628800, 1./479001600, -1./87178291200, 1./20922789888000)
	switch (int(quarter) + 8) % 4 {
	case 1:
		return c, -s
	case 2:
		return -s, -c
	case 3:
		return -c, s
	}
	return s, c
}

// arc is the angle in degrees, above -180 and at most 180, of the point (x, y)
// seen from the origin; 0 at the origin itself.
func arc(y, x float64) float64 {
	ax, ay := math.Abs(x), math.Abs(y)
	long, short := max(ax, ay), min(ax, ay)
	if long == 0 {
		return 0
	}
	a := arctan(short / long)
	if ay > ax {
		a = 90 - a
	}
	if x < 0 {
		a = 180 - a
	}
	if y < 0 {
		a = -a
	}
	return a
}

// arctan is in degrees, for 0 to 1: past 22.5 degrees it counts from 45, and
// within that the series is cut where a term is below 1e-17.
func arctan(x float64) float64 {
	from := 0.0
	if x > math.Sqrt2-1 {
		from, x = 45, (x-1)/(x+1)
	}
	xx, sum := mul(x, x), 0.0
	for n := 45.0; n > 0; n -= 2 {
		sum = 1/n - mul(xx, sum)
	}
	return from + mul(mul(x, sum), perRadian)
}

// turn brings an angle into 0 to 360 degrees, without 360.
func turn(degrees float64) float64 {
	if degrees = math.Mod(degrees, 360); degrees < 0 {
		degrees += 360
	}
	if degrees >= 360 {
		return 0
	}
	return degrees
}

// signed brings an angle into -180 to 180 degrees, without 180.
func signed(degrees float64) float64 { return turn(degrees+180) - 180 }

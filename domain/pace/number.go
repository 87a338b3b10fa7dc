package pace

import "math"

// expOf is e to the x, for |x| < 700: x less the nearest multiple of ln 2, in
// two parts so that nothing is lost, and the series of what is left. Within two
// units in the last place.
func expOf(x float64) float64 {
	const high, low = 6.93147180369123816490e-01, 1.90821492927058770002e-10 // ln 2
	k := math.Floor(float64(x*math.Log2E) + 0.5)
	r := x - float64(k*high)
	r -= float64(k * low)
	sum := 1.0
	for n := 16.0; n >= 1; n-- {
		sum = 1 + float64(r*sum)/n
	}
	return math.Ldexp(sum, int(k))
}

// logOf is the natural logarithm of x > 0: ln m = 2 artanh((m-1)/(m+1)) by its
// series, with m within a factor of the square root of 2 about 1.
func logOf(x float64) float64 {
	m, k := math.Frexp(x)
	if m < math.Sqrt2/2 {
		m, k = m*2, k-1
	}
	s := (m - 1) / (m + 1)
	sq, sum := float64(s*s), 0.0
	for n := 25.0; n >= 1; n -= 2 {
		sum = 1/n + float64(sq*sum)
	}
	return float64(float64(k)*math.Ln2) + float64(2*s*sum)
}

// aboveOf is the chance that a standard normal is above z, which is not below 0. Up to 4 by the series
// about 0 (Marsaglia, Journal of Statistical Software 11(4), 2004), beyond by
// Laplace's continued fraction (Abramowitz and Stegun 26.2.14).
func aboveOf(z float64) float64 {
	density := densityOf(z)
	if z >= farOut {
		f := z
		for n := 50.0; n >= 1; n-- {
			f = z + n/f
		}
		return density / f
	}
	term, sum := z, z
	for n := 3.0; ; n += 2 {
		term = float64(term*z) * z / n
		if sum+term == sum {
			return 0.5 - float64(density*sum)
		}
		sum += term
	}
}

// densityOf is the density of the standard normal.
func densityOf(z float64) float64 {
	return float64(expOf(-float64(z*z)/2) * 0.398942280401432677940)
}

const (
	farOut = 4   // from here on the table has no row
	rows   = 128 // of the table, for each unit of z
)

// normal is a row of the table: chance above and density.
type normal struct{ above, density float64 }

// table is never written to: what above is asked a thousand times for one shot.
var table = tabulate()

func tabulate() (t [farOut*rows + 1]normal) {
	for i := range t {
		z := float64(i) / rows
		t[i] = normal{aboveOf(z), densityOf(z)}
	}
	return t
}

// above is the chance that a standard normal is above z, from the nearest row by
// Taylor's series: to a relative error of 1e-8. A quotient by a power of two is a
// product to the compiler, hence the conversions.
func above(z float64) float64 {
	switch {
	case z < 0:
		return 1 - above(-z)
	case z >= farOut:
		return aboveOf(z)
	}
	i := int(float64(z*rows) + 0.5)
	z0 := float64(float64(i) / rows)
	h, row := z-z0, &table[i]
	cubic := (1 - float64(z0*z0)) / 6
	slope := 1 - float64(h*(float64(z0/2)+float64(h*cubic)))
	return row.above - float64(float64(row.density*h)*slope)
}

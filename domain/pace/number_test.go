package pace

import (
	"math"
	"testing"
)

func TestNumbersAgainstTheLibrary(t *testing.T) {
	for x := -30.0; x <= 30; x += 0.0137 {
		if got, want := expOf(x), math.Exp(x); math.Abs(got/want-1) > 4e-16 {
			t.Errorf("exp %v: %v, want %v", x, got, want)
		}
		y := math.Exp(x)
		if got, want := logOf(y), math.Log(y); math.Abs(got-want) > 1e-15*max(1, math.Abs(want)) {
			t.Errorf("log %v: %v, want %v", y, got, want)
		}
		if z := x / 3; true {
			if got, want := above(z), math.Erfc(z/math.Sqrt2)/2; math.Abs(got/want-1) > 1e-8 {
				t.Errorf("above %v: %v, want %v", z, got, want)
			}
		}
	}
}

// A chain of four activities by PERT: (5,8,17), (3,5,7), (4,6,8), (3,4,5) minutes
// at the least, most likely and most, each (a+4m+b)/6 on average with standard
// deviation (b-a)/6: 24 together, and within 28 with a chance of .96318. A shot
// has one planned time here and no three, so what is held to it is the normal.
func TestNormalAgainstPERT(t *testing.T) {
	mean, variance := 0.0, 0.0
	for _, a := range [][3]float64{{5, 8, 17}, {3, 5, 7}, {4, 6, 8}, {3, 4, 5}} {
		mean += (a[0] + 4*a[1] + a[2]) / 6
		variance += (a[2] - a[0]) * (a[2] - a[0]) / 36
	}
	chance := 1 - above((28-mean)/math.Sqrt(variance))
	if math.Abs(mean-24) > 1e-12 || math.Abs(chance-0.96318) > 5e-6 {
		t.Errorf("mean %v, chance %v", mean, chance)
	}
}

package money

import "math/bits"

// magnitude is |n|, also for the least int64.
func magnitude(n int64) uint64 {
	if n < 0 {
		return -uint64(n)
	}
	return uint64(n)
}

func gcd(a, b uint64) uint64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

func sign(n int) int {
	switch {
	case n < 0:
		return -1
	case n > 0:
		return 1
	}
	return 0
}

// add gives a + b and whether it fits.
func add(a, b int64) (int64, bool) {
	s := a + b
	return s, (s > a) == (b > 0)
}

// mul gives a x b and whether it fits. The least int64 counts as not fitting.
func mul(a, b int64) (int64, bool) {
	hi, lo := bits.Mul64(magnitude(a), magnitude(b))
	if hi != 0 || lo > 1<<63-1 {
		return 0, false
	}
	if (a < 0) != (b < 0) {
		return -int64(lo), true
	}
	return int64(lo), true
}

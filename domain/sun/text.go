package sun

import (
	"strconv"
	"strings"
)

// Fixed reads a decimal number as whole units of its last place, digit by digit, so
// that nothing is rounded: "38.7" with six places is 38700000. It is false for what is
// no number or has more places.
func Fixed(s string, places int) (int, bool) {
	digits := strings.TrimPrefix(s, "-")
	whole, part, _ := strings.Cut(digits, ".")
	n, err := strconv.ParseUint(whole+(part + strings.Repeat("0", places))[:max(places, len(part))], 10, 31)
	if err != nil || whole == "" || len(part) > places {
		return 0, false
	}
	if digits != s {
		return -int(n), true
	}
	return int(n), true
}

// FixedText writes what Fixed reads, without noughts at the end.
func FixedText(n, places int) string {
	s := strconv.Itoa(max(n, -n))
	s = strings.Repeat("0", max(places+1-len(s), 0)) + s
	whole, part := s[:len(s)-places], strings.TrimRight(s[len(s)-places:], "0")
	if part != "" {
		whole += "." + part
	}
	if n < 0 {
		whole = "-" + whole
	}
	return whole
}

package money

import (
	"strconv"
	"strings"
)

// String writes the amount as plan files do: "1250.00 USD".
func (a Amount) String() string {
	digits, _ := a.Currency.Digits()
	s := decimal(a.Minor, digits)
	if a.Currency != "" {
		s += " " + string(a.Currency)
	}
	return s
}

// Format writes the amount for people: "$1,250.00", "£430.00", "SEK 900.00",
// with a minus sign in front where something is owed back. It is the same in
// every language, so that two phones show the same characters.
func (a Amount) Format() string {
	digits, _ := a.Currency.Digits()
	s, negative := strings.CutPrefix(decimal(a.Minor, digits), "-")
	whole, rest, _ := strings.Cut(s, ".")
	var b strings.Builder
	if negative {
		b.WriteString("−")
	}
	b.WriteString(a.Currency.mark())
	for i, r := range whole {
		if i > 0 && (len(whole)-i)%3 == 0 {
			b.WriteByte(',')
		}
		b.WriteRune(r)
	}
	if digits > 0 {
		b.WriteString("." + rest)
	}
	return b.String()
}

// Parse reads "1250.00 USD", "USD 1250" or, with the currency to assume,
// "1250". It refuses thousands separators and more decimals than the currency
// has, which could be read two ways, with CodeUnreadable; unknown currencies with
// CodeCurrencyUnknown; and what is too large with CodeOverflow.
func Parse(s string, assume Currency) (Amount, error) {
	number, currency := "", assume
	switch f := strings.Fields(s); {
	case len(f) == 1:
		number = f[0]
	case len(f) == 2 && isNumber(f[0]):
		number, currency = f[0], Currency(f[1])
	case len(f) == 2:
		number, currency = f[1], Currency(f[0])
	}
	minor, given, fits, ok := parseDecimal(number)
	switch {
	case ok && !fits:
		return Amount{}, tooBig()
	case !ok:
		return Amount{}, fail(CodeUnreadable, "%q is not an amount we can read; write digits, a full stop for decimals and the currency, like 1250.00 USD", s)
	}
	if err := currency.Check(); err != nil {
		return Amount{}, err
	}
	digits, _ := currency.Digits()
	if given > digits {
		return Amount{}, fail(CodeUnreadable, "%q has more decimals than %s has; write at most %d", s, currency, digits)
	}
	for ; given < digits; given++ {
		if minor, ok = mul(minor, 10); !ok {
			return Amount{}, tooBig()
		}
	}
	return Amount{minor, currency}, nil
}

func isNumber(s string) bool { return s != "" && strings.ContainsRune("-0123456789", rune(s[0])) }

// parseDecimal reads digits with at most one full stop among them as a whole
// number and how many of its digits are decimals; fits is false for more digits than
// a number has room for.
func parseDecimal(s string) (n int64, decimals int, fits, ok bool) {
	body := strings.TrimPrefix(s, "-")
	whole, rest, dotted := strings.Cut(body, ".")
	if whole == "" || (dotted && rest == "") {
		return 0, 0, false, false
	}
	for _, r := range whole + rest {
		if r < '0' || r > '9' {
			return 0, 0, false, false
		}
	}
	n, err := strconv.ParseInt(whole+rest, 10, 64)
	if err != nil {
		return 0, 0, false, true
	}
	if body != s {
		n = -n
	}
	return n, len(rest), true, true
}

// decimal writes n with so many of its digits after the point.
func decimal(n int64, digits int) string {
	s := strconv.FormatUint(magnitude(n), 10)
	if len(s) <= digits {
		s = strings.Repeat("0", digits-len(s)+1) + s
	}
	if digits > 0 {
		s = s[:len(s)-digits] + "." + s[len(s)-digits:]
	}
	if n < 0 {
		s = "-" + s
	}
	return s
}

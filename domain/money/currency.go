package money

// Currency is an ISO 4217 alphabetic code, like "USD". Empty means not set.
type Currency string

// Digits is how many decimal digits a minor unit of the currency takes, from
// the minor-unit column of ISO 4217 list one (values from memory). ok is false
// for a code we do not know; we never guess two.
func (c Currency) Digits() (digits int, ok bool) {
	switch c {
	case "BIF", "CLP", "ISK", "JPY", "KRW", "PYG", "RWF", "UGX", "VND", "XAF", "XOF", "XPF":
		return 0, true
	case "BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND":
		return 3, true
	case "AED", "ARS", "AUD", "BGN", "BRL", "CAD", "CHF", "CNY", "COP", "CZK", "DKK", "EGP",
		"EUR", "GBP", "GEL", "GHS", "HKD", "HUF", "IDR", "ILS", "INR", "KES", "LKR", "MAD",
		"MXN", "MYR", "NGN", "NOK", "NZD", "PEN", "PHP", "PKR", "PLN", "QAR", "RON", "RSD",
		"SAR", "SEK", "SGD", "THB", "TRY", "TWD", "TZS", "UAH", "USD", "UYU", "ZAR":
		return 2, true
	}
	return 0, false
}

// Check returns CodeCurrencyUnknown when the code is not one we know.
func (c Currency) Check() error {
	if _, ok := c.Digits(); !ok {
		return fail(CodeCurrencyUnknown, "%q is not a currency we know; write its three-letter ISO 4217 code, like USD, GBP or EUR", string(c))
	}
	return nil
}

// UnmarshalText reads a code and refuses one that is not known. Empty is
// allowed, as the currency of an amount that is not set.
func (c *Currency) UnmarshalText(b []byte) error {
	v := Currency(b)
	if v != "" {
		if err := v.Check(); err != nil {
			return err
		}
	}
	*c = v
	return nil
}

// mark is what stands before an amount when people read it.
func (c Currency) mark() string {
	switch c {
	case "USD":
		return "$"
	case "GBP":
		return "£"
	case "EUR":
		return "€"
	case "JPY":
		return "¥"
	case "AUD":
		return "A$"
	case "CAD":
		return "CA$"
	case "NZD":
		return "NZ$"
	case "":
		return ""
	}
	return string(c) + " "
}

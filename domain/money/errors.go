package money

import "fairday/domain/fault"

// The codes an Error carries. They are only ever added to.
const (
	CodeCurrencyUnknown = "money-currency-unknown" // not an ISO 4217 code that we know the digits of
	CodeCurrencyMixed   = "money-currency-mixed"   // two currencies in one sum
	CodeOverflow        = "money-overflow"         // the result does not fit
	CodeZeroDivisor     = "money-zero-divisor"     // a ratio over nothing
	CodeUnreadable      = "money-unreadable"       // text that is not an amount or a ratio
	CodeRounding        = "money-rounding"         // not a way of rounding
	CodeExchangeRate    = "money-exchange-rate"    // a rate between currencies that is missing or not one
)

// Error is what every function of this package returns when it cannot answer.
type Error = fault.Error

func fail(code, format string, args ...any) *Error { return fault.New(code, format, args...) }

func tooBig() *Error {
	return fail(CodeOverflow, "that number is too big to reckon with; check the figures for a slip of the keyboard")
}

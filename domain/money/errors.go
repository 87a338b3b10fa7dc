package money

import "fmt"

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
type Error struct {
	Code string // one of the Code constants
	Text string // a sentence for a person, with what to do next
}

// Error gives the sentence.
func (e *Error) Error() string { return e.Text }

// Is makes errors.Is compare by code.
func (e *Error) Is(target error) bool {
	t, ok := target.(*Error)
	return ok && t.Code == e.Code
}

func fail(code, format string, args ...any) *Error {
	return &Error{Code: code, Text: fmt.Sprintf(format, args...)}
}

func tooBig() *Error {
	return fail(CodeOverflow, "that number is too big to reckon with; check the figures for a slip of the keyboard")
}

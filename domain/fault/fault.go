// Package fault is the error of the calculators and the screens: a stable code for
// programs, and a sentence for the person who has to put it right.
package fault

import "fmt"

// Error says why there is no answer. The codes are constants of the package that
// returns it, start with that package's name, and are only ever added to.
type Error struct {
	Code string
	Text string // a sentence for a person, with what to do next
}

// New makes an Error with the sentence that fmt.Sprintf writes.
func New(code, format string, args ...any) *Error {
	return &Error{Code: code, Text: fmt.Sprintf(format, args...)}
}

// Error gives the sentence.
func (e *Error) Error() string { return e.Text }

// Is makes errors.Is compare by code.
func (e *Error) Is(target error) bool {
	t, ok := target.(*Error)
	return ok && t.Code == e.Code
}

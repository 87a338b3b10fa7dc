package pace

import "fairday/domain/fault"

// The codes an Error carries. They are only ever added to.
const (
	CodePlanned = "pace-planned" // a planned time or a change that is not possible
	CodeTook    = "pace-took"    // a finished shot that took less than no time, or longer than any day
	CodeElapsed = "pace-elapsed" // a shot that is up since after now, or has a time without being up
	CodeMeal    = "pace-meal"    // a meal that is not possible or overlaps another
	CodeWindow  = "pace-window"  // a window or a hold that is not possible
	CodeOrder   = "pace-order"   // shots without a key of their own, or that wait for each other in a circle
	CodeRange   = "pace-range"   // more shots or more time than one day can hold
)

// Error is what every function of this package returns when it cannot answer.
type Error = fault.Error

func fail(code, format string, args ...any) *Error { return fault.New(code, format, args...) }

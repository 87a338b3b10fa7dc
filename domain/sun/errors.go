package sun

import "fairday/domain/fault"

// The codes an Error carries. They are only ever added to.
const (
	CodePlace  = "sun-place"  // a latitude or longitude that is not on the Earth
	CodeTime   = "sun-time"   // a moment that is not set or not within 1970 to 2200
	CodeDate   = "sun-date"   // not a date
	CodeZone   = "sun-zone"   // not a time zone
	CodeRange  = "sun-range"  // a stretch that ends before it starts or is too long
	CodeWindow = "sun-window" // a window that cannot be built or reaches nothing
)

// Error is what every function of this package returns when it cannot answer.
type Error = fault.Error

func fail(code, format string, args ...any) *Error { return fault.New(code, format, args...) }

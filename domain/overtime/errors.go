package overtime

import "fairday/domain/fault"

// The codes an Error carries. They are only ever added to.
const (
	CodeBasis        = "overtime-basis"          // not a basis
	CodeRate         = "overtime-rate"           // below zero, or nothing where something is needed
	CodeCurrency     = "overtime-currency"       // not a currency, or two of them in one set of terms
	CodeIncluded     = "overtime-included"       // included time missing, not possible or not for this basis
	CodeDivisor      = "overtime-divisor"        // not a divisor, or one that does not go with the rest
	CodeBase         = "overtime-base"           // an agreed hourly base that does not go with the rest
	CodeBandOrder    = "overtime-band-order"     // bands not in rising order, or out of any day's reach
	CodeBandTimes    = "overtime-band-times"     // a band that is not above nought and at most x10
	CodeStep         = "overtime-step"           // not a step
	CodeStepRule     = "overtime-step-rule"      // not a rule for steps
	CodeGrace        = "overtime-grace"          // grace below zero or where there is no overtime to grace
	CodeMealRule     = "overtime-meal-rule"      // a meal rule that is not whole
	CodeHoursStart   = "overtime-hours-start"    // neither a sign-in nor a call
	CodeHoursOpen    = "overtime-hours-open"     // no sign-out yet
	CodeOutBeforeIn  = "overtime-out-before-in"  // signed out before signing in
	CodeHoursLong    = "overtime-hours-long"     // longer than any day
	CodeMealOrder    = "overtime-meal-order"     // meals that overlap or end before they start
	CodeMealBeforeIn = "overtime-meal-before-in" // a meal before the sign-in
	CodeMealAfterOut = "overtime-meal-after-out" // a meal after the sign-out
	CodeMealOpen     = "overtime-meal-open"      // a meal without an end
	CodeRange        = "overtime-range"          // a curve that ends before it starts or is too long
	CodeWeek         = "overtime-week"           // bands by the week that do not go with the rest
	CodeDays         = "overtime-days"           // agreed days that are not possible
	CodeMealLeast    = "overtime-meal-least"     // a shortest meal that is not possible or says nothing
	CodeMinimum      = "overtime-minimum"        // a minimum call that does not go with the rest
	CodeHalfDay      = "overtime-half-day"       // a half day that is not whole or does not go with the rest
	CodeLateCall     = "overtime-late-call"      // a late call that is not whole
	CodeTurnaround   = "overtime-turnaround"     // a turnaround that is not whole or does not go with the rest
	CodeRun          = "overtime-run"            // a sixth or seventh day that is not whole or does not go with the rest
	CodeNight        = "overtime-night"          // a night that is not whole or has no base
	CodeAgency       = "overtime-agency"         // an agency fee that is not whole or is on nothing
	CodeOnCost       = "overtime-on-cost"        // an on-cost without a name or out of reach
	CodeZone         = "overtime-zone"           // terms that read the clock, and hours without a time zone
	CodeBefore       = "overtime-before"         // something of the days before that is not known or not possible
	CodeFirst        = "overtime-first"          // a first length of overtime that does not go with the rest
	CodeClockDay     = "overtime-clock-day"      // a day on the clock that is not whole or does not go with the rest
	CodeWeekend      = "overtime-weekend"        // a weekend or holiday that is not whole
	CodeExtra        = "overtime-extra"          // a line that is not for time without a name or out of reach
	CodeOther        = "overtime-other-day"      // a day that is no shoot day, not whole
	CodeNotice       = "overtime-notice"         // a notice that is not whole, or nothing to call off
	CodeAmount       = "overtime-amount"         // an amount that nobody is paid
	CodeFloor        = "overtime-floor"          // a floor asked for where it cannot be reckoned
)

// Error is what every function of this package returns when it cannot answer; its
// code may be one of package money.
type Error = fault.Error

func fail(code, format string, args ...any) *Error { return fault.New(code, format, args...) }

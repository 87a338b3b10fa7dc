// Package overtime turns terms and hours into pay, line by line, and into
// exposure: what overtime and penalties come to if the day ends at a given
// minute.
//
// # How a day is reckoned
//
// Instants count by the minute they read on a clock: 14:05:59 is 14:05. The
// clock starts when a person signs in, but not before their call. Meals are not
// worked time unless the terms say so. Time beyond the hours included is
// overtime: within the grace nothing is due, past it all of it is, rounded to
// the step. Each minute of it is paid at the hourly base times what its band
// says, and 1 before the first band.
//
// The hourly base is never rounded. Every line is the exact product, rounded
// once, half a cent upwards; the total is the sum of the lines as they read.
//
// Terms this package cannot reckon are refused by Validate with a code and a
// sentence; nothing in Terms is ignored.
//
// The figures are estimates: contracts, agreements, local law and a licensed
// payroll or employment professional decide.
package overtime

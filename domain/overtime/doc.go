// Package overtime turns terms and hours into pay, line by line, and into
// exposure: what overtime and penalties come to if the day ends at a given
// minute.
//
// # How a day is reckoned
//
// Instants count by the minute they read on a clock: 14:05:59 is 14:05. The
// clock starts when a person signs in, but not before their call; of a late call
// it may be credited from a stated hour. Breaks are not worked time unless the
// terms say so, or they were shorter than the shortest meal and work went on
// after them. Time that is worked before the rest between two days is over stands
// apart where the terms pay for it; the day itself, its included time, its bands
// by worked time and its minimum count from then.
//
// Time beyond the hours included is overtime: within the grace nothing is due,
// past it all of it is, rounded to the step. Each minute of it is paid at the
// hourly base times what its band says, and 1 before the first band; where bands
// by elapsed time, by the week or the run of days say more, at the most of them.
// What a step counts beyond the wrap is paid as if work had gone on.
//
// The hourly base is never rounded. Every line is the exact product, rounded
// once, half a cent upwards; the total is the sum of the lines as they read.
// Agency fees and on-costs are shares of sums of lines, rounded once each, and
// stand apart from the pay.
//
// No amount ever falls as the wrap moves later. (A step that reaches over a band
// by elapsed time, with a meal between, may move a minor unit from one line to
// another where a minute is worth less than two of them.)
//
// Terms this package cannot reckon are refused by Validate with a code and a
// sentence, and so is a day that lacks what its terms need; nothing in Terms is
// ignored.
//
// The figures are estimates: contracts, agreements, local law and a licensed
// payroll or employment professional decide.
package overtime

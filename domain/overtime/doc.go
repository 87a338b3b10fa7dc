// Package overtime turns terms and hours into pay, line by line, and into
// exposure: what running on costs if the day ends at a given minute.
//
// # How a day is reckoned
//
// Instants count by the minute they read on a clock: 14:05:59 is 14:05. The
// clock starts when a person signs in, but not before their call; of a late call
// it may be credited from a stated hour. Breaks are not worked time unless the
// terms say so, or they were shorter than the shortest meal and work went on
// after them; breaks that touch are one. Time that is worked before the rest
// between two days is over stands apart where the terms pay for it; the day itself,
// its included time, its bands by worked time and its minimum count from then.
//
// Time beyond the hours included is overtime: within the grace nothing is due,
// past it all of it is, rounded to the step. Each minute of it is paid at the
// hourly base times what its band says, and 1 before the first band; where bands
// by elapsed time, by the week or the run of days say more, at the most of them.
//
// # What is settled here where terms are often silent
//
// A step counts beyond the wrap as if work had gone on; what it has counted once
// stays as it was counted, though a break or a band by elapsed time follow.
// Two bands by elapsed time of the same factor are one, from the first of them on.
// A sixth or seventh day raises what says less; time before the rest is over is
// paid at what a short rest costs and not raised by the run of days.
// Carried to tomorrow is the most that a minute of the day was paid at, time before
// the rest was over with it; a band that falls again takes nothing from that.
// What a late call is credited comes before the first minute of the day: it fills
// the included time and the bands, of the day and of the week, and no night, no
// meal and no rest.
// A break at the end of a day is a break, however short: no work went on after it.
// A break shorter than the shortest meal is no meal: it is worked, and does not
// start the clock of the next meal.
// The night adds to minutes that were worked in it; what a step counts beyond the
// wrap reaches into no night.
// By the hour a step counts all the time of the day, from the first minute.
// A minimum call is paid plain, whether it was worked or not; what was worked of it
// in a band adds what the band adds, so nobody is paid a premium for time that
// nobody worked, and an agency's fee on straight time is on all of it.
// The curve has straight time by the hour beyond the minimum call in it, and what a
// whole day costs more than half of one.
// Of agreed days each costs the difference of two rounded sums, so that they add up
// to the rate.
//
// The hourly base is never rounded. Every line is the exact product, rounded
// once, half a cent upwards; the total is the sum of the lines as they read.
// Agency fees and on-costs are shares of sums of lines, rounded once each, and
// stand apart from the pay.
//
// No amount ever falls as the wrap moves later, by a unit, for any terms that
// Validate takes: a minute that is paid once keeps its line and its factor.
//
// Terms this package cannot reckon are refused by Validate with a code and a
// sentence, and so is a day that lacks what its terms need; nothing in Terms is
// ignored.
//
// The figures are estimates: contracts, agreements, local law and a licensed
// payroll or employment professional decide.
package overtime

// Package when holds the kinds of time a shoot day uses and the one place that
// turns wall-clock times into instants.
//
// An Instant is what happened; a Date with a Clock and a Zone is what was
// planned. Nothing here reads a clock. The zone rules come from the tz database
// that the running program was built with or finds on its machine, so resolved
// instants travel in events and are not worked out again on replay.
package when

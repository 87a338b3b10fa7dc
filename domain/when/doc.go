// Package when holds the kinds of time a shoot day uses and the one place that
// turns wall-clock times into instants.
//
// An Instant is what happened; a Date with a Clock and a Zone is what was
// planned. Nothing here reads a clock. The zone rules are the tz database
// from the year 2000 on, which travels with the program; another build may bring
// another, so resolved instants travel in events and are not worked out again on
// replay.
package when

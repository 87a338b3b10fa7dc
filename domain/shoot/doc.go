// Package shoot is the whole shoot day as one aggregate.
//
// Decide(state, intent) reads the state and answers with events or a refusal; it
// never changes anything. Apply(state, event) changes the state and never
// refuses a valid event. Events are facts: the instants and amounts in them were
// worked out when they were decided, so replaying a log gives the same bytes on
// every machine. There is no clock, disk, network, randomness or floating-point
// number in here.
//
// # Planes
//
// The state is split into planes, and each kind of event writes exactly one of
// them (its topic). What a person may see is a list of topics; an audience's
// state is therefore the planes it may see and nothing else, and an event is
// passed on whole or not at all. The floor is the plane that everybody sees. The
// floor never depends on any other plane.
//
// # Facts and requests
//
// An intent is a request (open a shot, publish a sheet), which may be refused,
// or a fact (captured, signed out), which is always kept when the person may
// report it and it is well-formed. A fact that contradicts what stands becomes a
// Query, with both sides in it, for the art director or the producer to settle.
package shoot

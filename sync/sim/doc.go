// Package sim runs many real replicas and a real desk in one process, under a
// network, phones and a server that fail on a seed's orders, and checks at the
// end what SPEC.md promises.
//
// The same seed gives the same run on every machine.
package sim

// Package sim runs many real replicas and a real desk in one process, under a
// network, phones and a server that fail on a seed's orders, and checks at the
// end what SPEC.md promises.
//
// The same seed gives the same run on every machine. A test that fails names its
// seed; to play it again, or to play many:
//
//	go test ./sync/sim -run Hostile -sim.seed=47
//	FAIRDAY_SIM_SEED=47 go test ./sync/sim -run Hostile
//	go test ./sync/sim -run Hostile -v -sim.first=1000 -sim.seeds=10000 -timeout 0
//	go test ./sync/sim -run Hostile -v -sim.first=1000 -sim.for=3m
package sim

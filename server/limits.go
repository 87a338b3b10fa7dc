package main

import (
	"time"

	"golang.org/x/time/rate"

	"fairday/sync/wire"
)

// limits bound what connections may take. The times are the network's and run
// on the machine's clock.
type limits struct {
	hello time.Duration // from opening to the first message
	idle  time.Duration // between messages
	write time.Duration // for one piece of a message to go out
	drain time.Duration // for the other end to read the farewell and close

	queueTexts int // messages that wait for a slow phone
	queueBytes int // and their size, before the last one

	sockets     int // of one session
	fromAddress int // of one address
	farewells   int // of one address beyond them, which are told why they may not stay
	allSockets  int

	beat   time.Duration // between two looks at who is on line
	guests int           // sessions whose counts are remembered
	keep   time.Duration // how long a shoot that nobody asks for stays in memory

	tries          int        // join links of one address that do not work, at once
	triesPerSecond rate.Limit // and in the long run
	addresses      int        // that are remembered

	edits, texts                   int        // of one session at once
	editsPerSecond, textsPerSecond rate.Limit // and in the long run
}

// pieceSize is how many bytes of a message have the time of one write, so that a
// large message may take as long as it needs on a weak network while it moves.
const pieceSize = 32 << 10

// drainAtMost is how many bytes are thrown away while waiting for the close.
const drainAtMost = 16 << 20

// usual are the limits that a server runs with. Phones ping every 15 seconds; one
// that comes back after a long time may deliver thousands of edits at once.
//
// Behind one address there may be a house of five studios with a hundred phones
// each, and where the network has just dropped, every phone may have a socket that
// is dead beside its new one, for as long as idle says; a second tab each makes
// 2,000. A quarter of all leaves the rest to everybody else.
func usual() limits {
	return limits{
		hello: 30 * time.Second, idle: 2 * time.Minute, write: 15 * time.Second, drain: 3 * time.Second,
		queueTexts: 1024, queueBytes: 8 << 20,
		sockets: 16, fromAddress: 2500, farewells: 100, allSockets: 10_000, beat: time.Duration(wire.BeatEvery) * time.Millisecond, guests: 20_000, keep: 10 * time.Minute,
		tries: 30, triesPerSecond: 0.2, addresses: 10_000,
		edits: 5000, editsPerSecond: 500, texts: 500, textsPerSecond: 50,
	}
}

package live

import (
	"time"

	"golang.org/x/time/rate"

	"fairday/sync/wire"
)

// Limits bound what connections may take. The times are the network's and run
// on the machine's clock.
type Limits struct {
	Hello time.Duration // from opening to the first message
	Idle  time.Duration // between messages
	Write time.Duration // for one piece of a message to go out
	Drain time.Duration // for the other end to read the farewell and close

	QueueTexts int // messages that wait for a slow phone
	queueBytes int // and their size, before the last one

	Sockets     int // of one session
	FromAddress int // of one address
	Farewells   int // of one address beyond them, which are told why they may not stay
	AllSockets  int

	Beat        time.Duration // between two looks at who is on line
	Remembered  int           // sessions whose counts are remembered
	UnloadAfter time.Duration // how long a shoot that nobody asks for stays in memory

	Tries              int        // join links of one address that do not work, at once
	TriesPerSecond     rate.Limit // and in the long run
	CodeTries          int        // codes of one address that do not work, at once
	CodeTriesPerSecond rate.Limit // and in the long run
	Addresses          int        // that are remembered

	Texts          int        // of one session at once
	textsPerSecond rate.Limit // and in the long run

	Edits, Bytes                   int        // in messages with edits of one session, at once
	EditsPerSecond, bytesPerSecond rate.Limit // and in the long run
	DayEdits, DayBytes             int        // and within a day, or so
}

// pieceSize is how many bytes of a message have the time of one write, so that a
// large message may take as long as it needs on a weak network while it moves.
const pieceSize = 32 << 10

// drainAtMost is how many bytes are thrown away while waiting for the close.
const drainAtMost = 16 << 20

// Usual are the limits that a server runs with. Phones ping every 15 seconds; one
// that comes back after a long time may deliver thousands of edits at once.
//
// Behind one address there may be a house of five studios with a hundred phones
// each, and where the network has just dropped, every phone may have a socket that
// is dead beside its new one, for as long as idle says; a second tab each makes
// 2,000. A quarter of all leaves the rest to everybody else.
//
// The busiest phone of a busy day makes some hundreds of edits, of some hundred
// bytes each; what one session may add within a day is a hundred times that, so that
// nobody at work meets it, and a phone that was taken over fills no disk.
func Usual() Limits {
	return Limits{
		Hello: 30 * time.Second, Idle: 2 * time.Minute, Write: 15 * time.Second, Drain: 3 * time.Second,
		QueueTexts: 1024, queueBytes: 8 << 20,
		Sockets: 16, FromAddress: 2500, Farewells: 100, AllSockets: 10_000, Beat: time.Duration(wire.BeatEvery) * time.Millisecond, Remembered: 20_000, UnloadAfter: 10 * time.Minute,
		Tries: 30, TriesPerSecond: 0.2, CodeTries: 10, CodeTriesPerSecond: 1.0 / 30, Addresses: 10_000,
		Texts: 500, textsPerSecond: 50,
		Edits: 5000, EditsPerSecond: 20, Bytes: 8 << 20, bytesPerSecond: 64 << 10, DayEdits: 20_000, DayBytes: 64 << 20,
	}
}

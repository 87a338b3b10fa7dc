// Package wire is what a phone and a desk say to each other: the messages, the
// protocol number and a strict codec with limits.
//
// A message is one JSON object with a field "type". A phone opens with hello;
// the desk answers with welcome and then with one ordered stream of snapshot and
// frame messages, numbered densely for that connection. Phones send edits; each
// edit ends with exactly one verdict, which travels in a frame.
//
// What a phone sends is read strictly: an unknown type, an unknown field or
// anything after the object is an error with a code. What the desk sends is read
// tolerantly as far as fields go, so that a newer desk may say more.
package wire

import "fairday/domain/when"

// Protocol is the number of the newest protocol that this package speaks. It
// grows with every change to the messages.
//
// History, oldest first:
//
//	1  2026-11-25  intents and verdicts, frames, snapshots, sealed cursors
//	2  2026-11-25  expect says why; somebody whose access was withdrawn may still hand in a queue
//	3  2026-11-25  a pong carries the hash of the floor, and a visit by post ends with one; presence
const Protocol = 3

// The first protocols in which something is said.
const (
	Hashed   = 3 // the hash of the floor with a pong
	Presents = 3 // presence
)

// Lengths of time that both ends count with, in milliseconds.
const (
	DeadAfter = 45 * when.Second // without a word, a connection counts as dead
	BeatEvery = 15 * when.Second // between two looks at who is on line
)

// Oldest is the oldest protocol that may still send edits. An older phone may
// always deliver what waits in its queue; it may not write anything new.
const Oldest = 1

// Limits. A message that breaks one is answered with bye and its code.
const (
	MaxUp    = 256 << 10 // bytes of a message from a phone
	MaxFrame = 1 << 20   // bytes of a frame from the desk
	MaxDown  = 16 << 20  // bytes of any message from the desk; only a snapshot comes near
	MaxEdits = 256       // edits in one message
	MaxSeq   = 1 << 53   // largest number that every reader of JSON keeps exact

	maxText = 200  // bytes of a name, an app version, a generation
	maxSeal = 1024 // bytes of a cursor
)

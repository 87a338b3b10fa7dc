// Package desk is the server's half of sync: one ordered log of intents per
// shoot, a verdict for each, and for each connection the stream of what its
// person may see.
//
// A Desk does no input or output of its own beyond its Log. It belongs to one
// goroutine. Whoever runs it does this, for each message that has come:
//
//	outs := d.Receive(conn, message, now) // edits join the open batch; nothing is visible yet
//
// and when no more messages wait, or enough have come to share one disk write:
//
//	batch := d.Take()
//	err := log.Append(shoot, batch.Entries, batch.Checkpoint) // durable when it returns
//	outs := d.Commit(batch)  // frames and verdicts for everybody concerned
//	outs := d.Abandon(batch) // or, when Append failed: as if nothing had come
//
// Every wire.BeatEvery it says who is on line:
//
//	outs := d.Beat()
//
// and lets the kitchen's counts, which it gathers, join the open batch:
//
//	err := d.Gather(now)
//
// Flush does the last four lines of the batch. The order is the promise: a verdict leaves only
// after what it says is on disk. Outs go to their connections in the order given.
//
// The rules are numbered in SPEC.md, one folder up.
package desk

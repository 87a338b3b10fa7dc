// Package replica is the phone's half of sync: what the desk has confirmed, the
// queue of edits that wait for a verdict, and both shown as one state.
//
// A Replica does no input or output and has no clock. Whoever drives it calls
// one method per thing that happens and then carries out the Step it gets, in
// this order:
//
//  1. Wipe    delete the cache
//  2. Cache   store it: cursor and data in one transaction
//  3. Keep    store the rows durably in the queue's own database
//  4. Drop    delete rows of the queue
//  5. Send    send the texts, in order, if the connection is still the same
//  6. Reread  read the whole queue and hand it to Reread
//  7. NewDevice  take a new device id, number the rows afresh from 1 in one
//     transaction, and go on with a new Replica
//  8. Close   close the connection, call Disconnected, and connect again after
//     a random part of the waiting time but not before RetryAfter; with Halt
//     only when a person asks
//
// A step whose Keep failed is not shared and must not be shown as kept. A new
// edit goes like this: Edit gives one row with Seq 0; the driver stores it in a
// transaction that gives it the device's next number; then it hands the row to
// Kept, which shows it and sends it. A tab that finds rows of another tab hands
// those to Kept as well.
//
// The rules are numbered in SPEC.md, one folder up.
package replica

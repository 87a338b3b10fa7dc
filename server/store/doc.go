// Package store keeps shoots, sessions and join links in a badger database in
// one folder.
//
// # Keys
//
// What belongs to a shoot ends its prefix with the shoot's id:
//
//	h/<shoot>            where the log ends: the last number, and the last link of each plane
//	g/<shoot>            the generation
//	c/<shoot>            the newest checkpoint
//	e/<shoot>/<seq>      entries that are not about money
//	m/<shoot>/<seq>      entries that are about money, which a floor reader never meets
//	i/<shoot>/<intent>   where an intent's first entry is, so that a resend finds its verdict
//
// "key" is the key that seals cursors, "format" the layout's number, "a/s/" and
// "a/j/" hold sessions and join links under the SHA-256 of their token: a token
// itself is never stored. "a/k/" has the keys of devices, "p/" passkeys.
//
// "o/o/", "o/s/" and "o/p/" hold owners, what is known of shoots beside their logs,
// and people who are remembered (house.go). "o/d/" marks shoots that are being deleted
// (drop.go).
//
// # Damage
//
// Each entry's row names the row before it in its plane and carries a sum over
// itself and all before it; the head names the last (chain.go). Every read that
// walks a plane follows these links, so a row that is lost or changed is
// desk.ErrDamaged and never a shorter log. "commits" counts the transactions of
// the log, and so does the file "acknowledged" beside the database, so that a
// write-ahead log that lost its end is noticed when the folder is opened
// (witness.go). Verify reads and replays everything.
//
// # Durability
//
// Appends that wait at the same time, of one shoot or of many, share one
// transaction and one sync (append.go). An append returns when it is on disk.
// Entries stay below badger's value threshold on purpose: badger reports a failed
// sync of its write-ahead log, but only logs one of its value log.
package store

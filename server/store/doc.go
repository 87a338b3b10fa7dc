// Package store keeps shoots, sessions and join links in a badger database in
// one folder.
//
// # Keys
//
// What belongs to a shoot ends its prefix with the shoot's id:
//
//	h/<shoot>            sequence number of the last entry
//	g/<shoot>            the generation
//	c/<shoot>            the newest checkpoint
//	e/<shoot>/<seq>      entries that are not about money
//	m/<shoot>/<seq>      entries that are about money, which a floor reader never meets
//	i/<shoot>/<intent>   where an intent's first entry is, so that a resend finds its verdict
//
// "key" is the key that seals cursors, "format" the layout's number, "a/s/" and
// "a/j/" hold sessions and join links under the SHA-256 of their token: a token
// itself is never stored.
//
// # Durability
//
// Appends that wait at the same time, of one shoot or of many, share one
// transaction and one sync (append.go). An append returns when it is on disk.
// Entries stay below badger's value threshold on purpose: badger reports a failed
// sync of its write-ahead log, but only logs one of its value log.
package store

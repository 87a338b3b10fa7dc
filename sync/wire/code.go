package wire

import (
	"errors"

	"fairday/domain/when"
)

// Code is a stable name for why a connection ends or a message cannot be read.
type Code string

// The codes. Only ever add to this list.
const (
	CodeMalformed   Code = "malformed"     // not one JSON object of a known shape
	CodeTooLarge    Code = "too_large"     // more bytes than fit
	CodeTooMany     Code = "too_many"      // more edits or messages than fit
	CodeUnknownType Code = "unknown_type"  // a message of no known type
	CodeOrder       Code = "out_of_order"  // a message where it may not come
	CodeProtocol    Code = "protocol"      // no common protocol
	CodeSignedOut   Code = "signed_out"    // the session has ended
	CodeRevoked     Code = "revoked"       // access to the shoot was withdrawn
	CodeEpoch       Code = "epoch"         // what the person may see has changed
	CodeDevice      Code = "device"        // the device gave out numbers that it had used before
	CodeSlow        Code = "slow"          // the connection did not keep up
	CodeShutdown    Code = "shutting_down" // the server stops
	CodeUnavailable Code = "unavailable"   // the store failed; nothing was lost
	CodeCrowded     Code = "crowded"       // too many connections at once
	CodeQuota       Code = "quota"         // more edits within a day than one phone may send
)

// says holds the sentence of each code and how long to stay away at least.
var says = map[Code]Bye{
	CodeMalformed:   {Say: "The server could not read what this phone sent. Reload the page; what waits here is kept.", RetryAfter: 5 * when.Second},
	CodeTooLarge:    {Say: "This phone sent more at once than the server takes. Reload the page; what waits here is kept.", RetryAfter: 5 * when.Second},
	CodeTooMany:     {Say: "This phone sent too much in a short time. It goes on by itself in a moment.", RetryAfter: 5 * when.Second},
	CodeUnknownType: {Say: "This page and the server do not fit together. Reload the page; what waits here is kept.", RetryAfter: 30 * when.Second},
	CodeOrder:       {Say: "This phone and the server lost the thread. They start afresh by themselves."},
	CodeProtocol:    {Say: "This page is too old or too new for the server. Reload the page; what waits here is kept.", RetryAfter: 30 * when.Second},
	CodeSignedOut:   {Say: "This phone is signed out. Open your join link again; what waits here is kept."},
	CodeRevoked:     {Say: "Your access to this shoot was withdrawn. Speak to the producer; what waits here is kept."},
	CodeEpoch:       {Say: "What you may see has changed. This phone loads it afresh by itself."},
	CodeDevice:      {Say: "This phone lost part of its memory. It starts afresh by itself."},
	CodeSlow:        {Say: "The connection is too slow to keep up. It goes on by itself.", RetryAfter: when.Second},
	CodeShutdown:    {Say: "The server is restarting. It goes on by itself in a moment.", RetryAfter: 2 * when.Second},
	CodeUnavailable: {Say: "The server cannot store anything just now. What you enter is kept on this phone.", RetryAfter: 5 * when.Second},
	CodeCrowded:     {Say: "Fairday is open in too many places at once. Close it where nobody uses it; this phone goes on by itself.", RetryAfter: 20 * when.Second},
	CodeQuota:       {Say: "This phone has sent more than the server takes from one in a day. What waits here is kept and goes on by itself, slowly. If nobody enters that much, tell the producer.", RetryAfter: 5 * when.Minute},
}

// ByeOf gives the message for a code, with its sentence.
func ByeOf(c Code) Bye {
	b := says[c]
	b.Code = c
	return b
}

// Error says why a message cannot be read.
type Error struct {
	Code  Code
	Cause error // for the log
}

// Error gives the code and the cause.
func (e *Error) Error() string {
	if e.Cause == nil {
		return string(e.Code)
	}
	return string(e.Code) + ": " + e.Cause.Error()
}

// Unwrap gives the cause.
func (e *Error) Unwrap() error { return e.Cause }

// ByeFor gives the message that answers an error of this package; anything else
// is CodeUnavailable.
func ByeFor(err error) Bye {
	var e *Error
	if errors.As(err, &e) {
		return ByeOf(e.Code)
	}
	return ByeOf(CodeUnavailable)
}

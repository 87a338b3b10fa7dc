package live

import (
	"errors"
	"time"
)

// What a question to the live part can end with, beside faults.
var (
	ErrStopped   = errors.New("the server is stopping")
	ErrNoPerson  = errors.New("nobody of that id is on the shoot")
	ErrWithdrawn = errors.New("their access was withdrawn")
	ErrChanged   = errors.New("they were let in as what they no longer are")
	ErrThere     = errors.New("there is a shoot of that id")
	ErrDropped   = errors.New("the shoot was deleted")
	ErrHandshake = errors.New("the socket was not opened")
)

// CrowdedError says that an address has too many sockets, and for how long it
// should stay away.
type CrowdedError struct{ Wait time.Duration }

// Error is for the log.
func (e *CrowdedError) Error() string { return "too many sockets of one address" }

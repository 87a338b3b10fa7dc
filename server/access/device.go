package access

import (
	"errors"

	"fairday/domain/when"
)

// Device is what is known of a device of somebody on a shoot: the public half of the
// key that it signs with, and the session that told it.
type Device struct {
	Key     []byte       `json:"key"` // an uncompressed point on P-256
	Session Hash         `json:"session"`
	Until   when.Instant `json:"until"`
}

// ErrOtherKey says that a device has another key already.
var ErrOtherKey = errors.New("the device has another key")

// MostDevices is how many devices of one person a book remembers. Beyond them the
// one whose time is up first is forgotten.
const MostDevices = 32

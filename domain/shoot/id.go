package shoot

import (
	"encoding/hex"

	"fairday/domain/when"
)

// Each kind of id is a UUIDv7 in its canonical text form, made by whoever
// creates the thing.
type (
	DayID      string
	PersonID   string
	SetupID    string
	ShotID     string
	HeroID     string
	MealID     string
	HireID     string
	ApprovalID string
	IntentID   string
	DeviceID   string
)

// QueryID names a query: the intent that raised it, and a number where one
// intent raised several.
type QueryID string

// Desk is the actor of what the server does itself, such as loading a plan. No
// session can ever have it.
const Desk PersonID = "desk"

// NewID makes a UUIDv7 (RFC 9562, section 5.7) from an instant and ten random
// bytes; six of their bits give way to the version and the variant. A library
// would do, but each brings a source of randomness and half the crypto packages
// into the engine that phones download.
func NewID(at when.Instant, random [10]byte) string {
	var u [16]byte
	ms := uint64(at)
	for i := range 6 {
		u[i] = byte(ms >> (40 - 8*i))
	}
	copy(u[6:], random[:])
	u[6] = u[6]&0x0f | 0x70
	u[8] = u[8]&0x3f | 0x80
	h := hex.EncodeToString(u[:])
	return h[:8] + "-" + h[8:12] + "-" + h[12:16] + "-" + h[16:20] + "-" + h[20:]
}

// ValidID tells whether an id is a UUID in canonical form, lower case.
func ValidID[T ~string](id T) bool {
	if len(id) != 36 {
		return false
	}
	for i := range len(id) {
		switch c := id[i]; {
		case i == 8 || i == 13 || i == 18 || i == 23:
			if c != '-' {
				return false
			}
		case (c < '0' || c > '9') && (c < 'a' || c > 'f'):
			return false
		}
	}
	return true
}

package shoot

import (
	"github.com/google/uuid"

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
// bytes; six of their bits give way to the version and the variant.
func NewID(at when.Instant, random [10]byte) string {
	var u uuid.UUID
	ms := uint64(at)
	for i := range 6 {
		u[i] = byte(ms >> (40 - 8*i))
	}
	copy(u[6:], random[:])
	u[6] = u[6]&0x0f | 0x70
	u[8] = u[8]&0x3f | 0x80
	return u.String()
}

// validID tells whether an id is a UUID in canonical form.
func validID[T ~string](id T) bool {
	return len(id) == 36 && uuid.Validate(string(id)) == nil
}

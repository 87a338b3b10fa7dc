package access

import (
	"encoding/json"
	"errors"

	"fairday/domain/shoot"
	"fairday/domain/when"
)

// Passkey is a key of somebody's own device or account by which they come in
// without a link (Web Authentication, W3C). It holds in the epoch that it was added in,
// as a session does, and is named by the hash of its credential's id.
type Passkey struct {
	Shoot      string          `json:"shoot"`
	Person     shoot.PersonID  `json:"person"`
	Epoch      int             `json:"epoch,omitempty"`
	Phone      string          `json:"phone,omitempty"` // what kind of phone added it, for people
	Made       when.Instant    `json:"made"`
	Used       when.Instant    `json:"used,omitempty"` // last, 0 for not yet
	Credential json.RawMessage `json:"credential"`     // the public half and the count of its uses
}

// MostPasskeys is how many one person may have on a shoot.
const MostPasskeys = 10

// Why a passkey is not kept.
var (
	ErrSamePasskey  = errors.New("the passkey is kept already")
	ErrManyPasskeys = errors.New("the person has as many passkeys as fit")
	ErrNoPasskey    = errors.New("no such passkey")
)

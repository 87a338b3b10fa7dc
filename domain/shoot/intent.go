package shoot

import (
	"encoding/json"

	"fairday/domain/when"
)

// Intent is what somebody wants to happen or says has happened, as it reaches
// Decide. Actor and Received come from the session and the desk, never from the
// payload.
type Intent struct {
	ID       IntentID        `json:"id"`
	Name     string          `json:"name"`
	Version  int             `json:"version"`
	Args     json.RawMessage `json:"args"`
	Actor    PersonID        `json:"actor"`
	Happened when.Instant    `json:"happened"` // the device's claim, its clock's offset taken out
	Received when.Instant    `json:"received"` // on the desk's clock; on a phone, on the phone's
}

// Decision is what an accepted intent leads to. No events means that it was so
// already.
type Decision struct {
	Events []Event
	Flag   *Flag
}

// Skew is how far a claim and a receipt may lie apart before both are shown.
const Skew = 2 * when.Minute

// longestAway is how old a claim may be and still be believed; anything older
// is taken for a clock that is wrong.
const longestAway = 14 * 24 * when.Hour

// at is when the intent took place: the claim, unless it lies in the future or
// further back than a phone may stay away.
func (in Intent) at() (at when.Instant, believed bool) {
	if in.Happened > 0 && in.Happened <= in.Received+Skew && in.Happened >= in.Received-longestAway {
		return in.Happened, true
	}
	return in.Received, false
}

package wire

import (
	"encoding/json"
	"errors"

	"fairday/domain/shoot"
	"fairday/domain/when"
)

// Handed is one edit of a queue that is handed over, as its device signs it: the
// signature is over the text, and nothing outside the text counts.
type Handed struct {
	Fairday string         `json:"fairday"` // HandedMark
	Shoot   string         `json:"shoot"`
	Owner   shoot.PersonID `json:"owner"`
	Device  shoot.DeviceID `json:"device"`
	Epoch   int            `json:"epoch"` // of the owner when it was signed
	Until   when.Instant   `json:"until"` // not to be taken from then on
	After   uint64         `json:"after"` // the number of the edit before it in the queue, 0 for none
	Edit    Edit           `json:"edit"`
}

// HandedMark says what is signed, and grows with the format.
const HandedMark = "waiting edit 1"

// maxHanded is how many bytes an edit and what it is bound to may take.
const maxHanded = shoot.MaxArgs + 4<<10

// DecodeHanded reads one, strictly. The error is an *Error.
func DecodeHanded(b []byte) (Handed, error) {
	var h Handed
	if err := sized(b, maxHanded); err != nil {
		return h, err
	}
	if err := read(b, true, &h); err != nil {
		return h, malformed(err)
	}
	switch {
	case h.Fairday != HandedMark:
		return h, malformed(errors.New("not signed as a waiting edit"))
	case !shoot.ValidID(h.Owner) || !shoot.ValidID(h.Device) || h.Epoch < 0 || h.After >= h.Edit.Seq:
		return h, malformed(errors.New("what it is bound to cannot be"))
	case !json.Valid(h.Edit.Args):
		return h, malformed(errors.New("no arguments"))
	}
	return h, h.Edit.check()
}

package desk

import (
	"errors"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/wire"
)

// Carried is an edit that somebody brings for its owner, whose phone has no signal.
type Carried struct {
	wire.Edit
	After uint64 // the number of the edit before it in its owner's queue, 0 for none: those in between will never come
}

// Delivery is what one person brings of another one's queue. Whoever runs the desk has
// checked that the owner's device signed every edit as it is here.
type Delivery struct {
	Owner, Via shoot.PersonID
	Device     shoot.DeviceID // the owner's
	Epoch      int            // of the owner when the edits were handed over
	Edits      []Carried
}

// Why nothing more of a delivery is taken.
var (
	ErrNoAccess = errors.New("owner or deliverer may not come in")
	ErrEpoch    = errors.New("what the owner may do has changed since")
	ErrGap      = errors.New("edits in front of these have not come")
	ErrNewer    = errors.New("an edit is of a newer page than this desk")
	ErrGone     = errors.New("the owner's phone has sent or discarded these")
)

// Deliver takes a delivery into the open batch, in order, and gives the verdicts; they
// may be told once the batch is committed. The error is the store's or one of those
// above; what is in front of it was taken.
func (d *Desk) Deliver(by Delivery, now when.Instant) ([]wire.Verdict, error) {
	who, ok := d.shown.AudienceOf(by.Owner)
	if _, in := d.shown.AudienceOf(by.Via); !ok || !in {
		return nil, ErrNoAccess
	}
	if d.shown.Floor.People[who.Person].Epoch != by.Epoch {
		return nil, ErrEpoch
	}
	from := sender{by.Owner, by.Via, by.Device}
	if by.Via == by.Owner { // another phone of theirs: it is their own word
		from.via = ""
	}
	key := KeyOf(by.Owner, by.Device)
	var out []wire.Verdict
	for _, e := range by.Edits {
		after := uint64(0)
		if e.After < e.Seq && e.After <= d.last(key) {
			after = e.Seq - 1
		}
		stop, err := d.submitOne(from, e.Edit, after, now)
		var wrong *wire.Error
		switch {
		case errors.As(err, &wrong):
			return out, ErrGone
		case err != nil:
			return out, err
		case stop != nil && stop.Why != "":
			return out, ErrNewer
		case stop != nil:
			return out, ErrGap
		}
		answers := d.open.verdicts[key]
		out = append(out, answers[len(answers)-1].verdict)
	}
	return out, nil
}

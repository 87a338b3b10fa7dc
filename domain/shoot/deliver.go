package shoot

import "fairday/domain/when"

// A phone without signal can hand what waits on it to somebody else on the shoot,
// who delivers it. A fact counts as its owner's, and says who delivered it. A
// request asks for something now, and was entered for another moment: it comes into
// effect on its owner's own word only, and so does what is about money. Their phone
// still holds it; there it is entered again or discarded.

var deliverRows = rows{events: []eventRow{{body: Delivered{}}}}

// Delivered says that a fact was brought to the desk by somebody else than its owner.
// It stands in the entry of the fact, behind what the fact led to.
type Delivered struct {
	Intent IntentID     `json:"intent"`
	At     when.Instant `json:"at"` // when the fact took place
	Via    PersonID     `json:"via"`
}

// DeliveryKey names what one person reported of one instant.
type DeliveryKey string

// DeliveryOf makes the key of a delivery.
func DeliveryOf(owner PersonID, at when.Instant) DeliveryKey {
	return DeliveryKey(string(owner) + "/" + itoa(int(at)))
}

// Deliver turns what an intent of one person leads to into what it leads to when
// another one delivers it. The error is always a *Refusal.
func Deliver(s *State, in Intent, via PersonID, d Decision, err error) (Decision, error) {
	row := intents[in.Name]
	if row != nil && (!row.fact || row.money()) {
		return Decision{}, refuse(CodeOwnWord, "%s delivered this for you. It needs your own word, so nothing was done.", s.nameOf(via))
	}
	if err != nil || len(d.Events) == 0 {
		return d, err
	}
	out := Event{At: d.Events[0].At, By: in.Actor, Body: Delivered{in.ID, d.Events[0].At, via}}
	if p, ok := d.Events[0].Body.(Punched); ok {
		out.Body = Delivered{in.ID, p.Mark.At, via}
	}
	d.Events = append(d.Events, out)
	return d, nil
}

func (Delivered) kind() string { return "edit.delivered" }
func (Delivered) topic() Topic { return TopicFloor }
func (e Delivered) apply(s *State, ev Event) {
	s.Floor.Delivered = with(s.Floor.Delivered, DeliveryOf(ev.By, e.At), e.Via)
}

package shoot

import (
	"bytes"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash/fnv"
	"io"
	"strconv"

	"fairday/domain/when"
)

// Event is a fact that was decided. At is when it happened, By who said so.
type Event struct {
	At   when.Instant
	By   PersonID
	Body Body
}

// Body is what an event of one kind says. It writes exactly one plane.
type Body interface {
	kind() string
	topic() Topic
	apply(*State, Event)
}

// Kind is the stable name of what happened, like "shot.opened".
func (e Event) Kind() string { return e.Body.kind() }

// Topic is the plane that the event writes.
func (e Event) Topic() Topic { return e.Body.topic() }

// Apply makes an event part of the state. An event for a plane that this state
// does not hold is passed over.
func Apply(s *State, e Event) {
	if s.holds(e.Body.topic()) {
		e.Body.apply(s, e)
	}
}

func (s *State) holds(t Topic) bool {
	switch t {
	case TopicOffice:
		return s.Office != nil
	case TopicMoney:
		return s.Money != nil
	case TopicKitchen:
		return s.Kitchen != nil
	}
	return true
}

type eventJSON struct {
	Kind    string          `json:"kind"`
	Version int             `json:"v,omitempty"` // of the body; not written where it is 1
	At      when.Instant    `json:"at"`
	By      PersonID        `json:"by"`
	Data    json.RawMessage `json:"data"`
}

// MarshalJSON writes the kind beside the body.
func (e Event) MarshalJSON() ([]byte, error) {
	data, err := json.Marshal(e.Body)
	if err != nil {
		return nil, err
	}
	out := eventJSON{Kind: e.Body.kind(), At: e.At, By: e.By, Data: data}
	if n := len(events[out.Kind].older); n > 0 {
		out.Version = n + 1
	}
	return json.Marshal(out)
}

// UnmarshalJSON reads what MarshalJSON writes now and ever wrote. An unknown kind
// or version is an error: the reader is older than the log.
func (e *Event) UnmarshalJSON(b []byte) error {
	var j eventJSON
	if err := strict(b, &j); err != nil {
		return err
	}
	row := events[j.Kind]
	if row == nil {
		return fmt.Errorf("unknown event kind %q", j.Kind)
	}
	body, err := row.decode(max(j.Version, 1), j.Data)
	if err != nil {
		return fmt.Errorf("event %s: %w", j.Kind, err)
	}
	*e = Event{At: j.At, By: j.By, Body: body}
	return nil
}

// FloorHash sums up the floor plane; two states with the same floor have the
// same hash on every machine. It finds accidents, not forgers: a desk is trusted
// by its phones.
func (s *State) FloorHash() string { return HashOf(s.FloorJSON()) }

// HashOf is the FloorHash of a floor that is encoded already.
func HashOf(floor []byte) string {
	sum := fnv.New128a()
	sum.Write(floor) // never fails
	return hex.EncodeToString(sum.Sum(nil))
}

// FloorJSON encodes the floor.
func (s *State) FloorJSON() []byte {
	b, err := json.Marshal(s.Floor)
	if err != nil { // only a clock out of its range, which no event carries
		panic(err)
	}
	return b
}

// plain is a State without its methods.
type plain State

// JSON gives the encoding of a state in three parts, of which the middle one is
// its FloorJSON, for who has that already: many audiences, one floor.
func (s *State) JSON() (before, after []byte, err error) {
	b, err := json.Marshal(struct {
		*plain
		Floor bool `json:"floor,omitempty"` // hides the floor and is left out itself
	}{plain: (*plain)(s)})
	if err != nil {
		return nil, nil, err
	}
	b[0] = ','
	return []byte(`{"floor":`), b, nil
}

// strict decodes exactly one JSON value and no field that it does not know.
func strict(b []byte, into any) error {
	dec := json.NewDecoder(bytes.NewReader(b))
	dec.DisallowUnknownFields()
	if err := dec.Decode(into); err != nil {
		var wrong *json.UnmarshalTypeError
		if errors.As(err, &wrong) && wrong.Field != "" {
			return fmt.Errorf("%s cannot be the %s", wrong.Field, wrong.Value)
		}
		return err
	}
	if _, err := dec.Token(); err != io.EOF {
		return fmt.Errorf("something follows the value")
	}
	return nil
}

func itoa(n int) string { return strconv.Itoa(n) }

// with puts a value under a key and hands the map back, making it when needed.
func with[K comparable, V any](m map[K]V, k K, v V) map[K]V {
	if m == nil {
		m = map[K]V{}
	}
	m[k] = v
	return m
}

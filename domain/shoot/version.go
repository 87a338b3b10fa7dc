package shoot

import (
	"encoding/json"
	"fmt"
)

// StateVersion is the version of State's shape. What holds a state of another
// one, a checkpoint or a phone's cache, is thrown away: the log and the desk
// have all of it.
const StateVersion = 14

// upgrade turns what one version of an intent's arguments or of an event's body
// says into what the next version says. They are only ever added, since phones and
// logs keep what they hold; an event without any is written without a version.
type upgrade func(json.RawMessage) (json.RawMessage, error)

// turning makes an upgrade out of a function from one version's struct to the
// next one's.
func turning[Old, New any](f func(Old) New) upgrade {
	return func(raw json.RawMessage) (json.RawMessage, error) {
		var old Old
		if err := strict(raw, &old); err != nil {
			return nil, err
		}
		return json.Marshal(f(old))
	}
}

// same is the upgrade where the next version only has more fields, and zero
// means in each what it meant that it was not there.
func same(raw json.RawMessage) (json.RawMessage, error) { return raw, nil }

// newest brings what is of some version, from 1 on, to the newest.
func newest(steps []upgrade, version int, raw json.RawMessage) (json.RawMessage, error) {
	if version < 1 || version > len(steps)+1 {
		return nil, fmt.Errorf("version %d is not known, the newest is %d", version, len(steps)+1)
	}
	var err error
	for _, step := range steps[version-1:] {
		if raw, err = step(raw); err != nil {
			return nil, err
		}
	}
	return raw, nil
}

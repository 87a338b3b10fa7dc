package wire

import (
	"encoding/json"

	"fairday/domain/shoot"
	"fairday/domain/when"
)

// Message is one of the types below.
type Message interface{ name() string }

// head holds the type while a message is being read.
type head struct {
	Type string `json:"type,omitempty"`
}

// Hello is a phone's first message on a connection.
type Hello struct {
	head
	Protocol   int            `json:"protocol"`
	App        string         `json:"app"` // build of the client, for the log
	Device     shoot.DeviceID `json:"device"`
	Cursor     string         `json:"cursor"`     // of the last frame that was kept, "" for none
	Generation string         `json:"generation"` // of the log that the cursor belongs to, "" for none
	Sent       uint64         `json:"sent"`       // highest number this device has ever given an edit
}

// Edits are intents, in the order of their numbers.
type Edits struct {
	head
	// After says that every number up to this one has had its verdict or was
	// dropped by a person, so the desk shall not wait for it. It is needed when
	// a desk was restored from a backup; zero says nothing.
	After uint64 `json:"after,omitempty"`
	Edits []Edit `json:"edits"`
}

// Edit is one intent as a phone sends it. Who sends it is known from the
// session and is never in it.
type Edit struct {
	ID        shoot.IntentID  `json:"id"`
	Seq       uint64          `json:"seq"` // dense per device, from 1
	Name      string          `json:"name"`
	Version   int             `json:"version"`
	Args      json.RawMessage `json:"args"`
	Happened  when.Instant    `json:"happened"`            // on the phone's clock
	Offset    when.Instant    `json:"offset"`              // how far the phone's clock is thought to be ahead, in milliseconds
	DependsOn shoot.IntentID  `json:"dependsOn,omitempty"` // an earlier edit of the same row
}

// Ping asks for a Pong.
type Ping struct {
	head
	N       uint64       `json:"n"`
	At      when.Instant `json:"at"`                // on the phone's clock
	Present uint64       `json:"present,omitempty"` // number of the newest Presence of this connection, which may have got lost
}

// Welcome answers a Hello.
type Welcome struct {
	head
	Protocol   int            `json:"protocol"` // spoken on this connection
	Oldest     int            `json:"oldest"`   // oldest protocol that may still write
	Now        when.Instant   `json:"now"`
	Generation string         `json:"generation"`
	Person     shoot.PersonID `json:"person"`
	Role       shoot.Role     `json:"role"`
	Epoch      int            `json:"epoch"`  // grows when what the person may see changes
	Expect     uint64         `json:"expect"` // the edit number wanted next from this device
}

// Snapshot is everything that an audience sees. It replaces what the phone has.
type Snapshot struct {
	head
	N      uint64          `json:"n"` // dense per connection from 1, shared with frames
	Cursor string          `json:"cursor"`
	State  json.RawMessage `json:"state"` // a shoot.State
	Hash   string          `json:"hash"`  // of the floor
}

// Frame is what happened next, as far as an audience sees it, with the verdicts
// for the device it goes to.
type Frame struct {
	head
	N        uint64            `json:"n"`
	Cursor   string            `json:"cursor"`
	Events   []json.RawMessage `json:"events"` // shoot.Events
	Verdicts []Verdict         `json:"verdicts,omitempty"`
	Hash     string            `json:"hash,omitempty"` // of the floor afterwards, once in many changes
}

// Result is how an edit ended.
type Result string

// The results.
const (
	Accepted Result = "accepted"
	Flagged  Result = "flagged" // accepted, and somebody should know more
	Refused  Result = "refused"
)

// Verdict is how one edit ended. It goes to the device that sent the edit and
// to nobody else.
type Verdict struct {
	ID      shoot.IntentID `json:"id"`
	Seq     uint64         `json:"seq"`
	Result  Result         `json:"result"`
	Flag    *shoot.Flag    `json:"flag,omitempty"`
	Refusal *shoot.Refusal `json:"refusal,omitempty"`
}

// Expect says that the device shall send from Seq on: that edit was missing, or
// could not be taken yet for the reason in Why.
type Expect struct {
	head
	Seq uint64 `json:"seq"`
	Why Code   `json:"why,omitempty"` // CodeProtocol: the desk is older than the page that made the edit
}

// Pong answers a Ping. The one at the end of a visit by post answers none and has
// N 0.
type Pong struct {
	head
	N    uint64       `json:"n"`
	At   when.Instant `json:"at"` // as the Ping said
	Now  when.Instant `json:"now"`
	Last uint64       `json:"last"`           // number of the newest frame or snapshot sent on this connection
	Hash string       `json:"hash,omitempty"` // of the floor after Last; from protocol Hashed on
}

// Presence is whose phones are on line. It stands outside the numbered stream and may
// get lost; it is said from protocol Presents on.
type Presence struct {
	head
	N      uint64           `json:"n"`      // of the list: a later one has a higher number
	People []shoot.PersonID `json:"people"` // in order
}

// Bye is the desk's last message before it closes.
type Bye struct {
	head
	Code       Code         `json:"code"`
	Say        string       `json:"say"`
	RetryAfter when.Instant `json:"retryAfter"` // milliseconds to wait at least
}

func (Hello) name() string    { return "hello" }
func (Edits) name() string    { return "edits" }
func (Ping) name() string     { return "ping" }
func (Welcome) name() string  { return "welcome" }
func (Snapshot) name() string { return "snapshot" }
func (Frame) name() string    { return "frame" }
func (Expect) name() string   { return "expect" }
func (Pong) name() string     { return "pong" }
func (Presence) name() string { return "presence" }
func (Bye) name() string      { return "bye" }

// Post is a whole visit in one request: what a phone that cannot hold a
// connection sends. The answer is a JSON array of the desk's messages.
type Post struct {
	Hello Hello  `json:"hello"`
	After uint64 `json:"after,omitempty"` // as in Edits
	Edits []Edit `json:"edits"`
}

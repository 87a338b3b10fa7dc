package main

import (
	"encoding/json"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/replica"
	"fairday/sync/wire"
)

// Start says who the engine runs for.
type Start struct {
	Device shoot.DeviceID `json:"device"`
	Person shoot.PersonID `json:"person"`
	App    string         `json:"app"`  // build of the client
	Sent   uint64         `json:"sent"` // highest number that the queue has ever given out
}

// Reply is a replica's step, for the worker to carry out in the order that the
// fields have here.
type Reply struct {
	Fault string `json:"fault,omitempty"` // a bug: nothing below counts; start a new engine
	Trace string `json:"trace,omitempty"`

	Wipe       bool           `json:"wipe,omitempty"`
	Cached     bool           `json:"cached,omitempty"` // fetch the cache and store it
	Keep       []Slot         `json:"keep,omitempty"`
	Drop       []uint64       `json:"drop,omitempty"`
	Send       []string       `json:"send,omitempty"`
	Close      bool           `json:"close,omitempty"`
	Halt       bool           `json:"halt,omitempty"`
	RetryAfter when.Instant   `json:"retryAfter,omitempty"` // milliseconds
	NewDevice  bool           `json:"newDevice,omitempty"`
	Changed    bool           `json:"changed,omitempty"`
	Reread     bool           `json:"reread,omitempty"` // hand the whole queue to reread
	Refused    *shoot.Refusal `json:"refused,omitempty"`
	Standing   *Standing      `json:"standing,omitempty"` // when it changed
}

// Slot is a row of the queue: its number, which the database gives to one that
// has 0, and the rest, which only the engine reads.
type Slot struct {
	Seq uint64      `json:"seq"`
	Row replica.Row `json:"row"`
}

// Standing is how this phone stands with the server.
type Standing struct {
	Online   bool         `json:"online"`   // welcomed on the present connection
	Role     shoot.Role   `json:"role"`     // as the server said last, "" for never
	Known    bool         `json:"known"`    // the shoot is known on this phone
	Heard    uint64       `json:"heard"`    // goes up with every change that the server told since the engine was loaded
	Since    when.Instant `json:"since"`    // the server's time of its last word, 0 for never
	Offset   when.Instant `json:"offset"`   // how far this phone's clock is ahead, in milliseconds
	Waiting  int          `json:"waiting"`  // edits that the server has not ruled on
	Outdated bool         `json:"outdated"` // this page is too old for the server: reload
	Halted   wire.Code    `json:"halted"`   // why connecting again is for a person to ask
	Pending  []Item       `json:"pending"`  // the waiting edits, oldest first
	Stuck    []Item       `json:"stuck"`    // refused or flagged edits to look at, oldest first
}

// Item is an edit in the queue of this phone.
type Item struct {
	Seq    uint64          `json:"seq"`
	Name   string          `json:"name"`
	Args   json.RawMessage `json:"args"`
	Made   when.Instant    `json:"made"`
	Result wire.Result     `json:"result"` // "" while it waits
	Code   shoot.Code      `json:"code"`   // why it was refused or flagged, or has no effect on this phone yet
	Say    string          `json:"say"`
	Yours  string          `json:"yours"`
	Theirs string          `json:"theirs"`
}

func (b *Bridge) reply(s replica.Step) Reply {
	r := Reply{Wipe: s.Wipe, Drop: s.Drop, Close: s.Close, Halt: s.Halt, RetryAfter: s.RetryAfter,
		NewDevice: s.NewDevice, Changed: s.Changed, Reread: s.Reread, Refused: s.Refused}
	for _, row := range s.Keep {
		r.Keep = append(r.Keep, Slot{row.Seq, row})
	}
	for _, text := range s.Send {
		r.Send = append(r.Send, string(text))
	}
	if s.Cache != nil {
		b.cache, r.Cached = s.Cache, true
	}
	if s.Changed {
		r.Standing = b.standing()
	}
	return r
}

func (b *Bridge) standing() *Standing {
	s := b.replica.Status()
	return &Standing{Online: s.Online, Role: b.replica.Audience().Role, Known: b.replica.State() != nil,
		Heard: s.Heard, Since: s.Since, Offset: s.Offset, Waiting: s.Waiting, Outdated: s.Outdated, Halted: s.Halted,
		Pending: items(b.replica.Pending()), Stuck: items(b.replica.Stuck())}
}

func items(from []replica.Item) []Item {
	out := make([]Item, len(from))
	for i, f := range from {
		it := Item{Seq: f.Seq, Name: f.Edit.Name, Args: f.Edit.Args, Made: f.Made}
		why := f.Doubt
		if v := f.Verdict; v != nil {
			it.Result = v.Result
			why = v.Refusal
			if v.Flag != nil {
				why = (*shoot.Refusal)(v.Flag)
			}
		}
		if why != nil {
			it.Code, it.Say, it.Yours, it.Theirs = why.Code, why.Say, why.Yours, why.Theirs
		}
		out[i] = it
	}
	return out
}

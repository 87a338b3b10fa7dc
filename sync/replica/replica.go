package replica

import (
	"cmp"
	"encoding/json"
	"slices"

	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/when"
	"fairday/sync/wire"
)

// Lengths of time, in milliseconds.
const (
	Linger = 48 * when.Hour // how long an edit is kept after its verdict, to be offered to a restored desk

	pingEvery  = 15 * when.Second
	offerAgain = 20 * when.Second // without a verdict, edits are sent once more
	cacheEvery = 2 * when.Second
	checkEvery = 3 * when.Second  // between two workings-out of the floor's hash
	lowerFor   = 10 * when.Minute // an older desk is given, before a hello tries the newest protocol again
)

// Row is a row of the queue's database.
type Row struct {
	Seq        uint64        `json:"seq"` // the device's number; 0 until the database gives one
	Edit       wire.Edit     `json:"edit"`
	Made       when.Instant  `json:"made"`                 // on the phone's clock
	Acked      when.Instant  `json:"acked,omitempty"`      // when the verdict came, on the phone's clock
	Generation string        `json:"generation,omitempty"` // of the log that the verdict is in
	Verdict    *wire.Verdict `json:"verdict,omitempty"`
	Seen       bool          `json:"seen,omitempty"` // a person has looked at what was flagged
}

// Cache is what the phone keeps of the desk's word. It can be thrown away.
type Cache struct {
	Version    int            `json:"version"` // shoot.StateVersion of the page that stored it
	Person     shoot.PersonID `json:"person"`
	Role       shoot.Role     `json:"role"`
	Epoch      int            `json:"epoch"`
	Generation string         `json:"generation"`
	Cursor     string         `json:"cursor"`
	Since      when.Instant   `json:"since"`  // the desk's time of its last word
	Offset     when.Instant   `json:"offset"` // how far the phone's clock is ahead
	State      *shoot.State   `json:"state"`
	Verdicts   []wire.Verdict `json:"verdicts"` // of rows in the queue: what they led to is in State
}

// Step is what is to be done, in the order that the package comment gives.
type Step struct {
	Wipe       bool              `json:"wipe,omitempty"`
	Cache      *Cache            `json:"cache,omitempty"` // nil where it has not changed
	Keep       []Row             `json:"keep,omitempty"`
	Drop       []uint64          `json:"drop,omitempty"`
	Send       []json.RawMessage `json:"send,omitempty"`
	Close      bool              `json:"close,omitempty"`
	Halt       bool              `json:"halt,omitempty"`       // connecting again is for a person to ask
	RetryAfter when.Instant      `json:"retryAfter,omitempty"` // milliseconds
	NewDevice  bool              `json:"newDevice,omitempty"`  // take a new device id, number the rows afresh from 1 in one transaction, and make a new Replica
	Changed    bool              `json:"changed,omitempty"`    // what is shown is not what it was
	Reread     bool              `json:"reread,omitempty"`     // rows of another tab are missing: hand the whole queue to Reread
	Refused    *shoot.Refusal    `json:"refused,omitempty"`    // the edit was not taken; nothing is queued
}

// Item is an edit in the queue as a person sees it.
type Item struct {
	Row
	Doubt *shoot.Refusal `json:"doubt,omitempty"` // on a waiting edit: why it has no effect on what is shown
}

// Status is what the connection line shows.
type Status struct {
	Online     bool         `json:"online"`     // the desk has welcomed this connection
	Heard      uint64       `json:"heard"`      // changes that the desk has told since Load: a far screen made before one may be behind
	Since      when.Instant `json:"since"`      // the desk's time of its last word, 0 for never
	Offset     when.Instant `json:"offset"`     // how far the phone's clock is ahead of the desk's, in milliseconds
	Waiting    int          `json:"waiting"`    // edits without a verdict
	Outdated   bool         `json:"outdated"`   // page and desk do not understand each other: reload
	Halted     wire.Code    `json:"halted"`     // why connecting again is for a person to ask, "" when it is not
	Mismatches int          `json:"mismatches"` // times that the floor's hash did not agree
}

// Replica is one tab's copy of a shoot. It belongs to one goroutine.
type Replica struct {
	device shoot.DeviceID
	person shoot.PersonID
	app    string
	speaks int          // the protocol of the next hello; less than the newest for a desk that is older than this page
	lower  when.Instant // since when it is less, on the phone's clock

	// What the desk said.
	confirmed  *shoot.State // nil when nothing is known
	role       shoot.Role
	epoch      int
	generation string
	cursor     string
	since      when.Instant
	offset     when.Instant
	stored     when.Instant // when the cache was last given out
	dirty      bool         // the cache that was given out is not the newest
	blind      bool         // hashes mean nothing: page and desk see the floor differently
	outdated   bool
	heard      uint64 // frames and snapshots that brought something
	deaf       bool   // the desk has said something that this page cannot read
	mismatches int
	owed       string       // the floor's hash as the newest frame or pong said, "" when it was checked
	unchecked  bool         // the floor is not the one whose hash was checked last
	checked    when.Instant // when a hash was last worked out
	halted     wire.Code

	// The queue.
	rows    []Row  // by Seq
	drafts  []Row  // given out by Edit and not yet kept
	known   uint64 // every number up to this one is in rows or will never come
	claimed uint64 // the highest number given out, as the newest hello said
	suspect bool   // the desk has seen higher numbers
	doubts  map[uint64]*shoot.Refusal
	shown   *shoot.State

	link link
}

// link is the present connection.
type link struct {
	up, welcome bool
	handing     bool   // access was withdrawn, and the desk takes what waits
	n           uint64 // of the last frame or snapshot
	sent        uint64 // rows up to this number have been sent
	expect      uint64 // the number the desk wants next, once what was sent has come
	opened      when.Instant
	heard       when.Instant
	pinged      when.Instant
	pings       uint64
	moved       when.Instant // when an edit was sent or a verdict came
	patience    when.Instant // how long to wait for a verdict before sending again
	rewound     uint64       // the gap that was answered last
	refused     wire.Code    // why the desk does not take the next edit, "" when it does
	trip        when.Instant // shortest round trip that the offset was taken from, -1 for none

	present map[shoot.PersonID]bool // whose phones are on line
	heardOf uint64                  // number of that list, 0 for none yet
}

// New makes a replica that knows nothing.
func New(device shoot.DeviceID, person shoot.PersonID, app string) *Replica {
	return &Replica{device: device, person: person, app: app, speaks: wire.Protocol, doubts: map[uint64]*shoot.Refusal{}}
}

// Load gives a new replica what the phone has stored: the cache, or nil; all
// rows of the queue; and the highest number that the queue has ever given out.
// A cache of another person, or of a page that saw a shoot in another shape, is
// not used.
func (r *Replica) Load(c *Cache, rows []Row, sent uint64) Step {
	var step Step
	if c != nil && c.State != nil && c.Person == r.person && c.Version == shoot.StateVersion {
		r.confirmed, r.role, r.epoch, r.generation = c.State, c.Role, c.Epoch, c.Generation
		r.cursor, r.since, r.offset, r.unchecked = c.Cursor, c.Since, c.Offset, true
	} else if c != nil {
		step.Wipe, c = true, nil
	}
	r.rows = slices.Clone(rows)
	sorting.By(r.rows, func(a, b Row) int { return cmp.Compare(a.Seq, b.Seq) })
	r.known = sent
	if n := len(r.rows); n > 0 {
		r.known = max(sent, r.rows[n-1].Seq)
	}
	if c != nil { // a verdict whose row was not stored any more before the phone stopped
		for _, v := range c.Verdicts {
			if row := r.find(v.ID); row != nil && row.Verdict == nil {
				row.Verdict, row.Acked, row.Generation = &v, c.Since+c.Offset, c.Generation
				step.Keep = append(step.Keep, *row)
			}
		}
	}
	r.rebase()
	step.Changed = true
	return step
}

// State is what to show: what is confirmed with the waiting edits on top. It is
// nil when nothing is known, which never means yes. It must not be changed, nor
// kept past the next call.
func (r *Replica) State() *shoot.State { return r.shown }

// Confirmed is what the desk has confirmed, nil when nothing is known, under
// the same conditions as State.
func (r *Replica) Confirmed() *shoot.State { return r.confirmed }

// Audience is who the phone is, as the desk last said; the role is "" when it
// has not.
func (r *Replica) Audience() shoot.Audience { return shoot.Audience{Person: r.person, Role: r.role} }

// Present is whose phones are on line, by the desk's last word on this connection;
// nil when that is not known, as on a phone that is out of reach itself. It must not
// be changed.
func (r *Replica) Present() map[shoot.PersonID]bool { return r.link.present }

// Since is the desk's time of its last word, 0 for never.
func (r *Replica) Since() when.Instant { return r.since }

// Offset is how far the phone's clock is thought to be ahead of the desk's.
func (r *Replica) Offset() when.Instant { return r.offset }

// Status gives what the connection line shows.
func (r *Replica) Status() Status {
	return Status{Online: r.link.welcome && !r.link.handing, Heard: r.heard, Since: r.since, Offset: r.offset, Waiting: len(r.Pending()),
		Outdated: r.outdated || r.link.refused == wire.CodeProtocol, Halted: r.halted, Mismatches: r.mismatches}
}

// Pending gives the edits that wait for a verdict, oldest first.
func (r *Replica) Pending() []Item {
	var out []Item
	for _, row := range r.rows {
		if row.Verdict == nil {
			out = append(out, Item{row, r.doubts[row.Seq]})
		}
	}
	return out
}

// Rows gives every row of the queue and the highest number that was given out,
// as far as this tab knows.
func (r *Replica) Rows() (rows []Row, sent uint64) {
	return slices.Clone(r.rows), max(r.known, r.highest())
}

// Stuck gives the edits that somebody should look at, oldest first: refused
// ones until they are discarded, flagged ones until they are.
func (r *Replica) Stuck() []Item {
	var out []Item
	for _, row := range r.rows {
		if v := row.Verdict; v != nil && !row.Seen && v.Result != wire.Accepted {
			out = append(out, Item{Row: row})
		}
	}
	return out
}

func (r *Replica) find(id shoot.IntentID) *Row {
	for i := range r.rows {
		if r.rows[i].Edit.ID == id {
			return &r.rows[i]
		}
	}
	return nil
}

// cache gives the cache out.
func (r *Replica) cache(step *Step, now when.Instant) {
	if r.confirmed == nil || r.cursor == "" {
		return
	}
	c := &Cache{Version: shoot.StateVersion, Person: r.person, Role: r.role, Epoch: r.epoch, Generation: r.generation, Cursor: r.cursor,
		Since: r.since, Offset: r.offset, State: r.confirmed.Clone()}
	for _, row := range r.rows {
		if row.Verdict != nil && row.Generation == r.generation {
			c.Verdicts = append(c.Verdicts, *row.Verdict)
		}
	}
	step.Cache, r.dirty, r.stored = c, false, now
}

// wipe forgets what the desk said. The queue stays.
func (r *Replica) wipe(step *Step) {
	r.confirmed, r.cursor, r.dirty, r.owed, r.unchecked = nil, "", false, "", false
	step.Wipe, step.Cache, step.Changed = true, nil, true
	r.rebase()
}

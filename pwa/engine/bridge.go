// Command engine is what the pages run of Fairday: the replica and the views,
// compiled to WebAssembly, as calls that take and return text. It does no I/O;
// the worker around it owns storage and the socket and carries out each Reply
// as package replica says.
//
// A call never takes the program down: a panic in it becomes a Reply with a
// Fault, after which the worker starts a new engine and loads it from storage.
package main

import (
	"encoding/hex"
	"encoding/json"
	"fmt"
	"runtime/debug"
	"strconv"

	"fairday/domain/shoot"
	"fairday/domain/view/day"
	"fairday/domain/when"
	"fairday/sync/replica"
)

// Bridge is one replica behind calls of text. It belongs to one goroutine.
type Bridge struct {
	replica *replica.Replica
	cache   *replica.Cache // of the last reply that had one
	memo    day.Memo       // the forecast, kept from screen to screen
}

// call is one method: how many arguments it takes and what it does with them.
type call struct {
	takes int
	do    func(b *Bridge, a []string) any
}

// calls are the methods of the global object. Instants and numbers are decimal,
// randomness is ten bytes in hexadecimal. All but the last seven
// give a Reply.
func calls() map[string]call {
	return map[string]call{
		"load":         {3, (*Bridge).load},         // Start, cache or "", slots
		"edit":         {4, (*Bridge).edit},         // name, args, randomness, now
		"entered":      {4, (*Bridge).entered},      // name, args, randomness, when it was entered
		"kept":         {2, (*Bridge).kept},         // slots, now
		"reread":       {3, (*Bridge).reread},       // every slot of the queue, highest number given out, now
		"connected":    {1, (*Bridge).connected},    // now
		"receive":      {2, (*Bridge).receive},      // text, now
		"disconnected": {1, (*Bridge).disconnected}, // now
		"tick":         {1, (*Bridge).tick},         // now
		"discard":      {1, (*Bridge).discard},      // seq
		"cache":        {0, (*Bridge).stored},       // the cache to store, after a reply with Cached
		"handover":     {0, (*Bridge).handover},     // the waiting edits as visits of another phone
		"rows":         {0, (*Bridge).rows},         // the whole queue as it is in memory: a Memory
		"view":         {3, (*Bridge).view},         // screen, Ask, now: an Answer
		"open":         {2, (*Bridge).open},         // view.Action left for later, now: the action to go on with
		"fill":         {4, (*Bridge).fill},         // view.Action, entries by field, randomness, now: a Filled
		"id":           {2, (*Bridge).id},           // randomness, now: a new id
	}
}

// Call runs one method and gives its answer as JSON.
func (b *Bridge) Call(name string, args []string) (answer string) {
	defer func() {
		if p := recover(); p != nil {
			answer = encode(Reply{Fault: fmt.Sprintf("%s: %v", name, p), Trace: string(debug.Stack())})
		}
	}()
	c, ok := calls()[name]
	if !ok || len(args) != c.takes {
		panic(fmt.Sprintf("no such call with %d arguments", len(args)))
	}
	if b.replica == nil && name != "load" && name != "id" {
		panic("nothing was loaded")
	}
	return encode(c.do(b, args))
}

func (b *Bridge) load(a []string) any {
	var s Start
	decode(a[0], &s)
	var cache *replica.Cache
	if a[1] != "" && json.Unmarshal([]byte(a[1]), &cache) != nil {
		cache = &replica.Cache{} // unreadable: treated as another person's, which wipes it
	}
	b.replica = replica.New(s.Device, s.Person, s.App)
	return b.reply(b.replica.Load(cache, rows(a[2]), s.Sent))
}

func (b *Bridge) edit(a []string) any {
	id := shoot.IntentID(shoot.NewID(instant(a[3]), random(a[2])))
	return b.reply(b.replica.Edit(id, a[0], json.RawMessage(a[1]), instant(a[3])))
}

func (b *Bridge) entered(a []string) any {
	id := shoot.IntentID(shoot.NewID(instant(a[3]), random(a[2])))
	return b.reply(b.replica.Entered(id, a[0], json.RawMessage(a[1]), instant(a[3])))
}

func (b *Bridge) kept(a []string) any {
	return b.reply(b.replica.Kept(rows(a[0]), instant(a[1])))
}

func (b *Bridge) reread(a []string) any {
	return b.reply(b.replica.Reread(rows(a[0]), uint64(instant(a[1])), instant(a[2])))
}

func (b *Bridge) connected(a []string) any { return b.reply(b.replica.Connected(instant(a[0]))) }

func (b *Bridge) receive(a []string) any {
	return b.reply(b.replica.Receive([]byte(a[0]), instant(a[1])))
}

func (b *Bridge) disconnected(a []string) any { return b.reply(b.replica.Disconnected(instant(a[0]))) }

func (b *Bridge) tick(a []string) any { return b.reply(b.replica.Tick(instant(a[0]))) }

func (b *Bridge) discard(a []string) any {
	return b.reply(b.replica.Discard(uint64(instant(a[0]))))
}

func (b *Bridge) stored([]string) any {
	c := b.cache
	b.cache = nil
	return c
}

func (b *Bridge) handover([]string) any { return b.replica.Handover() }

// Memory is the queue as the engine knows it, for a page whose database was
// taken away.
type Memory struct {
	Slots []Slot `json:"slots"`
	Sent  uint64 `json:"sent"` // highest number given out
}

func (b *Bridge) rows([]string) any {
	m := Memory{Slots: []Slot{}}
	rows, sent := b.replica.Rows()
	for _, row := range rows {
		m.Slots = append(m.Slots, Slot{row.Seq, row})
	}
	m.Sent = sent
	return m
}

func (b *Bridge) id(a []string) any { return shoot.NewID(instant(a[1]), random(a[0])) }

// rows reads rows of the queue; their numbers are the database's.
func rows(text string) []replica.Row {
	var slots []Slot
	decode(text, &slots)
	out := make([]replica.Row, len(slots))
	for i, s := range slots {
		out[i] = s.Row
		out[i].Seq = s.Seq
	}
	return out
}

func decode(text string, into any) {
	if err := json.Unmarshal([]byte(text), into); err != nil {
		panic(err)
	}
}

func encode(v any) string {
	b, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return string(b)
}

func instant(text string) when.Instant {
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		panic(err)
	}
	return when.Instant(n)
}

func random(text string) (out [10]byte) {
	if n, err := hex.Decode(out[:], []byte(text)); err != nil || n != len(out) {
		panic("randomness is ten bytes in hexadecimal")
	}
	return out
}

package main

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/view/day"
	"fairday/domain/when"
	"fairday/sync/desk"
	"fairday/sync/sim"
	"fairday/sync/wire"
)

// rig is a bridge as the worker drives it, a queue that gives numbers, and a
// real desk on the other end of the line.
type rig struct {
	t      *testing.T
	bridge *Bridge
	desk   *desk.Desk
	conn   desk.ConnID
	person shoot.PersonID
	now    when.Instant
	last   uint64
	queue  map[uint64]Slot
	cache  string
	heard  []string // what came down, not yet received
	after  *Standing
}

const device = "01a212de-d5d4-7af0-b17a-f31935a9e1dc"

func newRig(t *testing.T, person shoot.PersonID) *rig {
	t.Helper()
	d, err := desk.Open(desk.Config{Log: desk.NewMemory(func() string { return "g" }), Shoot: sim.ShootID, Random: new(sim.Source)})
	if err != nil {
		t.Fatal(err)
	}
	if err := d.Record(sim.Server, sim.Plan(), sim.Start); err != nil {
		t.Fatal(err)
	}
	if _, err := d.Flush(); err != nil {
		t.Fatal(err)
	}
	r := &rig{t: t, bridge: &Bridge{}, desk: d, person: person, now: sim.Start + when.Hour, queue: map[uint64]Slot{}}
	r.load()
	return r
}

// do runs one call and carries out its reply, in the order the worker keeps.
func (r *rig) do(name string, args ...string) Reply {
	r.t.Helper()
	var reply Reply
	text := r.bridge.Call(name, args)
	if err := json.Unmarshal([]byte(text), &reply); err != nil || reply.Fault != "" {
		r.t.Fatalf("%s %q: %v %s", name, args, err, text)
	}
	if reply.Wipe {
		r.cache = ""
	}
	if reply.Cached {
		r.cache = r.bridge.Call("cache", nil)
	}
	var kept []Slot
	for _, s := range reply.Keep {
		if s.Seq == 0 {
			r.last++
			s.Seq = r.last
			kept = append(kept, s)
		}
		r.queue[s.Seq] = s
	}
	for _, seq := range reply.Drop {
		delete(r.queue, seq)
	}
	for _, text := range reply.Send {
		r.up(text)
	}
	if reply.Standing != nil {
		r.after = reply.Standing
	}
	if len(kept) > 0 {
		r.do("kept", encode(kept), r.clock())
	}
	return reply
}

func (r *rig) clock() string { return fmt.Sprint(int64(r.now)) }

func (r *rig) load() {
	r.t.Helper()
	r.bridge = &Bridge{}
	slots := []Slot{}
	for _, s := range r.queue {
		slots = append(slots, s)
	}
	r.do("load", encode(Start{Device: device, Person: r.person, App: "test", Sent: r.last}), r.cache, encode(slots))
}

func (r *rig) connect() {
	r.t.Helper()
	r.conn++
	r.desk.Attach(r.conn, r.person)
	r.do("connected", r.clock())
	r.down()
}

func (r *rig) up(text string) {
	r.t.Helper()
	m, err := wire.DecodeUp([]byte(text))
	if err != nil {
		r.t.Fatal(err)
	}
	outs := r.desk.Receive(r.conn, m, r.now)
	more, err := r.desk.Flush()
	if err != nil {
		r.t.Fatal(err)
	}
	for _, o := range append(outs, more...) {
		if o.To == r.conn {
			r.heard = append(r.heard, string(o.Whole()))
		}
	}
}

func (r *rig) down() {
	r.t.Helper()
	for len(r.heard) > 0 {
		text := r.heard[0]
		r.heard = r.heard[1:]
		r.do("receive", text, r.clock())
	}
}

func (r *rig) edit(name, args string) Reply {
	r.t.Helper()
	return r.do("edit", name, args, fmt.Sprintf("%020x", r.last+1), r.clock())
}

var punch = fmt.Sprintf(`{"day":%q,"people":[%q],"kind":"in"}`, sim.ID(0x10), sim.Person(8))

// An edit made without a connection outlives the engine, is shared when there
// is one, and is shown as done throughout.
func TestEditSurvivesTheEngine(t *testing.T) {
	r := newRig(t, sim.Person(1))
	r.connect()
	r.do("disconnected", r.clock())
	if reply := r.edit("punch", punch); reply.Refused != nil || len(r.queue) != 1 || r.after.Waiting != 1 {
		t.Fatalf("refused %v, %d in the queue, %+v", reply.Refused, len(r.queue), r.after)
	}
	r.load()
	if r.after.Waiting != 1 || !r.after.Known || r.after.Online {
		t.Fatalf("after a new start: %+v", r.after)
	}
	r.connect()
	r.down()
	if r.after.Waiting != 0 || len(r.after.Stuck) != 0 || !r.after.Online {
		t.Fatalf("after connecting: %+v", r.after)
	}
	r.load()
	if r.after.Waiting != 0 {
		t.Fatalf("the verdict was forgotten: %+v", r.after)
	}
}

// A request that the rules refuse leaves nothing behind.
func TestRefusedRequestIsNotQueued(t *testing.T) {
	r := newRig(t, sim.Person(1))
	r.connect()
	reply := r.edit("shot.open", fmt.Sprintf(`{"shot":%q}`, sim.ID(0x40)))
	if reply.Refused == nil || reply.Refused.Code != shoot.CodeHeld || len(r.queue) != 0 {
		t.Fatalf("%+v with %d in the queue", reply.Refused, len(r.queue))
	}
}

// A flagged edit is there to look at, with both sides, until somebody has.
func TestFlaggedEditIsLookedAt(t *testing.T) {
	r := newRig(t, sim.Person(1))
	r.connect()
	r.edit("shot.capture", fmt.Sprintf(`{"shot":%q}`, sim.ID(0x41)))
	r.down()
	if len(r.after.Stuck) != 1 {
		t.Fatalf("%+v", r.after)
	}
	item := r.after.Stuck[0]
	if item.Code != shoot.FlagQueried || item.Say == "" || item.Result != wire.Flagged {
		t.Errorf("%+v", item)
	}
	r.do("discard", fmt.Sprint(item.Seq))
	if len(r.after.Stuck) != 0 {
		t.Errorf("still there: %+v", r.after.Stuck)
	}
}

// A cache that cannot be read, or that is another person's, is wiped and does
// not stop the engine.
func TestBadCacheIsWiped(t *testing.T) {
	other := newRig(t, sim.Person(0))
	other.connect()
	for name, cache := range map[string]string{"cut off": `{"person":"`, "not ours": other.cache, "empty": `{}`} {
		t.Run(name, func(t *testing.T) {
			r := newRig(t, sim.Person(1))
			r.cache = cache
			r.load()
			if r.cache != "" || r.after.Known {
				t.Errorf("the cache is %.20q, known %v", r.cache, r.after.Known)
			}
		})
	}
}

// Whatever goes wrong inside a call comes back as a fault.
func TestFaults(t *testing.T) {
	for _, c := range []struct {
		name string
		args []string
	}{
		{"fly", nil},
		{"tick", nil},
		{"tick", []string{"soon"}},
		{"kept", []string{"{", "1"}},
		{"edit", []string{"punch", "{}", "abcd", "1"}},
		{"id", []string{strings.Repeat("0", 22), "1"}},
	} {
		r := newRig(t, sim.Person(1))
		var reply Reply
		if err := json.Unmarshal([]byte(r.bridge.Call(c.name, c.args)), &reply); err != nil || reply.Fault == "" || reply.Trace == "" {
			t.Errorf("%s %q: %v %+v", c.name, c.args, err, reply)
		}
	}
	var b Bridge
	if text := b.Call("tick", []string{"1"}); !strings.HasPrefix(text, `{"fault":`) {
		t.Errorf("before load: %s", text)
	}
}

// RFC 9562, appendix A.6: the example of a UUIDv7.
func TestID(t *testing.T) {
	var b Bridge
	// 0x017F22E279B0 ms, rand_a CC3, rand_b 18C4DC0C0C07398F; the bits of the
	// version and the variant are overwritten.
	got := b.Call("id", []string{"0cc318c4dc0c0c07398f", "1645557742000"})
	if want := `"017f22e2-79b0-7cc3-98c4-dc0c0c07398f"`; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}

// The screens come out of the bridge finished, with the edits of this phone in
// them, and with nothing before the shoot is known.
func TestView(t *testing.T) {
	r := newRig(t, sim.Person(3))
	if text := r.bridge.Call("view", []string{"shell", "{}", r.clock()}); text != `{"view":null,"say":""}` {
		t.Errorf("before anything is known: %s", text)
	}
	r.connect()
	r.edit("shot.capture", fmt.Sprintf(`{"shot":%q}`, sim.ID(0x41)))
	r.down()
	var shell struct{ View day.Shell }
	decode(r.bridge.Call("view", []string{"shell", "{}", r.clock()}), &shell)
	if shell.View.Title != "Winter tables" || shell.View.Me.ID != string(sim.Person(3)) {
		t.Errorf("%+v", shell.View)
	}
	var settle struct{ View day.Settle }
	decode(r.bridge.Call("view", []string{"settle", `{"day":"","at":0}`, r.clock()}), &settle)
	if len(settle.View.Stuck) != 1 || len(settle.View.Open) != 1 {
		t.Errorf("%+v", settle.View)
	}
	var none Answer
	decode(r.bridge.Call("view", []string{"attic", "{}", r.clock()}), &none)
	if none.View != nil || none.Say == "" {
		t.Errorf("a screen that is not there: %+v", none)
	}
}

// A screen tells the server's time, whatever this phone's clock says.
func TestViewTellsTheServersTime(t *testing.T) {
	r := newRig(t, sim.Person(1))
	ahead := 3 * when.Hour
	server := r.now
	r.conn++
	r.desk.Attach(r.conn, r.person)
	r.now = server + ahead
	hello := r.do("connected", r.clock()).Send
	if len(hello) != 1 {
		t.Fatalf("%q", hello)
	}
	r.heard = nil
	r.conn++
	r.desk.Attach(r.conn, r.person)
	r.now = server // the desk's clock
	r.up(hello[0])
	r.now = server + ahead
	r.down()
	var shell struct{ View day.Shell }
	decode(r.bridge.Call("view", []string{"shell", "{}", r.clock()}), &shell)
	if shell.View.Clock != "08:00" { // sim.Start is 07:00 in Lisbon, and an hour has gone
		t.Errorf("the clock says %s", shell.View.Clock)
	}
}

// A form's entries become arguments, with an id for what is new, or a problem
// that names the field.
func TestFill(t *testing.T) {
	r := newRig(t, sim.Person(0))
	form := `{"label":"","name":"","args":{"person":"p"},"enabled":true,"form":{"fresh":true,"fields":[{"key":"call","label":"Call time","kind":"time","as":"clock","needed":true}]}}`
	random := strings.Repeat("00", 10)
	var good, bad Filled
	decode(r.bridge.Call("fill", []string{form, `{"call":["7:30"]}`, random, "0"}), &good)
	if want := `{"call":"07:30","id":"00000000-0000-7000-8000-000000000000","person":"p"}`; string(good.Args) != want || good.Problem != nil {
		t.Errorf("%s %v, want %s", good.Args, good.Problem, want)
	}
	decode(r.bridge.Call("fill", []string{form, `{"call":["noonish"]}`, random, "0"}), &bad)
	if bad.Problem == nil || bad.Problem.Key != "call" || bad.Args != nil {
		t.Errorf("%+v", bad)
	}
}

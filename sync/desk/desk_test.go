package desk_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/desk"
	"fairday/sync/sim"
	"fairday/sync/wire"
)

// Places in the plan of package sim.
const (
	producer, director, photographer, foodStylist, client, caterer, crew = 0, 1, 2, 5, 6, 7, 8
)

var now = sim.Start + when.Hour

// room is a desk with the small plan in it and people at it.
type room struct {
	t    testing.TB
	log  *desk.Memory
	d    *desk.Desk
	cfg  desk.Config
	next desk.ConnID
	ids  int
}

func newRoom(t testing.TB, change func(*desk.Config)) *room {
	n := 0
	r := &room{t: t, log: desk.NewMemory(func() string { n++; return fmt.Sprintf("g%d", n) })}
	r.cfg = desk.Config{Log: r.log, Shoot: sim.ShootID, Random: sim.Seeded(1)}
	if change != nil {
		change(&r.cfg)
	}
	r.open()
	r.check(r.d.Record(sim.Server, sim.Plan(), sim.Start))
	r.flush()
	return r
}

func (r *room) open() {
	d, err := desk.Open(r.cfg)
	r.check(err)
	r.d = d
}

func (r *room) check(err error) {
	r.t.Helper()
	if err != nil {
		r.t.Fatal(err)
	}
}

func (r *room) flush() []desk.Out {
	r.t.Helper()
	outs, err := r.d.Flush()
	r.check(err)
	return outs
}

func deviceOf(person int) shoot.DeviceID { return shoot.DeviceID(sim.ID(0x9000 + person)) }

// joined attaches a person and says hello; it gives the answers.
func (r *room) joined(person int, h wire.Hello) (desk.ConnID, []desk.Out) {
	r.next++
	r.d.Attach(r.next, sim.Person(person))
	if h.Device == "" {
		h.Device = deviceOf(person)
	}
	if h.Protocol == 0 {
		h.Protocol = wire.Protocol
	}
	return r.next, r.d.Receive(r.next, h, now)
}

func (r *room) join(person int) desk.ConnID {
	r.t.Helper()
	id, outs := r.joined(person, wire.Hello{Sent: 1000})
	if len(outs) != 2 {
		r.t.Fatalf("hello was answered with %d messages", len(outs))
	}
	return id
}

// edit makes an edit with a fresh id.
func (r *room) edit(seq uint64, name string, args any) wire.Edit {
	r.ids++
	return wire.Edit{ID: shoot.IntentID(sim.ID(0x50000 + r.ids)), Seq: seq, Name: name, Version: shoot.Version(name), Args: sim.Args(args), Happened: now}
}

// sent has a connection send edits and commits them.
func (r *room) sent(id desk.ConnID, edits ...wire.Edit) []desk.Out {
	r.t.Helper()
	outs := r.d.Receive(id, wire.Edits{Edits: edits}, now)
	return append(outs, r.flush()...)
}

// to picks the messages for one connection.
func to(t testing.TB, id desk.ConnID, outs []desk.Out) []wire.Message {
	t.Helper()
	var got []wire.Message
	for _, o := range outs {
		if o.To != id {
			continue
		}
		m, err := wire.DecodeDown(o.Text)
		if err != nil {
			t.Fatalf("%s: %v", o.Text, err)
		}
		if _, bye := m.(wire.Bye); bye != o.Close {
			t.Errorf("%s has Close %v", o.Text, o.Close)
		}
		got = append(got, m)
	}
	return got
}

// verdicts picks the verdicts for one connection.
func verdicts(t testing.TB, id desk.ConnID, outs []desk.Out) []wire.Verdict {
	t.Helper()
	var got []wire.Verdict
	for _, m := range to(t, id, outs) {
		if f, ok := m.(wire.Frame); ok {
			got = append(got, f.Verdicts...)
		}
	}
	return got
}

func (r *room) verdict(id desk.ConnID, outs []desk.Out) wire.Verdict {
	r.t.Helper()
	got := verdicts(r.t, id, outs)
	if len(got) != 1 {
		r.t.Fatalf("%d verdicts, want one: %+v", len(got), got)
	}
	return got[0]
}

func code(v wire.Verdict) shoot.Code {
	switch {
	case v.Refusal != nil:
		return v.Refusal.Code
	case v.Flag != nil:
		return v.Flag.Code
	}
	return ""
}

func bye(t testing.TB, id desk.ConnID, outs []desk.Out) wire.Code {
	t.Helper()
	got := to(t, id, outs)
	if len(got) == 0 {
		return ""
	}
	b, _ := got[len(got)-1].(wire.Bye)
	return b.Code
}

func encoded(t testing.TB, v any) string {
	t.Helper()
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func shotID(n int) string { return sim.ID(0x40 + n) }

var (
	capture = func(n int) any { return sim.Set{"shot": shotID(n), "frames": ""} }
	shotArg = func(n int) any { return sim.Set{"shot": shotID(n)} }
)

// SPEC V1, V9, A2, L1, I2, I3: each intent has one verdict in the stream of its device,
// everybody else has the events, and the log has an entry for each.
func TestVerdicts(t *testing.T) {
	r := newRoom(t, nil)
	ad, cam := r.join(director), r.join(photographer)
	head := r.d.Head()
	outs := r.sent(ad,
		r.edit(1, "shot.cut", shotArg(5)),
		r.edit(2, "shot.open", shotArg(0)),    // held: its hero is not confirmed
		r.edit(3, "shot.capture", capture(1)), // a fact, and it was not open
	)
	got := verdicts(t, ad, outs)
	want := []struct {
		result wire.Result
		code   shoot.Code
	}{{wire.Accepted, ""}, {wire.Refused, shoot.CodeHeld}, {wire.Flagged, shoot.FlagQueried}}
	if len(got) != len(want) {
		t.Fatalf("verdicts %+v", got)
	}
	for i, w := range want {
		if got[i].Result != w.result || code(got[i]) != w.code || got[i].Seq != uint64(i+1) {
			t.Errorf("verdict %d is %+v, want %+v", i, got[i], w)
		}
	}
	if v := verdicts(t, cam, outs); len(v) != 0 {
		t.Errorf("another device was told %+v", v)
	}
	frames := to(t, cam, outs)
	if len(frames) != 1 {
		t.Fatalf("another device got %d messages", len(frames))
	}
	if f := frames[0].(wire.Frame); f.N != 2 || len(f.Events) != 3 || f.Hash != r.d.State().FloorHash() {
		t.Errorf("another device got %+v", f)
	}
	if r.d.Head() != head+3 {
		t.Errorf("the log grew by %d entries", r.d.Head()-head)
	}
	if r.d.State().Floor.Shots[shoot.ShotID(shotID(1))].Progress != shoot.Queried {
		t.Errorf("the capture is not queried")
	}
}

// SPEC V2: the same answer, although it would be another one by now.
func TestResend(t *testing.T) {
	r := newRoom(t, nil)
	ad := r.join(director)
	edit := r.edit(1, "shot.open", shotArg(0))
	first := r.verdict(ad, r.sent(ad, edit))
	food := r.join(foodStylist)
	r.sent(food, r.edit(1, "hero.read", sim.Set{"hero": sim.ID(0x30), "plate": sim.Set{"designation": "KT-4", "finish": "Ash"}, "checked": []string{}}))
	head := r.d.Head()
	if again := r.verdict(ad, r.sent(ad, edit)); encoded(t, again) != encoded(t, first) || first.Result != wire.Refused {
		t.Errorf("first %+v, then %+v", first, again)
	}
	if r.d.Head() != head {
		t.Error("a resend made an entry")
	}
	if v := r.verdict(ad, r.sent(ad, r.edit(2, "shot.open", shotArg(0)))); v.Result != wire.Accepted {
		t.Errorf("a new try got %+v", v)
	}
	r.open() // and across a restart
	ad = r.join(director)
	if again := r.verdict(ad, r.sent(ad, edit)); encoded(t, again) != encoded(t, first) {
		t.Errorf("first %+v, after a restart %+v", first, again)
	}
}

// SPEC V2, V9: twice in one batch is one entry and the verdict is not early.
func TestResendInOneBatch(t *testing.T) {
	r := newRoom(t, nil)
	ad := r.join(director)
	edit := r.edit(1, "shot.cut", shotArg(0))
	head := r.d.Head()
	outs := r.d.Receive(ad, wire.Edits{Edits: []wire.Edit{edit}}, now)
	outs = append(outs, r.d.Receive(ad, wire.Edits{Edits: []wire.Edit{edit}}, now)...)
	if len(outs) != 0 {
		t.Errorf("something was said before the commit: %s", outs[0].Text)
	}
	outs = r.flush()
	if got := verdicts(t, ad, outs); len(got) != 2 || encoded(t, got[0]) != encoded(t, got[1]) || r.d.Head() != head+1 {
		t.Errorf("verdicts %+v, %d entries", got, r.d.Head()-head)
	}
}

// SPEC V3: an id that two use in one batch belongs to the first.
func TestTakenIDInOneBatch(t *testing.T) {
	r := newRoom(t, nil)
	ad, cam := r.join(director), r.join(photographer)
	mine := r.edit(1, "shot.cut", shotArg(0))
	for _, id := range []desk.ConnID{ad, cam, ad, cam} {
		r.d.Receive(id, wire.Edits{Edits: []wire.Edit{mine}}, now)
	}
	outs := r.flush()
	for id, want := range map[desk.ConnID]shoot.Code{ad: "", cam: desk.CodeIDTaken} {
		got := verdicts(t, id, outs)
		if len(got) != 2 || code(got[0]) != want || code(got[1]) != want {
			t.Errorf("want %q twice, got %+v", want, got)
		}
	}
}

// SPEC V3, V6, I7: ids and numbers that belong to something else.
func TestTakenIDsAndNumbers(t *testing.T) {
	r := newRoom(t, nil)
	ad, cam := r.join(director), r.join(photographer)
	mine := r.edit(1, "shot.cut", shotArg(0))
	r.sent(ad, mine)
	for name, c := range map[string]struct {
		conn desk.ConnID
		edit wire.Edit
		code shoot.Code
	}{
		"another person's id":        {cam, mine, desk.CodeIDTaken},
		"own id, another number":     {ad, func() wire.Edit { e := mine; e.Seq = 2; return e }(), desk.CodeIDTaken},
		"a used number, another id":  {ad, r.edit(1, "shot.cut", shotArg(1)), desk.CodeSequence},
		"a used number, a taken one": {ad, func() wire.Edit { e := sim.Plan()[0]; e.Seq = 1; return e }(), desk.CodeIDTaken},
	} {
		before := encoded(t, r.d.State())
		v := r.verdict(c.conn, r.sent(c.conn, c.edit))
		if v.Result != wire.Refused || code(v) != c.code || v.Refusal.Yours != "" || v.Refusal.Theirs != "" {
			t.Errorf("%s: %+v", name, v)
		}
		if encoded(t, r.d.State()) != before {
			t.Errorf("%s changed the state", name)
		}
		if again := r.verdict(c.conn, r.sent(c.conn, c.edit)); encoded(t, again) != encoded(t, v) {
			t.Errorf("%s: at first %+v, then %+v", name, v, again)
		}
	}
	if v := r.verdict(ad, r.sent(ad, mine)); v.Result != wire.Accepted {
		t.Errorf("the first edit lost its verdict: %+v", v)
	}
	// The same id and number from another device of the same person, and from
	// another person on the same device.
	for name, who := range map[string]struct {
		person int
		device shoot.DeviceID
	}{"another device": {director, deviceOf(crew)}, "another person": {crew, deviceOf(director)}} {
		id, _ := r.joined(who.person, wire.Hello{Device: who.device})
		if v := r.verdict(id, r.sent(id, mine)); code(v) != desk.CodeIDTaken {
			t.Errorf("%s: %+v", name, v)
		}
	}
	// Another person on the same device counts from 1.
	id, _ := r.joined(client, wire.Hello{Device: deviceOf(director)})
	if v := r.verdict(id, r.sent(id, r.edit(1, "hero.refuse", sim.Set{"hero": sim.ID(0x30), "note": "too shiny"}))); v.Result != wire.Accepted {
		t.Errorf("another person's first edit on the device: %+v", v)
	}
}

// SPEC I5, I6: gaps.
func TestGap(t *testing.T) {
	r := newRoom(t, nil)
	ad := r.join(director)
	outs := r.sent(ad, r.edit(1, "shot.cut", shotArg(0)), r.edit(3, "shot.cut", shotArg(1)), r.edit(4, "shot.cut", shotArg(2)))
	got := to(t, ad, outs)
	if len(got) != 2 || got[0] != (wire.Expect{Seq: 2}) || len(got[1].(wire.Frame).Verdicts) != 1 {
		t.Fatalf("a gap was answered with %+v", got)
	}
	outs = r.d.Receive(ad, wire.Edits{After: 2, Edits: []wire.Edit{r.edit(3, "shot.cut", shotArg(1)), r.edit(5, "shot.cut", shotArg(2))}}, now)
	outs = append(outs, r.flush()...)
	got = to(t, ad, outs)
	if len(got) != 2 || got[0] != (wire.Expect{Seq: 4}) || got[1].(wire.Frame).Verdicts[0].Seq != 3 {
		t.Errorf("after a gap that was explained: %+v", got)
	}
	r.open()
	_, outs = r.joined(director, wire.Hello{Sent: 9})
	if w := wireOf[wire.Welcome](t, outs[0]); w.Expect != 4 {
		t.Errorf("after a restart %d is expected", w.Expect)
	}
}

func wireOf[M wire.Message](t testing.TB, o desk.Out) M {
	t.Helper()
	m, err := wire.DecodeDown(o.Text)
	got, ok := m.(M)
	if err != nil || !ok {
		t.Fatalf("%s is no %T (%v)", o.Text, got, err)
	}
	return got
}

// SPEC I8: a phone that lost its queue becomes a new device.
func TestLostQueue(t *testing.T) {
	r := newRoom(t, nil)
	ad := r.join(director)
	r.sent(ad, r.edit(1, "shot.cut", shotArg(0)), r.edit(2, "shot.cut", shotArg(1)))
	id, outs := r.joined(director, wire.Hello{Sent: 1})
	if got := bye(t, id, outs); got != wire.CodeDevice || len(outs) != 1 {
		t.Errorf("answered with %q and %d messages", got, len(outs))
	}
}

// SPEC I4, I1: the claim less the offset, the actor from the session.
func TestClaim(t *testing.T) {
	r := newRoom(t, nil)
	cam := r.join(photographer)
	e := r.edit(1, "shot.capture", capture(3))
	e.Happened, e.Offset = now-3*when.Minute+700, 700
	r.sent(cam, e)
	s := r.d.State().Floor.Shots[shoot.ShotID(shotID(3))]
	if s.Captured != now-3*when.Minute || s.CapturedBy != sim.Person(photographer) {
		t.Errorf("captured %d by %s", s.Captured, s.CapturedBy)
	}
	entry, ok, err := r.log.Find(sim.ShootID, e.ID)
	if err != nil || !ok || entry.Offset != 700 || entry.Intent.Happened != now-3*when.Minute || entry.Intent.Received != now {
		t.Errorf("the entry is %+v, %v", entry, err)
	}
}

// SPEC V4, V1: what cannot be read is a refusal and does not hold up the next.
func TestUnreadable(t *testing.T) {
	r := newRoom(t, nil)
	ad := r.join(director)
	unknown := r.edit(4, "shot.fly", shotArg(0))
	unknown.Version = 1
	newer := r.edit(5, "shot.cut", shotArg(0))
	newer.Version = 99
	outs := r.sent(ad, r.edit(1, "shot.cut", 7), r.edit(2, "shot.cut", nil), r.edit(3, "shot.cut", sim.Set{"shot": shotID(0), "why": 1}), unknown, newer, r.edit(6, "shot.cut", shotArg(0)))
	want := []shoot.Code{shoot.CodeBadArgs, shoot.CodeUnknownThing, shoot.CodeBadArgs, shoot.CodeUnknownIntent, shoot.CodeUnknownIntent, ""}
	got := verdicts(t, ad, outs)
	if len(got) != len(want) {
		t.Fatalf("%d verdicts", len(got))
	}
	for i, v := range got {
		if code(v) != want[i] {
			t.Errorf("verdict %d is %+v, want %q", i, v, want[i])
		}
	}
}

// SPEC V7: what rests on a refused edit.
func TestRoots(t *testing.T) {
	r := newRoom(t, nil)
	ad, other := r.join(director), r.join(producer)
	root := r.edit(1, "shot.open", shotArg(0)) // held
	hanging := r.edit(2, "shot.cut", shotArg(0))
	hanging.DependsOn = root.ID
	leaf := r.edit(3, "shot.cut", shotArg(1))
	leaf.DependsOn = hanging.ID
	fact := r.edit(4, "shot.capture", capture(0))
	fact.DependsOn = hanging.ID
	got := verdicts(t, ad, r.sent(ad, root, hanging, leaf, fact))
	for i, want := range []shoot.Code{shoot.CodeHeld, shoot.CodeRoot, shoot.CodeRoot, shoot.FlagQueried} {
		if code(got[i]) != want {
			t.Errorf("verdict %d is %+v, want %s", i, got[i], want)
		}
	}
	// In a later batch as well; but not on somebody else's word, nor on a root
	// that nobody knows.
	late := r.edit(5, "shot.cut", shotArg(1))
	late.DependsOn = leaf.ID
	lost := r.edit(6, "shot.cut", shotArg(2))
	lost.DependsOn = shoot.IntentID(sim.ID(0xabcdef))
	got = verdicts(t, ad, r.sent(ad, late, lost))
	if code(got[0]) != shoot.CodeRoot || got[1].Result != wire.Accepted {
		t.Errorf("later: %+v", got)
	}
	foreign := r.edit(1, "shot.cut", shotArg(1))
	foreign.DependsOn = root.ID
	if v := r.verdict(other, r.sent(other, foreign)); v.Result != wire.Accepted {
		t.Errorf("another person's root: %+v", v)
	}
}

// SPEC V8, V10, L2: nothing is visible before it is durable, several share an
// append, and a failed one leaves no trace.
func TestFailedAppend(t *testing.T) {
	r := newRoom(t, nil)
	ad, cam, idle := r.join(director), r.join(photographer), r.join(crew)
	a, b := r.edit(1, "shot.cut", shotArg(0)), r.edit(1, "shot.capture", capture(1))
	state, head := encoded(t, r.d.State()), r.d.Head()
	submit := func() *desk.Batch {
		for _, outs := range [][]desk.Out{
			r.d.Receive(ad, wire.Edits{Edits: []wire.Edit{a}}, now), r.d.Receive(cam, wire.Edits{Edits: []wire.Edit{b}}, now)} {
			if len(outs) > 0 {
				t.Fatalf("said before the commit: %s", outs[0].Text)
			}
		}
		return r.d.Take()
	}
	batch := submit()
	if len(batch.Entries) != 2 || encoded(t, r.d.State()) != state {
		t.Fatalf("the batch has %d entries, or is visible already", len(batch.Entries))
	}
	outs := r.d.Abandon(batch)
	if bye(t, ad, outs) != wire.CodeUnavailable || bye(t, cam, outs) != wire.CodeUnavailable || len(to(t, idle, outs)) != 0 {
		t.Errorf("told %+v", outs)
	}
	if encoded(t, r.d.State()) != state || r.d.Head() != head {
		t.Error("the failed batch left a trace")
	}
	ad, cam = r.join(director), r.join(photographer)
	batch = submit()
	r.check(r.log.Append(sim.ShootID, batch.Entries, batch.Checkpoint))
	outs = r.d.Commit(batch)
	if v := r.verdict(ad, outs); v.Result != wire.Accepted {
		t.Errorf("after the second try: %+v", v)
	}
	if v := r.verdict(cam, outs); v.Result != wire.Flagged {
		t.Errorf("after the second try: %+v", v)
	}
	if n := len(to(t, idle, outs)); n != 1 {
		t.Errorf("two edits in one append made %d frames", n)
	}
}

// failing is a log whose Find fails.
type failing struct {
	*desk.Memory
	broken bool
}

var errDisk = errors.New("disk full")

func (f *failing) Find(id string, i shoot.IntentID) (desk.Entry, bool, error) {
	if f.broken {
		return desk.Entry{}, false, errDisk
	}
	return f.Memory.Find(id, i)
}

func (f *failing) Append(id string, b []desk.Entry, cp *desk.Checkpoint) error {
	if f.broken {
		return errDisk
	}
	return f.Memory.Append(id, b, cp)
}

// SPEC V10: a failing store is no verdict.
func TestFailingStore(t *testing.T) {
	var f *failing
	r := newRoom(t, func(c *desk.Config) { f = &failing{Memory: c.Log.(*desk.Memory)}; c.Log = f })
	ad := r.join(director)
	e := r.edit(1, "shot.cut", shotArg(0))
	f.broken = true
	if got := bye(t, ad, r.d.Receive(ad, wire.Edits{Edits: []wire.Edit{e}}, now)); got != wire.CodeUnavailable {
		t.Errorf("answered with %q", got)
	}
	f.broken = false
	ad = r.join(director)
	r.d.Receive(ad, wire.Edits{Edits: []wire.Edit{e}}, now)
	f.broken = true
	outs, err := r.d.Flush()
	if !errors.Is(err, errDisk) || bye(t, ad, outs) != wire.CodeUnavailable {
		t.Errorf("%v, %v", outs, err)
	}
	f.broken = false
	ad = r.join(director)
	if v := r.verdict(ad, r.sent(ad, e)); v.Result != wire.Accepted {
		t.Errorf("after the failure: %+v", v)
	}
}

// SPEC W6, W7: order on a connection, and that the others do not notice.
func TestConnectionOrder(t *testing.T) {
	r := newRoom(t, nil)
	ad := r.join(director)
	hello := wire.Hello{Protocol: 1, Device: deviceOf(crew), Sent: 5}
	for name, c := range map[string]struct {
		say  []wire.Message
		code wire.Code
	}{
		"edits before hello": {[]wire.Message{wire.Edits{}}, wire.CodeOrder},
		"hello twice":        {[]wire.Message{hello, hello}, wire.CodeOrder},
		"a desk's message":   {[]wire.Message{hello, wire.Welcome{}}, wire.CodeOrder},
		"a newer protocol":   {[]wire.Message{wire.Hello{Protocol: wire.Protocol + 1, Device: deviceOf(crew)}}, wire.CodeProtocol},
	} {
		r.next++
		r.d.Attach(r.next, sim.Person(crew))
		var outs []desk.Out
		for _, m := range c.say {
			outs = append(outs, r.d.Receive(r.next, m, now)...)
		}
		if got := bye(t, r.next, outs); got != c.code {
			t.Errorf("%s: %q, want %q", name, got, c.code)
		}
		if after := r.d.Receive(r.next, hello, now); len(after) != 0 {
			t.Errorf("%s: it is answered after its bye", name)
		}
		if len(to(t, ad, outs)) != 0 {
			t.Errorf("%s: another connection noticed", name)
		}
	}
	if v := r.verdict(ad, r.sent(ad, r.edit(1, "shot.cut", shotArg(0)))); v.Result != wire.Accepted {
		t.Errorf("the other connection is disturbed: %+v", v)
	}
	if outs := r.d.Bye(ad, wire.CodeSlow); bye(t, ad, outs) != wire.CodeSlow {
		t.Error("a connection was not sent away")
	}
	if !strings.Contains(encoded(t, wire.ByeOf(wire.CodeSlow)), "retryAfter") {
		t.Error("no waiting time")
	}
}

// SPEC S2: a pong tells the number of the last frame.
func TestPing(t *testing.T) {
	r := newRoom(t, nil)
	ad := r.join(director)
	r.sent(ad, r.edit(1, "shot.cut", shotArg(0)))
	got := to(t, ad, r.d.Receive(ad, wire.Ping{N: 4, At: 77}, now))
	if len(got) != 1 || got[0] != (wire.Pong{N: 4, At: 77, Now: now, Last: 2}) {
		t.Errorf("got %+v", got)
	}
}

package desk_test

import (
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/desk"
	"fairday/sync/sim"
	"fairday/sync/wire"
)

// follow applies what a connection was sent, as a phone would, and checks the
// numbers and hashes on the way.
type follow struct {
	t      testing.TB
	id     desk.ConnID
	n      uint64
	cursor string
	state  *shoot.State
	frames int
}

func (f *follow) take(outs []desk.Out) {
	f.t.Helper()
	for _, m := range to(f.t, f.id, outs) {
		switch m := m.(type) {
		case wire.Snapshot:
			f.state = new(shoot.State)
			if err := json.Unmarshal(m.State, f.state); err != nil {
				f.t.Fatal(err)
			}
			f.next(m.N, m.Cursor, m.Hash)
		case wire.Frame:
			for _, raw := range m.Events {
				var e shoot.Event
				if err := json.Unmarshal(raw, &e); err != nil {
					f.t.Fatal(err)
				}
				shoot.Apply(f.state, e)
			}
			f.frames++
			f.next(m.N, m.Cursor, m.Hash)
		}
	}
}

func (f *follow) next(n uint64, cursor, hash string) {
	f.t.Helper()
	if n != f.n+1 {
		f.t.Fatalf("number %d after %d", n, f.n)
	}
	if hash != "" && hash != f.state.FloorHash() {
		f.t.Fatalf("number %d carries another hash", n)
	}
	f.n, f.cursor = n, cursor
}

func (r *room) follow(person int, cursor string, was *shoot.State) (*follow, []desk.Out) {
	id, outs := r.joined(person, wire.Hello{Sent: 1000, Cursor: cursor})
	f := &follow{t: r.t, id: id, state: was}
	f.take(outs)
	return f, outs
}

func (r *room) same(f *follow, person int) {
	r.t.Helper()
	a, ok := r.d.State().AudienceOf(sim.Person(person))
	if !ok {
		r.t.Fatalf("person %d has no audience", person)
	}
	if got, want := encoded(r.t, f.state), encoded(r.t, r.d.State().For(a)); got != want {
		r.t.Errorf("person %d has\n%s\nwant\n%s", person, got, want)
	}
}

// SPEC A1, A2, A3, D2: everybody gets what they see and no sign of the rest.
func TestAudiences(t *testing.T) {
	r := newRoom(t, nil)
	all := map[int]*follow{}
	for p := range sim.People {
		all[p], _ = r.follow(p, "", nil)
	}
	took := func(outs []desk.Out) map[int]int {
		frames := map[int]int{}
		for p, f := range all {
			was := f.frames
			f.take(outs)
			frames[p] = f.frames - was
			r.same(f, p)
		}
		return frames
	}
	last := len(sim.Plan())
	r.check(r.d.Record(sim.Server, sim.Money(last, 2), now))
	for p, n := range took(r.flush()) {
		if want := map[bool]int{true: 1}[p == producer]; n != want {
			t.Errorf("an edit about money made %d frames for person %d", n, p)
		}
	}
	draft := r.sent(all[director].id, r.edit(1, "call.set", sim.Set{"day": sim.ID(0x10), "person": sim.Person(crew), "call": "09:00", "was": "08:00"}))
	for p, n := range took(draft) {
		if want := map[bool]int{true: 1}[p == producer || p == director]; n != want {
			t.Errorf("a draft made %d frames for person %d", n, p)
		}
	}
	diet := r.sent(all[crew].id, r.edit(1, "diet.set", sim.Set{"person": sim.Person(crew), "kinds": []string{"vegetarian"}, "allergens": []string{}}))
	for p, n := range took(diet) {
		if want := map[bool]int{true: 1}[p == producer || p == crew]; n != want {
			t.Errorf("a diet made %d frames for person %d", n, p)
		}
	}
	refused := r.sent(all[director].id, r.edit(2, "shot.open", shotArg(0)))
	for p, n := range took(refused) {
		if want := map[bool]int{true: 1}[p == director]; n != want {
			t.Errorf("a refusal made %d frames for person %d", n, p)
		}
	}
	for p, n := range took(r.sent(all[director].id, r.edit(3, "shot.cut", shotArg(0)))) {
		if n != 1 {
			t.Errorf("a cut made %d frames for person %d", n, p)
		}
	}
}

// SPEC A4, V2: the cursor of a frame that brings nothing but an old verdict is
// as new as the one before it.
func TestCursorOfOldVerdict(t *testing.T) {
	r := newRoom(t, nil)
	f, _ := r.follow(caterer, "", nil)
	guests := r.edit(1, "meal.guests", sim.Set{"meal": sim.ID(0x50), "delta": 2})
	f.take(r.sent(f.id, guests))
	f.take(r.sent(f.id, guests))
	if f.frames != 2 {
		t.Fatalf("%d frames", f.frames)
	}
	again, _ := r.follow(caterer, f.cursor, f.state)
	r.same(again, caterer)
}

// SPEC A4, E6: a cursor says nothing, and is good for nobody else.
func TestCursors(t *testing.T) {
	r := newRoom(t, nil)
	mine, _ := r.follow(photographer, "", nil)
	other, _ := r.follow(crew, "", nil)
	if len(mine.cursor) != len(other.cursor) || mine.cursor == other.cursor {
		t.Errorf("cursors %q and %q", mine.cursor, other.cursor)
	}
	was := mine.cursor
	mine.take(r.sent(r.join(director), r.edit(1, "shot.cut", shotArg(0))))
	if len(mine.cursor) != len(was) || mine.cursor[:20] == was[:20] {
		t.Errorf("one entry later %q is %q", was, mine.cursor)
	}
	flipped := []byte(mine.cursor)
	flipped[40] ^= 1
	good := mine.cursor
	check := func(name string, person int, cursor string, resumes bool) {
		t.Helper()
		_, outs := r.joined(person, wire.Hello{Sent: 1000, Cursor: cursor})
		if got := len(outs) == 1; got != resumes {
			t.Errorf("%s: answered with %d messages", name, len(outs))
		}
	}
	check("one's own", photographer, good, true)
	check("somebody else's", photographer, other.cursor, false)
	check("lent to somebody", crew, good, false)
	check("changed", photographer, string(flipped), false)
	check("cut", photographer, good[:30], false)
	check("not ours", photographer, "eyJzZXEiOjF9", false)
	check("no base64", photographer, "*", false)
	backup := r.log.Copy()
	r.open()
	check("after a restart", photographer, good, true)
	backup.Restored()
	r.cfg.Log = backup
	r.open()
	check("of another generation", photographer, good, false)
}

// SPEC A5: a few missed events, many, and none: all lead to the same bytes.
func TestCatchUp(t *testing.T) {
	for _, c := range []struct {
		edits, limit int
		snapshot     bool
	}{{0, 5, false}, {3, 5, false}, {5, 5, false}, {6, 5, true}, {40, 2000, false}} {
		t.Run(fmt.Sprintf("%d of %d", c.edits, c.limit), func(t *testing.T) {
			r := newRoom(t, func(cfg *desk.Config) { cfg.CatchUp = c.limit })
			f, _ := r.follow(caterer, "", nil)
			ad, last := r.join(director), len(sim.Plan())
			for i := range c.edits {
				r.sent(ad, r.edit(uint64(i+1), "shot.fallback", sim.Set{"shot": shotID(0), "on": i%2 == 0}))
				r.check(r.d.Record(sim.Server, sim.Money(last, i+2), now))
				last += 2
				r.flush()
			}
			was := f.state.Clone()
			again, outs := r.follow(caterer, f.cursor, f.state)
			kinds := ""
			for _, m := range to(t, again.id, outs) {
				kinds += fmt.Sprintf("%T ", m)
			}
			if strings.Contains(kinds, "Snapshot") != c.snapshot {
				t.Errorf("answered with %s", kinds)
			}
			r.same(again, caterer)
			fresh, _ := r.follow(caterer, "", nil)
			if encoded(t, fresh.state) != encoded(t, again.state) {
				t.Error("a fresh phone and one that caught up differ")
			}
			r.d.Leave(f.id)
			r.open() // from what is stored instead of what is remembered
			stored, kept := r.follow(caterer, f.cursor, was)
			if len(kept) != len(outs) || encoded(t, stored.state) != encoded(t, again.state) {
				t.Errorf("after a restart %d messages, before %d, or another state", len(kept), len(outs))
			}
			ad = r.join(director)
			again, _ = r.follow(caterer, again.cursor, again.state)
			again.take(r.sent(ad, r.edit(uint64(c.edits+1), "shot.cut", shotArg(1)))) // and on from there
			r.same(again, caterer)
		})
	}
}

// SPEC A5, L4: who is shown their own pay catches up on it, from memory and from
// the log, whatever else was written about money; and so does taking it away.
func TestCatchUpOnOwnPay(t *testing.T) {
	for _, stored := range []bool{false, true} {
		r := newRoom(t, func(c *desk.Config) { c.CatchUp = 8 })
		last := len(sim.Plan())
		record := func(edits ...wire.Edit) {
			r.check(r.d.Record(sim.Server, edits, now))
			last += len(edits)
			r.flush()
		}
		share := func(on bool) {
			record(wire.Edit{ID: shoot.IntentID(sim.ID(0x5000 + last)), Seq: uint64(last + 1), Name: "pay.share", Version: 1, Happened: now,
				Args: sim.Args(sim.Set{"day": sim.ID(0x10), "people": []shoot.PersonID{sim.Person(photographer)}, "on": on})})
		}
		cam := r.join(photographer)
		for i, kind := range []shoot.MarkKind{shoot.MarkIn, shoot.MarkOut} {
			r.sent(cam, r.edit(uint64(i+1), "punch", sim.Set{"day": sim.ID(0x10), "people": []shoot.PersonID{sim.Person(photographer)}, "kind": kind, "at": now + when.Instant(i)*when.Minute}))
		}
		f, _ := r.follow(photographer, "", nil)
		other, _ := r.follow(crew, "", nil)
		r.d.Leave(f.id)
		share(true)
		for n := 2; n < 6; n++ { // the first and each of these renews the slip
			record(sim.Money(last, n)...)
		}
		if stored {
			r.open()
		}
		again, outs := r.follow(photographer, f.cursor, f.state.Clone())
		r.same(again, photographer)
		if !strings.Contains(string(outs[len(outs)-1].Whole()), "70005") || len(again.state.Pay) != 1 || again.frames != 1 {
			t.Errorf("stored %v: caught up with %d frames to %s", stored, again.frames, encoded(t, again.state.Pay))
		}
		r.d.Leave(again.id)
		share(false)
		if stored {
			r.open()
		}
		again, _ = r.follow(photographer, again.cursor, again.state)
		r.same(again, photographer)
		if _, outs := r.follow(crew, other.cursor, other.state.Clone()); len(outs) != 1 {
			t.Errorf("stored %v: somebody else is told %d messages", stored, len(outs))
		}
	}
}

// SPEC A5, W4: what is long goes in several frames, whole entries each.
func TestLongCatchUp(t *testing.T) {
	r := newRoom(t, func(c *desk.Config) { c.CatchUp = 2000 })
	f, _ := r.follow(crew, "", nil)
	cam := r.join(photographer)
	long := strings.Repeat("0123456789 ", 18)
	for i := range 1800 {
		r.d.Receive(cam, wire.Edits{Edits: []wire.Edit{r.edit(uint64(i+1), "shot.frames", sim.Set{"shot": shotID(i % 6), "frames": fmt.Sprint(i, long[:190])})}}, now)
	}
	outs := r.flush()
	again, caught := r.follow(crew, f.cursor, f.state.Clone())
	r.same(again, crew)
	f.take(outs)
	r.same(f, crew)
	for _, o := range append(outs, caught...) {
		if len(o.Whole()) > wire.MaxFrame {
			t.Errorf("a frame of %d bytes", len(o.Whole()))
		}
	}
	if f.frames < 2 || again.frames < 2 {
		t.Errorf("%d and %d frames", f.frames, again.frames)
	}
	if got := verdicts(t, cam, outs); len(got) != 1800 || !slices.IsSortedFunc(got, func(a, b wire.Verdict) int { return int(a.Seq) - int(b.Seq) }) {
		t.Errorf("%d verdicts, or out of order", len(got))
	}
}

var cursors = regexp.MustCompile(`"cursor":"[^"]*"`)

// SPEC A6: money leaves no trace with anybody who may not see it.
func TestNonInterference(t *testing.T) {
	type heard struct {
		texts   []string
		lengths []int
	}
	run := func(share bool, amounts ...int) map[int]*heard {
		r := newRoom(t, func(c *desk.Config) { c.CatchUp, c.Every = 12, 7 })
		all := map[int]*heard{}
		for p := range sim.People {
			if p != producer {
				all[p] = &heard{}
			}
		}
		conns := map[desk.ConnID]int{}
		hear := func(outs []desk.Out) {
			for _, o := range outs {
				if h := all[conns[o.To]]; h != nil {
					h.texts = append(h.texts, cursors.ReplaceAllString(string(o.Whole()), `"cursor":""`))
					h.lengths = append(h.lengths, len(o.Whole()))
				}
			}
		}
		last, cursor := len(sim.Plan()), map[int]string{}
		ids := map[int]desk.ConnID{}
		come := func(p int) {
			id, outs := r.joined(p, wire.Hello{Sent: 1000, Cursor: cursor[p]})
			conns[id], ids[p] = p, id
			hear(outs)
			for _, m := range to(t, id, outs) {
				if s, ok := m.(wire.Snapshot); ok {
					cursor[p] = s.Cursor
				}
			}
		}
		for p := range sim.People {
			come(p)
		}
		record := func(name string, args any) {
			last++
			r.check(r.d.Record(sim.Server, []wire.Edit{{ID: shoot.IntentID(sim.ID(0x5000 + last)), Seq: uint64(last), Name: name, Version: 1, Args: sim.Args(args), Happened: now}}, now))
		}
		for i := range 15 {
			if share && i%5 == 1 { // allowed, withdrawn, allowed
				record("pay.share", sim.Set{"day": sim.ID(0x10), "people": []shoot.PersonID{sim.Person(photographer)}, "on": i != 6})
			}
			if i%3 == 2 {
				kind := map[bool]shoot.MarkKind{true: shoot.MarkIn, false: shoot.MarkOut}[i%2 == 0]
				hear(r.sent(ids[photographer], r.edit(uint64(i/3+1), "punch", sim.Set{"day": sim.ID(0x10), "people": []shoot.PersonID{sim.Person(photographer)},
					"kind": kind, "at": now - when.Instant(20-i)*when.Minute})))
			}
			if i < len(amounts) && amounts[i] > 0 {
				r.check(r.d.Record(sim.Server, sim.Money(last, amounts[i]), now))
				last += 2
			}
			hear(r.sent(ids[director], r.edit(uint64(2*i+1), "shot.fallback", sim.Set{"shot": shotID(0), "on": i%2 == 0}),
				r.edit(uint64(2*i+2), "shot.open", shotArg(1))))
			if i%4 == 3 { // leave and come back with an old cursor
				for p := range sim.People {
					r.d.Leave(ids[p])
					come(p)
				}
			}
		}
		// A crew member who tries to learn of money is told the same in each.
		hear(r.sent(ids[crew], r.edit(1, "terms.set", sim.Set{"person": sim.Person(2), "base": 7, "terms": sim.Set{}}), r.edit(2, "overtime.approve", sim.Set{})))
		return all
	}
	without := run(false)
	// Showing the photographer their own pay is heard by the photographer alone.
	shared := run(true, 2, 3, 0, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13)
	again := run(true, 2, 3, 0, 4, 5, 6, 7, 8, 9, 10, 11, 12)
	for p, a := range without {
		if b := shared[p]; slices.Equal(a.texts, b.texts) == (p == photographer) || slices.Equal(a.lengths, b.lengths) == (p == photographer) {
			t.Errorf("pay that was shared with the photographer: person %d hears %d and %d messages", p, len(a.texts), len(b.texts))
		}
	}
	if all := strings.Join(shared[photographer].texts, ""); !strings.Contains(all, `"pay.set"`) || !strings.Contains(all, "70013") || strings.Contains(all, `"terms"`) {
		t.Error("the photographer hears no pay, or more than their own")
	}
	if slices.Equal(shared[photographer].texts, again[photographer].texts) {
		t.Error("the photographer's pay does not follow their terms")
	}
	for _, amounts := range [][]int{{2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13}, {0, 0, 2, 0, 3}} {
		with := run(false, amounts...)
		for p, a := range without {
			b := with[p]
			if !slices.Equal(a.texts, b.texts) || !slices.Equal(a.lengths, b.lengths) {
				t.Errorf("money changed what person %d hears: %d and %d messages", p, len(a.texts), len(b.texts))
			}
			if len(a.texts) < 15 {
				t.Errorf("person %d heard %d messages only", p, len(a.texts))
			}
		}
	}
}

// SPEC A9: the same bytes of events for everybody who sees the same.
func TestSharedEncoding(t *testing.T) {
	r := newRoom(t, nil)
	a, b, ad := r.join(crew), r.join(photographer), r.join(director)
	outs := r.sent(ad, r.edit(1, "shot.cut", shotArg(0)))
	events := func(id desk.ConnID) string { return encoded(t, to(t, id, outs)[0].(wire.Frame).Events) }
	if events(a) != events(b) || events(a) != events(ad) {
		t.Errorf("%s, %s and %s", events(a), events(b), events(ad))
	}
}

// SPEC E1, E2, A1: a new role ends the connection before the old audience hears
// another word, and the old cursor is worth a snapshot.
func TestNewRole(t *testing.T) {
	r := newRoom(t, nil)
	boss := r.join(producer)
	f, _ := r.follow(director, "", nil)
	idle, _ := r.follow(crew, "", nil)
	person := r.d.State().Floor.People[sim.Person(director)]
	outs := r.sent(boss,
		r.edit(1, "person.set", sim.Set{"id": person.ID, "name": person.Name, "role": shoot.Crew, "phone": person.Phone, "base": person.Version}),
		r.edit(2, "call.set", sim.Set{"day": sim.ID(0x10), "person": sim.Person(crew), "call": "09:30", "was": "08:00"}))
	if got := to(t, f.id, outs); len(got) != 1 || bye(t, f.id, outs) != wire.CodeEpoch {
		t.Errorf("the person with the new role was told %+v", got)
	}
	if got := to(t, idle.id, outs); len(got) != 1 {
		t.Errorf("somebody else was told %+v", got)
	}
	_, outs = r.follow(director, f.cursor, f.state)
	if w := wireOf[wire.Welcome](t, outs[0]); w.Role != shoot.Crew || w.Epoch != person.Epoch+1 {
		t.Errorf("welcomed as %+v", w)
	}
	if s := wireOf[wire.Snapshot](t, outs[1]); strings.Contains(string(s.State), `"office"`) {
		t.Error("the snapshot shows the office")
	}
}

// SPEC E4: access withdrawn, at once and on every hello.
func TestRevoked(t *testing.T) {
	r := newRoom(t, nil)
	boss, cam := r.join(producer), r.join(photographer)
	late := r.edit(1, "shot.capture", capture(1))
	r.d.Receive(boss, wire.Edits{Edits: []wire.Edit{r.edit(1, "person.access", sim.Set{"person": sim.Person(photographer), "revoked": true})}}, now)
	r.d.Receive(cam, wire.Edits{Edits: []wire.Edit{late}}, now) // in the same batch, behind it
	outs := r.flush()
	if got := to(t, cam, outs); len(got) != 1 || bye(t, cam, outs) != wire.CodeRevoked {
		t.Errorf("told %+v", got)
	}
	entry, ok, err := r.log.Find(sim.ShootID, late.ID)
	if err != nil || !ok || code(entry.Verdict) != shoot.CodeNotAllowed || string(entry.Intent.Args) != string(late.Args) {
		t.Errorf("the report made meanwhile is %+v, %v", entry, err)
	}
	for _, h := range []wire.Hello{{}, {Sent: 9, Protocol: 1}} { // nothing to hand in, or a page that could not
		id, outs := r.joined(photographer, h)
		if bye(t, id, outs) != wire.CodeRevoked || len(outs) != 1 {
			t.Errorf("hello was answered with %d messages", len(outs))
		}
	}
	r.sent(boss, r.edit(2, "person.access", sim.Set{"person": sim.Person(photographer), "revoked": false}))
	cam, outs = r.joined(photographer, wire.Hello{Sent: 9})
	if len(outs) != 2 {
		t.Fatalf("with access given back: %d messages", len(outs))
	}
	if v := r.verdict(cam, r.sent(cam, late)); code(v) != shoot.CodeNotAllowed {
		t.Errorf("the stored verdict is %+v", v)
	}
}

// SPEC V11, E4, A1: somebody without access hands a queue in and hears nothing but
// the verdicts.
func TestHandingIn(t *testing.T) {
	r := newRoom(t, nil)
	boss := r.join(producer)
	r.sent(boss, r.edit(1, "person.access", sim.Set{"person": sim.Person(photographer), "revoked": true}))
	cam, outs := r.joined(photographer, wire.Hello{Sent: 3})
	if w := wireOf[wire.Welcome](t, outs[0]); len(outs) != 1 || w.Role != "" || w.Expect != 1 {
		t.Fatalf("%d messages, %+v", len(outs), w)
	}
	before := r.edit(1, "shot.capture", capture(1))
	before.Happened = now - when.Minute
	after, ask := r.edit(2, "shot.capture", capture(2)), r.edit(3, "shot.open", shotArg(1))
	outs = r.sent(cam, before, after, ask)
	got := to(t, cam, outs)
	if len(got) != 1 || len(got[0].(wire.Frame).Events) != 0 {
		t.Fatalf("told %+v", got)
	}
	for i, want := range []shoot.Code{shoot.FlagReview, shoot.CodeNotAllowed, shoot.CodeNotAllowed} {
		if v := verdicts(t, cam, outs)[i]; code(v) != want {
			t.Errorf("verdict %d is %+v, want %s", i, v, want)
		}
	}
	if outs := r.sent(boss, r.edit(2, "shot.cut", shotArg(5))); len(to(t, cam, outs)) != 0 {
		t.Error("told what others do")
	}
	if got := to(t, cam, r.d.Receive(cam, wire.Ping{N: 1}, now)); len(got) != 1 || got[0].(wire.Pong) != (wire.Pong{N: 1, Now: now, Last: 1}) {
		t.Errorf("a ping is answered with %+v", got)
	}
	outs = r.sent(boss, r.edit(3, "report.settle", sim.Set{"report": before.ID, "ruling": "keep", "note": ""}),
		r.edit(4, "person.access", sim.Set{"person": sim.Person(photographer), "revoked": false}))
	if bye(t, cam, outs) != wire.CodeEpoch || len(to(t, cam, outs)) != 1 {
		t.Errorf("with access given back: %+v", to(t, cam, outs))
	}
	if s := r.d.State().Floor.Shots[shoot.ShotID(shotID(1))]; s.CapturedBy != sim.Person(photographer) || s.Captured != now-when.Minute {
		t.Errorf("it counts as %+v", s)
	}
}

// SPEC L3, L4, L2: checkpoints, restarts and plain replay give the same bytes.
func TestReplay(t *testing.T) {
	r := newRoom(t, func(c *desk.Config) { c.Every = 9 })
	ad, cam, last := r.join(director), r.join(photographer), len(sim.Plan())
	for i := range 40 {
		r.d.Receive(ad, wire.Edits{Edits: []wire.Edit{r.edit(uint64(i+1), "shot.fallback", sim.Set{"shot": shotID(i % 6), "on": i%4 < 2})}}, now)
		r.d.Receive(cam, wire.Edits{Edits: []wire.Edit{r.edit(uint64(i+1), "shot.capture", capture(i%6))}}, now)
		if i%10 == 0 {
			r.check(r.d.Record(sim.Server, sim.Money(last, 2+i/10), now))
			last += 2
		}
		r.flush()
		cp, rest, err := r.log.Load(sim.ShootID)
		r.check(err)
		if len(rest) >= 9+4 || cp.Seq == 0 {
			t.Fatalf("%d entries after the checkpoint at %d", len(rest), cp.Seq)
		}
		want := encoded(t, r.d.State())
		again, err := desk.Open(r.cfg)
		r.check(err)
		if got := encoded(t, again.State()); got != want {
			t.Fatalf("step %d: opened again as\n%s\nwas\n%s", i, got, want)
		}
	}
	entries, err := r.log.Range(sim.ShootID, 0, 10000, true)
	r.check(err)
	state := shoot.New()
	for _, e := range entries {
		for _, ev := range e.Events {
			topic := ev.Topic()
			if topic == shoot.TopicMoney && !e.Money() || e.Money() && topic != shoot.TopicMoney && !topic.IsPay() {
				t.Errorf("entry %d (%s) writes %s", e.Seq, e.Intent.Name, ev.Topic())
			}
			shoot.Apply(state, ev)
		}
		if e.Hash != "" && e.Hash != state.FloorHash() {
			t.Errorf("entry %d carries another hash", e.Seq)
		}
	}
	if encoded(t, state) != encoded(t, r.d.State()) {
		t.Error("replaying everything gives other bytes")
	}
}

// SPEC A5: resuming while a batch is open shows what is committed, and the batch
// comes as a frame.
func TestJoinDuringBatch(t *testing.T) {
	r := newRoom(t, nil)
	ad := r.join(director)
	r.d.Receive(ad, wire.Edits{Edits: []wire.Edit{r.edit(1, "shot.cut", shotArg(0))}}, now)
	f, _ := r.follow(crew, "", nil)
	r.same(f, crew)
	f.take(r.flush())
	r.same(f, crew)
	if f.state.Floor.Shots[shoot.ShotID(shotID(0))].Progress != shoot.Cut {
		t.Error("the cut did not come")
	}
}

// SPEC L5: a checkpoint of a program that saw a shoot in another shape is not used.
func TestCheckpointOfAnotherVersion(t *testing.T) {
	log := &reshaped{Memory: desk.NewMemory(func() string { return "g" })}
	r := newRoom(t, func(c *desk.Config) { c.Log, c.Every, c.CatchUp = log, 7, 5 })
	r.log = log.Memory
	ad := r.join(director)
	r.sent(ad, r.edit(1, "shot.cut", shotArg(0)))
	want := encoded(t, r.d.State())
	log.ruined = true
	r.open()
	if encoded(t, r.d.State()) != want {
		t.Error("the state is not what the log says")
	}
	ad, outs := r.joined(director, wire.Hello{Sent: 1})
	if w := wireOf[wire.Welcome](t, outs[0]); w.Expect != 2 {
		t.Errorf("the numbers of the devices are lost: %+v", w)
	}
	r.sent(ad, r.edit(2, "shot.cut", shotArg(1)))
	if cp, _, err := r.log.Load(sim.ShootID); err != nil || cp.Version != shoot.StateVersion || cp.Seq != r.d.Head() {
		t.Errorf("no new checkpoint at once: %d of %d, %v", cp.Seq, r.d.Head(), err)
	}
}

// reshaped is a log whose checkpoint is of another version and useless.
type reshaped struct {
	*desk.Memory
	ruined bool
}

func (l *reshaped) Load(id string) (desk.Checkpoint, []desk.Entry, error) {
	cp, rest, err := l.Memory.Load(id)
	if l.ruined {
		cp.Version, cp.State, cp.Devices = shoot.StateVersion-1, shoot.New(), nil
	}
	return cp, rest, err
}

// Package logtest is the suite that every desk.Log must pass. It runs over the
// log in memory and over whatever a server stores shoots in.
package logtest

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/desk"
	"fairday/sync/wire"
)

// Under is a fresh log with the ways to shut it and open it again. After a call
// of one of them the log that was there before is not used any more.
type Under struct {
	Log desk.Log
	// Reopen closes the log and opens it again.
	Reopen func(t *testing.T) desk.Log
	// Crash opens again what a killed process would leave behind; nil where that
	// is not possible.
	Crash func(t *testing.T) desk.Log
	// Restore puts the log back from a backup of how it is now; nil where that is
	// not possible.
	Restore func(t *testing.T) desk.Log
}

// Run runs the suite; open makes an empty log for each test.
func Run(t *testing.T, open func(t *testing.T) Under) {
	for name, test := range map[string]func(*testing.T, Under){
		"nothing there":            nothingThere,
		"what went in comes out":   roundTrip,
		"order":                    order,
		"all or nothing":           allOrNothing,
		"range":                    ranges,
		"find":                     find,
		"checkpoints":              checkpoints,
		"generation":               generation,
		"shoots do not mix":        separate,
		"shoots at the same time":  together,
		"many and large":           large,
		"closed and opened":        func(t *testing.T, u Under) { again(t, u, u.Reopen) },
		"killed and opened":        func(t *testing.T, u Under) { again(t, u, u.Crash) },
		"restored from a backup":   restored,
		"checkpoint, then nothing": checkpointLast,
	} {
		t.Run(name, func(t *testing.T) { test(t, open(t)) })
	}
}

const id = "0191d3f0-0000-7000-8000-00000000aaaa"

// Sample makes an entry with everything in it; every third is about money and
// every fifth was refused.
func Sample(seq uint64) desk.Entry {
	e := desk.Entry{
		Seq: seq, Device: "0191d3f0-0000-7000-8000-00000000dddd", DeviceSeq: seq, Offset: -250,
		Intent: shoot.Intent{
			ID: intentID(seq), Name: "shoot.set", Version: 1, Args: json.RawMessage(fmt.Sprintf(`{"title":"Day %d <&>"}`, seq)),
			Actor: "0191d3f0-0000-7000-8000-00000000cccc", Happened: when.Instant(seq) * when.Minute, Received: when.Instant(seq)*when.Minute + 7,
		},
		Verdict: wire.Verdict{ID: intentID(seq), Seq: seq, Result: wire.Accepted},
		Events: []shoot.Event{{At: when.Instant(seq), By: shoot.Desk,
			Body: shoot.ShootSet{Shoot: shoot.Shoot{Title: fmt.Sprintf("Day %d", seq), Version: int(seq)}}}},
		Hash: "abc",
	}
	if seq%3 == 0 {
		e.Intent.Name, e.Events, e.Hash = "currency.set", nil, ""
	}
	if seq%5 == 0 {
		e.Events, e.Hash, e.DependsOn = nil, "", intentID(seq-1)
		e.Verdict.Result = wire.Refused
		e.Verdict.Refusal = &shoot.Refusal{Code: shoot.CodeStale, Say: "Somebody changed it meanwhile.", Yours: "a", Theirs: "b"}
	}
	return e
}

func samples(from, to uint64) []desk.Entry {
	var out []desk.Entry
	for s := from; s <= to; s++ {
		out = append(out, Sample(s))
	}
	return out
}

func intentID(n uint64) shoot.IntentID {
	return shoot.IntentID(fmt.Sprintf("0191d3f0-0000-7000-8000-%012x", n))
}

func checkpoint(seq uint64) *desk.Checkpoint {
	s := shoot.New()
	s.Floor.Shoot.Title = fmt.Sprintf("as of %d", seq)
	return &desk.Checkpoint{Seq: seq, State: s, Devices: map[desk.DeviceKey]uint64{"p/d": seq}}
}

func nothingThere(t *testing.T, u Under) {
	cp, rest := load(t, u.Log, id)
	if cp.Seq != 0 || cp.State != nil || len(rest) != 0 {
		t.Errorf("an unknown shoot has a checkpoint at %d and %d entries", cp.Seq, len(rest))
	}
	if got, err := u.Log.Range(id, 0, 10, true); err != nil || len(got) != 0 {
		t.Errorf("an unknown shoot has the range %v, %v", got, err)
	}
	if _, ok, err := u.Log.Find(id, intentID(1)); ok || err != nil {
		t.Errorf("an intent of an unknown shoot was found, or %v", err)
	}
}

func roundTrip(t *testing.T, u Under) {
	want := samples(1, 30)
	add(t, u.Log, id, want[:1], nil)
	add(t, u.Log, id, want[1:12], nil)
	add(t, u.Log, id, want[12:], nil)
	_, rest := load(t, u.Log, id)
	same(t, rest, want)
}

func order(t *testing.T, u Under) {
	refused := func(batch []desk.Entry) {
		t.Helper()
		if err := u.Log.Append(id, batch, nil); !errors.Is(err, desk.ErrOrder) {
			t.Errorf("entries from %d: %v, want ErrOrder", batch[0].Seq, err)
		}
	}
	refused(samples(2, 2))
	refused(samples(0, 0))
	add(t, u.Log, id, samples(1, 3), nil)
	refused(samples(3, 4))
	refused(samples(5, 5))
	refused([]desk.Entry{Sample(4), Sample(6)})
	_, rest := load(t, u.Log, id)
	same(t, rest, samples(1, 3))
	add(t, u.Log, id, samples(4, 4), nil)
}

func allOrNothing(t *testing.T, u Under) {
	add(t, u.Log, id, samples(1, 2), nil)
	if err := u.Log.Append(id, []desk.Entry{Sample(3), Sample(4), Sample(7)}, checkpoint(7)); err == nil {
		t.Fatal("a batch with a hole in it was taken")
	}
	cp, rest := load(t, u.Log, id)
	if cp.Seq != 0 {
		t.Errorf("the checkpoint of a failed batch is there")
	}
	same(t, rest, samples(1, 2))
	if _, ok, err := u.Log.Find(id, intentID(3)); ok || err != nil {
		t.Errorf("an intent of a failed batch was found, or %v", err)
	}
	if err := u.Log.Append(id, samples(3, 4), checkpoint(3)); !errors.Is(err, desk.ErrOrder) {
		t.Errorf("a checkpoint inside its batch: %v, want ErrOrder", err)
	}
	add(t, u.Log, id, samples(3, 4), checkpoint(4))
}

func ranges(t *testing.T, u Under) {
	add(t, u.Log, id, samples(1, 25), nil)
	for _, c := range []struct {
		after uint64
		limit int
		money bool
	}{{0, 100, true}, {0, 100, false}, {0, 7, true}, {0, 7, false}, {6, 7, false}, {24, 5, true}, {25, 5, true}, {99, 5, true}, {3, 1, false}} {
		var want []desk.Entry
		for s := c.after + 1; s <= 25 && len(want) < c.limit; s++ {
			if e := Sample(s); c.money || !e.Money() {
				want = append(want, e)
			}
		}
		got, err := u.Log.Range(id, c.after, c.limit, c.money)
		if err != nil {
			t.Fatal(err)
		}
		same(t, got, want)
	}
}

func find(t *testing.T, u Under) {
	twice := Sample(8)
	twice.Intent.ID, twice.Verdict.ID, twice.Device = intentID(2), intentID(2), "0191d3f0-0000-7000-8000-00000000eeee"
	add(t, u.Log, id, append(samples(1, 7), twice), nil)
	again := Sample(9)
	again.Intent.ID = intentID(2)
	add(t, u.Log, id, []desk.Entry{again}, nil)
	for _, seq := range []uint64{1, 2, 3, 5, 7} {
		e, ok, err := u.Log.Find(id, intentID(seq))
		if err != nil || !ok {
			t.Fatalf("intent %d: %v, %v", seq, ok, err)
		}
		same(t, []desk.Entry{e}, samples(seq, seq))
	}
	if _, ok, err := u.Log.Find(id, intentID(99)); ok || err != nil {
		t.Errorf("an unknown intent was found, or %v", err)
	}
}

func checkpoints(t *testing.T, u Under) {
	add(t, u.Log, id, samples(1, 4), checkpoint(4))
	add(t, u.Log, id, samples(5, 6), nil)
	pointed(t, u.Log, 4, samples(5, 6))
	add(t, u.Log, id, samples(7, 9), checkpoint(9))
	add(t, u.Log, id, samples(10, 11), nil)
	pointed(t, u.Log, 9, samples(10, 11))
	got, err := u.Log.Range(id, 0, 100, true)
	if err != nil {
		t.Fatal(err)
	}
	same(t, got, samples(1, 11)) // a checkpoint drops nothing from the log
}

func checkpointLast(t *testing.T, u Under) {
	add(t, u.Log, id, samples(1, 4), checkpoint(4))
	pointed(t, u.Log, 4, nil)
	add(t, u.Log, id, samples(5, 5), nil)
	pointed(t, u.Log, 4, samples(5, 5))
}

func pointed(t *testing.T, log desk.Log, at uint64, want []desk.Entry) {
	t.Helper()
	cp, rest := load(t, log, id)
	if a, b := encode(t, cp), encode(t, checkpoint(at)); a != b {
		t.Errorf("the checkpoint came out as\n%s\nwent in as\n%s", a, b)
	}
	same(t, rest, want)
}

func generation(t *testing.T, u Under) {
	one := named(t, u.Log, id)
	if one == "" {
		t.Error("a generation without a name")
	}
	add(t, u.Log, id, samples(1, 1), nil)
	if got := named(t, u.Log, id); got != one {
		t.Errorf("the generation went from %q to %q with an entry", one, got)
	}
	if got := named(t, u.Log, "another"); got == one {
		t.Errorf("two shoots share the generation %q", got)
	}
	if u.Reopen != nil {
		if got := named(t, u.Reopen(t), id); got != one {
			t.Errorf("the generation went from %q to %q by opening again", one, got)
		}
	}
}

func separate(t *testing.T, u Under) {
	add(t, u.Log, id, samples(1, 3), checkpoint(3))
	for _, other := range []string{"another", id + "0", id[:len(id)-1]} {
		if cp, rest := load(t, u.Log, other); cp.Seq != 0 || len(rest) != 0 {
			t.Errorf("shoot %q holds what belongs to another", other)
		}
		if _, ok, err := u.Log.Find(other, intentID(1)); ok || err != nil {
			t.Errorf("shoot %q finds another's intent, or %v", other, err)
		}
		add(t, u.Log, other, samples(1, 2), nil)
	}
	pointed(t, u.Log, 3, nil)
}

func together(t *testing.T, u Under) {
	var wg sync.WaitGroup
	for i := range 4 {
		wg.Go(func() {
			name := fmt.Sprintf("%s-%d", id, i)
			for s := uint64(1); s <= 20; s++ {
				if err := u.Log.Append(name, samples(s, s), nil); err != nil {
					t.Errorf("shoot %d, entry %d: %v", i, s, err)
					return
				}
			}
		})
	}
	wg.Wait()
	for i := range 4 {
		_, rest := load(t, u.Log, fmt.Sprintf("%s-%d", id, i))
		same(t, rest, samples(1, 20))
	}
}

func large(t *testing.T, u Under) {
	want := samples(1, 600)
	for i := range want {
		want[i].Intent.Args = json.RawMessage(`{"notes":"` + strings.Repeat("é", 200+i) + `"}`)
	}
	want[300].Intent.Args = json.RawMessage(`"` + strings.Repeat("x", shoot.MaxArgs-2) + `"`)
	add(t, u.Log, id, want, checkpoint(600))
	got, err := u.Log.Range(id, 0, 1000, true)
	if err != nil {
		t.Fatal(err)
	}
	same(t, got, want)
}

func again(t *testing.T, u Under, open func(*testing.T) desk.Log) {
	if open == nil {
		t.Skip("this log cannot do that")
	}
	add(t, u.Log, id, samples(1, 5), checkpoint(5))
	add(t, u.Log, id, samples(6, 9), nil)
	was := named(t, u.Log, id)
	log := open(t)
	pointed(t, log, 5, samples(6, 9))
	if got := named(t, log, id); got != was {
		t.Errorf("the generation went from %q to %q", was, got)
	}
	if e, ok, err := log.Find(id, intentID(2)); err != nil || !ok || e.Seq != 2 {
		t.Errorf("intent 2 is gone: %v, %v", ok, err)
	}
	if err := log.Append(id, samples(9, 9), nil); !errors.Is(err, desk.ErrOrder) {
		t.Errorf("entry 9 a second time: %v, want ErrOrder", err)
	}
	add(t, log, id, samples(10, 10), nil)
	pointed(t, log, 5, samples(6, 10))
}

func restored(t *testing.T, u Under) {
	if u.Restore == nil {
		t.Skip("this log cannot do that")
	}
	add(t, u.Log, id, samples(1, 5), checkpoint(5))
	was := named(t, u.Log, id)
	log := u.Restore(t)
	pointed(t, log, 5, nil)
	now := named(t, log, id)
	if now == was || now == "" {
		t.Errorf("the generation is still %q", now)
	}
	if got := named(t, log, id); got != now {
		t.Errorf("the generation went on from %q to %q", now, got)
	}
}

func load(t *testing.T, log desk.Log, id string) (desk.Checkpoint, []desk.Entry) {
	t.Helper()
	cp, rest, err := log.Load(id)
	if err != nil {
		t.Fatal(err)
	}
	return cp, rest
}

func add(t *testing.T, log desk.Log, id string, batch []desk.Entry, cp *desk.Checkpoint) {
	t.Helper()
	if err := log.Append(id, batch, cp); err != nil {
		t.Fatal(err)
	}
}

func named(t *testing.T, log desk.Log, id string) string {
	t.Helper()
	g, err := log.Generation(id)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func same(t *testing.T, got, want []desk.Entry) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%d entries, want %d", len(got), len(want))
		return
	}
	for i := range got {
		if a, b := encode(t, got[i]), encode(t, want[i]); a != b {
			t.Errorf("entry %d came out as\n%s\nwent in as\n%s", i, a, b)
			return
		}
	}
}

func encode(t *testing.T, v any) string {
	t.Helper()
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

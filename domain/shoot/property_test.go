package shoot

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/google/uuid"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/when"
)

// wild makes intents that are mostly sensible and sometimes not.
type wild struct {
	*stage
	r *rand.Rand
}

// Generate chooses what somebody enters who sees a state, and makes its arguments.
// It is shoottest's, which cannot be imported from within (TestMain).
var Generate func(sees *State, who Audience, now when.Instant, below func(int) int) (name string, args any)

func (w *wild) step(now when.Instant) {
	who := []PersonID{ada, art, cam, prop, food, cust, cook, crew}[w.r.IntN(8)]
	a := Audience{Person: who, Role: w.s.Floor.People[who].Role}
	name, args := Generate(w.s.For(a), a, now, w.r.IntN)
	if w.r.IntN(60) == 0 {
		args = json.RawMessage(`{"shot":`)
	}
	happened := now - when.Instant(w.r.IntN(40))*when.Minute
	if p := w.s.Floor.People[who]; p.Revoked && w.r.IntN(2) == 0 {
		happened = min(happened, p.Withdrawn-when.Minute) // what they had entered before, on a phone without a network
	}
	if w.via = ""; w.n%11 == 0 && IsFact(name) {
		w.via = crew
	}
	w.late(who, happened, now, name, args)
	if w.n%12 == 0 {
		w.gather(now)
	}
}

func TestAnyLogReplaysToTheSameBytes(t *testing.T) {
	for seed := range uint64(30) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			w := &wild{newStage(t), rand.New(rand.NewPCG(seed, 1))}
			now := clock("08:00")
			for range 150 {
				now += when.Instant(w.r.IntN(300)) * when.Second
				w.step(now)
				if seed%10 == 0 {
					w.openShotsWereAllowed()
				}
			}
			want := mustJSON(t, w.s)

			stored, err := json.Marshal(w.log)
			if err != nil {
				t.Fatal(err)
			}
			var log []Event
			if err := json.Unmarshal(stored, &log); err != nil {
				t.Fatal(err)
			}
			again := New()
			for _, e := range log {
				Apply(again, e)
			}
			if got := mustJSON(t, again); got != want {
				t.Fatalf("replay differs:\n%s\n%s", got, want)
			}
			var back State
			if err := json.Unmarshal([]byte(want), &back); err != nil {
				t.Fatal(err)
			}
			if got := mustJSON(t, &back); got != want {
				t.Fatal("a stored state does not come back as it was")
			}
			if before, after, err := w.s.JSON(); err != nil || string(before)+string(w.s.FloorJSON())+string(after) != want {
				t.Fatalf("in parts the state is %s ... %s (%v)", before, after, err)
			}
			// What an audience holds is the same whether it was cut out of the
			// whole or built from the events it sees.
			for p := range w.s.Floor.People {
				a, _ := w.s.AudienceOf(p)
				part := New().For(a)
				blind := New().For(a)
				for _, e := range log {
					if a.Sees(e.Topic()) {
						Apply(part, e)
					}
					Apply(blind, e) // planes that are not there are passed over
				}
				if got, want := mustJSON(t, part), mustJSON(t, w.s.For(a)); got != want {
					t.Fatalf("%s: built %s\ncut %s", a.Role, got, want)
				}
				if blind.FloorHash() != w.s.FloorHash() {
					t.Fatal("one floor, one hash")
				}
			}
		})
	}
}

// openShotsWereAllowed checks the gate from the other side: whoever looks at the
// log finds each opening behind its confirmations.
func (w *wild) openShotsWereAllowed() {
	w.t.Helper()
	s := New()
	for _, e := range w.log {
		if b, ok := e.Body.(ShotOpened); ok {
			if holds := s.Gate(s.Floor.Shots[b.Shot], e.At); len(holds) > 0 {
				w.t.Fatalf("shot opened though %v", holds)
			}
		}
		Apply(s, e)
	}
}

// Two days that differ only in money are the same day on the floor.
func TestMoneyNeverShowsOnTheFloor(t *testing.T) {
	run := func(rate int64) ([]Event, string) {
		st := newStage(t)
		st.must(ada, clock("07:00"), "terms.set", termsSet{Person: crew, Terms: overtime.Terms{Basis: overtime.AllIn, Rate: money.Of(rate, "EUR")}})
		w := &wild{st, rand.New(rand.NewPCG(7, 7))}
		now := clock("08:00")
		for range 200 {
			now += when.Minute
			w.step(now)
		}
		var floor []Event
		for _, e := range st.log {
			who := Audience{Person: cam, Role: Photographer} // who is shown their own pay, and crew's not
			if e.Topic() == payTopic(cam) && !who.Sees(e.Topic()) || e.Topic() == payTopic(crew) && who.Sees(e.Topic()) {
				t.Fatal("own pay is for its person")
			}
			if e.Topic() != TopicMoney && e.Topic() != payTopic(crew) {
				floor = append(floor, e)
			}
		}
		return floor, st.s.FloorHash()
	}
	a, ha := run(100)
	b, hb := run(999999)
	if ha != hb || mustJSON(t, a) != mustJSON(t, b) {
		t.Error("the floor depends on money")
	}
}

func TestUnknownEventIsAnError(t *testing.T) {
	var e Event
	for _, bad := range []string{`{"kind":"shot.polished","at":1,"by":"x","data":{}}`, `{"kind":"shot.opened","at":1,"by":"x","data":[]}`, `{"at":1}`, `{"kind":"shot.opened","at":1,"by":"x","data":{},"more":1}`} {
		if json.Unmarshal([]byte(bad), &e) == nil {
			t.Errorf("%s was read", bad)
		}
	}
}

// RFC 9562, appendix A.6: the example UUIDv7 is made at 1645557742000 ms with
// the random parts 0xCC3 and 0x18C4DC0C0C07398F.
func TestNewIDMakesTheExampleOfRFC9562(t *testing.T) {
	got := NewID(1645557742000, [10]byte{0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f})
	if got != "017f22e2-79b0-7cc3-98c4-dc0c0c07398f" {
		t.Error(got)
	}
	parsed, err := uuid.Parse(got) // another implementation reads it as what it is
	if sec, _ := parsed.Time().UnixTime(); err != nil || parsed.Version() != 7 || parsed.Variant() != uuid.RFC4122 || sec != 1645557742 {
		t.Error(parsed.Version(), parsed.Variant(), sec, err)
	}
	if !ValidID(got) || ValidID("017F22E2-79B0-7CC3-98C4-DC0C0C07398F!") || ValidID("{017f22e2-79b0-7cc3-98c4-dc0c0c07398f}") || ValidID("") {
		t.Error("canonical ids only")
	}
}

func BenchmarkDecideAndApply(b *testing.B) {
	st := newStage(b)
	raw, _ := json.Marshal(mealGuests{lunch, 1})
	in := Intent{ID: "x", Name: "meal.guests", Version: 1, Args: raw, Actor: ada, Happened: clock("09:00"), Received: clock("09:00")}
	for b.Loop() {
		dec, err := Decide(st.s, in)
		if err != nil {
			b.Fatal(err)
		}
		for _, e := range dec.Events {
			Apply(st.s, e)
		}
	}
}

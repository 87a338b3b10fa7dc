package shoot

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/google/uuid"

	"fairday/domain/catering"
	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/when"
)

// wild makes intents that are mostly sensible and sometimes not.
type wild struct {
	*stage
	r *rand.Rand
}

func pick[T any](r *rand.Rand, of ...T) T { return of[r.IntN(len(of))] }

func (w *wild) step(now when.Instant) {
	r := w.r
	who := pick(r, ada, art, cam, prop, food, cust, cook, crew)
	shot, hero := pick(r, shotLamp, shotSoup, shotFree), pick(r, lamp, soup)
	plate := pick(r, Plate{Designation: "LX-20", Finish: "Brass"}, Plate{Serial: "B7"}, Plate{Serial: "B8"})
	var q QueryID
	for id := range w.s.Floor.Queries { // any one; the choice does not matter
		if q == "" || id < q {
			q = id
		}
	}
	nine, euro := when.Clock(9*60), money.Of(100, "EUR")
	intents := []struct {
		name string
		args any
	}{
		{"shot.open", shotOpen{shot}}, {"shot.open", shotOpen{shot}}, {"shot.start", shotStart{shot}},
		{"shot.capture", shotCapture{shot, pick(r, "", "12-14")}}, {"shot.capture", shotCapture{shot, ""}},
		{"shot.cut", shotCut{shot}}, {"shot.reset", shotReset{shot, w.s.Floor.Shots[shot].Progress}},
		{"shot.frames", shotFrames{shot, "9"}}, {"shot.approve", shotApprove{shot}},
		{"shot.order", shotOrder{day1, []ShotID{shotFree, shot}, w.s.Floor.Days[day1].OrderVersion}},
		{"hero.read", heroRead{hero, plate, []string{"Glass is clean"}}}, {"hero.read", heroRead{hero, plate, []string{"Glass is clean"}}},
		{"hero.swap", heroSwap{hero, ""}}, {"hero.away", heroAway{hero, ""}}, {"hero.back", heroBack{hero}}, {"hero.refuse", heroRefuse{hero, "no"}},
		{"punch", punch{day1, []PersonID{who}, pick(r, MarkIn, MarkOut, MarkMealIn, MarkMealOut), 0}},
		{"punch", punch{day1, []PersonID{crew, cam}, pick(r, MarkIn, MarkOut), 0}},
		{"meal.guests", mealGuests{lunch, r.IntN(5) - 2}}, {"meal.count", mealCount{lunch}},
		{"meal.start", mealStart{lunch}}, {"meal.serve", mealServe{lunch, 1}}, {"meal.end", mealEnd{lunch}},
		{"diet.set", dietSet{who, Diet{Kind: pick(r, catering.Diet("vegan"), "vegetarian"), Allergens: pick(r, nil, []catering.Allergen{"milk"})}}},
		{"call.set", callSet{day1, who, pick(r, nil, &nine), nil}},
		{"sheet.publish", sheetPublish{day1, w.s.Floor.Days[day1].Published + 1}}, {"sheet.seen", sheetSeen{day1, 1}},
		{"query.settle", querySettle{q, pick(r, Keep, Drop), ""}},
		{"terms.set", termsSet{crew, overtime.Terms{Basis: overtime.AllIn, Rate: money.Of(int64(r.IntN(9)), "EUR")}, w.s.Money.Terms[crew].Version, Employee{Law: overtime.LawUK}}},
		{"punch.undo", punchUndo{day1, who, w.stamp(who)}}, {"hours.sign", hoursSign{day1, w.s.Floor.Hours[KeyOf(day1, who)].Stamps()}},
		{"hours.dispute", hoursDispute{day1, []Stamp{{MarkIn, 5}}, "That is not right."}},
		{"pay.share", payShare{day1, []PersonID{cam, crew}[r.IntN(2):], r.IntN(4) > 0}}, {"pay.sign", paySign{day1, w.s.Pay[KeyOf(day1, who)].Version, money.Of(90000, "EUR")}},
		{"pay.dispute", payDispute{day1, 1, "That is not right."}}, {"pay.settle", paySettle{day1, pick(r, cam, crew), "Now it is."}},
		{"overtime.ask", overtimeAsk{w.asked().ID, day1, clock("20:00"), pick(r, nil, &euro), "", w.asked().Version}},
		{"overtime.answer", overtimeAnswer{w.asked().ID, w.asked().Version, r.IntN(2) > 0, ""}}, {"overtime.unask", overtimeUnask{w.asked().ID}},
		{"overtime.approve", overtimeApprove{ApprovalID(id(2000 + w.n)), day1, now, money.Of(100, "EUR"), ""}},
		{"pause.start", pauseStart{day1, pick(r, "", "the courier")}}, {"pause.end", pauseEnd{day1}},
		{"light.set", lightSet{day1, 38722000, -9139000, []Window{{"North", 350, 220, 90, 260, 100, 75}}, w.s.Floor.Lights[day1].Version}},
		{"shot.wishes", shotWishes{shot, pick(r, AnyLight, NoSun), pick(r, "", "North"), pick(r, nil, []ShotID{shotFree}), 20, w.s.Floor.Wishes[shot].Version}},
		{"stay.until", stayUntil{day1, cam, pick(r, nil, &nine), nil}},
		{"meal.range", mealRange{lunch, 12 * 60, 14 * 60, w.s.Floor.MealRanges[lunch].Version}},
		{"shot.open", json.RawMessage(`{"shot":`)},
	}
	in := pick(r, intents...)
	w.late(who, now-when.Instant(r.IntN(40))*when.Minute, now, in.name, in.args)
}

// stamp is somebody's last punch, if there is one.
func (w *wild) stamp(p PersonID) Stamp {
	if seen := w.stamps(p); len(seen) > 0 {
		return seen[len(seen)-1]
	}
	return Stamp{MarkIn, 5}
}

// asked is the ask that waits, or the next that could be made.
func (w *wild) asked() Ask {
	for n := 3000; ; n++ {
		if ask, there := w.s.Asks[AskID(id(n))]; !there || ask.Reply == "" {
			ask.ID = AskID(id(n))
			return ask
		}
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

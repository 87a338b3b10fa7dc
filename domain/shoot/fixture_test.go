package shoot

import (
	"cmp"
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"fairday/domain/catering"
	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/when"
)

// A small shoot that the tests share. It is built by the same Decide and Apply
// as any other.
const (
	testDate = when.Date("2026-11-25")
	testZone = when.Zone("Europe/Lisbon") // UTC in November
)

func id(n int) string { return NewID(when.Instant(1795600000000+n), [10]byte{9: byte(n)}) }

var (
	day1                                        = DayID(id(1))
	ada, art, cam, prop, food, cust, cook, crew = PersonID(id(11)), PersonID(id(12)), PersonID(id(13)), PersonID(id(14)), PersonID(id(15)), PersonID(id(16)), PersonID(id(17)), PersonID(id(18))
	table                                       = SetupID(id(21))
	lamp, soup                                  = HeroID(id(31)), HeroID(id(32))
	shotLamp, shotSoup, shotFree                = ShotID(id(41)), ShotID(id(42)), ShotID(id(43))
	lunch                                       = MealID(id(51))
)

// clock is a time on the test day.
func clock(s string) when.Instant {
	c, err := when.ParseClock(s)
	if err != nil {
		panic(err)
	}
	at, err := testZone.At(testDate, c)
	if err != nil {
		panic(err)
	}
	return at
}

// stage runs intents against a state and keeps the log.
type stage struct {
	t   testing.TB
	s   *State
	log []Event
	in  []Intent // those that were accepted
	n   int
	via PersonID // who delivers what comes next, where that is not its owner
}

func newStage(t testing.TB) *stage {
	st := &stage{t: t, s: New()}
	now := clock("05:00")
	desk := func(name string, args any) { t.Helper(); st.must(Desk, now, name, args) }
	desk("shoot.set", shootSet{Title: "Winter table", Client: "Halden & Rook"})
	desk("day.set", daySet{ID: day1, Name: "Day 1", Date: testDate, Zone: testZone})
	roles := []Role{Producer, ArtDirector, Photographer, PropStylist, FoodStylist, Client, Caterer, Crew}
	for i, p := range []PersonID{ada, art, cam, prop, food, cust, cook, crew} {
		role := roles[i]
		desk("person.set", personSet{ID: p, Name: "Person " + role.Label(), Role: role, Phone: "555-0100"})
	}
	desk("setup.set", setupSet{ID: table, Name: "Table by the window", Minutes: 20})
	desk("hero.set", heroSet{HeroPlan: HeroPlan{ID: lamp, Name: "Lamp", Plate: Plate{Designation: "LX-20", Finish: "Brass"}, Needs: 2, Checklist: []string{"Glass is clean"}}})
	desk("hero.set", heroSet{HeroPlan: HeroPlan{ID: soup, Name: "Soup", Plate: Plate{Serial: "B7"}, Needs: 1, Food: true, HoldMinutes: 30}})
	shot := func(id ShotID, number string, heroes ...HeroID) {
		desk("shot.set", shotSet{ShotPlan: ShotPlan{ID: id, Day: day1, Number: number, Title: "Shot " + number, Setup: table, Minutes: 30, Priority: Must, Heroes: heroes}})
	}
	shot(shotLamp, "1", lamp)
	shot(shotSoup, "2", soup)
	shot(shotFree, "3")
	desk("meal.set", mealSet{MealPlan: MealPlan{ID: lunch, Day: day1, Name: "Lunch", At: 13 * 60, Minutes: 45, Margin: 2}})
	desk("diet.set", dietSet{Person: crew, Diet: Diet{Kinds: []catering.Diet{"vegan"}, Allergens: nil}})
	desk("sheet.set", sheetSet{Day: day1, SheetText: SheetText{Place: Place{Name: "The Mill"}, GeneralCall: 8 * 60, PlannedWrap: 18 * 60}})
	for _, p := range []PersonID{ada, art, cam, prop, food, cust, crew} {
		c := when.Clock(8 * 60)
		desk("call.set", callSet{Day: day1, Person: p, Call: &c})
	}
	desk("sheet.publish", sheetPublish{Day: day1, Number: 1})
	desk("currency.set", currencySet{Currency: "EUR"})
	desk("terms.set", termsSet{Person: cam, Terms: overtime.Terms{Basis: overtime.Day, Rate: money.Of(90000, "EUR"), Included: 600,
		Bands: []overtime.Band{{After: 600, Times: money.Ratio{Num: 3, Den: 2}}}}})
	st.gather(now)
	return st
}

// gather has the desk count the covers, as it does each quarter of an hour.
func (st *stage) gather(at when.Instant) {
	st.t.Helper()
	via := st.via
	st.via = ""
	defer func() { st.via = via }()
	if st.s.CoversDue(at, false) {
		st.must(Desk, at, "covers.count", coversCount{})
	}
}

// do runs one intent at an instant, received at once.
func (st *stage) do(who PersonID, at when.Instant, name string, args any) (*Flag, *Refusal) {
	return st.late(who, at, at, name, args)
}

// late runs an intent that happened earlier than it was received.
func (st *stage) late(who PersonID, happened, received when.Instant, name string, args any) (*Flag, *Refusal) {
	st.t.Helper()
	raw, ok := args.(json.RawMessage)
	if !ok {
		var err error
		if raw, err = json.Marshal(args); err != nil {
			st.t.Fatal(err)
		}
	}
	st.n++
	in := Intent{ID: IntentID(id(1000 + st.n)), Name: name, Version: Version(name), Args: raw, Actor: who, Happened: happened, Received: received}
	before := mustJSON(st.t, st.s)
	dec, err := Decide(st.s, in)
	if st.via != "" {
		dec, err = Deliver(st.s, in, st.via, dec, err)
	}
	if mustJSON(st.t, st.s) != before {
		st.t.Fatalf("Decide(%s) changed the state", name)
	}
	if err != nil {
		var r *Refusal
		if !errors.As(err, &r) {
			st.t.Fatalf("%s: %T is not a refusal", name, err)
		}
		return nil, r
	}
	st.inPlane(in, dec.Events)
	for _, e := range dec.Events {
		Apply(st.s, e)
		st.log = append(st.log, e)
	}
	st.in = append(st.in, in)
	return dec.Flag, nil
}

// inPlane checks that an intent writes the plane that its row names, and that one about
// money writes nothing else.
func (st *stage) inPlane(in Intent, all []Event) {
	st.t.Helper()
	row := intents[in.Name]
	plane, wrote := cmp.Or(row.plane, TopicFloor), len(all) == 0
	for _, e := range all {
		at := e.Topic()
		wrote = wrote || at == plane || at.of(plane) || e.Kind() == "report.held"
		if row.money() && at != TopicMoney && !at.IsPay() {
			st.t.Fatalf("%s is about money and writes %s", in.Name, at)
		}
	}
	if !wrote {
		st.t.Fatalf("%s writes nothing of the plane %s that its row names", in.Name, plane)
	}
}

// must runs an intent that has to be accepted without a flag.
func (st *stage) must(who PersonID, at when.Instant, name string, args any) {
	st.t.Helper()
	if flag, r := st.do(who, at, name, args); r != nil || flag != nil {
		st.t.Fatalf("%s: refusal %v, flag %+v", name, r, flag)
	}
}

// refused runs an intent that has to be refused with a code and a sentence.
func (st *stage) refused(code Code, who PersonID, at when.Instant, name string, args any) *Refusal {
	st.t.Helper()
	_, r := st.do(who, at, name, args)
	if r == nil || r.Code != code {
		st.t.Fatalf("%s: got %+v, want refusal %s", name, r, code)
	}
	if len(r.Say) < 20 || !strings.HasSuffix(strings.TrimRight(r.Say, ")"), ".") {
		st.t.Errorf("%s: %q is no sentence", name, r.Say)
	}
	return r
}

// flagged runs an intent that has to be kept with a flag.
func (st *stage) flagged(code Code, who PersonID, at when.Instant, name string, args any) *Flag {
	st.t.Helper()
	f, r := st.do(who, at, name, args)
	if f == nil || f.Code != code {
		st.t.Fatalf("%s: got flag %+v, refusal %v, want flag %s", name, f, r, code)
	}
	return f
}

func mustJSON(t testing.TB, v any) string {
	t.Helper()
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// confirmLamp has both people read the lamp.
func (st *stage) confirmLamp(at when.Instant) {
	st.t.Helper()
	read := heroRead{Hero: lamp, Plate: Plate{Designation: "lx-20", Finish: " brass "}, Checked: []string{"Glass is clean"}}
	st.must(prop, at, "hero.read", read)
	st.must(cust, at+when.Minute, "hero.read", read)
}

func (st *stage) progress(want Progress, shot ShotID) {
	st.t.Helper()
	if got := st.s.Floor.Shots[shot].Progress; got != want {
		st.t.Fatalf("shot %s is %s, want %s", st.s.Floor.Shots[shot].Number, got, want)
	}
}

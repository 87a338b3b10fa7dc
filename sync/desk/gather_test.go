package desk_test

import (
	"strings"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/desk"
	"fairday/sync/sim"
	"fairday/sync/wire"
)

// morning is a day up to lunch, as a desk has it beat by beat, and what the caterer heard
// of it, cursors blanked.
type morning struct {
	*room
	ids   map[int]desk.ConnID
	seqs  map[int]uint64
	at    when.Instant
	heard []string
	cook  *follow
}

func newMorning(t testing.TB) *morning {
	m := &morning{room: newRoom(t, nil), ids: map[int]desk.ConnID{}, seqs: map[int]uint64{}, at: now}
	for _, p := range []int{producer, director, photographer, foodStylist, client, crew} {
		m.ids[p] = m.join(p)
	}
	var outs []desk.Out
	m.cook, outs = m.follow(caterer, "", nil)
	m.ids[caterer] = m.cook.id
	m.hear(outs)
	m.until(now + when.Minute)
	return m
}

func (m *morning) hear(outs []desk.Out) {
	for _, o := range outs {
		if o.To == m.cook.id {
			m.heard = append(m.heard, cursors.ReplaceAllString(string(o.Whole()), `"cursor":""`))
		}
	}
}

// until lets the beats pass.
func (m *morning) until(at when.Instant) {
	m.t.Helper()
	for ; m.at < at; m.at += wire.BeatEvery {
		m.check(m.d.Gather(m.at))
		outs := m.flush()
		m.hear(outs)
		m.cook.take(outs)
	}
}

// does enters an edit of a person.
func (m *morning) does(person int, name string, args any) {
	m.t.Helper()
	m.seqs[person]++
	e := m.edit(m.seqs[person], name, args)
	e.Happened = m.at
	outs := append(m.d.Receive(m.ids[person], wire.Edits{Edits: []wire.Edit{e}}, m.at), m.flush()...)
	if v := m.verdict(m.ids[person], outs); v.Result != wire.Accepted {
		m.t.Fatalf("%s of person %d: %+v", name, person, v)
	}
	m.hear(outs)
	m.cook.take(outs)
	m.same(m.cook, caterer)
}

func (m *morning) punches(kind shoot.MarkKind, person int) {
	m.t.Helper()
	m.does(person, "punch", sim.Set{"day": sim.ID(0x10), "people": []shoot.PersonID{sim.Person(person)}, "kind": kind})
}

// eats sets a diet: with an allergy, vegan twice over and a note, or nothing at all.
func (m *morning) eats(person int, allergic bool) {
	m.t.Helper()
	args := sim.Set{"person": sim.Person(person), "kinds": []string{}, "allergens": []string{}, "note": ""}
	if allergic {
		args = sim.Set{"person": sim.Person(person), "kinds": []string{"vegan", "gluten-free"}, "allergens": []string{"tree-nuts"}, "note": "her own soup"}
	}
	m.does(person, "diet.set", args)
}

// without is how many at lunch must not have nuts, as far as the caterer was told.
func (m *morning) without() int {
	return m.cook.state.Kitchen.Covers[shoot.MealID(sim.ID(0x50))].Without("tree-nuts")
}

// feed plays one morning: who of two people has the allergy is all that differs.
func feed(t testing.TB, allergic, other int) *morning {
	m := newMorning(t)
	m.eats(allergic, true)
	m.eats(other, false)
	minutes := func(n when.Instant) { m.until(now + n*when.Minute) }
	minutes(30)
	if m.without() != 1 {
		t.Fatalf("the caterer knows of %d people without nuts", m.without())
	}
	a, b := crew, photographer // whichever it is
	m.punches(shoot.MarkIn, a)
	minutes(36)
	m.punches(shoot.MarkIn, b)
	m.does(client, "meal.guests", sim.Set{"meal": sim.ID(0x50), "delta": 2})
	minutes(60)
	m.punches(shoot.MarkOut, a) // alone, so that nobody hears of it
	minutes(84)
	if m.without() != 1 {
		t.Fatal("one who left alone was counted out")
	}
	m.does(client, "meal.guests", sim.Set{"meal": sim.ID(0x50), "delta": -1})
	m.punches(shoot.MarkOut, b) // now it may be either
	minutes(108)
	if m.without() != 0 {
		t.Fatal("both left, and the caterer was not told")
	}
	m.punches(shoot.MarkIn, b)
	m.punches(shoot.MarkIn, a)
	minutes(132)
	if m.without() != 1 {
		t.Fatal("both came back, and the caterer was not told")
	}
	return m
}

// SPEC A12: what the caterer hears of a day does not tell which of two people has an
// allergy: not when they come and go, not when guests are added meanwhile, and not in
// what a phone that comes anew is sent.
func TestKitchenCannotTellWho(t *testing.T) {
	one, two := feed(t, crew, photographer), feed(t, photographer, crew)
	if len(one.heard) < 10 || strings.Join(one.heard, "\n") != strings.Join(two.heard, "\n") {
		t.Errorf("one is\n%s\n\nand the other\n%s", strings.Join(one.heard, "\n"), strings.Join(two.heard, "\n"))
	}
	_, first := one.follow(caterer, "", nil)
	_, second := two.follow(caterer, "", nil)
	for i := range first {
		if a, b := cursors.ReplaceAllString(string(first[i].Whole()), ""), cursors.ReplaceAllString(string(second[i].Whole()), ""); a != b {
			t.Errorf("a phone that comes anew hears\n%s\nand\n%s", a, b)
		}
	}
	counts := 0
	entries, err := one.log.Range(sim.ShootID, uint64(len(sim.Plan())), 1000, true)
	one.check(err)
	for _, e := range entries {
		for _, ev := range e.Events {
			if ev.Topic() != shoot.TopicKitchen {
				continue
			}
			if ev.By != shoot.Desk {
				t.Errorf("%s names %s", ev.Kind(), ev.By)
			}
			if e.Intent.Name == "punch" || e.Intent.Name == "diet.set" {
				t.Errorf("%s goes with a %s", ev.Kind(), e.Intent.Name)
			}
			counts++
		}
	}
	if counts < 4 {
		t.Errorf("only %d events of the kitchen", counts)
	}
}

// SPEC A12: the kitchen has to know in time. Who is alone in a change is counted from two
// hours before the meal on, and at the last count.
func TestKitchenKnowsInTime(t *testing.T) {
	for name, last := range map[string]bool{"two hours before": false, "last count": true} {
		t.Run(name, func(t *testing.T) {
			run := func(who int) *morning {
				m := newMorning(t)
				m.eats(who, true)
				m.until(now + when.Hour/2)
				m.punches(shoot.MarkIn, crew)
				m.punches(shoot.MarkOut, crew)
				m.until(now + when.Hour)
				if m.without() != 1 {
					t.Fatal("one who left alone was counted out")
				}
				if last {
					m.does(caterer, "meal.count", sim.Set{"meal": sim.ID(0x50)})
				} else {
					m.until(now + 3*when.Hour + when.Hour/2)
				}
				return m
			}
			if n := run(crew).without(); n != 0 {
				t.Errorf("%d people without nuts after the one left", n)
			}
			if n := run(photographer).without(); n != 1 { // the check above can fail
				t.Errorf("%d people without nuts, and they stayed", n)
			}
		})
	}
}

// A desk that has just been opened does not tell what changed a moment ago, and one whose
// clock was put back counts on.
func TestGatheringAfterARestart(t *testing.T) {
	m := newMorning(t)
	m.until(now + when.Hour)
	before := len(m.heard)
	m.eats(crew, true)
	m.open()
	m.cook, _ = m.follow(caterer, "", nil)
	m.until(m.at + when.Minute)
	if m.without() != 0 || len(m.heard) > before {
		t.Errorf("told at once: %q", m.heard[before:])
	}
	m.until(m.at + shoot.GatherEvery)
	if m.without() != 1 {
		t.Error("not told a quarter of an hour later")
	}
	m.at -= 40 * when.Minute
	m.ids[crew] = m.join(crew)
	m.eats(crew, false)
	m.until(m.at + shoot.GatherEvery + when.Minute)
	if m.without() != 0 {
		t.Error("not told after the clock was put back")
	}
}

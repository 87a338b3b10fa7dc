package day

import (
	"reflect"
	"testing"

	"fairday/domain/money"
	"fairday/domain/shoot"
)

// The shell and the overtime screen of one phone reckon a day once, and anew as
// soon as anything that counts has changed.
func TestExposureIsReckonedOncePerChange(t *testing.T) {
	st := newStage(t)
	k := &Memo{}
	ada, crew := person(shoot.Producer), person(shoot.Crew)
	punch := func(at, kind string) func() {
		return func() { st.Do(crew, at, "punch", obj{"day": day1, "people": []shoot.PersonID{crew}, "kind": kind}) }
	}
	dearer := func() {
		terms := st.State.Money.Terms[crew]
		terms.Terms.Rate = money.Of(900_00, "USD")
		st.Do(ada, "17:20", "terms.set", obj{"person": crew, "terms": terms.Terms, "employee": terms.Employee, "base": terms.Version})
	}
	for _, c := range []struct {
		what, at string
		do       func()
		anew     bool
	}{
		{"first", "10:00", nil, true},
		{"a sign-in", "10:00", punch("08:00", "in"), true},
		{"nothing", "10:00", nil, false},
		{"the next minute", "10:01", nil, false},
		{"a note that costs nothing", "10:01", func() { st.Do(ada, "10:01", "currency.set", obj{"currency": "EUR"}) }, false},
		{"lunch that was not taken", "13:30", nil, true},
		{"a meal", "13:30", punch("13:10", "meal-out"), true},
		{"back", "14:00", punch("13:50", "meal-in"), true},
		{"terms", "14:00", dearer, true},
		{"an approval", "14:00", func() {
			st.Do(ada, "14:00", "overtime.approve", obj{"day": day1, "id": id(901), "until": clock("19:00"), "amount": obj{"minor": 1, "currency": "USD"}, "note": ""})
		}, false},
		{"a sign-out", "18:40", punch("18:40", "out"), true},
	} {
		was := k.exposed
		if c.do != nil {
			c.do()
		}
		for _, screen := range []string{"shell", "overtime"} {
			made := map[bool]any{}
			for _, kept := range []bool{true, false} {
				ctx := looks(ada, c.at)
				if kept {
					ctx.Memo = k
				}
				v, err := Make(screen, st.State, ctx)
				if err != nil {
					t.Fatal(err)
				}
				made[kept] = v
			}
			if !reflect.DeepEqual(made[true], made[false]) {
				t.Errorf("%s: the %s is stale", c.what, screen)
			}
			if screen == "shell" {
				if anew := k.exposed != was; anew != c.anew {
					t.Errorf("%s: reckoned anew is %v, want %v", c.what, anew, c.anew)
				}
				was = k.exposed
			} else if k.exposed != was {
				t.Errorf("%s: the overtime screen reckoned again what the shell had", c.what)
			}
		}
	}
}

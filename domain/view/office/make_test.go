package office

import (
	"encoding/json"
	"errors"
	"slices"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/view"
)

// A far screen offers what its row names and nothing else, and each of those is
// offered somewhere; none of it says null where a list is meant.
func TestScreensOfferWhatTheyName(t *testing.T) {
	st := newStage(t)
	for name, far := range screens() {
		offered := map[string]bool{}
		for _, r := range far.who {
			for _, of := range []string{string(person(shoot.Crew)), barn} {
				c := Context{Context: view.Context{Me: person(r), Now: clock("09:00")}, Of: of}
				v, err := Make(string(name), st.State.For(shoot.Audience{Person: c.Me, Role: r, Desk: true}), c)
				if err != nil {
					t.Fatal(err)
				}
				b, err := json.Marshal(v)
				if err != nil {
					t.Fatal(err)
				}
				for _, a := range actions(t, b) {
					offered[a.Name] = true
					if a.Later {
						t.Errorf("%s leaves %q for later, and only the server could give it", name, a.Label)
					}
				}
			}
		}
		for n := range offered {
			if !slices.Contains(Offers(string(name)), n) {
				t.Errorf("%s offers %s and does not name it", name, n)
			}
		}
		for _, n := range far.offers {
			if !offered[n] {
				t.Errorf("%s names %s and does not offer it", name, n)
			}
		}
	}
}

func TestMakeRefusals(t *testing.T) {
	st := newStage(t)
	for _, c := range []struct {
		screen string
		me     shoot.PersonID
		code   string
	}{{"shots", person(shoot.Producer), view.CodeScreen}, {"", person(shoot.Producer), view.CodeScreen}, {"plan", "nobody", view.CodePerson}, {"terms", person(shoot.ArtDirector), view.CodeRole}} {
		v, err := Make(c.screen, st.State, Context{Context: view.Context{Me: c.me, Now: clock("09:00")}})
		var e *view.Error
		if v != nil || !errors.As(err, &e) || e.Code != c.code || e.Text == "" {
			t.Errorf("%q for %q: %v, %v", c.screen, c.me, v, err)
		}
	}
}

// An empty shoot has a plan too.
func TestShootWithoutADay(t *testing.T) {
	s := shoot.New()
	me := person(shoot.Producer)
	s.Floor.People[me] = shoot.Person{ID: me, Name: "Ada", Role: shoot.Producer}
	if v, err := Make("plan", s, Context{Context: view.Context{Me: me, Now: clock("09:00")}}); err != nil || len(v.(*Plan).Parts) < 4 {
		t.Errorf("%+v, %v", v, err)
	}
}

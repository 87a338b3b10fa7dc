// Package housetest is the suite that every house.Book must pass.
package housetest

import (
	"errors"
	"fmt"
	"reflect"
	"sync"
	"testing"

	"fairday/domain/shoot"
	"fairday/server/house"
)

// Under is a fresh book with a way to shut it and open it again, after which the
// one that was there before is not used any more.
type Under struct {
	Book   house.Book
	Reopen func(t *testing.T) house.Book
}

// Run runs the suite; open makes an empty book for each test.
func Run(t *testing.T, open func(t *testing.T) Under) {
	for name, test := range map[string]func(*testing.T, Under){
		"rows are kept":           kept,
		"a change that fails":     failing,
		"changes at once":         atOnce,
		"somebody is forgotten":   forgotten,
		"kinds of row do not mix": separate,
	} {
		t.Run(name, func(t *testing.T) { test(t, open(t)) })
	}
}

func must(t *testing.T, all ...error) {
	t.Helper()
	if err := errors.Join(all...); err != nil {
		t.Fatal(err)
	}
}

func to[T any](v T) func(*T) error { return func(row *T) error { *row = v; return nil } }

func kept(t *testing.T, u Under) {
	o := house.Owner{ID: "a", Name: "Ada", Epoch: 2, Made: 3, Joined: 4}
	s := house.Shelved{Made: 5, By: "a", File: "f", Archived: 6, Known: map[house.OwnerID]shoot.PersonID{"a": "p"}}
	p := house.Person{ID: "p", Name: "Pia", Role: shoot.Crew, Phone: "555-0101", Terms: &shoot.Terms{Version: 1}, Note: "Early", Since: 7}
	must(t, u.Book.ChangeOwner("a", to(o)), u.Book.ChangeShelved("one", to(s)), u.Book.ChangePerson("p", to(p)))
	look := func(b house.Book) {
		owners, err := b.Owners()
		shelf, err2 := b.Shelf()
		people, err3 := b.People()
		must(t, err, err2, err3)
		if !reflect.DeepEqual(owners, map[house.OwnerID]house.Owner{"a": o}) || !reflect.DeepEqual(shelf, map[string]house.Shelved{"one": s}) ||
			!reflect.DeepEqual(people, map[shoot.PersonID]house.Person{"p": p}) {
			t.Errorf("there are %+v, %+v, %+v", owners, shelf, people)
		}
	}
	look(u.Book)
	look(u.Reopen(t))
}

func failing(t *testing.T, u Under) {
	must(t, u.Book.ChangeOwner("a", to(house.Owner{ID: "a", Name: "Ada"})))
	no := errors.New("no")
	err := u.Book.ChangeOwner("a", func(o *house.Owner) error {
		if o.Name != "Ada" {
			t.Errorf("the row to change is %+v", o)
		}
		o.Name = "Eve"
		return no
	})
	owners, err2 := u.Book.Owners()
	must(t, err2)
	if !errors.Is(err, no) || owners["a"].Name != "Ada" {
		t.Errorf("%v, %+v", err, owners)
	}
}

func atOnce(t *testing.T, u Under) {
	var all sync.WaitGroup
	for i := range 20 {
		all.Go(func() {
			if err := u.Book.ChangeShelved("one", func(s *house.Shelved) error {
				if s.Known == nil {
					s.Known = map[house.OwnerID]shoot.PersonID{}
				}
				s.Known[house.OwnerID(fmt.Sprint(i))] = "p"
				return nil
			}); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	shelf, err := u.Book.Shelf()
	must(t, err)
	if n := len(shelf["one"].Known); n != 20 {
		t.Errorf("%d of 20 changes are there", n)
	}
}

func forgotten(t *testing.T, u Under) {
	must(t, u.Book.ChangePerson("p", to(house.Person{ID: "p"})), u.Book.ChangePerson("q", to(house.Person{ID: "q"})),
		u.Book.ForgetPerson("p"), u.Book.ForgetPerson("nobody"))
	people, err := u.Book.People()
	must(t, err)
	if _, there := people["q"]; len(people) != 1 || !there {
		t.Errorf("there are %+v", people)
	}
}

func separate(t *testing.T, u Under) {
	must(t, u.Book.ChangeOwner("x", to(house.Owner{ID: "x"})))
	shelf, err := u.Book.Shelf()
	people, err2 := u.Book.People()
	must(t, err, err2)
	if len(shelf) != 0 || len(people) != 0 {
		t.Errorf("an owner became %v, %v", shelf, people)
	}
}

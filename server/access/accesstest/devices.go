package accesstest

import (
	"errors"
	"fmt"
	"reflect"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/server/access"
)

func key(name, session string, until when.Instant) access.Device {
	return access.Device{Key: []byte(name), Session: h(session), Until: until}
}

// knows fails unless a book has that device, or none where there is no key.
func knows(t *testing.T, b access.Book, in string, p shoot.PersonID, d shoot.DeviceID, want access.Device) {
	t.Helper()
	got, ok, err := b.Device(in, p, d)
	if err != nil || ok != (want.Key != nil) || !reflect.DeepEqual(got, want) {
		t.Errorf("the device %s of %s on %s is %+v, %v, %v, want %+v", d, p, in, got, ok, err, want)
	}
}

func devices(t *testing.T, u Under) {
	none, day := access.Device{}, when.Instant(24*when.Hour)
	first := key("one", "s", day)
	must(t, u.Book.AddDevice("a", "p", "d", first))
	knows(t, u.Book, "a", "p", "d", first)
	for _, other := range []struct {
		in string
		p  shoot.PersonID
		d  shoot.DeviceID
	}{{"b", "p", "d"}, {"a", "q", "d"}, {"a", "p", "e"}, {"a", "p", ""}, {"a/p", "", "d"}} {
		knows(t, u.Book, other.in, other.p, other.d, none)
	}
	if err := u.Book.AddDevice("a", "p", "d", key("two", "t", 3*day)); !errors.Is(err, access.ErrOtherKey) {
		t.Errorf("another key: %v", err)
	}
	knows(t, u.Book, "a", "p", "d", first)
	moved := key("one", "t", 2*day)
	must(t, u.Book.AddDevice("a", "p", "d", moved), u.Book.AddDevice("a", "q", "d", key("two", "u", day)))
	knows(t, u.Book, "a", "p", "d", moved)
	again := u.Reopen(t)
	knows(t, again, "a", "p", "d", moved)
	knows(t, again, "a", "q", "d", key("two", "u", day))
}

// Of too many devices the one whose time is up first is forgotten, of that person alone.
func room(t *testing.T, u Under) {
	must(t, u.Book.AddDevice("a", "q", "d", key("q", "s", 1)))
	name := func(i int) shoot.DeviceID { return shoot.DeviceID(fmt.Sprint("d", i)) }
	until := func(i int) when.Instant { return when.Instant(100 + (i+7)%access.MostDevices) }
	for i := range access.MostDevices {
		must(t, u.Book.AddDevice("a", "p", name(i), key("k", "s", until(i))))
	}
	must(t, u.Book.AddDevice("a", "p", name(0), key("k", "t", until(0)))) // told again, it needs no room
	must(t, u.Book.AddDevice("a", "p", "one more", key("k", "s", 500)))
	for i := range access.MostDevices {
		if _, ok, err := u.Book.Device("a", "p", name(i)); err != nil || ok != (until(i) != 100) {
			t.Errorf("the device that is good until %d is there: %v, %v", until(i), ok, err)
		}
	}
	knows(t, u.Book, "a", "p", "one more", key("k", "s", 500))
	knows(t, u.Book, "a", "q", "d", key("q", "s", 1))
}

// Package accesstest is the suite that every access.Book must pass.
package accesstest

import (
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/server/access"
)

// Under is a fresh book with a way to shut it and open it again, after which the
// one that was there before is not used any more.
type Under struct {
	Book   access.Book
	Reopen func(t *testing.T) access.Book
}

// Run runs the suite; open makes an empty book for each test.
func Run(t *testing.T, open func(t *testing.T) Under) {
	for name, test := range map[string]func(*testing.T, Under){
		"links":                       links,
		"a link is used once":         once,
		"a link replaces older ones":  replaced,
		"codes end with their phone":  codes,
		"cancelled":                   cancelled,
		"sessions end":                ends,
		"last seen":                   seen,
		"shoots do not mix":           separate,
		"closed and opened":           reopened,
		"swept":                       swept,
		"keys of devices":             devices,
		"devices make room":           room,
		"joined while it is replaced": race,
		"passkeys":                    passkeys,
	} {
		t.Run(name, func(t *testing.T) { test(t, open(t)) })
	}
}

var h = access.HashOf

func link(person shoot.PersonID) access.Link {
	return access.Link{Shoot: "a", Person: person, Epoch: 3, By: "q", Made: 1, Until: 10}
}

func must(t *testing.T, all ...error) {
	t.Helper()
	if err := errors.Join(all...); err != nil {
		t.Fatal(err)
	}
}

func links(t *testing.T, u Under) {
	all := link("r")
	all.Many = true
	must(t, u.Book.AddLink(h("one"), link("p")), u.Book.AddLink(h("all"), all))
	for i, c := range []struct {
		token string
		now   when.Instant
		want  error
	}{
		{"none", 5, access.ErrUnknownLink}, {"one", 10, access.ErrExpiredLink}, {"one", 9, nil}, {"one", 5, access.ErrUsedLink},
		{"all", 5, nil}, {"all", 6, nil}, {"all", 10, access.ErrExpiredLink},
	} {
		got, err := u.Book.Join(h(c.token), h(fmt.Sprint(i)), "a phone", c.now, c.now+100)
		if !errors.Is(err, c.want) {
			t.Errorf("%s at %d: %v", c.token, c.now, err)
		}
		have, ok, err := u.Book.Session(h(fmt.Sprint(i)), c.now+99)
		if err != nil || ok != (c.want == nil) {
			t.Fatalf("%s at %d: session %v, %v", c.token, c.now, ok, err)
		}
		if ok && (have != got || have.Shoot != "a" || have.Epoch != 3 || have.Phone != "a phone" || have.Made != c.now || have.Until != c.now+100) {
			t.Errorf("%s at %d: the session is %+v, told was %+v", c.token, c.now, have, got)
		}
	}
	if l, err := u.Book.Link(h("one")); err != nil || l.Used != 9 {
		t.Errorf("the used link is %+v, %v", l, err)
	}
	if _, err := u.Book.Link(h("none")); !errors.Is(err, access.ErrUnknownLink) {
		t.Errorf("none: %v", err)
	}
}

func once(t *testing.T, u Under) {
	must(t, u.Book.AddLink(h("once"), link("p")))
	var in atomic.Int32
	var all sync.WaitGroup
	for i := range 16 {
		all.Go(func() {
			switch _, err := u.Book.Join(h("once"), h(fmt.Sprint(i)), "", 1, 10); {
			case err == nil:
				in.Add(1)
			case !errors.Is(err, access.ErrUsedLink):
				t.Error(err)
			}
		})
	}
	if all.Wait(); in.Load() != 1 {
		t.Errorf("%d came in by one link", in.Load())
	}
}

func replaced(t *testing.T, u Under) {
	many, used := link("p"), link("p")
	many.Many = true
	must(t, u.Book.AddLink(h("many"), many), u.Book.AddLink(h("used"), used))
	if _, err := u.Book.Join(h("used"), h("s"), "", 1, 10); err != nil {
		t.Fatal(err)
	}
	must(t, u.Book.AddLink(h("old"), link("p")), u.Book.AddLink(h("other"), link("r")), u.Book.AddLink(h("new"), link("p")))
	for token, want := range map[string]error{"many": nil, "used": access.ErrUsedLink, "old": access.ErrVoidLink, "other": nil, "new": nil} {
		l, err := u.Book.Link(h(token))
		if got := l.Usable(5); err != nil || !errors.Is(got, want) {
			t.Errorf("%s: %v, %v", token, got, err)
		}
	}
	if _, err := u.Book.Join(h("old"), h("s2"), "", 1, 10); !errors.Is(err, access.ErrVoidLink) {
		t.Errorf("the older link: %v", err)
	}
	if _, ok, err := u.Book.Session(h("s"), 5); !ok || err != nil {
		t.Errorf("a session ended with a new link: %v", err)
	}
}

func codes(t *testing.T, u Under) {
	of := func(session string) access.Link {
		l := link("p")
		l.From = h(session)
		return l
	}
	must(t, u.Book.AddLink(h("producer's"), link("p")), u.Book.AddLink(h("a1"), of("a")), u.Book.AddLink(h("b1"), of("b")), u.Book.AddLink(h("a2"), of("a")))
	usable := func(want map[string]bool) {
		t.Helper()
		for token, ok := range want {
			if l, err := u.Book.Link(h(token)); err != nil || (l.Usable(5) == nil) != ok {
				t.Errorf("%s: %v, %v", token, l.Usable(5), err)
			}
		}
	}
	usable(map[string]bool{"producer's": true, "a1": false, "b1": true, "a2": true})
	must(t, u.Book.EndSessions(h("a"), h("nobody")))
	usable(map[string]bool{"producer's": true, "b1": true, "a2": false})
	must(t, u.Book.AddLink(h("newer"), link("p")))
	usable(map[string]bool{"producer's": false, "b1": false, "newer": true})
}

func cancelled(t *testing.T, u Under) {
	must(t, u.Book.AddLink(h("l"), link("p")), u.Book.CancelLink(h("l")), u.Book.CancelLink(h("none")))
	if _, err := u.Book.Join(h("l"), h("s"), "", 1, 10); !errors.Is(err, access.ErrVoidLink) {
		t.Errorf("got %v", err)
	}
	if _, err := u.Book.Link(h("none")); !errors.Is(err, access.ErrUnknownLink) {
		t.Errorf("a link came to be by being cancelled: %v", err)
	}
}

func ends(t *testing.T, u Under) {
	many := link("p")
	many.Many = true
	must(t, u.Book.AddLink(h("l"), many))
	there := func(token string, at when.Instant, want bool) {
		t.Helper()
		if _, ok, err := u.Book.Session(h(token), at); err != nil || ok != want {
			t.Errorf("%s at %d: %v, %v", token, at, ok, err)
		}
	}
	for _, s := range []string{"one", "two"} {
		if _, err := u.Book.Join(h("l"), h(s), "", 1, 20); err != nil {
			t.Fatal(err)
		}
	}
	there("one", 19, true)
	there("one", 20, false)
	must(t, u.Book.Extend(h("one"), 40))
	there("one", 39, true)
	there("two", 39, false)
	must(t, u.Book.EndSessions(h("two"), h("none")), u.Book.Extend(h("two"), 99), u.Book.Saw(map[access.Hash]when.Instant{h("two"): 9}))
	there("two", 2, false)
	there("one", 2, true)
}

func seen(t *testing.T, u Under) {
	must(t, u.Book.AddLink(h("l"), link("p")))
	if _, err := u.Book.Join(h("l"), h("s"), "a phone", 1, 20); err != nil {
		t.Fatal(err)
	}
	must(t, u.Book.Saw(map[access.Hash]when.Instant{h("s"): 7, h("none"): 8}), u.Book.Saw(map[access.Hash]when.Instant{h("s"): 5}))
	all, err := u.Book.Sessions("a", 10)
	if got := all[h("s")]; err != nil || len(all) != 1 || got.Seen != 7 || got.Phone != "a phone" || got.Until != 20 {
		t.Errorf("%+v, %v", all, err)
	}
	if all, err := u.Book.Sessions("a", 20); err != nil || len(all) != 0 {
		t.Errorf("ended ones are listed: %+v, %v", all, err)
	}
}

func separate(t *testing.T, u Under) {
	other := link("p")
	other.Shoot = "b"
	must(t, u.Book.AddLink(h("a"), link("p")), u.Book.AddLink(h("b"), other))
	for _, s := range []string{"a", "b"} {
		if l, err := u.Book.Link(h(s)); err != nil || l.Usable(5) != nil {
			t.Errorf("the link of %s: %v, %v", s, l.Usable(5), err)
		}
		if all, err := u.Book.Links(s); err != nil || len(all) != 1 || all[h(s)].Shoot != s {
			t.Errorf("the links of %s: %+v, %v", s, all, err)
		}
		if _, err := u.Book.Join(h(s), h("session "+s), "", 1, 10); err != nil {
			t.Fatal(err)
		}
	}
	if all, err := u.Book.Sessions("b", 5); err != nil || len(all) != 1 || all[h("session b")].Shoot != "b" {
		t.Errorf("the sessions of b: %+v, %v", all, err)
	}
}

func reopened(t *testing.T, u Under) {
	must(t, u.Book.AddLink(h("l"), link("p")), u.Book.AddLink(h("left"), link("r")))
	was, err := u.Book.Join(h("l"), h("s"), "a phone", 1, 10)
	must(t, err)
	b := u.Reopen(t)
	if got, ok, err := b.Session(h("s"), 5); err != nil || !ok || got != was {
		t.Errorf("%+v became %+v, %v", was, got, err)
	}
	if got, err := b.Link(h("left")); err != nil || got != link("r") {
		t.Errorf("the link became %+v, %v", got, err)
	}
}

func swept(t *testing.T, u Under) {
	later := link("r")
	later.Until = 50
	must(t, u.Book.AddLink(h("l"), link("p")), u.Book.AddLink(h("later"), later))
	for token, session := range map[string]string{"l": "s", "later": "s2"} {
		if _, err := u.Book.Join(h(token), h(session), "", 1, map[string]when.Instant{"l": 10, "later": 50}[token]); err != nil {
			t.Fatal(err)
		}
	}
	must(t, u.Book.Sweep(50))
	if _, err := u.Book.Link(h("l")); !errors.Is(err, access.ErrUnknownLink) {
		t.Errorf("an old link stays: %v", err)
	}
	if _, err := u.Book.Link(h("later")); err != nil {
		t.Error(err)
	}
	if _, ok, err := u.Book.Session(h("s2"), 49); err != nil || !ok {
		t.Errorf("a session that has not ended is gone: %v", err)
	}
}

// Whoever joins while a newer link is made comes in by one of them at most.
func race(t *testing.T, u Under) {
	for i := range 20 {
		old, next := h(fmt.Sprint("old", i)), h(fmt.Sprint("new", i))
		must(t, u.Book.AddLink(old, link("p")))
		var all sync.WaitGroup
		var joined error
		all.Go(func() { _, joined = u.Book.Join(old, h(fmt.Sprint("s", i)), "", 1, 10) })
		all.Go(func() {
			if err := u.Book.AddLink(next, link("p")); err != nil {
				t.Error(err)
			}
		})
		all.Wait()
		l, err := u.Book.Link(old)
		must(t, err)
		if joined == nil && (l.Used == 0 || l.Void) || joined != nil && (!errors.Is(joined, access.ErrVoidLink) || l.Used != 0) {
			t.Fatalf("joining gave %v, the link is %+v", joined, l)
		}
	}
}

func passkeys(t *testing.T, u Under) {
	key := func(shoot string, p shoot.PersonID) access.Passkey {
		return access.Passkey{Shoot: shoot, Person: p, Epoch: 2, Phone: "a phone", Made: 7, Credential: []byte(`{"count":1}`)}
	}
	must(t, u.Book.AddPasskey(h("one"), key("a", "p")), u.Book.AddPasskey(h("two"), key("a", "q")), u.Book.AddPasskey(h("three"), key("b", "p")))
	if err := u.Book.AddPasskey(h("one"), key("a", "q")); !errors.Is(err, access.ErrSamePasskey) {
		t.Errorf("the same once more: %v", err)
	}
	if _, err := u.Book.Passkey(h("none")); !errors.Is(err, access.ErrNoPasskey) {
		t.Errorf("none: %v", err)
	}
	stop := errors.New("stop")
	if err := u.Book.ChangePasskey(h("one"), func(k *access.Passkey) error { k.Used = 8; return stop }); !errors.Is(err, stop) {
		t.Errorf("a change that fails: %v", err)
	}
	if err := u.Book.ChangePasskey(h("none"), func(*access.Passkey) error { return nil }); !errors.Is(err, access.ErrNoPasskey) {
		t.Errorf("a change of none: %v", err)
	}
	must(t, u.Book.ChangePasskey(h("two"), func(k *access.Passkey) error { k.Used = 9; k.Credential = []byte(`{"count":2}`); return nil }))
	b := u.Reopen(t)
	must(t, b.Sweep(1000)) // they have no end
	for name, used := range map[string]when.Instant{"one": 0, "two": 9, "three": 0} {
		k, err := b.Passkey(h(name))
		if err != nil || k.Used != used || k.Epoch != 2 || k.Phone != "a phone" || k.Made != 7 || (string(k.Credential) == `{"count":2}`) != (name == "two") {
			t.Errorf("%s is %+v, %v", name, k, err)
		}
	}
	all, err := b.Passkeys("a", "p")
	if _, ok := all[h("one")]; err != nil || len(all) != 1 || !ok {
		t.Errorf("of p on a there are %v, %v", all, err)
	}
	must(t, b.EndPasskey(h("one")), b.EndPasskey(h("none")))
	if _, err := b.Passkey(h("one")); !errors.Is(err, access.ErrNoPasskey) {
		t.Errorf("ended: %v", err)
	}
	for i := range access.MostPasskeys {
		must(t, b.AddPasskey(h(fmt.Sprint(i)), key("a", "p")))
	}
	if err := b.AddPasskey(h("more"), key("a", "p")); !errors.Is(err, access.ErrManyPasskeys) {
		t.Errorf("one too many: %v", err)
	}
	must(t, b.AddPasskey(h("more"), key("b", "p")))
}

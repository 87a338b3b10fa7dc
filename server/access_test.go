package main

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"fairday/domain/shoot"
	"fairday/server/web"
)

// answered decodes an answer, which must have that status.
func answered[T any](t *testing.T, r reply, status int) (out T) {
	t.Helper()
	if err := json.Unmarshal([]byte(r.body), &out); err != nil || r.status != status {
		t.Fatalf("got %d, %s, %v", r.status, r.body, err)
	}
	return out
}

// agent says what a browser says of itself.
func agent(of string) string { return "User-Agent: " + of }

const (
	iPhone = "Mozilla/5.0 (iPhone; CPU iPhone OS 17_4 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/17.4 Mobile/15E148 Safari/604.1"
	pixel  = "Mozilla/5.0 (Linux; Android 15; Pixel 8) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/131.0.0.0 Mobile Safari/537.36"
)

// joinedOn gives a browser of a kind that has joined by a path.
func (s *site) joinedOn(path, kind string) *http.Client {
	s.t.Helper()
	c := s.browser()
	if r := s.ask(c, "POST", path, "", agent(kind)); r.status != 303 {
		s.t.Fatalf("joining gives %d, %s", r.status, r.body)
	}
	return c
}

// A person sees their own phones, with what kind they are and when they were there
// last; a producer sees everybody's; nobody sees a token.
func TestPhonesAreListed(t *testing.T) {
	s := newSite(t)
	old := s.joinedOn(s.link(cleo, false), iPhone)
	s.clock.Add(int64(time.Hour / time.Millisecond))
	c := s.joinedOn(s.link(cleo, false), pixel)
	p := s.phone(c)
	s.joined(ari)
	mine := answered[web.Phones](t, s.ask(c, "GET", "/api/phones", ""), 200).Phones
	if len(mine) != 2 || mine[0].Phone != "Android, Chrome" || !mine[0].This || !mine[0].Here || mine[0].Seen != s.now() || mine[0].Say != "Here now." || mine[1].Say != "Last here 1 hour ago." ||
		mine[1].Phone != "iPhone, Safari" || mine[1].This || mine[1].Here || mine[1].Seen != mine[1].Joined || mine[1].Joined >= s.now() {
		t.Errorf("Cleo sees %+v", mine)
	}
	if all := answered[web.Phones](t, s.ask(s.joined(pia), "GET", "/api/phones", ""), 200).Phones; len(all) != 4 || all[0].Name != "Ari" {
		t.Errorf("the producer sees %+v", all)
	}
	if r := s.ask(s.browser(), "GET", "/api/phones", ""); r.status != 401 {
		t.Errorf("nobody is told %s", r.body)
	}
	u, _ := http.NewRequest("GET", s.base, nil)
	for _, k := range c.Jar.Cookies(u.URL) {
		if r := s.ask(c, "GET", "/api/phones", ""); strings.Contains(r.body, k.Value) {
			t.Error("a token is told")
		}
	}
	_ = p.ws.Close()
	s.clock.Add(int64(time.Hour / time.Millisecond))
	s.ask(old, "GET", "/api/me", "")
	seen := s.now()
	s.reopen() // what was seen is written when the server stops
	s.clock.Add(int64(time.Hour / time.Millisecond))
	c2 := s.joined(pia)
	for _, one := range answered[web.Phones](t, s.ask(c2, "GET", "/api/phones", ""), 200).Phones {
		if one.Phone == "iPhone, Safari" && one.Seen != seen {
			t.Errorf("after a restart it was seen at %d, not %d", one.Seen, seen)
		}
	}
}

// A lost phone is ended by its owner or a producer, at once, and by nobody else;
// the others stay.
func TestPhonesAreEnded(t *testing.T) {
	s := newSite(t)
	lost, kept := s.joined(cleo), s.joined(cleo)
	other, producer := s.joined(ari), s.joined(pia)
	socket := s.phone(lost)
	var id string
	for _, one := range answered[web.Phones](t, s.ask(lost, "GET", "/api/phones", ""), 200).Phones {
		if one.This {
			id = one.ID
		}
	}
	end := fmt.Sprintf(`{"id":%q}`, id)
	for name, c := range map[string]struct {
		who    *http.Client
		body   string
		status int
	}{
		"somebody else's":        {other, end, 404},
		"somebody else's all":    {other, fmt.Sprintf(`{"person":%q}`, cleo), 403},
		"nothing named":          {kept, `{}`, 400},
		"both named":             {kept, fmt.Sprintf(`{"id":%q,"person":%q}`, id, cleo), 400},
		"no such phone":          {kept, `{"id":"x"}`, 404},
		"nobody":                 {s.browser(), end, 401},
		"a field that is no one": {kept, `{"phone":"x"}`, 400},
	} {
		if r := s.ask(c.who, "POST", "/api/phones/end", c.body); r.status != c.status {
			t.Errorf("%s: %d, %s", name, r.status, r.body)
		}
	}
	if left := answered[web.Phones](t, s.ask(kept, "POST", "/api/phones/end", end), 200).Phones; len(left) != 1 || !left[0].This {
		t.Errorf("left are %+v", left)
	}
	if b := socket.bye(); b.Code != "signed_out" {
		t.Errorf("its socket hears %s", b.Code)
	}
	for who, want := range map[*http.Client]int{lost: 401, kept: 200, other: 200} {
		if r := s.ask(who, "GET", "/api/me", ""); r.status != want {
			t.Errorf("got %d, want %d", r.status, want)
		}
	}
	// The person's other phones, by themselves and by the producer.
	third := s.joined(cleo)
	if r := s.ask(third, "POST", "/api/phones/end", fmt.Sprintf(`{"person":%q}`, cleo)); r.status != 200 {
		t.Fatal(r)
	}
	if a, b := s.ask(kept, "GET", "/api/me", "").status, s.ask(third, "GET", "/api/me", "").status; a != 401 || b != 200 {
		t.Errorf("the other one gets %d, the one that asked %d", a, b)
	}
	if r := s.ask(producer, "POST", "/api/phones/end", fmt.Sprintf(`{"person":%q}`, cleo)); r.status != 200 {
		t.Fatal(r)
	}
	if r := s.ask(third, "GET", "/api/me", ""); r.status != 401 {
		t.Errorf("ended by the producer it gets %d", r.status)
	}
	if r := s.ask(producer, "GET", "/api/me", ""); r.status != 200 {
		t.Errorf("the producer gets %d", r.status)
	}
}

// A new link voids the older ones; links are listed and cancelled by producers
// alone; a link made for a role lets nobody in with another.
func TestLinksAreKept(t *testing.T) {
	s := newSite(t)
	boss, others := s.joined(pia), []*http.Client{s.joined(ari), s.joined(cleo)}
	first := s.linkFrom(boss, cleo)
	second := s.linkFrom(boss, cleo)
	s.linkFrom(boss, ari)
	if r := s.ask(s.browser(), "POST", first, ""); r.status != 410 || !strings.Contains(r.body, "newer one") {
		t.Errorf("the older link gives %d, %s", r.status, r.body)
	}
	open := answered[web.Links](t, s.ask(boss, "GET", "/api/links", ""), 200).Links
	if len(open) != 2 || open[0].Name != "Ari" || open[1].Name != "Cleo" || open[1].RoleLabel != "Crew" || open[1].Until != s.now()+14*24*3_600_000 {
		t.Errorf("listed are %+v", open)
	}
	for _, who := range others {
		if a, b := s.ask(who, "GET", "/api/links", "").status, s.ask(who, "POST", "/api/links/cancel", fmt.Sprintf(`{"id":%q}`, open[1].ID)).status; a != 403 || b != 403 {
			t.Errorf("others get %d and %d", a, b)
		}
	}
	if r := s.ask(s.browser(), "GET", "/join/"+open[1].ID, ""); r.status != 404 {
		t.Errorf("the id in the list opens the link: %d", r.status)
	}
	if r := s.ask(boss, "POST", "/api/links/cancel", `{"id":"nothing"}`); r.status != 404 {
		t.Errorf("cancelling nothing gives %d", r.status)
	}
	if left := answered[web.Links](t, s.ask(boss, "POST", "/api/links/cancel", fmt.Sprintf(`{"id":%q}`, open[1].ID)), 200).Links; len(left) != 1 {
		t.Errorf("left are %+v", left)
	}
	if r := s.ask(s.browser(), "POST", second, ""); r.status != 410 {
		t.Errorf("the cancelled link gives %d", r.status)
	}
	third := s.linkFrom(boss, cleo)
	producer := s.phone(boss)
	producer.accepted(producer.edit("person.set", `{"id":%q,"name":"Cleo","role":"art-director","department":"","job":"","phone":"","base":1}`, cleo))
	for _, method := range []string{"GET", "POST"} {
		if r := s.ask(s.browser(), method, third, ""); r.status != 410 || !strings.Contains(r.body, "has changed since") {
			t.Errorf("a link of before the new role: %s gives %d, %s", method, r.status, r.body)
		}
	}
	if r := s.ask(s.browser(), "POST", s.linkFrom(boss, cleo), ""); r.status != 303 {
		t.Errorf("a link for the new role gives %d", r.status)
	}
}

// A phone that is in lets in another one of its person by a short code: once, for
// ten minutes, typed as people type, and with few tries.
func TestSecondPhone(t *testing.T) {
	s := newSite(t)
	c := s.joined(cleo)
	code := func() web.PhoneCode { return answered[web.PhoneCode](t, s.ask(c, "POST", "/api/code", ""), 201) }
	first, second := code(), code()
	if second.Until != s.now()+600_000 || !strings.Contains(second.QR, "<svg") || len(second.Code) != 9 {
		t.Errorf("the code is %+v", second)
	}
	if r := s.ask(s.browser(), "GET", "/join/"+first.Code, ""); r.status != 410 {
		t.Errorf("an older code gives %d", r.status)
	}
	typed := "/join/" + strings.ToLower(second.Code[:4]) + "%20" + second.Code[5:]
	if r := s.ask(s.browser(), "GET", typed, ""); r.status != 200 || !strings.Contains(r.body, "Cleo") {
		t.Errorf("as it is typed: %d", r.status)
	}
	other := s.browser()
	if r := s.ask(other, "POST", typed, ""); r.status != 303 {
		t.Errorf("joining by code gives %d", r.status)
	}
	if r := s.ask(other, "GET", "/api/me", ""); !strings.Contains(r.body, `"Cleo"`) {
		t.Error(r.body)
	}
	if r := s.ask(s.browser(), "POST", typed, ""); r.status != 410 {
		t.Errorf("the code works twice: %d", r.status)
	}
	late := code()
	s.clock.Add(600_000)
	if r := s.ask(s.browser(), "POST", "/join/"+late.Code, ""); r.status != 410 {
		t.Errorf("after ten minutes it gives %d", r.status)
	}
	lost := code()
	if r := s.ask(other, "POST", "/api/phones/end", fmt.Sprintf(`{"person":%q}`, cleo)); r.status != 200 {
		t.Fatal(r)
	}
	if r := s.ask(s.browser(), "POST", "/join/"+lost.Code, ""); r.status != 410 {
		t.Errorf("the code of a phone that was ended gives %d", r.status)
	}
	if r := s.ask(s.browser(), "POST", "/api/code", ""); r.status != 401 {
		t.Errorf("nobody gets a code: %d", r.status)
	}
}

// Whoever guesses codes is stopped soon, and cannot go on with a right one.
func TestCodesAreNotGuessed(t *testing.T) {
	s := newSite(t)
	code := answered[web.PhoneCode](t, s.ask(s.joined(cleo), "POST", "/api/code", ""), 201).Code
	for i := range 10 {
		if r := s.ask(s.browser(), "GET", fmt.Sprintf("/join/2222-222%d", i%8+2), ""); r.status != 404 {
			t.Fatalf("guess %d: %d", i, r.status)
		}
	}
	if r := s.ask(s.browser(), "POST", "/join/"+code, ""); r.status != 429 || r.header.Get("Retry-After") == "" {
		t.Errorf("after ten guesses: %d", r.status)
	}
	if r := s.ask(s.browser(), "GET", s.link(ari, false), ""); r.status != 200 {
		t.Errorf("a link suffers from guessed codes: %d", r.status)
	}
	s.clock.Add(31_000)
	if r := s.ask(s.browser(), "POST", "/join/"+code, ""); r.status != 303 {
		t.Errorf("half a minute later: %d", r.status)
	}
}

// A join link is not used up by being looked at inside a messenger, which says so.
func TestLookedAtInsideAnotherApp(t *testing.T) {
	s := newSite(t)
	link := s.link(cleo, false)
	inside := "Mozilla/5.0 (Linux; Android 15; Pixel 8; wv) AppleWebKit/537.36 Version/4.0 Chrome/131.0.0.0 Mobile Safari/537.36"
	if r := s.ask(s.browser(), "GET", link, "", agent(inside)); r.status != 200 || !strings.Contains(r.body, "inside another app") {
		t.Errorf("got %d, %s", r.status, r.body)
	}
	if r := s.ask(s.browser(), "GET", link, "", agent(pixel)); r.status != 200 || strings.Contains(r.body, "inside another app") {
		t.Errorf("in a browser: %d, %s", r.status, r.body)
	}
	if r := s.ask(s.browser(), "HEAD", link, ""); r.status >= 500 {
		t.Errorf("a preview: %d", r.status)
	}
	if r := s.ask(s.browser(), "POST", link, ""); r.status != 303 {
		t.Errorf("the link was used up by being looked at: %d", r.status)
	}
}

// A phone that was signed out without signal ends its session later, and not the
// one with which it has joined anew meanwhile.
func TestLeaveLater(t *testing.T) {
	s := newSite(t)
	c := s.joined(cleo)
	was := answered[web.Me](t, s.ask(c, "GET", "/api/me", ""), 200).Session
	if r := s.ask(c, "POST", s.link(ari, false), ""); r.status != 303 {
		t.Fatal(r)
	}
	body := fmt.Sprintf(`{"session":%q}`, was)
	if r := s.ask(c, "POST", "/api/leave", body); r.status != 204 || r.header.Get("Set-Cookie") != "" {
		t.Errorf("leaving what has ended gives %d, %v", r.status, r.header)
	}
	now := answered[web.Me](t, s.ask(c, "GET", "/api/me", ""), 200)
	if r := s.ask(c, "POST", "/api/leave", fmt.Sprintf(`{"session":%q}`, now.Session)); r.status != 204 || now.Name != "Ari" {
		t.Errorf("leaving gives %d for %s", r.status, now.Name)
	}
	if r := s.ask(c, "GET", "/api/me", ""); r.status != 401 {
		t.Errorf("afterwards: %d", r.status)
	}
	if r := s.ask(s.joined(cleo), "POST", "/api/leave", "leave"); r.status != 400 {
		t.Errorf("what cannot be read gives %d", r.status)
	}
}

// A change of a person that leaves their role ends nothing.
func TestSmallChangeEndsNothing(t *testing.T) {
	s := newSite(t)
	c, link := s.joined(cleo), s.link(cleo, false)
	p := s.phone(s.joined(pia))
	p.accepted(p.edit("person.set", `{"id":%q,"name":"Cleo","role":%q,"department":"","job":"Runner","phone":"","base":1}`, cleo, shoot.Crew))
	if a, b := s.ask(c, "GET", "/api/me", "").status, s.ask(s.browser(), "POST", link, "").status; a != 200 || b != 303 {
		t.Errorf("the phone gets %d, the link %d", a, b)
	}
}

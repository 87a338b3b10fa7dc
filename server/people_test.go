package main

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"fairday/domain/shoot"
)

// pay gives somebody terms on the tests' shoot; base is the version before.
func (s *site) pay(p shoot.PersonID, rate, base int) {
	s.t.Helper()
	args := fmt.Sprintf(`{"person":%q,"terms":{"basis":"day","rate":{"minor":%d,"currency":"GBP"},"included":600},"base":%d}`, p, rate, base)
	err := s.app.Shoots.Record(s.t.Context(), s.shoot, []shoot.Intent{{ID: shoot.IntentID(s.uuid()), Name: "terms.set", Version: shoot.Version("terms.set"), Args: []byte(args)}})
	if err != nil {
		s.t.Fatal(err)
	}
}

// People and what they work for are remembered from one shoot and put on another; the
// note stays with them.
func TestPeopleAreRemembered(t *testing.T) {
	s := newSite(t)
	s.pay(cleo, 30000, 0)
	ada, producer := s.owning("Ada"), s.joined(pia)
	holds(t, "the list", s.ask(producer, "GET", "/shoots/people", ""), 200, "Nobody is remembered yet", "Remember people of Kettles", "Cleo")
	for range 2 { // twice is once
		if r := s.form(producer, "/shoots/people/remember", url.Values{"person": {string(cleo), string(ari)}}); r.status != 303 {
			t.Fatal(r)
		}
	}
	people, err := s.stored.People()
	if err != nil || len(people) != 2 {
		t.Fatalf("there are %+v, %v", people, err)
	}
	if r := s.form(producer, "/shoots/people/note", url.Values{"person": {string(cleo)}, "note": {"Early, and kind"}}); r.status != 303 {
		t.Fatal(r)
	}
	holds(t, "a long note", s.form(producer, "/shoots/people/note", url.Values{"person": {string(cleo)}, "note": {strings.Repeat("a", 501)}}), 422, "too long", "aaaa")
	holds(t, "a note about nobody", s.form(producer, "/shoots/people/note", url.Values{"person": {"x"}, "note": {"a"}}), 404)
	holds(t, "for the owner", s.ask(ada, "GET", "/shoots/people", ""), 200, `data-known="Cleo"`, "Early, and kind", "£300.00", "555-0101", "Remembered from Kettles")
	s.pay(cleo, 32000, 1)
	if r := s.form(producer, "/shoots/people/remember", url.Values{"person": {string(cleo)}}); r.status != 303 {
		t.Fatal(r)
	}
	holds(t, "anew", s.ask(ada, "GET", "/shoots/people", ""), 200, "£320.00", "Early, and kind")

	id := s.starts(ada, "currency=GBP", "title=Pans")
	euro := s.starts(ada, "currency=EUR", "title=Lids")
	for _, c := range []struct {
		id, say string
		paid    bool
	}{{id, "Cleo is on it now", true}, {euro, "Their terms are in GBP and were left out", false}} {
		if r := s.form(ada, "/shoots/"+c.id+"/enter", nil); r.status != 303 {
			t.Fatal(r)
		}
		holds(t, "the list there", s.ask(ada, "GET", "/shoots/people", ""), 200, "Put people on")
		holds(t, "putting", s.form(ada, "/shoots/people/put", url.Values{"person": {string(cleo), "nobody"}}), 200, c.say)
		holds(t, "putting again", s.form(ada, "/shoots/people/put", url.Values{"person": {string(cleo)}}), 200, "Cleo is on it already")
		st := s.state(c.id)
		if len(st.Floor.People) != 2 {
			t.Errorf("there are %+v", st.Floor.People)
		}
		for _, p := range st.Floor.People {
			if p.Name != "Cleo" {
				continue
			}
			if terms, ok := st.Money.Terms[p.ID]; ok != c.paid || ok && terms.Rate.Minor != 32000 || p.Phone != "555-0101" || p.Role != shoot.Crew {
				t.Errorf("Cleo is %+v for %+v", p, terms)
			}
		}
	}
	if r := s.form(ada, "/shoots/people/forget", url.Values{"person": {string(cleo)}}); r.status != 303 {
		t.Fatal(r)
	}
	if people, err := s.stored.People(); err != nil || len(people) != 1 {
		t.Errorf("there are %+v, %v", people, err)
	}
}

// Nobody but owners and producers sees the list or changes it.
func TestPeopleRefused(t *testing.T) {
	s := newSite(t)
	producer := s.joined(pia)
	if r := s.form(producer, "/shoots/people/remember", url.Values{"person": {string(cleo)}}); r.status != 303 {
		t.Fatal(r)
	}
	if r := s.form(producer, "/shoots/people/note", url.Values{"person": {string(cleo)}, "note": {"A secret"}}); r.status != 303 {
		t.Fatal(r)
	}
	for what, c := range map[string]struct {
		who    *http.Client
		status int
	}{"nobody": {s.browser(), 401}, "the art director": {s.joined(ari), 403}, "the crew": {s.joined(cleo), 403}} {
		for path, f := range map[string]url.Values{"remember": {"person": {string(ari)}}, "note": {"person": {string(cleo)}, "note": {"b"}},
			"forget": {"person": {string(cleo)}}, "put": {"person": {string(cleo)}}} {
			holds(t, what+", "+path, s.form(c.who, "/shoots/people/"+path, f), c.status)
		}
		if r := s.ask(c.who, "GET", "/shoots/people", ""); r.status != c.status || strings.Contains(r.body, "A secret") {
			t.Errorf("%s is told %d, %s", what, r.status, r.body)
		}
	}
	ada := s.owning("Ada")
	holds(t, "an owner who is no producer remembers", s.form(ada, "/shoots/people/remember", url.Values{"person": {string(ari)}}), 403)
	holds(t, "an owner who is no producer puts", s.form(ada, "/shoots/people/put", url.Values{"person": {string(cleo)}}), 403)
	people, err := s.stored.People()
	if err != nil || len(people) != 1 || people[cleo].Note != "A secret" {
		t.Errorf("there are %+v, %v", people, err)
	}
}

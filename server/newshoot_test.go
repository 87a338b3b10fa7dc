package main

import (
	"encoding/json"
	"maps"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"fairday/domain/shoot"
	"fairday/server/access"
	"fairday/server/web"
)

// startForm is a form of a new shoot that is filled in well.
func (s *site) startForm(more ...string) url.Values {
	f := url.Values{"id": {s.uuid()}, "title": {"Spring table"}, "client": {"Quorrabel"}, "first": {"2026-12-01"}, "days": {"2"}, "zone": {"Europe/Lisbon"},
		"place": {"The Mill"}, "address": {"1 Mill Lane"}, "call": {"08:00"}, "wrap": {"18:00"}, "currency": {"EUR"}, "runs": {"me"}}
	for _, m := range more {
		k, v, _ := strings.Cut(m, "=")
		f.Set(k, v)
	}
	return f
}

// starts starts a shoot and gives its id.
func (s *site) starts(c *http.Client, more ...string) string {
	s.t.Helper()
	r := s.form(c, "/shoots/new", s.startForm(more...))
	if r.status != http.StatusSeeOther {
		s.t.Fatalf("starting gives %d: %s", r.status, r.body)
	}
	return strings.TrimPrefix(r.header.Get("Location"), "/shoots/")
}

// state is what a shoot is like.
func (s *site) state(id string) (out *shoot.State) {
	s.t.Helper()
	if err := s.app.Shoots.Look(s.t.Context(), id, func(st *shoot.State) error { out = st.Clone(); return nil }); err != nil {
		s.t.Fatal(err)
	}
	return out
}

var joinsAt = regexp.MustCompile(`<code data-joins>([^<]*)</code>`)

// shown is the path of the join link that a page shows.
func (s *site) shown(r reply) string {
	s.t.Helper()
	at := joinsAt.FindStringSubmatch(r.body)
	if r.status != 200 || at == nil {
		s.t.Fatalf("no link is shown: %d, %s", r.status, r.body)
	}
	return strings.TrimPrefix(at[1], s.base)
}

// An owner starts a shoot, opens it as its producer, and invites another producer.
func TestShootIsStarted(t *testing.T) {
	s := newHouse(t)
	ada := s.owning("Ada")
	holds(t, "the form", s.ask(ada, "GET", "/shoots/new", ""), 200, "Europe/Lisbon", `<option selected>EUR</option>`, "I do: Ada, producer")
	id := s.starts(ada)
	holds(t, "the list", s.ask(ada, "GET", "/shoots", ""), 200, `data-stage="to come"`, "Spring table", "for Quorrabel", "2 days", "1 person")
	holds(t, "its page", s.ask(ada, "GET", "/shoots/"+id, ""), 200, "you are Ada, producer", "Has not joined yet")
	if r := s.form(ada, "/shoots/"+id+"/enter", nil); r.status != 303 || r.header.Get("Location") != "/#plan" {
		t.Fatal(r)
	}
	me := answered[web.Me](t, s.ask(ada, "GET", "/api/me", ""), 200)
	if me.Shoot != id || me.Name != "Ada" || me.Role != shoot.Producer || me.Title != "Spring table" {
		t.Errorf("Ada is %+v", me)
	}
	holds(t, "no name", s.form(ada, "/shoots/"+id+"/invite", url.Values{"name": {" "}}), 422, "name is missing")
	bo := s.browser()
	if r := s.ask(bo, "POST", s.shown(s.form(ada, "/shoots/"+id+"/invite", url.Values{"name": {"Bo Example"}})), ""); r.status != 303 {
		t.Fatal(r)
	}
	if me := answered[web.Me](t, s.ask(bo, "GET", "/api/me", ""), 200); me.Role != shoot.Producer || me.Name != "Bo Example" {
		t.Errorf("Bo is %+v", me)
	}
	holds(t, "its page", s.ask(ada, "GET", "/shoots/"+id, ""), 200, "Has joined")
	s.reopen()
	if st := s.state(id); len(st.Floor.People) != 2 || len(st.Floor.Days) != 2 {
		t.Errorf("after a restart there are %d people and %d days", len(st.Floor.People), len(st.Floor.Days))
	}
}

// The same form twice makes one shoot.
func TestFormSentTwice(t *testing.T) {
	s := newHouse(t)
	ada := s.owning("Ada")
	f := s.startForm()
	for range 2 {
		if r := s.form(ada, "/shoots/new", f); r.status != 303 || r.header.Get("Location") != "/shoots/"+f.Get("id") {
			t.Fatal(r)
		}
	}
	if ids, err := s.stored.Shoots(); err != nil || len(ids) != 1 {
		t.Errorf("there are %v, %v", ids, err)
	}
}

// An owner who is on no shoot sees its name alone; who joins it is seen to.
func TestOwnerJoinsLate(t *testing.T) {
	s := newSite(t)
	ada := s.owning("Ada")
	r := s.ask(ada, "GET", "/shoots/"+s.shoot, "")
	holds(t, "its page", r, 200, "You are not on this shoot", "Pia")
	if strings.Contains(r.body, "Cleo") || strings.Contains(r.body, "555-0101") {
		t.Errorf("the page tells of the crew: %s", r.body)
	}
	if r := s.form(ada, "/shoots/"+s.shoot+"/enter", nil); r.status != 303 {
		t.Fatal(r)
	}
	st := s.state(s.shoot)
	if len(st.Floor.People) != 4 {
		t.Errorf("there are %+v", st.Floor.People)
	}
	for range 2 { // once more enters as the same person
		if r := s.form(ada, "/shoots/"+s.shoot+"/enter", nil); r.status != 303 {
			t.Fatal(r)
		}
	}
	if n := len(s.state(s.shoot).Floor.People); n != 4 {
		t.Errorf("there are %d people", n)
	}
}

// What starting refuses: nothing is stored, what was typed stays, and the reason
// stands beside its field.
func TestStartingRefused(t *testing.T) {
	s := newSite(t)
	ada := s.owning("Ada")
	before, err := s.stored.Shoots()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		what   string
		who    *http.Client
		change string
		status int
		say    string
	}{
		{"nobody", s.browser(), "", 401, "This page is for owners"},
		{"a producer", s.joined(pia), "", 401, "This page is for owners"},
		{"a crew member", s.joined(cleo), "", 401, "This page is for owners"},
		{"an empty title", ada, "title= ", 422, "The title is missing"},
		{"a title of 200 characters", ada, "title=" + strings.Repeat("a", 200), 422, "too long"},
		{"a zone that does not exist", ada, "zone=Europe/Atlantis", 422, "Europe/Atlantis” is no time zone"},
		{"no zone", ada, "zone=", 422, "Choose the time zone"},
		{"a day that does not exist", ada, "first=2026-02-30", 422, "Choose the date"},
		{"days in words", ada, "days=two", 422, "1 to 14 days"},
		{"a hundred days", ada, "days=100", 422, "1 to 14 days"},
		{"no place", ada, "place=", 422, "where it is shot"},
		{"a call that is no time", ada, "call=early", 422, "“early” is no time"},
		{"a wrap before the call", ada, "wrap=07:00", 422, "later than the general call"},
		{"a currency that does not exist", ada, "currency=XYZ", 422, "XYZ"},
		{"nobody to run it", ada, "runs=other", 422, "Nobody would be the producer"},
		{"like one that is gone", ada, "like=" + s.uuid(), 422, "not there any more"},
		{"an id that is none", ada, "id=x/y", 400, "could not be read"},
	} {
		f := s.startForm()
		if k, v, ok := strings.Cut(c.change, "="); ok {
			f.Set(k, v)
		}
		r := s.form(c.who, "/shoots/new", f)
		holds(t, c.what, r, c.status, c.say)
		if c.status == 422 && !strings.HasPrefix(c.change, "title=") {
			holds(t, c.what, r, 422, `value="Spring table"`)
		}
	}
	if after, err := s.stored.Shoots(); err != nil || len(after) != len(before) {
		t.Errorf("there are %v, %v", after, err)
	}
	for _, path := range []string{"/shoots/" + s.uuid(), "/shoots/" + access.House} {
		holds(t, path, s.ask(ada, "GET", path, ""), 404, "There is no such shoot")
	}
	holds(t, "a link for the crew", s.form(ada, "/shoots/"+s.shoot+"/invite", url.Values{"person": {string(cleo)}}), 404)
}

// Like an earlier one, on which the owner was the producer.
func TestStartedLike(t *testing.T) {
	s := newHouse(t)
	ada := s.owning("Ada")
	first := s.starts(ada)
	crew := s.uuid()
	raw, err := json.Marshal(map[string]any{"id": crew, "name": "Cleo", "role": shoot.Crew, "department": "", "job": "Runner", "phone": "555-0101"})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.app.Shoots.Record(t.Context(), first, []shoot.Intent{{ID: shoot.IntentID(s.uuid()), Name: "person.set", Version: 1, Args: raw}}); err != nil {
		t.Fatal(err)
	}
	holds(t, "the form", s.ask(ada, "GET", "/shoots/new?like="+first, ""), 200, `<option value="`+first+`" selected>`)
	second := s.starts(ada, "title=Summer table", "like="+first)
	names := map[string]shoot.Role{}
	for _, p := range s.state(second).Floor.People {
		names[p.Name] = p.Role
	}
	if want := map[string]shoot.Role{"Ada": shoot.Producer, "Cleo": shoot.Crew}; !maps.Equal(names, want) {
		t.Errorf("there are %v", names)
	}
	holds(t, "its page", s.ask(ada, "GET", "/shoots/"+second, ""), 200, "you are Ada, producer")
}

// The list puts each shoot where it is in time, where it is shot.
func TestStages(t *testing.T) {
	s := newHouse(t)
	ada := s.owning("Ada")
	s.starts(ada, "first=2026-12-01", "days=1", "zone=Pacific/Auckland") // 13 hours ahead of UTC
	for _, c := range []struct {
		at   string
		want string
	}{
		{"2026-11-30T10:59:00Z", "to come"}, {"2026-11-30T11:00:00Z", "running"}, {"2026-12-01T10:59:00Z", "running"}, {"2026-12-01T11:00:00Z", "wrapped"},
	} {
		at, err := time.Parse(time.RFC3339, c.at)
		if err != nil {
			t.Fatal(err)
		}
		s.clock.Store(at.UnixMilli())
		r := s.ask(ada, "GET", "/shoots", "")
		if strings.Count(r.body, "data-stage") != 1 || !strings.Contains(r.body, `data-stage="`+c.want+`"`) {
			t.Errorf("at %s: %d, %s", c.at, r.status, r.body)
		}
	}
}

package main

import (
	"errors"
	"flag"
	"fmt"
	"net/http"
	"os"
	"slices"
	"strings"
	"testing"

	faults "fairday/domain/fault"
	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/view/office"
	"fairday/server/access"
	"fairday/server/web"
)

var update = flag.Bool("update", false, "write ACCESS.md anew from the tables of the program")

// planeWords say what a plane holds.
var planeWords = map[shoot.Topic]string{
	shoot.TopicFloor:   "The day itself: call sheets, calls, people with their phone numbers, shots, heroes, meals, hours",
	shoot.TopicOffice:  "Drafts of call sheets, and reports of people who were withdrawn",
	shoot.TopicMoney:   "Terms, hires, approvals of overtime",
	shoot.TopicKitchen: "Covers by diet and allergen; who eats what, while a meal is served",
	shoot.TopicAsk:     "Overtime that is asked for",
	"diet:":            "What people eat",
	"pay:":             "Pay that people are shown",
}

// A table in the documentation.
type sheet struct{ b strings.Builder }

func (s *sheet) row(cells ...string) { fmt.Fprintf(&s.b, "| %s |\n", strings.Join(cells, " | ")) }

func (s *sheet) head(cells ...string) {
	s.row(cells...)
	s.row(slices.Repeat([]string{"---"}, len(cells))...)
}

// roles heads a table with a column for each role.
func (s *sheet) roles(first ...string) {
	for _, r := range shoot.Roles() {
		first = append(first, r.Label())
	}
	s.head(first...)
}

// capabilities writes who may do and see each thing.
func capabilities(t *testing.T, app *web.App, seen *shoot.State) string {
	var s sheet
	s.b.WriteString("# Who may do and see what\n\nMade from the tables of the program by `go test ./server -run Capabilities -update`; a test fails when it is not true any more, and tries every address as every kind of visitor.\n\n" +
		"Who the caller is comes from their session, never from what they send. An owner stands above shoots and sees nothing of what happens on one, unless they join it as a producer, which everybody on it sees. Starting a shoot like an earlier one takes its people over, with what they eat and, where asked for, their terms; whoever produces the new one sees those.\n\n## What each role sees\n\n")
	s.roles("")
	for _, plane := range shoot.Planes() {
		words, ok := planeWords[plane]
		if !ok {
			t.Errorf("there are no words for the plane %q", plane)
		}
		cells := []string{words}
		for _, r := range shoot.Roles() {
			a := shoot.Audience{Person: "me", Role: r, Desk: true}
			own, all := a.Sees(plane), a.Sees(plane)
			if strings.HasSuffix(string(plane), ":") {
				own, all = a.Sees(plane+"me"), a.Sees(plane+"other")
			}
			cells = append(cells, degree(all, own))
		}
		s.row(cells...)
	}
	s.b.WriteString("\nScreens that the server makes:\n\n")
	s.roles("Screen")
	for _, name := range office.Screens() {
		cells := []string{"`" + string(name) + "`"}
		for _, r := range shoot.Roles() {
			cells = append(cells, degree(mayOpen(t, name, r, seen), false))
		}
		s.row(cells...)
	}
	s.b.WriteString("\n## What each role may do\n\nAn edit by its name; *own* is for oneself alone, and an edit that names nobody is about whoever makes it. Further rules stand beside each in `domain/shoot`. What is not allowed is refused by the server, whatever a page offers.\n\n")
	s.roles("Edit", "")
	for _, name := range shoot.Intents() {
		words, _, _ := strings.Cut(shoot.Words(name), "|")
		cells := []string{"`" + name + "`", strings.NewReplacer("{", "*", "}", "*").Replace(words)}
		for _, r := range shoot.Roles() {
			all, own := shoot.Allows(r, name)
			cells = append(cells, degree(all, own))
		}
		s.row(cells...)
	}
	s.b.WriteString("\n## Who may come to which address\n\n")
	s.head("Address", "What it is", "Who")
	for _, r := range app.Routes() {
		s.row("`"+r.Method+" "+r.Path+"`", r.Does, string(r.Who))
	}
	return s.b.String()
}

func degree(all, own bool) string {
	switch {
	case all:
		return "yes"
	case own:
		return "own"
	}
	return ""
}

// mayOpen tells whether a far screen is for a role.
func mayOpen(t *testing.T, name view.Screen, r shoot.Role, seen *shoot.State) bool {
	t.Helper()
	s := seen.Clone()
	who := s.Floor.People[cleo]
	who.Role = r
	s.Floor.People[cleo] = who
	_, err := office.Make(string(name), s.For(shoot.Audience{Person: cleo, Role: r, Desk: true}), office.Context{Context: view.Context{Me: cleo, Now: 1}})
	var e *faults.Error
	if err == nil {
		return true
	}
	if !errors.As(err, &e) || e.Code != view.CodeRole {
		t.Fatalf("%s for a %s: %v", name, r, err)
	}
	return false
}

// What the documentation says of who may what is what the program does.
func TestHouseCapabilities(t *testing.T) {
	s := newSite(t)
	s.app.Demo = true
	want := capabilities(t, s.app, s.state(s.shoot))
	if *update {
		if err := os.WriteFile("ACCESS.md", []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	have, err := os.ReadFile("ACCESS.md")
	if err != nil || string(have) != want {
		t.Errorf("ACCESS.md is not what the program does (%v). Look at what changed, then: go test ./server -run Capabilities -update", err)
	}
}

// Every address, tried as every kind of visitor: it refuses those whom the table does
// not name, and no other.
func TestRoutesRefuse(t *testing.T) {
	s := newSite(t)
	other, err := s.app.Shoots.Create(s.plan())
	if err != nil {
		t.Fatal(err)
	}
	elsewhere := func() *http.Client {
		path, err := s.app.Invite("", access.Link{Shoot: other, Person: pia})
		if err != nil {
			t.Fatal(err)
		}
		c := s.browser()
		if r := s.ask(c, "POST", path, ""); r.status != 303 {
			t.Fatal(r)
		}
		return c
	}
	visitors := []struct {
		what string
		come func() *http.Client
		may  []web.Who
	}{
		{"nobody", s.browser, nil},
		{"crew", func() *http.Client { return s.joined(cleo) }, []web.Who{web.OnShoot}},
		{"an art director", func() *http.Client { return s.joined(ari) }, []web.Who{web.OnShoot, web.Leads}},
		{"another shoot's producer", elsewhere, []web.Who{web.OnShoot, web.Leads, web.Producers, web.Trusted}},
		{"a producer", func() *http.Client { return s.joined(pia) }, []web.Who{web.OnShoot, web.Leads, web.Producers, web.Trusted, web.Keepers}},
		{"an owner", func() *http.Client { return s.owning("Ada") }, []web.Who{web.Trusted, web.Keepers, web.Owners}},
	}
	for _, r := range s.app.Routes() {
		if r.Who == web.ByScreen { // each screen has its row in the other table
			continue
		}
		for _, v := range visitors {
			allowed := r.Who == web.Anybody || r.Who == web.LinkOf || slices.Contains(v.may, r.Who)
			path := strings.NewReplacer(":id", s.shoot, ":token", "nothing", "*", "").Replace(r.Path)
			status := 0
			if r.Path == "/sync" && r.Method == "GET" {
				p, answer, err := s.dial(v.come())
				if status = answer.StatusCode; err == nil {
					_ = p.ws.Close()
				}
			} else {
				status = s.ask(v.come(), r.Method, path, "", "Origin: "+s.base).status
			}
			if refused := status == 401 || status == 403; refused == allowed || status >= 500 {
				t.Errorf("%s %s gives %s %d, and is for: %s", r.Method, r.Path, v.what, status, r.Who)
			}
		}
		if err := s.app.Archive(s.shoot, false); err != nil {
			t.Fatal(err)
		}
	}
}

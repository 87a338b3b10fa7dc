package plan

import (
	"bytes"
	"crypto/rand"
	"maps"
	"slices"
	"strings"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/testdata/demo"
)

const startedAt when.Instant = 1_795_000_000_000 // in November 2026

func started() Start {
	return Start{Title: "Spring table", Client: "Quorrabel", First: "2027-03-15", Days: 2, Zone: "Europe/Lisbon", Place: "The Mill",
		Call: 8 * 60, Wrap: 18 * 60, Currency: "EUR", Producer: "Pia Example"}
}

// made decides a plan as the desk does.
func made(t *testing.T, intents []shoot.Intent) *shoot.State {
	t.Helper()
	s := shoot.New()
	for _, in := range intents {
		dec, err := shoot.Decide(s, in)
		if err != nil {
			t.Fatalf("%s is refused: %v", in.Name, err)
		}
		for _, e := range dec.Events {
			shoot.Apply(s, e)
		}
	}
	return s
}

func TestStart(t *testing.T) {
	p, faults := started().Plan(startedAt, rand.Reader)
	if len(faults) > 0 || p.Title != "Spring table" || len(p.People) != 1 || p.People[0].Role != shoot.Producer {
		t.Fatalf("%+v, %+v", p.People, faults)
	}
	s := made(t, p.Intents)
	days := s.DaysInOrder()
	if len(days) != 2 || days[0].Date != "2027-03-15" || days[1].Date != "2027-03-16" || days[1].Zone != "Europe/Lisbon" {
		t.Errorf("the days are %+v", days)
	}
	if d := s.Office.Drafts[days[1].ID]; d.Place.Name != "The Mill" || d.GeneralCall != 8*60 || d.PlannedWrap != 18*60 {
		t.Errorf("the draft is %+v", d)
	}
	if f := s.Floor.Shoot; f.Title != "Spring table" || f.Client != "Quorrabel" || s.Money.Currency != "EUR" || days[0].Published != 0 {
		t.Errorf("it is %+v in %s", f, s.Money.Currency)
	}
}

// What is refused, and beside which field.
func TestStartRefused(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*Start)
		field  string
		say    string
	}{
		"no title":          {func(s *Start) { s.Title = " " }, "title", "missing"},
		"a long title":      {func(s *Start) { s.Title = strings.Repeat("a", 121) }, "title", "too long"},
		"a long client":     {func(s *Start) { s.Client = strings.Repeat("a", 121) }, "client", "client"},
		"no date":           {func(s *Start) { s.First = "" }, "first", "Choose the date"},
		"not a date":        {func(s *Start) { s.First = "2027-02-30" }, "first", "Choose the date"},
		"no days":           {func(s *Start) { s.Days = 0 }, "days", "1 to 14"},
		"too many days":     {func(s *Start) { s.Days = 15 }, "days", "1 to 14"},
		"no zone":           {func(s *Start) { s.Zone = "" }, "zone", "Choose the time zone"},
		"no such zone":      {func(s *Start) { s.Zone = "Europe/Atlantis" }, "zone", "Europe/Atlantis"},
		"no place":          {func(s *Start) { s.Place = "" }, "place", "where it is shot"},
		"a long place":      {func(s *Start) { s.Place = strings.Repeat("a", 121) }, "place", "too long"},
		"wrap before call":  {func(s *Start) { s.Wrap = 7 * 60 }, "wrap", "later"},
		"no currency":       {func(s *Start) { s.Currency = "" }, "currency", "currency"},
		"no such currency":  {func(s *Start) { s.Currency = "XYZ" }, "currency", "currency"},
		"nobody to run it":  {func(s *Start) { s.Producer = "" }, "producer", "Nobody"},
		"a producer's name": {func(s *Start) { s.Producer = strings.Repeat("a", 81) }, "producer", "too long"},
	} {
		s := started()
		c.change(&s)
		p, faults := s.Plan(startedAt, rand.Reader)
		if len(faults) != 1 || faults[0].Field != c.field || !strings.Contains(faults[0].Say, c.say) || len(p.Intents) != 0 {
			t.Errorf("%s: %+v", name, faults)
		}
	}
}

// demoRun is the demo's shoot after something happened on it.
func demoRun(t *testing.T) *shoot.State {
	t.Helper()
	p, problems := Load(bytes.NewReader(demo.File), demo.Name, "", startedAt, rand.Reader)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	s := made(t, p.Intents)
	at := s.DaysInOrder()[0]
	call, err := at.Zone.At(at.Date, 9*60)
	if err != nil {
		t.Fatal(err)
	}
	for name, args := range map[string]string{
		"punch":         `{"day":"` + string(at.ID) + `","people":["` + string(p.People[3].ID) + `"],"kind":"in"}`,
		"person.access": `{"person":"` + string(p.People[2].ID) + `","revoked":true}`,
	} {
		dec, err := shoot.Decide(s, shoot.Intent{ID: "0191d3f0-0000-7000-8000-0000000000f1", Name: name, Version: shoot.Version(name), Args: []byte(args),
			Actor: shoot.Desk, Happened: call, Received: call})
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range dec.Events {
			shoot.Apply(s, e)
		}
	}
	if len(s.Floor.Hours) == 0 {
		t.Fatal("nothing happened")
	}
	return s
}

// Like an earlier one: its people, terms, heroes, set-ups and meals come along under
// ids of their own, and nothing of what happened does.
func TestStartLike(t *testing.T) {
	old := demoRun(t)
	s := started()
	s.Like, s.Terms, s.Currency, s.Days, s.Producer = old, true, old.Money.Currency, 3, ""
	p, faults := s.Plan(startedAt, rand.Reader)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	now := made(t, p.Intents)
	if len(now.Floor.People) != len(old.Floor.People)-1 || len(now.Money.Terms) == 0 || len(now.Diets) == 0 {
		t.Errorf("%d people of %d, %d terms, %d diets", len(now.Floor.People), len(old.Floor.People), len(now.Money.Terms), len(now.Diets))
	}
	for _, one := range p.People {
		was := old.Floor.People[shoot.PersonID(one.Key)]
		is := now.Floor.People[one.ID]
		if was.Revoked || is.Name != was.Name || is.Phone != was.Phone || is.Role != was.Role || is.Job != was.Job || is.ID == was.ID {
			t.Errorf("%+v became %+v", was, is)
		}
		terms, had := old.Money.Terms[was.ID]
		if got, has := now.Money.Terms[is.ID]; has != had || got.Rate != terms.Rate || len(got.Employee.NoRest) > 0 {
			t.Errorf("terms of %s: %+v became %+v", was.Name, terms, got)
		}
	}
	if len(now.Floor.Setups) != len(old.Floor.Setups) || len(now.Floor.Heroes) != len(old.Floor.Heroes) {
		t.Errorf("%d set-ups and %d heroes", len(now.Floor.Setups), len(now.Floor.Heroes))
	}
	for _, h := range now.Floor.Heroes {
		if len(h.History) > 0 || !slices.ContainsFunc(slices.Collect(maps.Values(old.Floor.Heroes)), func(o shoot.Hero) bool { return o.Name == h.Name && o.Plate == h.Plate && o.ID != h.ID }) {
			t.Errorf("the hero %+v is none of before", h)
		}
	}
	was, is := old.DaysInOrder(), now.DaysInOrder()
	for i := range is {
		a, b := old.MealsOf(was[min(i, len(was)-1)].ID), now.MealsOf(is[i].ID)
		if len(a) != len(b) || len(b) == 0 {
			t.Errorf("day %d has %d meals, there were %d", i, len(b), len(a))
			continue
		}
		for j := range b {
			if b[j].Name != a[j].Name || b[j].At != a[j].At || b[j].Served != 0 || b[j].Service != shoot.MealPlanned || b[j].Guests != 0 {
				t.Errorf("the meal %+v became %+v", a[j], b[j])
			}
			if _, had := old.Floor.MealRanges[a[j].ID]; had {
				if _, has := now.Floor.MealRanges[b[j].ID]; !has {
					t.Errorf("%s may start at any time", b[j].Name)
				}
			}
		}
	}
	if f := now.Floor; len(f.Hours) > 0 || len(f.Shots) > 0 || len(f.Queries) > 0 || len(f.Sheets) > 0 || len(now.Money.Hires) > 0 {
		t.Error("what happened came along")
	}
	s.Currency = "EUR"
	if _, faults := s.Plan(startedAt, rand.Reader); len(faults) != 1 || faults[0].Field != "currency" || !strings.Contains(faults[0].Say, string(old.Money.Currency)) {
		t.Errorf("another currency: %+v", faults)
	}
	s.Terms = false
	if p, faults := s.Plan(startedAt, rand.Reader); len(faults) > 0 || len(made(t, p.Intents).Money.Terms) != 0 {
		t.Errorf("without terms: %+v", faults)
	}
}

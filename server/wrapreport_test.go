package main

import (
	"encoding/csv"
	"strings"
	"testing"
)

// Punches come out as they are, in the time of the day's place, and a name that
// looks like a formula stays a name.
func TestPunchesAsAFile(t *testing.T) {
	s := newSite(t)
	producer := s.joined(pia)
	p := s.phone(producer)
	p.accepted(p.edit("person.set", `{"id":%q,"name":"=2+3","role":"crew","department":"Grip, \"heavy\"","job":"","phone":"","base":1}`, cleo))
	p.accepted(p.edit("punch", `{"day":%q,"people":[%q],"kind":"in"}`, day1, cleo))
	r := s.ask(producer, "GET", "/wrap/punches.csv", "")
	rows, err := csv.NewReader(strings.NewReader(r.body)).ReadAll()
	if err != nil || len(rows) != 2 {
		t.Fatalf("%d rows, %v: %s", len(rows), err, r.body)
	}
	if got := strings.Join(rows[1], "|"); !strings.Contains(got, `|'=2+3|Crew|Grip, "heavy"||in|`) || !strings.HasSuffix(got, "|Pia") {
		t.Errorf("the row is %s", got)
	}
}

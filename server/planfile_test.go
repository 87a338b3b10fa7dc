package main

import (
	"bytes"
	"mime/multipart"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"fairday/domain/shoot"
	plans "fairday/testdata/demo"
)

// uploaded sends a plan file as a page does; fields are "name=value".
func (s *site) uploaded(c *http.Client, id string, file []byte, fields ...string) reply {
	s.t.Helper()
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	for _, f := range append(fields, "id="+id) {
		k, v, _ := strings.Cut(f, "=")
		if err := w.WriteField(k, v); err != nil {
			s.t.Fatal(err)
		}
	}
	part, err := w.CreateFormFile("file", "my shoot.yaml")
	if err != nil {
		s.t.Fatal(err)
	}
	if _, err := part.Write(file); err != nil {
		s.t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		s.t.Fatal(err)
	}
	return s.ask(c, "POST", "/shoots/plan", b.String(), "Content-Type: "+w.FormDataContentType(), "Origin: "+s.base)
}

// The example is given out, and what is given out can be loaded as it stands; who of
// its people the owner is, is known by the name of a producer.
func TestPlanFileLoaded(t *testing.T) {
	s := newHouse(t)
	s.app.Example = plans.File
	ada := s.owning("wrenna castlemoor")
	r := s.ask(ada, "GET", "/shoots/example", "")
	holds(t, "the example", r, 200, "# A plan file")
	id := s.uuid()
	for range 2 { // the same form twice makes one
		if r := s.uploaded(ada, id, []byte(r.body), "date=2027-01-11"); r.status != 303 || r.header.Get("Location") != "/shoots/"+id {
			t.Fatal(r)
		}
	}
	st := s.state(id)
	if st.DaysInOrder()[0].Date != "2027-01-11" || len(st.Floor.Shots) == 0 {
		t.Errorf("day 1 is %+v", st.DaysInOrder()[0])
	}
	var producer string
	for _, p := range st.Floor.People {
		if p.Role == shoot.Producer {
			producer = p.Name
		}
	}
	holds(t, "its page", s.ask(ada, "GET", "/shoots/"+id, ""), 200, "you are "+producer+", producer")
	again := s.uploaded(ada, s.uuid(), []byte(r.body), "date=2027-01-11")
	holds(t, "the same file again", again, 422, "loaded already, as", `name="again"`)
	if r := s.uploaded(ada, s.uuid(), []byte(r.body), "date=2027-01-11", "again=on"); r.status != 303 {
		t.Errorf("the same file again, on purpose: %d", r.status)
	}
	if ids, err := s.stored.Shoots(); err != nil || len(ids) != 2 {
		t.Errorf("there are %v, %v", ids, err)
	}
}

// What plan files are refused for. Nothing is stored.
func TestPlanFileRefused(t *testing.T) {
	s := newSite(t)
	s.app.Example = plans.File
	ada := s.owning("Ada")
	for _, c := range []struct {
		what   string
		who    *http.Client
		file   []byte
		fields string
		status int
		say    []string
	}{
		{"from nobody", s.browser(), plans.File, "", 401, []string{"This page is for owners"}},
		{"from a producer", s.joined(pia), plans.File, "", 401, []string{"This page is for owners"}},
		{"with mistakes", ada, []byte("title: Kettles\ncolour: red\nzone: Europe/Atlantis\n"), "", 422, []string{"<b>Line 2</b> “colour” means nothing", "<b>Line 3</b>", "“people” is missing"}},
		{"that is none", ada, []byte("\x89PNG\r\n\x1a\n"), "", 422, []string{"cannot be read"}},
		{"that is empty", ada, nil, "", 422, []string{"The file is empty"}},
		{"of 5 MB", ada, bytes.Repeat([]byte("# nothing\n"), 500_000), "", 422, []string{"too large for a plan", "256 kB"}},
		{"on a date that is none", ada, plans.File, "date=2027-02-30", 422, []string{"“2027-02-30” is no date"}},
		{"with words that would be code", ada, []byte("title: <script>alert(1)</script>\n<b>: 1\n"), "", 422, []string{"&lt;b&gt;"}},
	} {
		r := s.uploaded(c.who, s.uuid(), c.file, c.fields)
		holds(t, "a file "+c.what, r, c.status, c.say...)
	}
	holds(t, "an id that is none", s.uploaded(ada, "../x", plans.File), 400)
	holds(t, "no file at all", s.form(ada, "/shoots/plan", url.Values{"id": {s.uuid()}}), 400)
	holds(t, "the example for nobody", s.ask(s.browser(), "GET", "/shoots/example", ""), 401)
	if ids, err := s.stored.Shoots(); err != nil || len(ids) != 1 {
		t.Errorf("there are %v, %v", ids, err)
	}
}

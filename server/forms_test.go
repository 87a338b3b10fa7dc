package main

import (
	"net/url"
	"testing"

	plans "fairday/testdata/demo"
)

// Whatever a form of the server's own pages carries is answered, and breaks nothing:
// its owner is still in, and the list of shoots can still be drawn.
func FuzzForms(f *testing.F) {
	s := newSite(f)
	ada := s.owning("Ada")
	if r := s.form(ada, "/shoots/"+s.shoot+"/enter", nil); r.status != 303 {
		f.Fatal(r)
	}
	_, link := s.ownerLink()
	id := s.uuid()
	forms := []string{"/shoots/new", "/shoots/owners", "/shoots/people/note", "/shoots/people/remember", "/shoots/people/put",
		"/shoots/people/forget", "/shoots/" + s.shoot + "/invite", "/shoots/" + s.shoot + "/delete", link}
	for i, body := range []url.Values{s.startForm("id=" + id), {"name": {"Bo"}}, {"person": {string(cleo)}, "note": {"kind"}}, {"person": {string(cleo)}},
		{"person": {string(cleo), "x"}}, {"person": {""}}, {"name": {"Bo"}, "person": {string(pia)}}, {"title": {"Kettle"}}, {"name": {" "}}} {
		f.Add(uint8(i), body.Encode())
	}
	f.Add(uint8(len(forms)), string(plans.File))
	f.Fuzz(func(t *testing.T, which uint8, body string) {
		s.t = t
		at := int(which) % (len(forms) + 1)
		var r reply
		path := "/shoots/plan"
		if at == len(forms) {
			r = s.uploaded(ada, id, []byte(body))
		} else {
			path = forms[at]
			r = s.ask(ada, "POST", path, body, "Content-Type: application/x-www-form-urlencoded", "Origin: "+s.base)
		}
		if r.status >= 500 || r.status < 200 {
			t.Errorf("%s gives %d %s", path, r.status, r.body)
		}
		if r := s.ask(ada, "GET", "/shoots", ""); r.status != 200 {
			t.Errorf("after that, the list gives %d %s", r.status, r.body)
		}
		ids, err := s.stored.Shoots()
		if err != nil {
			t.Fatal(err)
		}
		for _, one := range ids { // what was started is let go of again, so that the list stays short
			if one == s.shoot {
				continue
			}
			if err := s.app.Delete(t.Context(), one); err != nil {
				t.Fatal(err)
			}
			id = s.uuid()
		}
	})
}

package main

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"fairday/domain/shoot"
	"fairday/server/web"
	"fairday/sync/wire"
)

// passOf is the pass that a phone is given.
func (s *site) passOf(c *http.Client) string {
	s.t.Helper()
	var m web.Me
	if err := json.Unmarshal([]byte(s.ask(c, "GET", "/api/me", "").body), &m); err != nil {
		s.t.Fatal(err)
	}
	return m.Pass
}

// waiting is the file part of a device with edits that its phone could not send.
func (s *site) waiting(device string, after uint64, edits ...wire.Edit) string {
	s.t.Helper()
	last := after
	for i := range edits {
		last++
		edits[i].Seq = last
	}
	text, err := json.Marshal(wire.Post{Hello: wire.Hello{Protocol: wire.Protocol, Device: shoot.DeviceID(device), Sent: last}, After: after, Edits: edits})
	if err != nil {
		s.t.Fatal(err)
	}
	return string(text)
}

func handBody(pass, visit string) string { return fmt.Sprintf(`{"pass":%q,"visit":%s}`, pass, visit) }

// SPEC Q12: what waits on one phone is handed in by another of the same shoot:
// as its own, once, and with the verdicts it would have had.
func TestHandIn(t *testing.T) {
	s := newSite(t)
	theirs, mine := s.joined(ari), s.joined(cleo)
	pass, device := s.passOf(theirs), s.uuid()
	setup := func(name string) wire.Edit {
		return wire.Edit{ID: shoot.IntentID(s.uuid()), Name: "setup.set", Version: 1,
			Args: json.RawMessage(fmt.Sprintf(`{"id":%q,"name":%q,"minutes":1,"base":0}`, s.uuid(), name))}
	}
	visit := s.waiting(device, 0, setup("Handed over"), wire.Edit{ID: shoot.IntentID(s.uuid()), Name: "setup.set", Version: 1, Args: json.RawMessage(`{"id":"x"}`)})
	before := s.tally().entries
	for range 2 { // once more gives the same and changes nothing
		r := s.ask(mine, "POST", "/api/hand", handBody(pass, visit))
		var got web.Handed
		if err := json.Unmarshal([]byte(r.body), &got); err != nil || r.status != 200 || got.Taken != 1 || len(got.Refused) != 1 {
			t.Fatalf("handing in gives %d %s", r.status, r.body)
		}
		if strings.Contains(r.body, "Kettles") {
			t.Errorf("the answer tells of the shoot: %s", r.body)
		}
	}
	if n := s.tally().entries - before; n != 2 {
		t.Errorf("the log has %d more entries", n)
	}
	entries, err := s.stored.Range(s.shoot, uint64(before), 10, true)
	if err != nil || entries[0].Intent.Actor != ari || string(entries[0].Device) != device {
		t.Errorf("the log says %+v, %v", entries[0], err)
	}

	// Its own phone has been there since: an old file says nothing new.
	p := s.ask(theirs, "POST", "/sync", s.waiting(device, 2, setup("Later")))
	if !strings.Contains(p.body, `"accepted"`) {
		t.Fatal(p.body)
	}
	if r := s.ask(mine, "POST", "/api/hand", handBody(pass, visit)); !strings.Contains(r.body, `"taken":2`) {
		t.Errorf("an old file gives %s", r.body)
	}
}

// What is turned away leaves nothing behind.
func TestHandInRefused(t *testing.T) {
	s := newSite(t)
	theirs, mine := s.joined(ari), s.joined(cleo)
	pass := s.passOf(theirs)
	edit := wire.Edit{ID: shoot.IntentID(s.uuid()), Name: "setup.set", Version: 1, Args: json.RawMessage(`{"id":"0191d3f0-0000-7000-9000-0000000000ff","name":"W","minutes":1,"base":0}`)}
	visit := s.waiting(s.uuid(), 0, edit)
	late := strings.Replace(visit, `"seq":1`, `"seq":4`, 1)
	holder, stamp, _ := strings.Cut(pass, ".")
	for name, c := range map[string]struct {
		who    *http.Client
		body   string
		status int
		code   web.Code
	}{
		"nobody":                   {s.browser(), handBody(pass, visit), 401, web.CodeNoSession},
		"no pass":                  {mine, handBody("", visit), 403, web.CodeHandShoot},
		"a pass made up":           {mine, handBody(holder+".AAAA", visit), 403, web.CodeHandShoot},
		"another person's name":    {mine, handBody(s.shoot+"/"+string(pia)+"."+stamp, visit), 403, web.CodeHandShoot},
		"a pass of another shoot":  {mine, handBody(s.app.Pass("another", ari), visit), 403, web.CodeHandShoot},
		"no JSON":                  {mine, "hand", 400, web.CodeMalformed},
		"a field too many":         {mine, strings.Replace(handBody(pass, visit), `{"pass"`, `{"actor":"x","pass"`, 1), 400, web.CodeMalformed},
		"no visit":                 {mine, handBody(pass, "null"), 400, web.CodeMalformed},
		"a number that is missing": {mine, handBody(pass, strings.Replace(late, `"sent":1`, `"sent":4`, 1)), 409, web.CodeHandGap},
		"another site":             {mine, handBody(pass, visit), 403, web.CodeBadOrigin},
	} {
		t.Run(name, func(t *testing.T) {
			before := s.tally()
			var headers []string
			if c.code == web.CodeBadOrigin {
				headers = []string{"Origin: https://example.com"}
			}
			r := s.ask(c.who, "POST", "/api/hand", c.body, headers...)
			if r.status != c.status || !strings.Contains(r.body, fmt.Sprintf("%q", c.code)) {
				t.Errorf("it gives %d %s", r.status, r.body)
			}
			if after := s.tally(); after != before {
				t.Errorf("afterwards there are %+v, before %+v", after, before)
			}
		})
	}
	t.Run("somebody who was taken off the shoot", func(t *testing.T) {
		p := s.phone(s.joined(pia))
		p.accepted(p.edit("person.access", `{"person":%q,"revoked":true}`, ari))
		r := s.ask(mine, "POST", "/api/hand", handBody(pass, visit)) // a request; a report would go to the producer
		if r.status != 200 || !strings.Contains(r.body, `"taken":0`) || !strings.Contains(r.body, "was withdrawn") {
			t.Errorf("it gives %d %s", r.status, r.body)
		}
		older := strings.Replace(visit, fmt.Sprintf(`"protocol":%d`, wire.Protocol), `"protocol":1`, 1)
		if r := s.ask(mine, "POST", "/api/hand", handBody(pass, older)); r.status != 403 || !strings.Contains(r.body, string(web.CodeHandWithdrawn)) {
			t.Errorf("from a page that could not know, it gives %d %s", r.status, r.body)
		}
	})
}

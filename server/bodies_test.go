package main

import (
	"encoding/json"
	"fmt"
	"testing"

	"fairday/sync/wire"
)

// Whatever a request carries, with whatever signature, is answered and breaks nothing.
func FuzzBodies(f *testing.F) {
	s := newSite(f)
	c, g := s.joined(pia), s.signer(ari)
	routes := []string{"/api/hand", "/api/device", "/api/links", "/sync", "/api/leave", "/join/nothing"}
	visit, err := json.Marshal(wire.Post{Hello: wire.Hello{Protocol: wire.Protocol, Device: "0191d3f0-0000-7000-8000-00000000dddd", Sent: 1}, Edits: []wire.Edit{g.punch("in")}})
	if err != nil {
		f.Fatal(err)
	}
	file := g.file(g.punch("in"))
	for i, body := range []string{handBody(file...), fmt.Sprintf(`{"device":%q,"key":"BA"}`, g.device), `{"person":"` + string(cleo) + `"}`, string(visit), "", "{"} {
		f.Add(uint8(i), body)
	}
	f.Add(uint8(len(routes)), file[0].Text) // signed whatever it says
	f.Fuzz(func(t *testing.T, route uint8, body string) {
		s.t = t
		at := int(route) % (len(routes) + 1)
		if at == len(routes) {
			at, body = 0, handBody(signedText{body, g.sigOf(body)})
		}
		who := c
		if routes[at] == "/api/leave" {
			who = s.browser()
		}
		if r := s.ask(who, "POST", routes[at], body); r.status >= 500 || r.status < 200 {
			t.Errorf("%s gives %d %s", routes[at], r.status, r.body)
		}
		if r := s.ask(c, "GET", "/api/me", ""); r.status != 200 {
			t.Errorf("after that, who am I gives %d %s", r.status, r.body)
		}
	})
}

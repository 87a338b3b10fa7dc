package main

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/server/web"
	"fairday/sync/wire"
)

// signer is the device of somebody whose phone has no signal.
type signer struct {
	s      *site
	c      *http.Client
	owner  shoot.PersonID
	device string
	key    *ecdsa.PrivateKey
	seq    uint64
}

// signer makes a device and tells the server its key.
func (s *site) signer(p shoot.PersonID) *signer {
	s.t.Helper()
	g := &signer{s: s, c: s.joined(p), owner: p, device: s.uuid(), key: newKey(s.t)}
	if r := g.register(); r.status != 204 {
		s.t.Fatalf("telling a key gives %d %s", r.status, r.body)
	}
	return g
}

func newKey(t testing.TB) *ecdsa.PrivateKey {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	return key
}

func (g *signer) register() reply {
	g.s.t.Helper()
	raw, err := g.key.PublicKey.Bytes()
	if err != nil {
		g.s.t.Fatal(err)
	}
	return g.s.ask(g.c, "POST", "/api/device", fmt.Sprintf(`{"device":%q,"key":%q}`, g.device, base64.RawURLEncoding.EncodeToString(raw)))
}

// punch is a fact, and setup a request.
func (g *signer) punch(kind string) wire.Edit {
	return g.edit("punch", fmt.Sprintf(`{"day":%q,"people":[%q],"kind":%q}`, day1, g.owner, kind))
}

func (g *signer) setup(name string) wire.Edit {
	return g.edit("setup.set", fmt.Sprintf(`{"id":%q,"name":%q,"minutes":1,"base":0}`, g.s.uuid(), name))
}

func (g *signer) edit(name, args string) wire.Edit {
	g.seq++
	return wire.Edit{ID: shoot.IntentID(g.s.uuid()), Seq: g.seq, Name: name, Version: 1, Args: json.RawMessage(args), Happened: g.s.now()}
}

// handed is an edit as its device signs it.
func (g *signer) handed(e wire.Edit, after uint64) wire.Handed {
	return wire.Handed{Fairday: wire.HandedMark, Shoot: g.s.shoot, Owner: g.owner, Device: shoot.DeviceID(g.device),
		Epoch: 0, Until: g.s.now() + 48*when.Hour, After: after, Edit: e}
}

type signedText struct {
	Text string `json:"text"`
	Sig  string `json:"sig"`
}

func (g *signer) sign(h wire.Handed) signedText {
	g.s.t.Helper()
	text, err := json.Marshal(h)
	if err != nil {
		g.s.t.Fatal(err)
	}
	return signedText{string(text), g.sigOf(string(text))}
}

// sigOf signs as browsers do: r and s, 32 bytes each (Web Cryptography API, ECDSA,
// sign operation; IEEE P1363).
func (g *signer) sigOf(text string) string {
	g.s.t.Helper()
	sum := sha256.Sum256([]byte(text))
	r, s, err := ecdsa.Sign(rand.Reader, g.key, sum[:])
	if err != nil {
		g.s.t.Fatal(err)
	}
	var raw [64]byte
	r.FillBytes(raw[:32])
	s.FillBytes(raw[32:])
	return base64.RawURLEncoding.EncodeToString(raw[:])
}

// file signs edits one behind the other.
func (g *signer) file(edits ...wire.Edit) []signedText {
	var out []signedText
	last := edits[0].Seq - 1
	for _, e := range edits {
		out, last = append(out, g.sign(g.handed(e, last))), e.Seq
	}
	return out
}

func handBody(texts ...signedText) string {
	b, err := json.Marshal(map[string]any{"edits": texts})
	if err != nil {
		panic(err) // texts
	}
	return string(b)
}

// SPEC Q12, Q13, Q14: what waits on one phone is brought by another of the same shoot:
// facts as its owner's, requests for its owner's word, and once.
func TestHandIn(t *testing.T) {
	s := newSite(t)
	g, mine := s.signer(ari), s.joined(cleo)
	file := g.file(g.punch("in"), g.setup("Handed over"), g.edit("punch", `{"day":"x"}`))
	before := s.tally().entries
	for range 2 { // once more gives the same and changes nothing
		r := s.ask(mine, "POST", "/api/hand", handBody(file...))
		var got web.Handed
		if err := json.Unmarshal([]byte(r.body), &got); err != nil || r.status != 200 || got.Taken != 1 || got.OwnWord != 1 || len(got.Refused) != 1 {
			t.Fatalf("handing in gives %d %s", r.status, r.body)
		}
		if strings.Contains(r.body, "Kettles") {
			t.Errorf("the answer tells of the shoot: %s", r.body)
		}
	}
	if n := s.tally().entries - before; n != 3 {
		t.Errorf("the log has %d more entries", n)
	}
	entries, err := s.stored.Range(s.shoot, uint64(before), 10, true)
	if err != nil || entries[0].Intent.Actor != ari || string(entries[0].Device) != g.device || entries[0].Via != cleo {
		t.Errorf("the log says %+v, %v", entries[0], err)
	}
	post, err := json.Marshal(wire.Post{Hello: wire.Hello{Protocol: wire.Protocol, Device: shoot.DeviceID(g.device), Sent: 3}, Edits: []wire.Edit{}})
	if err != nil {
		t.Fatal(err)
	}
	if p := s.ask(s.joined(pia), "POST", "/sync", string(post)); !strings.Contains(p.body, `"delivered":{`) || !strings.Contains(p.body, `":"`+string(cleo)+`"}`) {
		t.Errorf("the producer does not see who delivered it: %s", p.body)
	}
	if r := s.ask(s.joined(ari), "POST", "/api/hand", handBody(g.file(g.setup("By another phone of theirs"))...)); !strings.Contains(r.body, `"taken":1`) {
		t.Errorf("their own other phone gets %s", r.body)
	}
}

// SPEC Q13: a device has one key, which moves with its phone to a new session.
func TestDeviceKeys(t *testing.T) {
	s := newSite(t)
	g := s.signer(ari)
	first := g.key
	if r := g.register(); r.status != 204 {
		t.Errorf("once more gives %d %s", r.status, r.body)
	}
	g.key = newKey(t)
	if r := g.register(); r.status != 409 || !strings.Contains(r.body, string(web.CodeOtherKey)) {
		t.Errorf("another key gives %d %s", r.status, r.body)
	}
	g.key = first
	file := g.file(g.punch("in"))
	s.ask(g.c, "POST", "/api/leave", "")
	mine := s.joined(cleo)
	if r := s.ask(mine, "POST", "/api/hand", handBody(file...)); r.status != 403 || !strings.Contains(r.body, string(web.CodeHandWithdrawn)) {
		t.Errorf("of a phone that was signed out: %d %s", r.status, r.body)
	}
	g.c = s.joined(ari)
	if r := g.register(); r.status != 204 {
		t.Errorf("after joining again: %d %s", r.status, r.body)
	}
	if r := s.ask(mine, "POST", "/api/hand", handBody(file...)); !strings.Contains(r.body, `"taken":1`) {
		t.Errorf("after joining again: %d %s", r.status, r.body)
	}
	good := fmt.Sprintf(`{"device":%q,"key":%q}`, s.uuid(), "BA")
	for name, body := range map[string]string{"no point": good, "no device": `{"device":"","key":""}`, "no JSON": "{", "a field more": `{"who":1}`, "two": "{}{}"} {
		if r := s.ask(g.c, "POST", "/api/device", body); r.status != 400 {
			t.Errorf("%s: %d %s", name, r.status, r.body)
		}
	}
	if r := s.ask(s.browser(), "POST", "/api/device", good); r.status != 401 {
		t.Errorf("nobody's key: %d %s", r.status, r.body)
	}
	for range 80 { // one phone after the other: those of old make room
		g.device, g.key = s.uuid(), newKey(t)
		s.clock.Add(1000)
		if r := g.register(); r.status != 204 {
			t.Fatalf("%d %s", r.status, r.body)
		}
	}
	if r := s.ask(mine, "POST", "/api/hand", handBody(file...)); r.status != 403 || !strings.Contains(r.body, string(web.CodeHandForged)) {
		t.Errorf("a device that is forgotten: %d %s", r.status, r.body)
	}
}

// SPEC Q15: what an attacker, an old file or the wrong person brings changes nothing.
func TestHandInRefused(t *testing.T) {
	s := newSite(t)
	g, mine := s.signer(ari), s.joined(cleo)
	stranger := &signer{s: s, owner: ari, device: g.device, key: newKey(t)}
	cleos := s.signer(cleo)
	in, out := g.punch("in"), g.punch("out")
	file := g.file(in, out)
	change := func(f func(*wire.Handed)) []signedText { // signed by the right key
		h := g.handed(in, 0)
		f(&h)
		return []signedText{g.sign(h)}
	}
	edited := func(old, new string) []signedText { // and changed afterwards
		text := strings.Replace(file[0].Text, old, new, 1)
		if text == file[0].Text {
			t.Fatalf("%s does not stand in %s", old, text)
		}
		return []signedText{{text, file[0].Sig}, file[1]}
	}
	raw, err := base64.RawURLEncoding.DecodeString(file[0].Sig)
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		who    *http.Client
		body   string
		status int
		code   web.Code
	}{
		"nobody brings it":            {s.browser(), handBody(file...), 401, web.CodeNoSession},
		"another site":                {mine, handBody(file...), 403, web.CodeBadOrigin},
		"a made-up key":               {mine, handBody(stranger.file(in)...), 403, web.CodeHandForged},
		"the key of who brings it":    {mine, handBody(signedText{file[0].Text, cleos.sigOf(file[0].Text)}), 403, web.CodeHandForged},
		"a device that told no key":   {mine, handBody(change(func(h *wire.Handed) { h.Device = shoot.DeviceID(s.uuid()) })...), 403, web.CodeHandForged},
		"another owner":               {mine, handBody(change(func(h *wire.Handed) { h.Owner = pia })...), 403, web.CodeHandForged},
		"other arguments":             {mine, handBody(edited(`"kind":"in"`, `"kind":"out"`)...), 403, web.CodeHandForged},
		"other spacing":               {mine, handBody(edited(`"kind":"in"`, `"kind": "in"`)...), 403, web.CodeHandForged},
		"another id":                  {mine, handBody(edited(string(in.ID), string(out.ID))...), 403, web.CodeHandForged},
		"an epoch put in":             {mine, handBody(edited(`"epoch":0`, `"epoch":1`)...), 403, web.CodeHandForged},
		"signatures swapped":          {mine, handBody(signedText{file[0].Text, file[1].Sig}, signedText{file[1].Text, file[0].Sig}), 403, web.CodeHandForged},
		"no signature":                {mine, handBody(signedText{file[0].Text, ""}), 403, web.CodeHandForged},
		"a signature of zeros":        {mine, handBody(signedText{file[0].Text, base64.RawURLEncoding.EncodeToString(make([]byte, 64))}), 403, web.CodeHandForged},
		"half a signature":            {mine, handBody(signedText{file[0].Text, base64.RawURLEncoding.EncodeToString(raw[:32])}), 403, web.CodeHandForged},
		"one edit of two put behind":  {mine, handBody(file[1], file[0]), 409, web.CodeHandGap},
		"the first left out":          {mine, handBody(file[1]), 409, web.CodeHandGap},
		"a number that is missing":    {mine, handBody(change(func(h *wire.Handed) { h.Edit.Seq, h.After = 4, 3 })...), 409, web.CodeHandGap},
		"another shoot":               {mine, handBody(change(func(h *wire.Handed) { h.Shoot = "another" })...), 403, web.CodeHandShoot},
		"another epoch":               {mine, handBody(change(func(h *wire.Handed) { h.Epoch = 1 })...), 409, web.CodeHandChanged},
		"past its end":                {mine, handBody(change(func(h *wire.Handed) { h.Until = s.now() })...), 410, web.CodeHandExpired},
		"without an end":              {mine, handBody(change(func(h *wire.Handed) { h.Until = s.now() + 1000*when.Hour })...), 410, web.CodeHandExpired},
		"two files in one":            {mine, handBody(append(change(func(*wire.Handed) {}), change(func(h *wire.Handed) { h.Until--; h.Edit = out; h.After = 1 })...)...), 403, web.CodeHandForged},
		"signed as something else":    {mine, handBody(change(func(h *wire.Handed) { h.Fairday = "another thing" })...), 400, web.CodeMalformed},
		"no JSON":                     {mine, "hand", 400, web.CodeMalformed},
		"a field too many":            {mine, strings.Replace(handBody(file...), `{"edits"`, `{"actor":"x","edits"`, 1), 400, web.CodeMalformed},
		"a field too many, signed":    {mine, handBody(signedText{`{"actor":"x",` + file[0].Text[1:], g.sigOf(`{"actor":"x",` + file[0].Text[1:])}), 400, web.CodeMalformed},
		"nothing":                     {mine, handBody(), 400, web.CodeMalformed},
		"what the pass used to allow": {mine, `{"pass":"x","visit":{}}`, 400, web.CodeMalformed},
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
	p := s.phone(s.joined(pia))
	turned := func(name string, c *http.Client, status int, code web.Code) {
		t.Helper()
		before := s.tally()
		if r := s.ask(c, "POST", "/api/hand", handBody(file...)); r.status != status || !strings.Contains(r.body, fmt.Sprintf("%q", code)) || s.tally() != before {
			t.Errorf("%s: %d %s", name, r.status, r.body)
		}
	}
	p.accepted(p.edit("person.access", `{"person":%q,"revoked":true}`, ari))
	turned("of somebody who was taken off the shoot", mine, 403, web.CodeHandWithdrawn)
	p.accepted(p.edit("person.access", `{"person":%q,"revoked":false}`, ari))
	turned("from before they were", mine, 409, web.CodeHandChanged)
	p.accepted(p.edit("person.access", `{"person":%q,"revoked":true}`, cleo))
	turned("by somebody who was taken off the shoot", mine, 403, "access_withdrawn")
	s.clock.Add((49 * time.Hour).Milliseconds())
	turned("two days later", s.joined(pia), 410, web.CodeHandExpired)
}

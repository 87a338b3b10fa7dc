package main

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/fxamacker/cbor/v2"

	"fairday/domain/shoot"
	"fairday/server/house"
)

// softKey is a device that keeps one passkey, written from the text of Web
// Authentication (W3C, sections 6.1 authenticator data, 6.5 attestation, 7.2 what a
// server verifies), with every part of an answer in the hands of the test.
type softKey struct {
	key    *ecdsa.PrivateKey
	id     string
	handle string // of its user, as the server gave it
	count  uint32
	party  string // whose passkey it is
	origin string // of the page that asks
}

func newSoftKey(t testing.TB) *softKey {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	id := make([]byte, 16)
	_, _ = rand.Read(id)
	return &softKey{key: key, id: string(id), count: 5, party: "shoot.example.com", origin: "http://shoot.example.com"}
}

func b64(s string) string { return base64.RawURLEncoding.EncodeToString([]byte(s)) }

// data is what an authenticator says of itself: the party's hash, that its user was
// there and is known, the count, and at the making the public key.
func (k *softKey) data(t testing.TB, making bool) string {
	t.Helper()
	party := sha256.Sum256([]byte(k.party))
	flags := byte(1 | 4)
	if making {
		flags |= 0x40
	}
	out := append(party[:], flags)
	out = binary.BigEndian.AppendUint32(out, k.count)
	if making {
		point, err := k.key.PublicKey.Bytes()
		if err != nil {
			t.Fatal(err)
		}
		cose, err := cbor.Marshal(map[int]any{1: 2, 3: -7, -1: 1, -2: point[1:33], -3: point[33:]})
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, make([]byte, 16)...) // no kind of device
		out = binary.BigEndian.AppendUint16(out, uint16(len(k.id)))
		out = append(append(out, k.id...), cose...)
	}
	return string(out)
}

func (k *softKey) client(kind, challenge string) string {
	return fmt.Sprintf(`{"type":%q,"challenge":%q,"origin":%q}`, kind, challenge, k.origin)
}

// made answers a question to make it.
func (k *softKey) made(t testing.TB, challenge string) string {
	t.Helper()
	object, err := cbor.Marshal(map[string]any{"fmt": "none", "attStmt": map[string]any{}, "authData": []byte(k.data(t, true))})
	if err != nil {
		t.Fatal(err)
	}
	return fmt.Sprintf(`{"id":%q,"rawId":%q,"type":"public-key","response":{"attestationObject":%q,"clientDataJSON":%q}}`,
		b64(k.id), b64(k.id), b64(string(object)), b64(k.client("webauthn.create", challenge)))
}

// answer answers a question to come in.
func (k *softKey) answer(t testing.TB, challenge string) string {
	t.Helper()
	k.count++
	data, client := k.data(t, false), k.client("webauthn.get", challenge)
	over := sha256.Sum256([]byte(client))
	sum := sha256.Sum256(append([]byte(data), over[:]...))
	sig, err := ecdsa.SignASN1(rand.Reader, k.key, sum[:])
	if err != nil {
		t.Fatal(err)
	}
	return fmt.Sprintf(`{"id":%q,"rawId":%q,"type":"public-key","response":{"authenticatorData":%q,"clientDataJSON":%q,"signature":%q,"userHandle":%q}}`,
		b64(k.id), b64(k.id), b64(data), b64(client), b64(string(sig)), b64(k.handle))
}

// puts asks a question at a path and gives its challenge, its user's handle and the
// cookie that goes with it.
func (s *site) puts(c *http.Client, path string) (challenge, handle, cookie string) {
	s.t.Helper()
	r := s.ask(c, "POST", path, "", "Origin: http://shoot.example.com")
	var q struct {
		PublicKey struct {
			Challenge string
			User      struct{ ID string }
		}
	}
	if err := json.Unmarshal([]byte(r.body), &q); err != nil || r.status != 200 {
		s.t.Fatalf("%s: %d %s", path, r.status, r.body)
	}
	user, err := base64.RawURLEncoding.DecodeString(q.PublicKey.User.ID)
	if err != nil {
		s.t.Fatal(err)
	}
	cookie, _, _ = strings.Cut(r.header.Get("Set-Cookie"), ";") // its end is by the site's clock
	return q.PublicKey.Challenge, string(user), cookie
}

// adds has somebody who is signed in add a token, for a shoot or the house.
func (s *site) adds(c *http.Client, k *softKey, where string) reply {
	s.t.Helper()
	challenge, handle, cookie := s.puts(c, "/api/passkeys/ask?for="+where)
	k.handle = handle
	return s.ask(c, "POST", "/api/passkeys/add", k.made(s.t, challenge), "Origin: http://shoot.example.com", "Cookie: "+cookie)
}

// A passkey lets its own person in, and nobody in by anything that is not its word to
// this question on this server's page; nor once the access has changed that it was
// added with.
func TestPasskeyForged(t *testing.T) {
	s := newSite(t)
	s.app.Base = &url.URL{Scheme: "http", Host: "shoot.example.com"}
	producer := s.joined(pia)
	comesIn := func(k *softKey, spoil func(challenge string) string) reply {
		t.Helper()
		c := s.browser()
		challenge, _, cookie := s.puts(c, "/api/passkey/ask")
		return s.ask(c, "POST", "/api/passkey", spoil(challenge), "Origin: http://shoot.example.com", "Cookie: "+cookie)
	}
	honest := func(k *softKey) reply {
		t.Helper()
		return comesIn(k, func(challenge string) string { return k.answer(t, challenge) })
	}
	mine, strange := newSoftKey(t), newSoftKey(t)
	if r := s.adds(producer, mine, s.shoot); r.status != http.StatusNoContent {
		t.Fatalf("adding gives %d %s", r.status, r.body)
	}
	if r := honest(mine); r.status != 200 || !strings.Contains(r.body, `"to":"/"`) || !strings.Contains(r.header.Get("Set-Cookie"), "fairday=") {
		t.Fatalf("coming in gives %d %s", r.status, r.body)
	}
	with := func(change func(*softKey)) func(string) string {
		k := *mine
		return func(challenge string) string { change(&k); return k.answer(t, challenge) }
	}
	for name, spoil := range map[string]func(string) string{
		"another question":    func(string) string { return mine.answer(t, b64(strings.Repeat("x", 32))) },
		"another page":        with(func(k *softKey) { k.origin = "http://evil.example.org" }),
		"another server":      with(func(k *softKey) { k.party = "evil.example.org" }),
		"another user":        with(func(k *softKey) { k.handle = strings.Repeat("x", 32) }),
		"another key":         with(func(k *softKey) { k.key = strange.key }),
		"a key nobody added":  func(challenge string) string { return strange.answer(t, challenge) },
		"a count that is old": with(func(k *softKey) { k.count = 1 }),
		"a changed answer": func(challenge string) string {
			a := mine.answer(t, challenge)
			i := strings.Index(a, `"authenticatorData":"`) + 30
			return a[:i] + map[bool]string{true: "B", false: "A"}[a[i] == 'A'] + a[i+1:]
		},
		"no answer": func(string) string { return "{}" },
	} {
		r := comesIn(mine, spoil)
		if r.status != http.StatusForbidden || strings.Contains(r.header.Get("Set-Cookie"), "fairday=") {
			t.Errorf("%s: %d %s", name, r.status, r.body)
		}
	}
	if r := s.adds(producer, mine, s.shoot); r.status != http.StatusForbidden {
		t.Errorf("added twice: %d %s", r.status, r.body)
	}
	if r := honest(mine); r.status != 200 {
		t.Fatalf("after all that its own person is refused: %d %s", r.status, r.body)
	}

	owner := s.owning("Ada Example")
	above := newSoftKey(t)
	if r := s.adds(owner, above, "house"); r.status != http.StatusNoContent {
		t.Fatalf("an owner adding one: %d %s", r.status, r.body)
	}
	if r := honest(above); r.status != 200 || !strings.Contains(r.body, `"to":"/shoots"`) {
		t.Fatalf("an owner coming in: %d %s", r.status, r.body)
	}
	owners, err := s.stored.Owners()
	if err != nil {
		t.Fatal(err)
	}
	for id := range owners {
		if err := s.stored.ChangeOwner(id, func(o *house.Owner) error { o.Epoch++; return nil }); err != nil {
			t.Fatal(err)
		}
	}
	if r := honest(above); r.status != http.StatusUnauthorized {
		t.Errorf("an owner whose access has changed: %d %s", r.status, r.body)
	}
	p := s.phone(producer)
	p.accepted(p.edit("person.set", `{"id":%q,"name":"Second","role":"producer","base":0}`, s.uuid()))
	var second shoot.PersonID
	for id, who := range s.state(s.shoot).Floor.People {
		if who.Name == "Second" {
			second = id
		}
	}
	q := s.phone(s.joined(second))
	q.accepted(q.edit("person.access", `{"person":%q,"revoked":true}`, pia))
	if r := honest(mine); r.status != http.StatusForbidden || !strings.Contains(r.body, "access_withdrawn") {
		t.Errorf("withdrawn: %d %s", r.status, r.body)
	}
	q.accepted(q.edit("person.access", `{"person":%q,"revoked":false}`, pia))
	if r := honest(mine); r.status == 200 {
		t.Errorf("giving access back revived the passkey: %s", r.body)
	}
}

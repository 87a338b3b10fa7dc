package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"net/http"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"fairday/domain/shoot"
	"fairday/server/live"
	"fairday/server/web"
	"fairday/sync/desk"
	"fairday/sync/wire"
)

// SPEC V9: an edit of one phone is shown on the others, with its verdict only where it
// came from.
func TestEditReachesOthers(t *testing.T) {
	s := newSite(t)
	a, b := s.phone(s.joined(ari)), s.phone(s.joined(cleo))
	e := a.edit("setup.set", `{"id":%q,"name":"North window","minutes":20,"base":0}`, s.uuid())
	a.accepted(e)
	b.sees("North window")
	if strings.Contains(b.down.String(), string(e.ID)) {
		t.Error("the verdict went to another phone")
	}
	late := s.phone(s.joined(cleo))
	if !strings.Contains(late.down.String(), "North window") {
		t.Error("the snapshot lacks it")
	}
}

// SPEC A5: a phone that comes back with its cursor is sent what it missed and no
// snapshot.
func TestResume(t *testing.T) {
	s := newSite(t)
	c := s.joined(cleo)
	a, b := s.phone(s.joined(ari)), s.phone(c)
	if err := b.ws.Close(); err != nil {
		t.Fatal(err)
	}
	a.accepted(a.edit("setup.set", `{"id":%q,"name":"Missed","minutes":20,"base":0}`, s.uuid()))
	s.reopen()
	again := s.silent(c)
	again.device, again.cursor = b.device, b.cursor
	again.hello()
	if text := again.down.String(); !strings.Contains(text, "Missed") || strings.Contains(text, `"snapshot"`) {
		t.Errorf("it was sent %s", text)
	}
}

// SPEC W6, W7: what a phone must not say, the code it hears, and that another phone of the
// same shoot is not disturbed.
func TestBadMessages(t *testing.T) {
	s := newSite(t)
	bystander := s.phone(s.joined(cleo))
	author := s.phone(s.joined(ari))
	greet := func(p *phone) { p.hello() }
	text := func(text string) func(*phone) {
		return func(p *phone) { p.write(websocket.TextMessage, []byte(text)) }
	}
	edits := func(change func(*wire.Edits)) func(*phone) {
		return func(p *phone) {
			p.hello()
			m := wire.Edits{Edits: []wire.Edit{p.setup()}}
			change(&m)
			p.say(m)
		}
	}
	for name, c := range map[string]struct {
		code wire.Code
		do   []func(*phone)
	}{
		"no JSON":             {wire.CodeMalformed, []func(*phone){text("hello")}},
		"empty":               {wire.CodeMalformed, []func(*phone){text("")}},
		"no JSON, later":      {wire.CodeMalformed, []func(*phone){greet, text("hello")}},
		"cut short":           {wire.CodeMalformed, []func(*phone){greet, text(`{"type":"edits","edits":[`)}},
		"unknown field":       {wire.CodeMalformed, []func(*phone){greet, text(`{"type":"ping","n":1,"at":1,"x":1}`)}},
		"two in one":          {wire.CodeMalformed, []func(*phone){greet, text(`{"type":"ping","n":1,"at":1}{}`)}},
		"binary":              {wire.CodeMalformed, []func(*phone){greet, func(p *phone) { p.write(websocket.BinaryMessage, []byte(`{"type":"ping","n":1,"at":1}`)) }}},
		"unknown type":        {wire.CodeUnknownType, []func(*phone){greet, text(`{"type":"hallo"}`)}},
		"a server's message":  {wire.CodeUnknownType, []func(*phone){greet, text(`{"type":"welcome"}`)}},
		"too large":           {wire.CodeTooLarge, []func(*phone){greet, text(strings.Repeat(" ", wire.MaxUp+1))}},
		"much too large":      {wire.CodeTooLarge, []func(*phone){greet, text(strings.Repeat("x", 4<<20))}},
		"too large arguments": {wire.CodeTooLarge, []func(*phone){edits(func(m *wire.Edits) { m.Edits[0].Args = []byte(`"` + strings.Repeat("x", 16<<10) + `"`) })}},
		"unknown protocol":    {wire.CodeProtocol, []func(*phone){text(`{"type":"hello","protocol":99,"app":"","device":"` + s.uuid() + `","cursor":"","generation":"","sent":0}`)}},
		"no protocol":         {wire.CodeMalformed, []func(*phone){text(`{"type":"hello","protocol":0,"app":"","device":"` + s.uuid() + `","cursor":"","generation":"","sent":0}`)}},
		"ping before hello":   {wire.CodeOrder, []func(*phone){text(`{"type":"ping","n":1,"at":1}`)}},
		"edits before hello":  {wire.CodeOrder, []func(*phone){func(p *phone) { p.say(wire.Edits{Edits: []wire.Edit{p.setup()}}) }}},
		"hello twice":         {wire.CodeOrder, []func(*phone){greet, func(p *phone) { p.say(wire.Hello{Protocol: 1, Device: p.device}) }}},
		"edits backwards": {wire.CodeMalformed, []func(*phone){edits(func(m *wire.Edits) {
			m.Edits = []wire.Edit{{ID: m.Edits[0].ID, Seq: 2, Args: []byte("{}")}, {ID: m.Edits[0].ID, Seq: 1, Args: []byte("{}")}}
		})}},
		"257 edits": {wire.CodeTooMany, []func(*phone){edits(func(m *wire.Edits) {
			for i := range wire.MaxEdits {
				m.Edits = append(m.Edits, wire.Edit{ID: m.Edits[0].ID, Seq: uint64(i + 2), Args: []byte("0")})
			}
		})}},
		"forgot its numbers": {wire.CodeDevice, []func(*phone){func(p *phone) {
			first := s.phone(s.joined(ari))
			first.accepted(first.setup())
			p.device = first.device
			p.say(wire.Hello{Protocol: 1, Device: p.device, Sent: 0})
		}}},
	} {
		t.Run(name, func(t *testing.T) {
			p := s.silent(s.joined(ari))
			for _, do := range c.do {
				do(p)
			}
			if b := p.bye(); b.Code != c.code || b.Say == "" {
				t.Errorf("it hears %+v, want %s", b, c.code)
			}
			name := "after " + name
			author.accepted(author.edit("setup.set", `{"id":%q,"name":%q,"minutes":20,"base":0}`, s.uuid(), name))
			bystander.sees(name)
		})
	}
}

// Edits that end with a refusal: the socket stays, the code is the verdict's.
func TestRefusedEdits(t *testing.T) {
	s := newSite(t)
	crew := s.phone(s.joined(cleo))
	for name, c := range map[string]struct {
		intent, args string
		code         shoot.Code
	}{
		"wrong role":       {"setup.set", `{"id":"` + s.uuid() + `","name":"x","minutes":1,"base":0}`, shoot.CodeNotAllowed},
		"money":            {"currency.set", `{"currency":"EUR"}`, shoot.CodeNotAllowed},
		"unknown argument": {"punch", `{"day":"` + string(day1) + `","people":["` + string(cleo) + `"],"kind":"in","who":1}`, shoot.CodeBadArgs},
		"no object":        {"punch", `7`, shoot.CodeBadArgs},
		"another person":   {"punch", `{"day":"` + string(day1) + `","people":["` + string(ari) + `"],"kind":"in"}`, shoot.CodeNotAllowed},
	} {
		e := crew.edit(c.intent, "%s", c.args)
		if v := crew.send(e)[e.ID]; v.Result != wire.Refused || v.Refusal == nil || v.Refusal.Code != c.code {
			t.Errorf("%s: %+v %+v, want %s", name, v, v.Refusal, c.code)
		}
	}
	crew.accepted(crew.edit("punch", `{"day":%q,"people":[%q],"kind":"in"}`, day1, cleo))
}

// SPEC I9: an edit that only a newer server could know waits on its phone.
func TestEditOfANewerPage(t *testing.T) {
	s := newSite(t)
	p := s.phone(s.joined(ari))
	newer := p.edit("shot.paint", "{}")
	p.say(wire.Edits{Edits: []wire.Edit{newer}})
	if m, ok := p.next().(wire.Expect); !ok || m.Seq != newer.Seq || m.Why != wire.CodeProtocol {
		t.Fatalf("it is answered with %+v", m)
	}
}

// SPEC I5.
func TestGap(t *testing.T) {
	s := newSite(t)
	p := s.phone(s.joined(ari))
	first, second := p.setup(), p.setup()
	p.say(wire.Edits{Edits: []wire.Edit{second}})
	if m, ok := p.next().(wire.Expect); !ok || m.Seq != first.Seq {
		t.Fatalf("a gap is answered with %+v", m)
	}
	if got := p.send(first, second); got[second.ID].Result != wire.Accepted {
		t.Errorf("then: %+v", got)
	}
}

// SPEC V2: a resend gets the first verdict, on the next connection and after a restart,
// over a socket or by post.
func TestResend(t *testing.T) {
	s := newSite(t)
	c := s.joined(ari)
	p := s.phone(c)
	title := p.edit("setup.set", `{"id":%q,"name":"Once","minutes":20,"base":0}`, s.uuid())
	stale := p.edit("setup.set", `{"id":%q,"name":"Again","minutes":20,"base":7}`, s.uuid())
	want := p.send(title, stale)
	before := s.tally().entries
	same := func(how string, got map[shoot.IntentID]wire.Verdict) {
		t.Helper()
		if !reflect.DeepEqual(got, want) || got[stale.ID].Result != wire.Refused {
			t.Errorf("%s: %+v, want %+v", how, got, want)
		}
	}
	same("at once", p.send(title, stale))
	s.reopen()
	again := s.silent(c)
	again.device, again.seq, again.cursor = p.device, p.seq, p.cursor
	again.hello()
	same("after a restart", again.send(title, stale))
	if after := s.tally().entries; after != before {
		t.Errorf("the log grew from %d to %d entries", before, after)
	}
}

// SPEC A1: what crew are sent holds nothing about money, over a socket or by post.
func TestMoneyStaysAway(t *testing.T) {
	s := newSite(t)
	producer, crew := s.phone(s.joined(pia)), s.phone(s.joined(cleo))
	producer.accepted(producer.edit("overtime.approve", `{"id":%q,"day":%q,"until":%d,"amount":{"minor":%d,"currency":"GBP"},"note":"granted quietly"}`, s.uuid(), day1, s.now()+3_600_000, secret))
	producer.accepted(producer.edit("setup.set", `{"id":%q,"name":"Afterwards","minutes":20,"base":0}`, s.uuid()))
	crew.sees("Afterwards")
	again := s.phone(s.joined(cleo))
	amount := fmt.Sprint(secret)
	if !strings.Contains(producer.down.String(), amount) {
		t.Error("the producer does not see it, so the search is worth nothing")
	}
	for _, text := range []string{crew.down.String(), again.down.String()} {
		if strings.Contains(text, amount) || strings.Contains(text, "quietly") || strings.Contains(text, `"money"`) {
			t.Errorf("crew were sent %s", text)
		}
	}
}

// SPEC E1, E4: a change of role ends the person's sockets and sessions and nobody else's;
// whoever joins again sees what the new role sees.
func TestRoleChanges(t *testing.T) {
	s := newSite(t)
	c := s.joined(cleo)
	producer, crew, other := s.phone(s.joined(pia)), s.phone(c), s.phone(s.joined(ari))
	producer.accepted(producer.edit("person.set", `{"id":%q,"name":"Cleo","role":"producer","department":"","job":"","phone":"","base":1}`, cleo))
	if b := crew.bye(); b.Code != wire.CodeEpoch {
		t.Errorf("it hears %s", b.Code)
	}
	if b := s.silentHello(c).bye(); b.Code != wire.CodeSignedOut {
		t.Errorf("with the session from before the new role hears %s", b.Code)
	}
	c = s.browser()
	if r := s.ask(c, "POST", s.linkFrom(s.joined(pia), cleo), ""); r.status != 303 {
		t.Fatal(r)
	}
	crew = s.phone(c)
	if !strings.Contains(crew.down.String(), `"GBP"`) {
		t.Error("the new role does not see the money")
	}
	other.say(wire.Ping{N: 9})
	for {
		if m, ok := other.next().(wire.Pong); ok && m.N == 9 {
			break
		}
	}
	producer.accepted(producer.edit("person.access", `{"person":%q,"revoked":true}`, cleo))
	if b := crew.bye(); b.Code != wire.CodeRevoked {
		t.Errorf("it hears %s", b.Code)
	}
}

// Who may open a socket at all.
func TestSocketRefused(t *testing.T) {
	s := newSite(t)
	for name, c := range map[string]struct {
		who     *http.Client
		headers []string
		status  int
	}{
		"nobody":           {s.browser(), nil, 401},
		"another site":     {s.joined(cleo), []string{"Origin: https://example.com"}, 403},
		"no origin at all": {s.browser(), []string{"Origin: null"}, 403},
	} {
		_, resp, err := s.dial(c.who, c.headers...)
		if err == nil || resp == nil || resp.StatusCode != c.status {
			t.Errorf("%s: %v, %v", name, resp, err)
		}
	}
	c := s.joined(cleo)
	s.clock.Add(int64(web.SessionLife/time.Millisecond) + 1)
	p := s.silentHello(c)
	if b := p.bye(); b.Code != wire.CodeSignedOut || strings.Contains(p.down.String(), "welcome") {
		t.Errorf("an ended session hears %s", p.down.String())
	}
}

// limited is a site with tight limits.
func limited(t *testing.T, change func(*live.Limits)) *site {
	s := newSite(t)
	change(&s.app.Sockets.Limits)
	return s
}

// Who does not say hello in time is let go.
func TestSilenceEnds(t *testing.T) {
	s := limited(t, func(l *live.Limits) { l.Hello = 50 * time.Millisecond })
	p := s.silent(s.joined(cleo))
	if err := p.ws.SetReadDeadline(time.Now().Add(20 * time.Second)); err != nil {
		t.Fatal(err)
	}
	for {
		_, _, err := p.ws.ReadMessage()
		if n := net.Error(nil); errors.As(err, &n) && n.Timeout() {
			t.Error("the server keeps a socket without hello")
		}
		if err != nil {
			break
		}
	}
}

func TestTooMany(t *testing.T) {
	s := limited(t, func(l *live.Limits) { l.Sockets, l.Edits, l.EditsPerSecond = 2, 3, 0 })
	c := s.joined(ari)
	p := s.phone(c)
	s.phone(c)
	if b := s.silentHello(c).bye(); b.Code != wire.CodeCrowded || b.RetryAfter == 0 {
		t.Errorf("a third socket hears %+v", b)
	}
	s.phone(s.joined(ari)) // another session of the same person is not concerned
	p.send(p.setup(), p.setup(), p.setup())
	p.say(wire.Edits{Edits: []wire.Edit{p.setup()}})
	if b := p.bye(); b.Code != wire.CodeTooMany {
		t.Errorf("a fourth edit hears %s", b.Code)
	}
}

// What one phone may add is counted in edits and in bytes, at once and within a day;
// it is told which, by socket and by post, and another phone notices nothing.
func TestQuota(t *testing.T) {
	for name, row := range map[string]struct {
		limit func(*live.Limits)
		code  wire.Code
	}{
		"edits at once": {func(l *live.Limits) { l.Edits, l.EditsPerSecond = 3, 0 }, wire.CodeTooMany},
		"bytes at once": {func(l *live.Limits) { l.Bytes = 2000 }, wire.CodeTooMany},
		"edits a day":   {func(l *live.Limits) { l.DayEdits = 3 }, wire.CodeQuota},
		"bytes a day":   {func(l *live.Limits) { l.DayBytes = 2000 }, wire.CodeQuota},
	} {
		t.Run(name, func(t *testing.T) {
			s := limited(t, row.limit)
			c := s.joined(ari)
			p := s.phone(c)
			p.send(p.setup(), p.setup(), p.setup())
			var more []wire.Edit
			for range 16 { // of some 250 bytes each
				more = append(more, p.setup())
			}
			p.say(wire.Edits{Edits: more})
			b := p.bye()
			if b.Code != row.code || b.RetryAfter == 0 || !strings.Contains(b.Say, "by itself") {
				t.Errorf("it hears %+v", b)
			}
			texts := []string{}
			for _, e := range more {
				text, err := json.Marshal(e)
				if err != nil {
					t.Fatal(err)
				}
				texts = append(texts, string(text))
			}
			body := fmt.Sprintf(`{"hello":{"protocol":%d,"app":"","device":%q,"cursor":"","generation":"","sent":0},"edits":[%s]}`, wire.Protocol, p.device, strings.Join(texts, ","))
			if r := s.ask(c, "POST", "/sync", body); r.status != http.StatusTooManyRequests || r.header.Get("Retry-After") == "" || !strings.Contains(r.body, string(row.code)) {
				t.Errorf("by post it hears %d %.300s", r.status, r.body)
			}
			q := s.phone(s.joined(pia))
			q.send(q.setup())
		})
	}
}

// SPEC S6: a phone that does not read is let go with a farewell; what it was sent before
// is whole, and the phone that wrote all that is not held up. It resumes with nothing
// lost.
func TestSlowPhone(t *testing.T) {
	s := limited(t, func(l *live.Limits) { l.QueueTexts, l.Write = 8, time.Minute })
	crew := s.joined(cleo)
	slow := s.phone(crew)
	busy := s.phone(s.joined(ari))
	setup := s.uuid()
	busy.accepted(busy.edit("setup.set", `{"id":%q,"name":"Window","minutes":20,"base":0}`, setup))
	shot := s.uuid()
	const last = 1600
	for base := 0; base < last; { // far more than the kernel keeps for the two
		var edits []wire.Edit
		for range 40 {
			edits = append(edits, busy.edit("shot.set", `{"id":%q,"day":%q,"number":"1","title":"Kettle","setup":%q,"minutes":20,"priority":"must","crop":"",
				"heroes":[],"talent":[],"fallback":"","notes":%q,"base":%d}`, shot, day1, setup, fmt.Sprintf("note %d.", base)+strings.Repeat("😀", 990), base))
			base++
		}
		for id, v := range busy.send(edits...) {
			if v.Result != wire.Accepted {
				t.Fatalf("%s: %+v", id, v.Refusal)
			}
		}
	}
	if b := slow.bye(); b.Code != wire.CodeSlow {
		t.Errorf("it hears %s", b.Code)
	}
	if slow.cursor == "" || slow.frames < 2 {
		t.Errorf("before that it got %d frames", slow.frames)
	}
	again := s.silent(crew)
	again.device, again.cursor = slow.device, slow.cursor
	again.hello()
	heard := slow.down.String() + again.down.String()
	for n := range last {
		whole := strings.Contains(again.down.String(), `"snapshot"`) && n < last-1 // the latest is all that it holds
		if !whole && !strings.Contains(heard, fmt.Sprintf("note %d.", n)) {
			t.Errorf("note %d is lost", n)
		}
	}
}

// SPEC V10: a failed write is no verdict: nothing of it shows, the phone is asked to come
// again, and then everything arrives once.
func TestStoreFails(t *testing.T) {
	s := newSite(t)
	var mu sync.Mutex
	failing := false
	make := s.app.Shoots.Make
	s.app.Shoots.Make = func(id string) *live.Runner {
		r := make(id)
		write := r.Append
		r.Append = func(b []desk.Entry, cp *desk.Checkpoint) error {
			mu.Lock()
			defer mu.Unlock()
			if failing {
				return errors.New("the disk is full")
			}
			return write(b, cp)
		}
		return r
	}
	c := s.joined(ari)
	p, other := s.phone(c), s.phone(s.joined(cleo))
	e := p.edit("setup.set", `{"id":%q,"name":"Waiting","minutes":20,"base":0}`, s.uuid())
	mu.Lock()
	failing = true
	mu.Unlock()
	p.say(wire.Edits{Edits: []wire.Edit{e}})
	for _, each := range []*phone{p, other} {
		if b := each.bye(); b.Code != wire.CodeUnavailable || b.RetryAfter == 0 {
			t.Errorf("it hears %+v", b)
		}
		if text := each.down.String(); strings.Contains(text, "Waiting") || strings.Contains(text, "accepted") {
			t.Errorf("it was told %s", text)
		}
	}
	mu.Lock()
	failing = false
	mu.Unlock()
	again := s.silent(c)
	again.device, again.cursor = p.device, p.cursor
	again.hello()
	again.accepted(e)
}

// A shoot that cannot be opened any more takes nobody down with it.
func TestPanicInRunner(t *testing.T) {
	s := newSite(t)
	c := s.joined(ari)
	p := s.phone(c)
	r, err := s.app.Shoots.Get(s.shoot)
	if err != nil {
		t.Fatal(err)
	}
	if err := r.Enqueue(func() { panic("a bug") }); err != nil {
		t.Fatal(err)
	}
	if b := p.bye(); b.Code != wire.CodeUnavailable {
		t.Errorf("it hears %s", b.Code)
	}
	again := s.phone(c)
	again.accepted(again.setup())
}

// Whoever stops the server says so, after what was accepted.
func TestStopSaysBye(t *testing.T) {
	s := newSite(t)
	p := s.phone(s.joined(ari))
	e := p.setup()
	p.accepted(e)
	stopped := make(chan bool)
	go func() { s.app.Stop(); close(stopped) }()
	if b := p.bye(); b.Code != wire.CodeShutdown || b.RetryAfter == 0 {
		t.Errorf("it hears %+v", b)
	}
	<-stopped
	if r := s.ask(s.browser(), "POST", s.link(cleo, false), ""); r.status != 503 || !strings.Contains(r.body, "stopping") {
		t.Errorf("joining now gives %d", r.status)
	}
}

// SPEC W9: sync by post is the same log: what is accepted there shows on sockets, once;
// and a pong after everything has the hash of the floor.
func TestPost(t *testing.T) {
	s := newSite(t)
	watcher := s.phone(s.joined(cleo))
	c := s.joined(ari)
	device := s.uuid()
	id := s.uuid()
	visit := func(protocol int) string {
		return s.ask(c, "POST", "/sync", fmt.Sprintf(`{"hello":{"protocol":%d,"app":"","device":%q,"cursor":"","generation":"","sent":1},
			"edits":[{"id":%q,"seq":1,"name":"setup.set","version":1,"args":{"id":%q,"name":"By post","minutes":1,"base":0},"happened":0,"offset":0}]}`,
			protocol, device, id, "0191d3f0-0000-7000-9000-0000000000ff")).body
	}
	for protocol := 1; protocol <= wire.Protocol; protocol++ {
		body := visit(protocol)
		if strings.Count(body, `"verdicts":[{"id":"`+id+`","seq":1,"result":"accepted"}]`) != 1 {
			t.Errorf("the answer is %s", body)
		}
		pong := strings.Index(body, `{"type":"pong","n":0`)
		if (pong > 0) != (protocol >= wire.Hashed) || pong > 0 && (strings.Count(body[pong:], `"type"`) != 1 || !strings.Contains(body[pong:], `,"last":2,"hash":"`)) {
			t.Errorf("the answer in protocol %d ends with %s", protocol, body[max(pong, 0):])
		}
	}
	watcher.sees("By post")
	if got := s.tally().entries; got != len(s.plan())+1 {
		t.Errorf("the log has %d entries", got)
	}
}

// Many phones at once: every edit has one receipt and is in the log once, and
// all phones are sent all of it.
func TestCrowd(t *testing.T) {
	s := newSite(t)
	const phones, each = 8, 30
	crowd := make([]*phone, phones)
	for i := range crowd {
		crowd[i] = s.phone(s.joined(ari))
	}
	before := s.tally().entries
	var wg sync.WaitGroup
	for _, p := range crowd {
		wg.Go(func() {
			var edits []wire.Edit
			for range each {
				edits = append(edits, p.setup())
			}
			for _, e := range edits {
				p.say(wire.Edits{Edits: []wire.Edit{e}})
			}
			for id, v := range p.verdicts(edits...) {
				if v.Result != wire.Accepted {
					t.Errorf("%s: %+v", id, v)
				}
			}
		})
	}
	wg.Wait()
	if got := s.tally().entries - before; got != phones*each {
		t.Errorf("%d entries for %d edits", got, phones*each)
	}
	s.reopen()
	p := s.phone(s.joined(ari))
	if got := strings.Count(p.down.String(), `"Window"`); got != phones*each {
		t.Errorf("%d set-ups after a restart, want %d", got, phones*each)
	}
}

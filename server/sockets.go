package main

import (
	"cmp"
	"net/http"
	"sync"
	"time"

	"github.com/gorilla/websocket"
	"github.com/labstack/echo/v4"
	"golang.org/x/time/rate"

	"fairday/server/store"
	"fairday/sync/desk"
	"fairday/sync/wire"
)

// guest is a session that is or was connected since the server started.
type guest struct {
	edits, texts *rate.Limiter
	sockets      map[*socket]bool
}

// allow counts one message with some edits.
func (g *guest) allow(now time.Time, edits int) bool {
	return g.texts.AllowN(now, 1) && g.edits.AllowN(now, edits)
}

// sockets are all open ones, by session and by address.
type sockets struct {
	limits limits

	mu     sync.Mutex
	last   desk.ConnID
	guests map[store.Hash]*guest
	all    map[*socket]bool
	from   map[string]int // open sockets of an address, those that only hear a farewell included
	ended  bool
	gone   sync.WaitGroup
}

func newSockets(l limits) *sockets {
	return &sockets{limits: l, guests: map[store.Hash]*guest{}, all: map[*socket]bool{}, from: map[string]int{}}
}

// open is how many sockets there are.
func (s *sockets) open() float64 {
	s.mu.Lock()
	defer s.mu.Unlock()
	return float64(len(s.all))
}

// number makes the id of a connection.
func (s *sockets) number() desk.ConnID {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.last++
	return s.last
}

// guest finds a session's limits.
func (s *sockets) guest(h store.Hash) *guest {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.locked(h)
}

func (s *sockets) locked(h store.Hash) *guest {
	g, ok := s.guests[h]
	if !ok {
		l := s.limits
		if len(s.guests) >= l.guests {
			s.forget(time.Now())
		}
		g = &guest{rate.NewLimiter(l.editsPerSecond, l.edits), rate.NewLimiter(l.textsPerSecond, l.texts), map[*socket]bool{}}
		s.guests[h] = g
	}
	return g
}

// forget drops the counts of who is not connected and has nothing on them.
func (s *sockets) forget(now time.Time) {
	for h, g := range s.guests {
		if len(g.sockets) == 0 && g.edits.TokensAt(now) >= float64(s.limits.edits) && g.texts.TokensAt(now) >= float64(s.limits.texts) {
			delete(s.guests, h)
		}
	}
}

// enter counts a socket of an address before it opens; each ends with a leave. Full
// says that there is only room for a farewell. The error is a problem, crowded
// where there is not even that.
func (s *sockets) enter(address string) (full bool, err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	n := s.from[address]
	if n >= s.limits.fromAddress+s.limits.farewells {
		p := fail(codeCrowded, nil)
		p.wait = time.Duration(wire.ByeOf(wire.CodeCrowded).RetryAfter) * time.Millisecond
		return true, p
	}
	s.from[address]++
	return n >= s.limits.fromAddress, nil
}

func (s *sockets) leave(address string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.from[address]--; s.from[address] == 0 {
		delete(s.from, address)
	}
}

// add takes a socket in, or says why not.
func (s *sockets) add(h store.Hash, k *socket) wire.Code {
	s.mu.Lock()
	defer s.mu.Unlock()
	k.guest = s.locked(h)
	switch {
	case s.ended:
		return wire.CodeShutdown
	case len(k.guest.sockets) >= s.limits.sockets, len(s.all) >= s.limits.allSockets:
		return wire.CodeCrowded
	}
	k.guest.sockets[k], s.all[k] = true, true
	s.gone.Add(1)
	return ""
}

func (s *sockets) remove(k *socket) {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(k.guest.sockets, k)
	delete(s.all, k)
	s.gone.Done()
}

// signOut says bye to the sockets of a session that has ended.
func (s *sockets) signOut(h store.Hash) {
	s.mu.Lock()
	var all []*socket
	if g, ok := s.guests[h]; ok {
		for k := range g.sockets {
			all = append(all, k)
		}
		delete(s.guests, h)
	}
	s.mu.Unlock()
	for _, k := range all {
		if err := k.runner.bye(k.id, wire.CodeSignedOut); err != nil {
			k.log.Debug("signed out of a shoot that has stopped", "conn", k.id)
		}
	}
}

// stop waits until the farewells are out, then drops who is still there.
func (s *sockets) stop(patience time.Duration) {
	s.mu.Lock()
	s.ended = true
	s.mu.Unlock()
	all := make(chan struct{})
	go func() { s.gone.Wait(); close(all) }()
	select {
	case <-all:
		return
	case <-time.After(patience):
	}
	s.mu.Lock()
	for k := range s.all {
		k.hangUp()
	}
	s.mu.Unlock()
	<-all
}

// upgrader has small buffers: most sockets are idle most of the time.
func upgrader() *websocket.Upgrader {
	return &websocket.Upgrader{
		HandshakeTimeout: 10 * time.Second,
		ReadBufferSize:   1024, WriteBufferSize: 4096, WriteBufferPool: &sync.Pool{},
		CheckOrigin: func(*http.Request) bool { return true }, // sameSite has done it
	}
}

// socket opens a websocket for a session. Nothing is read from it before it is
// known whose it is; whoever has come for nothing is told so in a farewell, as
// pages cannot see the status of a socket that does not open.
func (a *app) socket(c echo.Context) error {
	if !websocket.IsWebSocketUpgrade(c.Request()) {
		return fail(codeMalformed, nil)
	}
	who, err := a.caller(c)
	refusal := wire.Code("")
	if err != nil {
		if p := problemOf(err); p.Code != codeNoSession || !hasCookie(c.Request()) {
			return err
		}
		refusal = wire.CodeSignedOut
	}
	from := addressOf(c.Request())
	full, err := a.sockets.enter(from)
	if err != nil {
		return err
	}
	if full {
		refusal = cmp.Or(refusal, wire.CodeCrowded)
	}
	ws, err := a.upgrader.Upgrade(c.Response(), c.Request(), http.Header{"Set-Cookie": c.Response().Header()["Set-Cookie"]})
	if err != nil {
		a.sockets.leave(from)
		c.Response().Committed = true // gorilla has answered
		return fail(codeMalformed, err)
	}
	c.Response().Status = http.StatusSwitchingProtocols
	k := newSocket(ws, a.sockets.number(), a.sockets.limits, a.Log)
	if c.QueryParam("packed") == "1" {
		k.packer = a.packer
	}
	k.log.Debug("a socket opened", "conn", k.id, "packed", k.packer != nil)
	if refusal == "" {
		refusal = a.sockets.add(who.session, k)
	}
	if refusal != "" {
		k.hear(byeText(refusal), true)
		go k.write()
		go func() {
			defer a.sockets.leave(from)
			k.read()
		}()
		return nil
	}
	k.runner = who.runner
	if err := k.runner.attach(k.id, who.person, k); err != nil {
		k.hear(byeText(wire.CodeShutdown), true)
	}
	go k.write()
	go func() {
		defer a.sockets.leave(from)
		defer a.sockets.remove(k)
		k.read()
	}()
	return nil
}

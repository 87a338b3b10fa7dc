package live

import (
	"cmp"
	"errors"
	"log/slog"
	"net/http"
	"sync"
	"time"

	"github.com/gorilla/websocket"
	"golang.org/x/time/rate"

	"fairday/server/access"
	"fairday/sync/desk"
	"fairday/sync/wire"
)

// quota is what a session has left that is or was connected since the server
// started.
type quota struct {
	texts, edits, bytes *rate.Limiter
	dayEdits, dayBytes  *rate.Limiter
	sockets             map[*socket]bool
}

func newQuota(l Limits) *quota {
	day := func(most int) *rate.Limiter { return rate.NewLimiter(rate.Limit(most)/(24*60*60), most) }
	return &quota{rate.NewLimiter(l.textsPerSecond, l.Texts), rate.NewLimiter(l.EditsPerSecond, l.Edits), rate.NewLimiter(l.bytesPerSecond, l.Bytes),
		day(l.DayEdits), day(l.DayBytes), map[*socket]bool{}}
}

// Allow counts one message with some edits, of so many bytes, and gives the code
// of what it is too much for, "" for nothing.
func (g *quota) Allow(now time.Time, edits, bytes int) wire.Code {
	if edits == 0 {
		bytes = 0
	}
	switch {
	case !g.texts.AllowN(now, 1), !g.edits.AllowN(now, edits), !g.bytes.AllowN(now, bytes):
		return wire.CodeTooMany
	case !g.dayEdits.AllowN(now, edits), !g.dayBytes.AllowN(now, bytes):
		return wire.CodeQuota
	}
	return ""
}

// untouched tells whether nothing is on any count.
func (g *quota) untouched(now time.Time) bool {
	for _, l := range []*rate.Limiter{g.texts, g.edits, g.bytes, g.dayEdits, g.dayBytes} {
		if l.TokensAt(now) < float64(l.Burst()) {
			return false
		}
	}
	return len(g.sockets) == 0
}

// Sockets are all open ones, by session and by address.
type Sockets struct {
	Limits   Limits
	upgrader *websocket.Upgrader
	packer   *packer
	log      *slog.Logger

	// Gone is told of a session's socket that closed; nil where nobody asks.
	Gone func(access.Hash)

	mu     sync.Mutex
	last   desk.ConnID
	quotas map[access.Hash]*quota
	all    map[*socket]bool
	from   map[string]int // open sockets of an address, those that only hear a farewell included
	ended  bool
	gone   sync.WaitGroup
}

// NewSockets prepares for sockets with such limits.
func NewSockets(l Limits, log *slog.Logger) *Sockets {
	return &Sockets{Limits: l, upgrader: Upgrader(), packer: newPacker(), log: log,
		quotas: map[access.Hash]*quota{}, all: map[*socket]bool{}, from: map[string]int{}}
}

// Open is how many sockets there are.
func (s *Sockets) Open() float64 {
	s.mu.Lock()
	defer s.mu.Unlock()
	return float64(len(s.all))
}

// At is how many sockets are counted at an address, those that only hear a
// farewell included.
func (s *Sockets) At(address string) int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.from[address]
}

// Connected tells whether a session has an open socket.
func (s *Sockets) Connected(h access.Hash) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	q, ok := s.quotas[h]
	return ok && len(q.sockets) > 0
}

// Addresses is how many addresses have sockets.
func (s *Sockets) Addresses() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return len(s.from)
}

// Number makes the id of a connection.
func (s *Sockets) Number() desk.ConnID {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.last++
	return s.last
}

// Quota finds what a session has left.
func (s *Sockets) Quota(h access.Hash) *quota {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.locked(h)
}

func (s *Sockets) locked(h access.Hash) *quota {
	g, ok := s.quotas[h]
	if !ok {
		l := s.Limits
		if len(s.quotas) >= l.Remembered {
			s.forget(time.Now())
		}
		g = newQuota(l)
		s.quotas[h] = g
	}
	return g
}

// forget drops the counts of who is not connected and has nothing on them.
func (s *Sockets) forget(now time.Time) {
	for h, g := range s.quotas {
		if g.untouched(now) {
			delete(s.quotas, h)
		}
	}
}

// enter counts a socket of an address before it opens; each ends with a leave. Full
// says that there is only room for a farewell. The error is a
// *crowdedError where there is not even that.
func (s *Sockets) enter(address string) (full bool, err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	n := s.from[address]
	if n >= s.Limits.FromAddress+s.Limits.Farewells {
		return true, &CrowdedError{time.Duration(wire.ByeOf(wire.CodeCrowded).RetryAfter) * time.Millisecond}
	}
	s.from[address]++
	return n >= s.Limits.FromAddress, nil
}

func (s *Sockets) leave(address string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.from[address]--; s.from[address] == 0 {
		delete(s.from, address)
	}
}

// add takes a socket in, or says why not.
func (s *Sockets) add(h access.Hash, k *socket) wire.Code {
	s.mu.Lock()
	defer s.mu.Unlock()
	k.quota = s.locked(h)
	switch {
	case s.ended:
		return wire.CodeShutdown
	case len(k.quota.sockets) >= s.Limits.Sockets, len(s.all) >= s.Limits.AllSockets:
		return wire.CodeCrowded
	}
	k.quota.sockets[k], s.all[k] = true, true
	s.gone.Add(1)
	return ""
}

func (s *Sockets) remove(k *socket) {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(k.quota.sockets, k)
	delete(s.all, k)
	s.gone.Done()
}

// SignOut says bye to the sockets of a session that has ended.
func (s *Sockets) SignOut(h access.Hash) {
	s.mu.Lock()
	var all []*socket
	if g, ok := s.quotas[h]; ok {
		for k := range g.sockets {
			all = append(all, k)
		}
		delete(s.quotas, h)
	}
	s.mu.Unlock()
	for _, k := range all {
		if err := k.runner.bye(k.id, wire.CodeSignedOut); err != nil {
			k.log.Debug("signed out of a shoot that has stopped", "conn", k.id)
		}
	}
}

// Stop waits until the farewells are out, then drops who is still there.
func (s *Sockets) Stop(patience time.Duration) {
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

// Upgrader has small buffers: most sockets are idle most of the time.
func Upgrader() *websocket.Upgrader {
	return &websocket.Upgrader{
		HandshakeTimeout: 10 * time.Second,
		ReadBufferSize:   1024, WriteBufferSize: 4096, WriteBufferPool: &sync.Pool{},
		CheckOrigin: func(*http.Request) bool { return true }, // sameSite has done it
	}
}

// Arrival is a request for a socket, with whose it is.
type Arrival struct {
	Session access.Hash
	Runner  *Runner
	Pass    Pass
	Refusal wire.Code // why there is only a farewell for it, "" where it may stay
	Address string    // that it comes from
	Packed  bool      // it takes packed messages
}

// Upgrade makes a request a socket that lives on by itself. The error is a
// *crowdedError where there is not even room for a farewell, or errHandshake,
// which has been answered.
func (s *Sockets) Upgrade(w http.ResponseWriter, r *http.Request, came Arrival) error {
	full, err := s.enter(came.Address)
	if err != nil {
		return err
	}
	refusal := came.Refusal
	if full {
		refusal = cmp.Or(refusal, wire.CodeCrowded)
	}
	ws, err := s.upgrader.Upgrade(w, r, http.Header{"Set-Cookie": w.Header()["Set-Cookie"]})
	if err != nil {
		s.leave(came.Address)
		return errors.Join(ErrHandshake, err)
	}
	k := newSocket(ws, s.Number(), s.Limits, s.log)
	if came.Packed {
		k.packer = s.packer
	}
	k.log.Debug("a socket opened", "conn", k.id, "packed", k.packer != nil)
	if refusal == "" {
		refusal = s.add(came.Session, k)
	}
	if refusal != "" {
		k.Enqueue(ByeText(refusal), true)
		go k.write()
		go func() {
			defer s.leave(came.Address)
			k.read()
		}()
		return nil
	}
	k.runner = came.Runner
	if err := k.runner.Attach(k.id, came.Pass, k); err != nil {
		k.Enqueue(ByeText(wire.CodeShutdown), true)
	}
	go k.write()
	go func() {
		defer s.leave(came.Address)
		defer func() {
			if s.Gone != nil {
				s.Gone(came.Session)
			}
			s.remove(k)
		}()
		k.read()
	}()
	return nil
}

package live

import (
	"context"
	"io"
	"log/slog"
	"sync"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/desk"
)

// storage is where the shoots are kept: their logs, and the key that seals what
// phones are given. Append is durable when it returns.
type storage interface {
	desk.Log
	Append(shoot string, batch []desk.Entry, cp *desk.Checkpoint) error
	Key() [32]byte
}

// Shoots are the runners of all shoots, started when first asked for.
type Shoots struct {
	store   storage
	now     func() when.Instant
	random  io.Reader
	log     *slog.Logger
	sockets *Sockets
	metrics *Metrics
	Make    func(id string) *Runner

	mu      sync.Mutex
	running map[string]*Runner
	stopped bool
}

// NewShoots prepares the shoots of a storage; none is opened yet.
func NewShoots(store storage, now func() when.Instant, random io.Reader, log *slog.Logger, k *Sockets, m *Metrics) *Shoots {
	s := &Shoots{store: store, now: now, random: random, log: log, sockets: k, metrics: m, running: map[string]*Runner{}}
	s.Make = s.runner
	return s
}

// runner makes the runner of a shoot, not started.
func (s *Shoots) runner(id string) *Runner {
	l := s.sockets.Limits
	return &Runner{
		Shoot: id, now: s.now, log: s.log.With("shoot", id), unloadAfter: l.UnloadAfter, beat: l.Beat, metrics: s.metrics,
		open:   func() (*desk.Desk, error) { return s.Open(id) },
		Append: func(batch []desk.Entry, cp *desk.Checkpoint) error { return s.store.Append(id, batch, cp) },
	}
}

// Open reads a shoot from the store.
func (s *Shoots) Open(id string) (*desk.Desk, error) {
	return desk.Open(desk.Config{Log: s.store, Shoot: id, Key: s.store.Key(), Random: s.random})
}

// Get gives the runner of a shoot.
func (s *Shoots) Get(id string) (*Runner, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if r, ok := s.running[id]; ok {
		return r, nil
	}
	if s.stopped {
		return nil, ErrStopped
	}
	r := s.Make(id)
	r.start()
	s.running[id] = r
	return r, nil
}

// Stop ends all runners, each after what it was told so far.
func (s *Shoots) Stop() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.stopped {
		return
	}
	s.stopped = true
	for _, r := range s.running {
		close(r.quit)
	}
	for _, r := range s.running {
		<-r.done
	}
}

// Member is a person of a shoot as they are now.
type Member struct {
	shoot.Person
	Title string // of the shoot
}

// Member looks a person up; the error is errNoPerson or
// errWithdrawn.
func (r *Runner) Member(ctx context.Context, id shoot.PersonID) (out Member, err error) {
	err = r.Ask(ctx, func(s *shoot.State) error {
		p, ok := s.Floor.People[id]
		out = Member{p, s.Floor.Shoot.Title}
		switch {
		case !ok:
			return ErrNoPerson
		case p.Revoked:
			return ErrWithdrawn
		}
		return nil
	})
	return out, err
}

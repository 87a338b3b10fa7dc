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

// Store is where the shoots are kept: their logs, and the key that seals what
// phones are given.
type Store interface {
	desk.Log
	Key() [32]byte
}

// Shoots are the runners of all shoots, started when first asked for.
type Shoots struct {
	store   Store
	now     func() when.Instant
	random  io.Reader
	log     *slog.Logger
	sockets *Sockets
	metrics *Metrics
	Make    func(id string) *Runner

	mu      sync.Mutex
	running map[string]*Runner
	dropped map[string]bool // deleted; their ids do not come back
	stopped bool
}

// NewShoots prepares the shoots of a store; none is opened yet.
func NewShoots(store Store, now func() when.Instant, random io.Reader, log *slog.Logger, k *Sockets, m *Metrics) *Shoots {
	s := &Shoots{store: store, now: now, random: random, log: log, sockets: k, metrics: m, running: map[string]*Runner{}, dropped: map[string]bool{}}
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
	if s.dropped[id] {
		return nil, ErrDropped
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

// Pass is whose a connection is, and the epoch of theirs that it was let in with.
type Pass struct {
	Person shoot.PersonID
	Epoch  int
}

// AnyEpoch is for what is delivered for a person by somebody else.
const AnyEpoch = -1

// admit finds the person of a pass. The error is ErrNoPerson; ErrWithdrawn while
// their access is withdrawn; or ErrChanged where it was withdrawn or became
// another since the pass was given, and has not just now been withdrawn.
func admit(s *shoot.State, p Pass) (Member, error) {
	who, ok := s.Floor.People[p.Person]
	m := Member{who, s.Floor.Shoot.Title}
	switch {
	case !ok:
		return m, ErrNoPerson
	case who.Revoked && (p.Epoch == AnyEpoch || who.Epoch <= p.Epoch+1):
		return m, ErrWithdrawn
	case p.Epoch != AnyEpoch && who.Epoch != p.Epoch:
		return m, ErrChanged
	}
	return m, nil
}

// Member looks a person up as they are now; the error is ErrNoPerson or
// ErrWithdrawn.
func (r *Runner) Member(ctx context.Context, id shoot.PersonID) (Member, error) {
	return r.Admit(ctx, id, AnyEpoch)
}

// Admit looks up who was let in in an epoch. The error is ErrNoPerson,
// ErrWithdrawn or ErrChanged.
func (r *Runner) Admit(ctx context.Context, id shoot.PersonID, epoch int) (m Member, err error) {
	err = r.Ask(ctx, func(s *shoot.State) (err error) {
		m, err = admit(s, Pass{id, epoch})
		return err
	})
	return m, err
}

package main

import (
	"context"
	"sync"

	"fairday/domain/shoot"
)

// shoots are the runners of all shoots, started when first asked for.
type shoots struct {
	make func(id string) *runner

	mu      sync.Mutex
	running map[string]*runner
	stopped bool
}

// get gives the runner of a shoot.
func (s *shoots) get(id string) (*runner, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if r, ok := s.running[id]; ok {
		return r, nil
	}
	if s.stopped {
		return nil, errStopped
	}
	r := s.make(id)
	r.start()
	s.running[id] = r
	return r, nil
}

// stop ends all runners, each after what it was told so far.
func (s *shoots) stop() {
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

// member is a person of a shoot as they are now.
type member struct {
	shoot.Person
	Title string // of the shoot
}

// member looks a person up; the error is a problem, unknown_person or
// access_withdrawn.
func (r *runner) member(ctx context.Context, id shoot.PersonID) (out member, err error) {
	err = r.ask(ctx, func(s *shoot.State) error {
		p, ok := s.Floor.People[id]
		out = member{p, s.Floor.Shoot.Title}
		switch {
		case !ok:
			return fail(codeNoPerson, nil)
		case p.Revoked:
			return fail(codeWithdrawn, nil)
		}
		return nil
	})
	return out, err
}

package main

import (
	"context"
	"fmt"
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
func (r *runner) member(ctx context.Context, id shoot.PersonID) (member, error) {
	type answer struct {
		member
		err error
	}
	said := make(chan answer, 1)
	err := r.submit(func() {
		if err := r.opened(); err != nil {
			said <- answer{err: fmt.Errorf("open shoot %s: %w", r.shoot, err)}
			return
		}
		s := r.desk.State()
		p, ok := s.Floor.People[id]
		a := answer{member: member{p, s.Floor.Shoot.Title}}
		switch {
		case !ok:
			a.err = fail(codeNoPerson, nil)
		case p.Revoked:
			a.err = fail(codeWithdrawn, nil)
		}
		said <- a
	})
	if err != nil {
		return member{}, err
	}
	a, err := wait(ctx, r, said)
	if err != nil {
		return member{}, err
	}
	return a.member, a.err
}

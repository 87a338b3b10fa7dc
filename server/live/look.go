package live

import (
	"context"

	"fairday/domain/shoot"
)

// Look reads a shoot as it stands, without keeping it in memory where it is not there
// already. The question must not keep the state.
func (s *Shoots) Look(ctx context.Context, id string, question func(*shoot.State) error) error {
	s.mu.Lock()
	r := s.running[id]
	s.mu.Unlock()
	if r != nil {
		loaded, err := r.Loaded(ctx)
		if err != nil {
			return err
		}
		if loaded {
			return r.Ask(ctx, question)
		}
	}
	d, err := s.Open(id)
	if err != nil {
		return err
	}
	return question(d.State())
}

package live

import (
	"context"
	"errors"
	"fmt"
	"io"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/desk"
	"fairday/sync/wire"
)

// NewID makes an id of any kind.
func (s *Shoots) NewID() (string, error) {
	var b [10]byte
	_, err := io.ReadFull(s.random, b[:])
	return shoot.NewID(s.now(), b), err
}

// Create stores a new shoot from the intents of a plan, all of them or none, and
// gives its id.
func (s *Shoots) Create(intents []shoot.Intent) (string, error) {
	id, err := s.NewID()
	if err != nil {
		return "", err
	}
	return id, s.CreateAs(id, intents)
}

// CreateAs is Create with an id that was made before; ErrThere where there is a shoot
// of that id.
func (s *Shoots) CreateAs(id string, intents []shoot.Intent) error {
	device, err := s.NewID()
	if err != nil {
		return err
	}
	s.mu.Lock()
	dropped := s.dropped[id]
	s.mu.Unlock()
	if dropped {
		return ErrDropped
	}
	d, err := s.Open(id)
	if err != nil {
		return err
	}
	if d.Head() > 0 {
		return ErrThere
	}
	if err := d.Record(shoot.DeviceID(device), asEdits(intents), s.now()); err != nil {
		return err
	}
	batch := d.Take()
	for _, e := range batch.Entries {
		if e.Verdict.Refusal != nil {
			return fmt.Errorf("the plan was refused at %s: %w", e.Intent.Name, e.Verdict.Refusal)
		}
	}
	if err = s.store.Append(id, batch.Entries, batch.Checkpoint); errors.Is(err, desk.ErrOrder) { // somebody was faster
		err = ErrThere
	}
	return err
}

func asEdits(intents []shoot.Intent) []wire.Edit {
	edits := make([]wire.Edit, len(intents))
	for i, in := range intents {
		edits[i] = wire.Edit{ID: in.ID, Seq: uint64(i + 1), Name: in.Name, Version: in.Version, Args: in.Args, Happened: in.Happened}
	}
	return edits
}

// Record has the desk make edits on a shoot that is there, all of them or none. The
// error is the first refusal, a *shoot.Refusal, or a fault.
func (s *Shoots) Record(ctx context.Context, id string, intents []shoot.Intent) error {
	device, err := s.NewID()
	if err != nil {
		return err
	}
	r, err := s.Get(id)
	if err != nil {
		return err
	}
	return r.record(ctx, shoot.DeviceID(device), intents)
}

func (r *Runner) record(ctx context.Context, device shoot.DeviceID, intents []shoot.Intent) error {
	said := make(chan error, 1)
	err := r.Enqueue(func() {
		if err := r.opened(); err != nil {
			said <- fmt.Errorf("open shoot %s: %w", r.Shoot, err)
			return
		}
		r.guard(r.flush) // so that what is decided is decided on what stands
		if r.desk == nil {
			said <- ErrNotNow
			return
		}
		if err := allowed(r.desk.State(), intents, r.now()); err != nil {
			said <- err
			return
		}
		at := r.desk
		r.edits += len(intents)
		err := at.Record(device, asEdits(intents), r.now())
		r.after = append(r.after, func() {
			if r.desk != at { // the batch was lost
				err = ErrNotNow
			}
			said <- err
		})
	})
	if err != nil {
		return err
	}
	answer, err := wait(ctx, r, said)
	if err != nil {
		return err
	}
	return answer
}

// allowed decides intents on a copy, one after the other.
func allowed(s *shoot.State, intents []shoot.Intent, now when.Instant) error {
	s = s.Clone()
	for _, in := range intents {
		in.Actor, in.Received = shoot.Desk, now
		dec, err := shoot.Decide(s, in)
		if err != nil {
			return err
		}
		for _, e := range dec.Events {
			shoot.Apply(s, e)
		}
	}
	return nil
}

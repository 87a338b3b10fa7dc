package live

import (
	"fmt"
	"io"

	"fairday/domain/shoot"
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
	device, err := s.NewID()
	if err != nil {
		return "", err
	}
	d, err := s.Open(id)
	if err != nil {
		return "", err
	}
	edits := make([]wire.Edit, len(intents))
	for i, in := range intents {
		edits[i] = wire.Edit{ID: in.ID, Seq: uint64(i + 1), Name: in.Name, Version: in.Version, Args: in.Args, Happened: in.Happened}
	}
	if err := d.Record(shoot.DeviceID(device), edits, s.now()); err != nil {
		return "", err
	}
	batch := d.Take()
	for _, e := range batch.Entries {
		if e.Verdict.Refusal != nil {
			return "", fmt.Errorf("the plan was refused at %s: %w", e.Intent.Name, e.Verdict.Refusal)
		}
	}
	return id, s.store.Append(id, batch.Entries, batch.Checkpoint)
}

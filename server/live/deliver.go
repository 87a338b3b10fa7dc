package live

import (
	"context"
	"errors"

	"fairday/sync/desk"
	"fairday/sync/wire"
)

// ErrNotNow says that the store could not take a delivery.
var ErrNotNow = errors.New("the shoot cannot take edits now")

// Deliver takes what somebody brings of another one's queue, and gives the verdicts
// once they are durable. With an error, what was in front of it may have been taken.
func (r *Runner) Deliver(ctx context.Context, by desk.Delivery, size int) ([]wire.Verdict, error) {
	type answer struct {
		verdicts []wire.Verdict
		err      error
	}
	said := make(chan answer, 1)
	err := r.Enqueue(func() {
		if !r.ready() {
			said <- answer{err: ErrNotNow}
			return
		}
		r.edits, r.bytes = r.edits+len(by.Edits), r.bytes+size
		at := r.desk
		verdicts, err := at.Deliver(by, r.now())
		r.after = append(r.after, func() {
			if r.desk != at { // the batch was lost
				err = ErrNotNow
			}
			said <- answer{verdicts, err}
		})
	})
	if err != nil {
		return nil, err
	}
	got, err := wait(ctx, r, said)
	if err != nil {
		return nil, err
	}
	return got.verdicts, got.err
}

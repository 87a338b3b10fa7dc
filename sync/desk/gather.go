package desk

import (
	"encoding/json"
	"fmt"
	"io"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/wire"
)

// counter is the device that the desk's own counts are numbered on.
const counter shoot.DeviceID = "desk-covers"

// Gather is to be called every wire.BeatEvery. Once in shoot.GatherEvery it puts into the
// open batch what has become known for the kitchen, so that no count follows a punch; a
// meal that was never counted is counted at once. A desk that has just been opened waits
// for the next quarter of an hour, or opening it would tell what has just changed.
func (d *Desk) Gather(now when.Instant) error {
	quarter := now / shoot.GatherEvery
	first := d.quarter == 0 || quarter == d.quarter
	d.quarter = quarter
	if !d.running.CoversDue(now, first) {
		return nil
	}
	var random [10]byte
	if _, err := io.ReadFull(d.cfg.Random, random[:]); err != nil {
		return fmt.Errorf("random bytes for a count: %w", err)
	}
	args, err := json.Marshal(map[string]bool{"first": first})
	if err != nil {
		return err
	}
	return d.Record(counter, []wire.Edit{{ID: shoot.IntentID(shoot.NewID(now, random)), Seq: d.last(KeyOf(shoot.Desk, counter)) + 1,
		Name: "covers.count", Version: shoot.Version("covers.count"), Args: args, Happened: now}}, now)
}

package desk

import (
	"bytes"
	"encoding/json"
	"testing"

	"fairday/domain/shoot"
)

// An entry whose events were encoded for the phones is written to the log as
// encoding/json would write it, with every part of it there or not.
func TestEntryIsWrittenAsJSON(t *testing.T) {
	var e Entry
	e.Seq, e.Device, e.DeviceSeq, e.DependsOn = 7, "d<>&", 3, "i"
	e.Intent = shoot.Intent{ID: "x", Name: "shoot.set", Version: 1, Args: json.RawMessage(`{ "title" : "<b> &  " }`), Actor: "a"}
	titles := []string{"plain", "<b>&amp;\u2028\"\\", "שלום 日本 \x00\xff", ""}
	for events := range 3 {
		for _, hash := range []string{"", "0a1b"} {
			for _, title := range titles {
				e.Hash, e.Events = hash, nil
				for range events {
					e.Events = append(e.Events, shoot.Event{At: 5, By: "p", Body: shoot.ShootSet{Shoot: shoot.Shoot{Title: title, Version: 2}}})
				}
				e.raw = nil
				want, err := json.Marshal(e)
				if err != nil {
					t.Fatal(err)
				}
				if e.raw, err = encodeEvents(e.Events); err != nil {
					t.Fatal(err)
				}
				if have, err := e.Encode(); err != nil || !bytes.Equal(have, want) {
					t.Errorf("written as\n%s (%v)\nwant\n%s", have, err, want)
				}
			}
		}
	}
}

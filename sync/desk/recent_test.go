package desk

import (
	"encoding/json"
	"fmt"
	"testing"

	"fairday/domain/shoot"
	"fairday/sync/wire"
)

// SPEC A5, A6: from memory or from the log, after a restart or not, a phone
// misses exactly what the log says, and what is too much is counted without
// money for those who do not see it.
func TestMissed(t *testing.T) {
	log := NewMemory(func() string { return "g" })
	cfg := Config{Log: log, Shoot: "s", Random: zeros{}, CatchUp: 6, Every: 9}
	d, err := Open(cfg)
	if err != nil {
		t.Fatal(err)
	}
	for n := 1; n <= 36; n++ {
		e := wire.Edit{ID: shoot.IntentID(fmt.Sprintf("0191d3f0-0000-7000-8000-%012x", n)), Seq: uint64(n), Version: 1,
			Name: "currency.set", Args: json.RawMessage(`{"currency":"EUR"}`)}
		if n%3 == 0 || n > 20 && n%7 == 0 {
			e.Name, e.Version, e.Args = "shoot.fly", 0, json.RawMessage(`{}`) // an entry all the same
		}
		if err := d.Record("0191d3f0-0000-7000-8000-0000000000dd", []wire.Edit{e}, 5); err != nil {
			t.Fatal(err)
		}
		if _, err := d.Flush(); err != nil {
			t.Fatal(err)
		}
		again, err := Open(cfg)
		if err != nil {
			t.Fatal(err)
		}
		for name, desk := range map[string]*Desk{"running": d, "opened again": again} {
			for seq := range uint64(n + 1) {
				for _, role := range []shoot.Role{shoot.Producer, shoot.Crew} {
					money := role == shoot.Producer
					want, err := log.Range("s", seq, 1000, money)
					if err != nil {
						t.Fatal(err)
					}
					got, ok, err := desk.missed(seq, shoot.Audience{Role: role})
					if err != nil || ok != (len(want) <= cfg.CatchUp) {
						t.Fatalf("%s, entry %d of %d, money %v: %v, %v, and %d were missed", name, seq, n, money, ok, err, len(want))
					}
					if ok && (len(got) != len(want) || len(got) > 0 && got[0].seq != want[0].Seq) {
						t.Fatalf("%s, entry %d of %d, money %v: %d entries, %d were missed", name, seq, n, money, len(got), len(want))
					}
				}
			}
			if len(desk.recent.entries) > 22 {
				t.Fatalf("%s: %d entries are remembered", name, len(desk.recent.entries))
			}
		}
	}
}

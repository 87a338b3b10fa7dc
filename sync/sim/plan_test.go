package sim

import (
	"testing"

	"fairday/sync/desk"
	"fairday/sync/wire"
)

func TestPlanIsAccepted(t *testing.T) {
	log := desk.NewMemory(func() string { return "g" })
	d, err := desk.Open(desk.Config{Log: log, Shoot: ShootID, Random: new(Source)})
	if err != nil {
		t.Fatal(err)
	}
	plan := Plan()
	plan = append(plan, Money(len(plan), 2)...)
	if err := d.Record(Server, plan, Start); err != nil {
		t.Fatal(err)
	}
	b := d.Take()
	if len(b.Entries) != len(plan) {
		t.Fatalf("%d entries of %d edits", len(b.Entries), len(plan))
	}
	for _, e := range b.Entries {
		if e.Verdict.Result != wire.Accepted {
			t.Errorf("%s %s: %+v %+v", e.Intent.Name, e.Intent.Args, e.Verdict.Flag, e.Verdict.Refusal)
		}
	}
}

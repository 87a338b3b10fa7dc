package desk_test

import (
	"fmt"
	"strings"
	"testing"

	"fairday/sync/desk"
	"fairday/sync/sim"
	"fairday/sync/wire"
)

// SPEC W4: a shoot that grows and grows takes no more requests, then no more
// reports, and at its largest its snapshot still fits what phones take. What makes
// room has room.
func TestLargeShoot(t *testing.T) {
	r := newRoom(t, nil)
	ad := r.join(director)
	list := make([]string, 12)
	for i := range list {
		list[i] = fmt.Sprint(i%10, i/10) + strings.Repeat("é", 90)
	}
	seq := uint64(0)
	one := func(name string, args any) wire.Verdict {
		t.Helper()
		seq++
		return r.verdict(ad, r.sent(ad, r.edit(seq, name, args)))
	}
	hero := func(i int) sim.Set {
		return sim.Set{"id": sim.ID(0x70000 + i), "name": fmt.Sprint("Hero ", i), "plate": sim.Set{"designation": "KT-4"}, "checklist": list, "needs": 1, "base": 0}
	}
	heroes := 0
	for ; ; heroes++ {
		v := one("hero.set", hero(heroes))
		if code(v) == desk.CodeLarge {
			if !strings.Contains(v.Refusal.Say, "as much as phones can carry") {
				t.Errorf("it says %q", v.Refusal.Say)
			}
			break
		}
		if v.Result == wire.Refused || heroes > 10_000 {
			t.Fatalf("hero %d: %+v", heroes, v.Refusal)
		}
	}
	if v := one("hero.drop", sim.Set{"hero": sim.ID(0x70000)}); v.Result == wire.Refused {
		t.Errorf("deleting one is refused: %+v", v.Refusal)
	}
	food := r.join(foodStylist)
	reports := 0
	for ; ; reports++ {
		v := r.verdict(food, r.sent(food, r.edit(uint64(reports+1), "hero.read", sim.Set{"hero": sim.ID(0x70001 + reports%1000), "plate": sim.Set{"designation": strings.Repeat("x", 120),
			"finish": strings.Repeat("x", 120), "size": strings.Repeat("x", 120), "serial": strings.Repeat("x", 120)}, "checked": list})))
		if code(v) == desk.CodeLarge {
			break
		}
		if v.Result == wire.Refused || reports > 100_000 {
			t.Fatalf("reading %d: %+v", reports, v.Refusal)
		}
	}
	_, outs := r.joined(producer, wire.Hello{Sent: 1000})
	largest := 0
	for _, o := range outs {
		largest = max(largest, len(o.Whole()))
		if _, err := wire.DecodeDown(o.Whole()); err != nil {
			t.Errorf("a phone cannot read it: %v", err)
		}
	}
	if largest < wire.MaxDown/2 || largest > wire.MaxDown {
		t.Errorf("with %d heroes and %d readings the snapshot has %d bytes of %d", heroes, reports, largest, wire.MaxDown)
	}
}

package desk_test

import (
	"encoding/json"
	"testing"

	"fairday/domain/shoot"
	"fairday/sync/desk"
	"fairday/sync/sim"
	"fairday/sync/wire"
)

// SPEC A10: the floor of a snapshot is encoded once for everybody who asks at the
// same version, and each gets just what their audience sees.
func TestSnapshotsShareTheFloor(t *testing.T) {
	r := newRoom(t, nil)
	snapshot := func(person int) desk.Out {
		_, outs := r.joined(person, wire.Hello{})
		return outs[len(outs)-1]
	}
	first := snapshot(director)
	for person := range sim.People {
		out := snapshot(person)
		m, err := wire.DecodeDown(out.Whole())
		if err != nil {
			t.Fatal(err)
		}
		a, _ := r.d.State().AudienceOf(sim.Person(person))
		want, err := json.Marshal(r.d.State().For(a))
		if err != nil {
			t.Fatal(err)
		}
		var got shoot.State
		if err := json.Unmarshal(m.(wire.Snapshot).State, &got); err != nil {
			t.Fatal(err)
		}
		if again, err := json.Marshal(got); err != nil || string(again) != string(want) {
			t.Errorf("person %d is sent\n%s\nand should be\n%s", person, again, want)
		}
		if out.Rest[0] != first.Rest[0] {
			t.Error("the floor was encoded anew")
		}
	}
	id := r.join(photographer)
	r.sent(id, r.edit(1, "shot.frames", sim.Set{"shot": sim.ID(0x40), "frames": "12"}))
	if next := snapshot(director); string(next.Rest[0].Text) == string(first.Rest[0].Text) {
		t.Error("the floor is as it was before an edit")
	}
}

package desk

import (
	"encoding/json"
	"testing"

	"fairday/domain/shoot"
	"fairday/sync/wire"
)

// SPEC V5: a panic in a rule that had begun to write, although rules never do.
func TestPanicIsARefusal(t *testing.T) {
	d, err := Open(Config{Log: NewMemory(func() string { return "g" }), Shoot: "s", Random: zeros{}})
	if err != nil {
		t.Fatal(err)
	}
	id := func(n string) shoot.IntentID { return shoot.IntentID("0191d3f0-0000-7000-8000-00000000000" + n) }
	edits := []wire.Edit{
		{ID: id("1"), Seq: 1, Name: "shoot.set", Version: 1, Args: json.RawMessage(`{"title":"A"}`)},
		{ID: id("2"), Seq: 2, Name: "terms.set", Version: 1, Args: json.RawMessage(`{"person":"0191d3f0-0000-7000-8000-0000000000aa","terms":{},"base":0}`)},
		{ID: id("3"), Seq: 3, Name: "shoot.set", Version: 1, Args: json.RawMessage(`{"title":"B","base":1}`)},
	}
	d.rules = func(s *shoot.State, in shoot.Intent) (shoot.Decision, error) {
		if in.Name == "terms.set" {
			s.Floor.Setups["half done"] = shoot.Setup{} // as a rule that breaks its word would
			panic("a rule failed")
		}
		return shoot.Decide(s, in)
	}
	if err := d.Record("0191d3f0-0000-7000-8000-0000000000dd", edits, 5); err != nil {
		t.Fatal(err)
	}
	b := d.Take()
	if len(b.Entries) != 3 || len(b.Faults) != 1 || b.Faults[0].Panic != "a rule failed" || len(b.Faults[0].Stack) == 0 {
		t.Fatalf("%d entries, faults %+v", len(b.Entries), b.Faults)
	}
	for i, want := range []wire.Result{wire.Accepted, wire.Refused, wire.Accepted} {
		if v := b.Entries[i].Verdict; v.Result != want {
			t.Errorf("verdict %d is %+v", i, v)
		}
	}
	if v := b.Entries[1].Verdict; v.Refusal.Code != shoot.CodeFault || string(b.Entries[1].Intent.Args) != string(edits[1].Args) {
		t.Errorf("the failed edit has %+v and %s", v, b.Entries[1].Intent.Args)
	}
	if n := len(d.running.Floor.Setups); n != 0 {
		t.Error("what the rule had written is still there")
	}
	d.Commit(b)
	if d.State().Floor.Shoot.Title != "B" || d.running.Floor.Shoot.Title != "B" {
		t.Errorf("the title is %q, and %q ahead of the commit", d.State().Floor.Shoot.Title, d.running.Floor.Shoot.Title)
	}
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) { clear(p); return len(p), nil }

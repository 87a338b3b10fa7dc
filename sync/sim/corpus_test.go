package sim

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/view"
	near "fairday/domain/view/day"
	"fairday/domain/when"
	"fairday/sync/desk"
	"fairday/sync/replica"
	"fairday/sync/wire"
)

var (
	recordFlag = flag.Bool("corpus.record", false, "add transcripts that are missing; none that is there is changed")
	writeFlag  = flag.String("corpus.write", "", "write what the corpus leads to into this file")
	sameFlag   = flag.String("corpus.same", "", "hold what the corpus leads to against this file, which another machine wrote")
)

var screens = []view.Screen{view.ScreenShell, view.ScreenCallSheet, view.ScreenShots, view.ScreenHeroes, view.ScreenCatering, view.ScreenOvertime, view.ScreenSettle, view.ScreenHours}

// transcripts are the seeds whose histories are kept.
var transcripts = []uint64{7, 15, 23, 31}

// said is a line of a transcript: an intent as the desk took it.
type said struct {
	Device    shoot.DeviceID `json:"device"`
	Seq       uint64         `json:"seq"`
	Offset    when.Instant   `json:"offset"`
	DependsOn shoot.IntentID `json:"dependsOn,omitempty"`
	Intent    shoot.Intent   `json:"intent"`
}

// keep writes down the history of a run.
func keep(t *testing.T, path string, seed uint64) {
	t.Helper()
	var b bytes.Buffer
	for _, e := range Run(Hostile(seed)).Log {
		b.Write(Args(said{e.Device, e.DeviceSeq, e.Offset, e.DependsOn, e.Intent}))
		b.WriteByte('\n')
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

// theatre plays a transcript to a desk and to a phone of everybody.
type theatre struct {
	t     *testing.T
	d     *desk.Desk
	next  desk.ConnID
	at    map[desk.ConnID]*listener
	conns map[desk.DeviceKey]desk.ConnID
	keys  []desk.DeviceKey // in the order they came
	heard map[desk.DeviceKey]*bytes.Buffer
}

// listener is the phone at a connection.
type listener struct {
	key desk.DeviceKey
	r   *replica.Replica
}

// join connects a device; one whose connection was ended comes again.
func (s *theatre) join(p shoot.PersonID, device shoot.DeviceID, now when.Instant) desk.ConnID {
	key := desk.KeyOf(p, device)
	if id, here := s.conns[key]; here {
		return id
	}
	if s.heard[key] == nil {
		s.heard[key], s.keys = &bytes.Buffer{}, append(s.keys, key)
	}
	s.next++
	id, r := s.next, replica.New(device, p, "corpus")
	s.conns[key], s.at[id] = id, &listener{key, r}
	s.d.Attach(id, p)
	r.Connected(now)
	s.tell(s.d.Receive(id, wire.Hello{Protocol: wire.Protocol, Device: device, Sent: wire.MaxSeq}, now), now)
	return id
}

func (s *theatre) tell(outs []desk.Out, now when.Instant) {
	for _, o := range outs {
		l := s.at[o.To]
		s.heard[l.key].WriteString(blank(o.Text))
		if o.Close {
			delete(s.conns, l.key)
		}
		l.r.Receive(o.Text, now)
	}
}

// played is what a transcript leads to: all that each phone hears, the state, and
// every screen of everybody, as hashes.
func played(t *testing.T, name string, lines [][]byte) (out []string) {
	d, err := desk.Open(desk.Config{Log: desk.NewMemory(func() string { return "g" }), Shoot: ShootID, Random: Seeded(1), Every: 50})
	if err != nil {
		t.Fatal(err)
	}
	s := &theatre{t: t, d: d, at: map[desk.ConnID]*listener{}, conns: map[desk.DeviceKey]desk.ConnID{}, heard: map[desk.DeviceKey]*bytes.Buffer{}}
	sum := func(what string, b []byte) { out = append(out, fmt.Sprintf("%s %s %x", name, what, sha256.Sum256(b))) }
	var now when.Instant
	var own uint64
	for _, line := range lines {
		var l said
		if err := json.Unmarshal(line, &l); err != nil {
			t.Fatal(err)
		}
		in := l.Intent
		now = in.Received
		edit := wire.Edits{After: l.Seq - 1, Edits: []wire.Edit{{ID: in.ID, Seq: l.Seq, Name: in.Name, Version: in.Version, Args: in.Args,
			Happened: in.Happened + l.Offset, Offset: l.Offset, DependsOn: l.DependsOn}}}
		if in.Actor == shoot.Desk {
			own++ // its numbers may have gaps where the server stopped
			edit.Edits[0].Seq = own
			if err := d.Record(l.Device, edit.Edits, now); err != nil {
				t.Fatal(err)
			}
		} else {
			s.tell(d.Receive(s.join(in.Actor, l.Device, now), edit, now), now)
		}
		outs, err := d.Flush()
		if err != nil {
			t.Fatal(err)
		}
		s.tell(outs, now)
	}
	if d.Head() < uint64(len(lines))*3/4 {
		t.Errorf("%s: only %d of %d intents were taken", name, d.Head(), len(lines))
	}
	for p := range People {
		id := s.join(Person(p), shoot.DeviceID(ID(0xc000+p)), now)
		for _, screen := range screens {
			r := s.at[id].r
			if r.State() == nil {
				continue // access was withdrawn
			}
			v, err := near.Make(string(screen), r.State(), near.Context{Context: view.Context{Me: Person(p), Now: now}})
			if err != nil {
				t.Fatal(err)
			}
			sum(fmt.Sprintf("person %d, %s", p, screen), Args(v))
		}
	}
	sum("state", Args(d.State()))
	for _, key := range s.keys {
		sum("heard by "+string(key), s.heard[key].Bytes())
	}
	return out
}

// SPEC D3, I9: kept histories are still understood, and lead to the same bytes here
// and, with the flags, on another kind of machine.
func TestCorpus(t *testing.T) {
	var all []string
	for _, seed := range transcripts {
		path := filepath.Join("testdata", "transcripts", fmt.Sprintf("%d.jsonl", seed))
		text, err := os.ReadFile(path)
		if errors.Is(err, fs.ErrNotExist) && *recordFlag {
			keep(t, path, seed)
			text, err = os.ReadFile(path)
		}
		if err != nil {
			t.Fatal(err)
		}
		lines := bytes.Split(bytes.TrimSpace(text), []byte("\n"))
		once, twice := played(t, path, lines), played(t, path, lines)
		if !slices.Equal(once, twice) {
			t.Errorf("%s leads to different bytes on one machine", path)
		}
		all = append(all, once...)
	}
	text := []byte(strings.Join(all, "\n") + "\n")
	if *writeFlag != "" {
		if err := os.WriteFile(*writeFlag, text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if *sameFlag != "" {
		other, err := os.ReadFile(*sameFlag)
		if err != nil {
			t.Fatal(err)
		}
		there := strings.Split(strings.TrimSpace(string(other)), "\n")
		if len(there) != len(all) {
			t.Fatalf("%d hashes here, %d there", len(all), len(there))
		}
		for i, line := range all {
			if there[i] != line {
				t.Fatalf("here: %s\nthere: %s", line, there[i])
			}
		}
		t.Logf("%d hashes are the same", len(all))
	}
}

package shoot

import (
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"fairday/domain/when"
)

var update = flag.Bool("update", false, "add the files of new versions; none that is there is changed")

// recorded is a file under testdata/versions: how one version of an intent's
// arguments or of an event's body is built, and one that was really made.
type recorded struct {
	Shape   []string        `json:"shape"`
	Example json.RawMessage `json:"example"`
}

// golden gives a file under testdata/versions, which is never changed once it is
// there: what differs needs a new version.
func golden(t *testing.T, path string, now func() []byte) []byte {
	t.Helper()
	path = filepath.Join("testdata", "versions", path)
	was, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) && *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		was = now()
		err = os.WriteFile(path, was, 0o644)
	}
	if err != nil {
		t.Fatalf("%v\nAdd the files of new versions with: go test ./domain/shoot -run Versions -update", err)
	}
	return was
}

// shape lists the fields of a type as they are in JSON, and of all it holds.
func shape(t reflect.Type) []string {
	var out []string
	seen := map[reflect.Type]bool{}
	var walk func(reflect.Type)
	walk = func(t reflect.Type) {
		switch t.Kind() {
		case reflect.Map:
			walk(t.Key())
			walk(t.Elem())
		case reflect.Pointer, reflect.Slice, reflect.Array:
			walk(t.Elem())
		case reflect.Struct:
			if seen[t] {
				return
			}
			seen[t] = true
			for f := range t.Fields() {
				out = append(out, strings.TrimSpace(fmt.Sprintf("%s.%s %s %s", t.Name(), f.Name, f.Type, f.Tag.Get("json"))))
			}
			for f := range t.Fields() {
				walk(f.Type)
			}
		default:
			if t.PkgPath() != "" {
				out = append(out, t.Name()+" "+t.Kind().String())
			}
		}
	}
	walk(t)
	return out
}

// versions holds one intent or event to its files: the newest version is built as
// recorded and comes back as it was, and each older one is read, as what it was
// recorded to become. It gives the example, where there is a file to be made.
func versions(t *testing.T, dir, name string, of reflect.Type, steps []upgrade, example json.RawMessage) {
	t.Helper()
	for v := 1; v <= len(steps)+1; v++ {
		file := fmt.Sprintf("%s/%s.%d", dir, name, v)
		raw := golden(t, file+".json", func() []byte {
			if v <= len(steps) {
				t.Fatalf("%s of version %d has no file, and it is too late to make one", name, v)
			}
			if example == nil {
				t.Fatalf("nothing made %s: its generator in shoottest is never accepted", name)
			}
			b, err := json.MarshalIndent(recorded{shape(of), example}, "", "\t")
			if err != nil {
				t.Fatal(err)
			}
			return append(b, '\n')
		})
		var was recorded
		if err := strict(raw, &was); err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		now, err := newest(steps, v, was.Example)
		if err != nil {
			t.Errorf("%s: %v", file, err)
			continue
		}
		back := reflect.New(of)
		if err := strict(now, back.Interface()); err != nil {
			t.Errorf("%s cannot be read any more: %v", file, err)
			continue
		}
		read := mustJSON(t, back.Interface())
		if v <= len(steps) {
			as := golden(t, fmt.Sprintf("%s.as.%d.json", file, len(steps)+1), func() []byte { return []byte(read + "\n") })
			if strings.TrimSpace(string(as)) != read {
				t.Errorf("%s became\n%s\nand becomes\n%s", file, as, read)
			}
			continue
		}
		if want := mustJSON(t, was.Example); read != want {
			t.Errorf("%s was\n%s\nand comes back as\n%s", file, want, read)
		}
		if got := shape(of); !reflect.DeepEqual(got, was.Shape) {
			t.Errorf("%s is built otherwise than version %d was. Files stay as they are: raise the version, add an upgrade to its row, and run the test with -update.\nwas:\n\t%s\nnow:\n\t%s",
				name, v, strings.Join(was.Shape, "\n\t"), strings.Join(got, "\n\t"))
		}
	}
}

// made plays days and gives the longest accepted example of each intent's arguments
// and of each event's body.
func made(t *testing.T) (intents, events map[string]json.RawMessage) {
	intents, events = map[string]json.RawMessage{}, map[string]json.RawMessage{}
	longest := func(m map[string]json.RawMessage, name string, raw json.RawMessage) {
		if len(raw) > len(m[name]) {
			m[name] = raw
		}
	}
	for seed := range uint64(60) {
		st := newStage(t)
		w := &wild{st, rand.New(rand.NewPCG(seed, 2))}
		now := clock("08:00")
		for range 300 {
			now += when.Instant(w.r.IntN(300)) * when.Second
			w.step(now)
		}
		for _, in := range st.in {
			longest(intents, in.Name, in.Args)
		}
		for _, e := range st.log {
			longest(events, e.Kind(), json.RawMessage(mustJSON(t, e.Body)))
		}
	}
	return intents, events
}

// Every version of every intent and event that was ever shipped is understood, and
// none is changed without a new version.
func TestVersions(t *testing.T) {
	in, ev := made(t)
	for name := range intents {
		if in[name] == nil {
			t.Errorf("no generated day has an accepted %s: see its generator in shoottest", name)
		}
	}
	for kind := range events {
		if ev[kind] == nil {
			t.Errorf("no generated day leads to %s", kind)
		}
	}
	for name, row := range intents {
		made := reflect.New(reflect.TypeOf(argsOf(row))) // written as the arguments are, whoever wrote it
		if err := strict(in[name], made.Interface()); err != nil {
			t.Fatal(err)
		}
		versions(t, "intents", name, reflect.TypeOf(argsOf(row)), row.older, json.RawMessage(mustJSON(t, made.Interface())))
	}
	for kind, row := range events {
		versions(t, "events", kind, reflect.TypeOf(row.body), row.older, ev[kind])
	}
	for dir, known := range map[string]func(string) bool{
		"intents": func(name string) bool { return intents[name] != nil }, "events": func(kind string) bool { return events[kind] != nil }} {
		files, err := os.ReadDir("testdata/versions/" + dir)
		if err != nil || len(files) < 50 {
			t.Fatal(len(files), err)
		}
		for _, f := range files {
			name := f.Name()[:strings.IndexAny(f.Name(), "0123456789")-1] // of shot.cut.1.json
			if !known(name) {
				t.Errorf("%s/%s was shipped, and no row knows it", dir, name)
			}
		}
	}
}

// A state of another shape is another version.
func TestStateVersions(t *testing.T) {
	now := strings.Join(shape(reflect.TypeFor[State]()), "\n") + "\n"
	if was := golden(t, fmt.Sprintf("state.%d.txt", StateVersion), func() []byte { return []byte(now) }); string(was) != now {
		t.Errorf("a state is built otherwise than version %d was: raise StateVersion and run the test with -update.\nwas:\n%s\nnow:\n%s", StateVersion, was, now)
	}
}

// SPEC I9: upgrades run one after the other, strictly.
func TestUpgrades(t *testing.T) {
	type one struct {
		Minutes int `json:"minutes"`
	}
	type two struct {
		Seconds int `json:"seconds"`
	}
	steps := []upgrade{turning(func(o one) two { return two{o.Minutes * 60} }), same}
	for version, raw := range map[int]string{1: `{"minutes":2}`, 2: `{"seconds":120}`, 3: `{"seconds":120}`} {
		got, err := newest(steps, version, json.RawMessage(raw))
		if err != nil || string(got) != `{"seconds":120}` {
			t.Errorf("version %d became %s, %v", version, got, err)
		}
	}
	for version, raw := range map[int]string{0: `{"minutes":2}`, 1: `{"minutes":2,"more":1}`, 4: `{}`, -1: `{}`} {
		if got, err := newest(steps, version, json.RawMessage(raw)); err == nil {
			t.Errorf("version %d became %s", version, got)
		}
	}
}

// SPEC I9: an event of a newer version is not read as if it were an older one.
func TestNewerEventIsAnError(t *testing.T) {
	var e Event
	if err := json.Unmarshal([]byte(`{"kind":"shot.opened","v":2,"at":1,"by":"x","data":{"shot":"s"}}`), &e); err == nil {
		t.Error("it was read")
	}
	if Knows("shot.open", Version("shot.open")+1) || Knows("shot.polish", 1) || !Knows("shot.open", 1) {
		t.Error("what is newer is not known, what is older is")
	}
}

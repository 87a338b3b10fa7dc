package wire

import (
	"encoding/json"
	"errors"
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/when"
)

var update = flag.Bool("update", false, "add the files of a new protocol; none that is there is changed")

const (
	dev  = shoot.DeviceID("0191d3f0-0000-7000-8000-00000000dddd")
	idA  = shoot.IntentID("0191d3f0-0000-7000-8000-00000000000a")
	idB  = shoot.IntentID("0191d3f0-0000-7000-8000-00000000000b")
	noon = when.Instant(1795608000000)
)

// messages has one of each, with every field filled.
func messages() []Message {
	return []Message{
		Hello{Protocol: 1, App: "a1b2c3", Device: dev, Cursor: "c2VhbGVk", Generation: "g1", Sent: 12},
		Edits{After: 9, Edits: []Edit{
			{ID: idA, Seq: 10, Name: "shot.capture", Version: 1, Args: json.RawMessage(`{"shot":"<4>","frames":"0101–0117"}`), Happened: noon, Offset: -250},
			{ID: idB, Seq: 11, Name: "shot.set", Version: 1, Args: json.RawMessage(`{}`), Happened: noon + 5, Offset: -250, DependsOn: idA}}},
		Ping{N: 3, At: noon, Present: 7},
		Welcome{Protocol: 1, Oldest: 1, Now: noon, Generation: "g1", Person: "0191d3f0-0000-7000-8000-00000000000c", Role: shoot.ArtDirector, Epoch: 2, Expect: 10},
		Snapshot{N: 1, Cursor: "c2VhbGVk", State: json.RawMessage(`{"floor":{}}`), Hash: "00ff"},
		Frame{N: 2, Cursor: "c2VhbGVk", Events: []json.RawMessage{json.RawMessage(`{"kind":"shot.cut"}`)}, Hash: "00ff", Verdicts: []Verdict{
			{ID: idA, Seq: 10, Result: Flagged, Flag: &shoot.Flag{Code: shoot.FlagQueried, Say: "Kept, but queried.", Yours: "a", Theirs: "b"}},
			{ID: idB, Seq: 11, Result: Refused, Refusal: &shoot.Refusal{Code: shoot.CodeStale, Say: "Look again.", Yours: "a", Theirs: "b"}}}},
		Expect{Seq: 10, Why: CodeProtocol},
		Pong{N: 3, At: noon, Now: noon + 40, Last: 2, Hash: "00ff"},
		Presence{N: 7, People: []shoot.PersonID{"0191d3f0-0000-7000-8000-00000000000c"}},
		ByeOf(CodeTooLarge),
	}
}

func decode(m Message, b []byte) (Message, error) {
	switch m.(type) {
	case Hello, Edits, Ping:
		return DecodeUp(b)
	}
	return DecodeDown(b)
}

// golden gives a file of a protocol, which is never changed once it is there: what
// differs needs a new number.
func golden(t *testing.T, name, now string) string {
	t.Helper()
	path := filepath.Join("testdata", strconv.Itoa(Protocol), name)
	was, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) && *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		was, err = []byte(now), os.WriteFile(path, []byte(now), 0o644)
	}
	if err != nil {
		t.Fatalf("%v: run the test with -update", err)
	}
	return string(was)
}

// SPEC W1: one JSON object each, with its type; the fixtures hold the bytes.
func TestFixtures(t *testing.T) {
	for _, m := range messages() {
		got, err := Encode(m)
		if err != nil {
			t.Fatal(err)
		}
		want := golden(t, m.name()+".json", string(got)+"\n")
		if strings.TrimSpace(want) != string(got) {
			t.Errorf("%s is now\n%s\nand was\n%s\nA file that is there stays as it is: raise the protocol.", m.name(), got, want)
		}
		back, err := decode(m, []byte(want))
		if err != nil || !reflect.DeepEqual(back, m) {
			t.Errorf("%s came back as %+v, %v", m.name(), back, err)
		}
	}
}

// SPEC I9: whatever was ever said in an older protocol is still read.
func TestOlderProtocolsAreRead(t *testing.T) {
	for n := 1; n <= Protocol; n++ {
		for _, m := range messages() {
			if _, later := m.(Presence); later && n < Presents {
				continue
			}
			b, err := os.ReadFile(filepath.Join("testdata", strconv.Itoa(n), m.name()+".json"))
			if err != nil {
				t.Fatal(err)
			}
			if _, err := decode(m, b); err != nil {
				t.Errorf("%s of protocol %d: %v", m.name(), n, err)
			}
		}
	}
}

func TestEncodeFrameIsEncode(t *testing.T) {
	full := messages()[5].(Frame)
	for _, f := range []Frame{full, {N: 1, Cursor: "x", Events: []json.RawMessage{}}} {
		want, err := Encode(f)
		if err != nil {
			t.Fatal(err)
		}
		events, err := plain(f.Events)
		if err != nil {
			t.Fatal(err)
		}
		head, tail, err := EncodeFrame(f.N, f.Cursor, f.Verdicts, f.Hash, 0)
		got := slices.Concat(head, events, tail)
		if err != nil || string(got) != string(want) {
			t.Errorf("%s, %v, want %s", got, err, want)
		}
	}
}

// SPEC W2, W4, W8: what a phone must not send, and the code that it gets.
func TestBadUp(t *testing.T) {
	edit := func(change string) string {
		return `{"type":"edits","edits":[{"id":"` + string(idA) + `","seq":1,"name":"punch","version":1,"happened":1,"offset":0` + change + `}]}`
	}
	two := func(a, b string) string {
		one := `{"id":"` + string(idA) + `","seq":` + a + `,"name":"punch","version":1,"args":{},"happened":1,"offset":0}`
		return `{"type":"edits","edits":[` + one + `,` + strings.Replace(one, `"seq":`+a, `"seq":`+b, 1) + `]}`
	}
	many := strings.Repeat(`{"id":"`+string(idA)+`","seq":1,"name":"p","version":1,"args":0,"happened":1,"offset":0},`, MaxEdits)
	hello := func(change string) string {
		return `{"type":"hello","protocol":1,"app":"","device":"` + string(dev) + `","cursor":"","generation":"","sent":0` + change + `}`
	}
	for name, c := range map[string]struct {
		text string
		code Code
	}{
		"nothing":                {``, CodeMalformed},
		"no JSON":                {`hello`, CodeMalformed},
		"cut short":              {`{"type":"ping","n":1`, CodeMalformed},
		"an array":               {`[]`, CodeMalformed},
		"null":                   {`null`, CodeMalformed},
		"no type":                {`{"n":1}`, CodeMalformed},
		"type is a number":       {`{"type":7}`, CodeMalformed},
		"two types":              {`{"type":"ping","n":1,"at":2,"type":"hello"}`, CodeMalformed},
		"two types, other case":  {`{"type":"ping","n":1,"at":2,"Type":"hello"}`, CodeMalformed},
		"unknown type":           {`{"type":"hallo"}`, CodeUnknownType},
		"a desk's type":          {`{"type":"welcome"}`, CodeUnknownType},
		"unknown field":          {`{"type":"ping","n":1,"at":2,"why":3}`, CodeMalformed},
		"unknown field in edit":  {edit(`,"args":{},"actor":"me"`), CodeMalformed},
		"two messages":           {`{"type":"ping","n":1,"at":2}{"type":"ping","n":1,"at":2}`, CodeMalformed},
		"text behind it":         {`{"type":"ping","n":1,"at":2} x`, CodeMalformed},
		"not UTF-8":              {"{\"type\":\"ping\xff\"}", CodeMalformed},
		"a fraction":             {`{"type":"ping","n":1.5,"at":2}`, CodeMalformed},
		"a negative number":      {`{"type":"ping","n":-1,"at":2}`, CodeMalformed},
		"deeply nested":          {edit(`,"args":` + strings.Repeat("[", 12000) + strings.Repeat("]", 12000)), CodeMalformed},
		"too large":              {`{"type":"ping","n":1,"at":2}` + strings.Repeat(" ", MaxUp), CodeTooLarge},
		"hello: no protocol":     {strings.Replace(hello(""), `"protocol":1`, `"protocol":0`, 1), CodeMalformed},
		"hello: no device":       {strings.Replace(hello(""), string(dev), "phone", 1), CodeMalformed},
		"hello: device in caps":  {strings.Replace(hello(""), string(dev), strings.ToUpper(string(dev)), 1), CodeMalformed},
		"hello: long cursor":     {strings.Replace(hello(""), `"cursor":""`, `"cursor":"`+strings.Repeat("c", 1025)+`"`, 1), CodeTooLarge},
		"hello: long app":        {strings.Replace(hello(""), `"app":""`, `"app":"`+strings.Repeat("c", 201)+`"`, 1), CodeTooLarge},
		"hello: impossible sent": {strings.Replace(hello(""), `"sent":0`, `"sent":9007199254740993`, 1), CodeMalformed},
		"edit: no id":            {strings.Replace(edit(`,"args":{}`), string(idA), "", 1), CodeMalformed},
		"edit: number 0":         {strings.Replace(edit(`,"args":{}`), `"seq":1`, `"seq":0`, 1), CodeMalformed},
		"edit: huge number":      {strings.Replace(edit(`,"args":{}`), `"seq":1`, `"seq":9007199254740993`, 1), CodeMalformed},
		"edit: no arguments":     {edit(``), CodeMalformed},
		"edit: much":             {edit(`,"args":"` + strings.Repeat("x", shoot.MaxArgs) + `"`), CodeTooLarge},
		"edit: long name":        {strings.Replace(edit(`,"args":{}`), "punch", strings.Repeat("p", 201), 1), CodeTooLarge},
		"edit: depends on words": {edit(`,"args":{},"dependsOn":"the last one"`), CodeMalformed},
		"edits: same number":     {two("4", "4"), CodeMalformed},
		"edits: backwards":       {two("4", "3"), CodeMalformed},
		"edits: before after":    {`{"type":"edits","after":5,` + two("5", "6")[len(`{"type":"edits",`):], CodeMalformed},
		"edits: too many":        {`{"type":"edits","edits":[` + many + many[:len(many)/MaxEdits-1] + `]}`, CodeTooMany},
	} {
		_, err := DecodeUp([]byte(c.text))
		var e *Error
		if !errors.As(err, &e) || e.Code != c.code {
			t.Errorf("%s: %v, want %s", name, err, c.code)
			continue
		}
		if bye := ByeFor(err); bye.Code != c.code || bye.Say == "" {
			t.Errorf("%s: answered with %+v", name, bye)
		}
	}
	for _, good := range []string{hello(""), edit(`,"args":{}`), edit(`,"args":null`), two("4", "5"), two("4", "9"), `{"type":"edits","edits":[]}`} {
		if _, err := DecodeUp([]byte(good)); err != nil {
			t.Errorf("%.80s: %v", good, err)
		}
	}
}

// SPEC W3: a phone passes over fields of a newer desk, but not over a type that
// it does not know.
func TestDown(t *testing.T) {
	m, err := DecodeDown([]byte(`{"type":"expect","seq":4,"since":"always"}`))
	if err != nil || m != (Expect{Seq: 4}) {
		t.Errorf("got %+v, %v", m, err)
	}
	for text, code := range map[string]Code{
		`{"type":"farewell"}`: CodeUnknownType, `{"type":"hello"}`: CodeUnknownType,
		`{"type":"expect","seq":"4"}`: CodeMalformed, `{"type":"expect"} {}`: CodeMalformed, `{}`: CodeMalformed,
	} {
		_, err := DecodeDown([]byte(text))
		var e *Error
		if !errors.As(err, &e) || e.Code != code {
			t.Errorf("%s: %v, want %s", text, err, code)
		}
	}
}

// SPEC W9: the same in one request.
func TestPost(t *testing.T) {
	hello := `{"protocol":1,"app":"","device":"` + string(dev) + `","cursor":"","generation":"","sent":1}`
	edit := `{"id":"` + string(idA) + `","seq":1,"name":"punch","version":1,"args":{},"happened":1,"offset":0}`
	p, err := DecodePost([]byte(`{"hello":` + hello + `,"edits":[` + edit + `]}`))
	if err != nil || p.Hello.Device != dev || len(p.Edits) != 1 || p.Edits[0].ID != idA {
		t.Errorf("got %+v, %v", p, err)
	}
	for text, code := range map[string]Code{
		`{}`: CodeMalformed, `{"hello":` + hello + `,"edits":[` + edit + `],"x":1}`: CodeMalformed,
		`{"hello":` + hello + `,"edits":[` + edit + `,` + edit + `]}`: CodeMalformed,
		`{"hello":{"type":"ping"},"edits":[]}`:                        CodeUnknownType, strings.Repeat(" ", MaxUp+1): CodeTooLarge,
	} {
		_, err := DecodePost([]byte(text))
		var e *Error
		if !errors.As(err, &e) || e.Code != code {
			t.Errorf("%.60s: %v, want %s", text, err, code)
		}
	}
}

// Every code has a sentence that says how it goes on.
func TestSays(t *testing.T) {
	for _, c := range []Code{CodeMalformed, CodeTooLarge, CodeTooMany, CodeUnknownType, CodeOrder, CodeProtocol, CodeSignedOut,
		CodeRevoked, CodeEpoch, CodeDevice, CodeSlow, CodeShutdown, CodeUnavailable, CodeCrowded} {
		if b := ByeOf(c); b.Code != c || len(b.Say) < 30 || !strings.HasSuffix(b.Say, ".") {
			t.Errorf("%s: %+v", c, b)
		}
	}
	if got := ByeFor(errors.New("disk full")).Code; got != CodeUnavailable {
		t.Errorf("an unknown error is answered with %s", got)
	}
}

func FuzzDecodeUp(f *testing.F) {
	for _, m := range messages() {
		b, err := Encode(m)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		m, err := DecodeUp(b)
		if err != nil {
			var e *Error
			if !errors.As(err, &e) {
				t.Fatalf("%v is not an *Error", err)
			}
			return
		}
		again, err := Encode(m)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := DecodeUp(again); err != nil || !reflect.DeepEqual(back, m) {
			if len(again) <= MaxUp { // spelling it out may make it longer
				t.Fatalf("%+v came back as %+v, %v", m, back, err)
			}
		}
	})
}

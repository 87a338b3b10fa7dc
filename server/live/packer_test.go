package live

import (
	"bytes"
	"compress/flate"
	"io"
	"math/rand/v2"
	"strings"
	"testing"

	"fairday/sync/desk"
	"fairday/sync/wire"
)

// SPEC W10: whatever a message is made of, its pieces are one stream.
func TestPieces(t *testing.T) {
	noise := make([]byte, 200<<10)
	for i := range noise {
		noise[i] = byte(rand.Uint32())
	}
	p := newPacker()
	for name, pieces := range map[string][]string{
		"nothing":         {"", ""},
		"short":           {`{"type":"`, `pong"}`},
		"a snapshot":      {`{"type":"snapshot",`, strings.Repeat(`"title":"Kettle",`, 4000), `}`},
		"long, long":      {strings.Repeat("[kettle", 100), strings.Repeat("lamp]", 200)},
		"noise":           {"{", string(noise), "}", string(noise[:5000])},
		"the same thrice": {strings.Repeat("kettle ", 100), strings.Repeat("kettle ", 100), strings.Repeat("kettle ", 100)},
	} {
		m := message{text: []byte(pieces[0])}
		for _, rest := range pieces[1:] {
			m.rest = append(m.rest, &desk.Part{Text: []byte(rest), Lasts: len(rest) > 1000})
		}
		got, err := unpacked(bytes.Join(p.message(m), nil))
		if want := strings.Join(pieces, ""); err != nil || string(got) != want {
			t.Errorf("%s: %d bytes of %d, %v", name, len(got), len(want), err)
		}
	}
}

// unpacked reads a packed message as a phone does.
func unpacked(b []byte) ([]byte, error) {
	return io.ReadAll(io.LimitReader(flate.NewReader(bytes.NewReader(b)), wire.MaxDown+1))
}

package wire

import (
	"encoding/json"
	"errors"
	"reflect"
	"strings"
	"testing"
)

// signedText is an edit as a page signs it.
const signedText = `{"fairday":"waiting edit 1","shoot":"s","owner":"` + string(idA) + `","device":"` + string(dev) + `","epoch":2,"until":1795608000000,"after":9,` +
	`"edit":{"id":"` + string(idB) + `","seq":10,"name":"punch","version":1,"args":{"kind":"in"},"happened":1,"offset":-250}}`

// SPEC Q13: what a page signed is read as it is, or not at all.
func TestHanded(t *testing.T) {
	h, err := DecodeHanded([]byte(signedText))
	if err != nil || h.Epoch != 2 || h.After != 9 || h.Edit.Seq != 10 || h.Device != dev || string(h.Edit.Args) != `{"kind":"in"}` {
		t.Fatalf("%+v, %v", h, err)
	}
	for old, bad := range map[string]string{"edit 1": "edit 2", `"epoch":2`: `"epoch":-1`, `"after":9`: `"after":10`, `"seq":10`: `"seq":0`, `{"kind":"in"}`: `{"kind":}`,
		`"shoot"`: `"place":1,"shoot"`, string(dev): "x", string(idA): "", `"args":{"kind":"in"},`: ""} {
		if _, err := DecodeHanded([]byte(strings.Replace(signedText, old, bad, 1))); err == nil {
			t.Errorf("with %s it is read", bad)
		}
	}
	for _, text := range []string{"", "null", "{}", signedText + "x", signedText + strings.Repeat(" ", maxHanded)} {
		if _, err := DecodeHanded([]byte(text)); err == nil {
			t.Errorf("%.40q is read", text)
		}
	}
}

func FuzzDecodeHanded(f *testing.F) {
	f.Add([]byte(signedText))
	f.Fuzz(func(t *testing.T, b []byte) {
		h, err := DecodeHanded(b)
		var e *Error
		if err != nil {
			if !errors.As(err, &e) {
				t.Fatalf("%v is not an *Error", err)
			}
			return
		}
		again, err := json.Marshal(h)
		if err != nil {
			t.Fatal(err)
		}
		back, err := DecodeHanded(again)
		if len(again) <= maxHanded && (err != nil || back.Edit.Args == nil) {
			t.Fatalf("%+v came back as %+v, %v", h, back, err)
		}
		if back.Edit.Args, h.Edit.Args = nil, nil; err == nil && !reflect.DeepEqual(back, h) {
			t.Fatalf("%+v came back as %+v", h, back)
		}
	})
}

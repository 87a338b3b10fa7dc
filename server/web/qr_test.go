package web

import (
	"fmt"
	"strings"
	"testing"

	qr "github.com/piglig/go-qr"
)

// A drawn code has four empty modules on each side (the quiet zone of
// ISO/IEC 18004; the number is from memory).
func TestQRImageHasItsQuietZone(t *testing.T) {
	const text = "http://shoot.example.com/join/0123456789"
	q, err := qr.EncodeText(text, qr.Low)
	if err != nil {
		t.Fatal(err)
	}
	image, err := QRImage(text)
	if err != nil {
		t.Fatal(err)
	}
	side := (4 + q.Size() + 4) * 4 // pixels, four to a module
	for _, want := range []string{fmt.Sprintf(`viewBox="0 0 %d %d"`, side, side), "M16,16"} {
		if !strings.Contains(string(image), want) {
			t.Errorf("%s is not in %.200s", want, image)
		}
	}
}

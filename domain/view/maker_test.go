package view

import "testing"

// A name from right to left goes between isolates, so that a time after it stays
// after it; any other is left as it is.
func TestApart(t *testing.T) {
	for name, want := range map[string]string{
		"Ada Example": "Ada Example", "Jürgen Straße": "Jürgen Straße", "山田 花子": "山田 花子", "": "",
		"אדה": "\u2068אדה\u2069", "ليلى Sample": "\u2068ليلى Sample\u2069", "\U0001E900": "\u2068\U0001E900\u2069",
	} {
		if got := Apart(name); got != want {
			t.Errorf("%q becomes %q", name, got)
		}
	}
}

package sun

import "testing"

func TestFixed(t *testing.T) {
	for text, want := range map[string]int{"38.722": 38_722_000, "-9.1393": -9_139_300, "0": 0, "-0.000001": -1, "180": 180_000_000, "7.": 7_000_000} {
		if n, ok := Fixed(text, 6); !ok || n != want {
			t.Errorf("%s: %d, %t", text, n, ok)
		}
	}
	for _, text := range []string{"", "-", ".5", "1.2345678", "1,5", "1e3", "north", "--1", "+1", " 1", "1.-2", "99999999999", "1.2.3"} {
		if n, ok := Fixed(text, 6); ok {
			t.Errorf("%q is read as %d", text, n)
		}
	}
	for _, n := range []int{0, 1, -1, 99, 100, -100, 120, 38_722_000, -180_000_000} {
		for _, places := range []int{0, 2, 6} {
			if back, ok := Fixed(FixedText(n, places), places); !ok || back != n {
				t.Errorf("%d comes back as %d from %s", n, back, FixedText(n, places))
			}
		}
	}
	if got := FixedText(1250, 2) + " " + FixedText(-5, 2); got != "12.5 -0.05" {
		t.Error(got)
	}
}

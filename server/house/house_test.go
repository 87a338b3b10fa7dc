package house

import (
	"strings"
	"testing"
)

// Who of a shoot is somebody on the list: the name decides, and the phone numbers where
// both are known, however they are written.
func TestSame(t *testing.T) {
	p := Person{Name: "Bea  Example", Phone: "+1 555-0101"}
	for _, c := range []struct {
		name, phone string
		want        bool
	}{
		{"bea example", "", true}, {" Bea Example ", "+1 (555) 01 01", true}, {"Bea Example", "555-0199", false},
		{"Bea Examples", "+1 555-0101", false}, {"", "", false},
	} {
		if p.Same(c.name, c.phone) != c.want {
			t.Errorf("%q, %q", c.name, c.phone)
		}
	}
}

func TestWrong(t *testing.T) {
	for _, c := range []struct{ text, say string }{
		{"Bea Example", ""}, {"Łucja Ægir", ""}, {"two\nlines", ""}, {"", ""},
		{strings.Repeat("é", 80), ""}, {strings.Repeat("é", 81), "too long: 81 characters, 80 fit"},
		{"a\x00b", "cannot be shown"}, {"a\u202eb", "cannot be shown"}, {"\xff", "cannot be shown"},
	} {
		if say := Wrong("name", c.text, 80); c.say == "" && say != "" || !strings.Contains(say, c.say) {
			t.Errorf("%q: %q", c.text, say)
		}
	}
}

// An owner who ended, or whose epoch has moved on, is not let in; nor is nobody.
func TestAdmits(t *testing.T) {
	for _, c := range []struct {
		o    Owner
		want bool
	}{{Owner{ID: "a", Epoch: 2}, true}, {Owner{ID: "a", Epoch: 3}, false}, {Owner{ID: "a", Epoch: 2, Ended: true}, false}, {Owner{Epoch: 2}, false}} {
		if c.o.Admits(2) != c.want {
			t.Errorf("%+v", c.o)
		}
	}
}

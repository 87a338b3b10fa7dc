package payrule

import (
	"strings"
	"testing"
)

func TestReadShare(t *testing.T) {
	for _, c := range []struct {
		s     string
		usual bool
		want  string // "" where it asks back
		says  string
	}{
		{"0.25", false, "0.25", ""}, {"25%", false, "0.25", ""}, {"1/4", false, "0.25", ""}, {" 20 % ", false, "", "not a number"},
		{"5", false, "", "5 reads as 500%; write 5% if that was meant, or 500%"},
		{"13.8", false, "", "13.8 reads as 1380%; write 13.8% if that was meant"},
		{"1", false, "", "1 reads as 100%; write 1% if that was meant, or 100%"},
		{"1", true, "1", ""}, {"100%", false, "1", ""}, {"500%", false, "5", ""}, {"1.5", true, "", "150%"},
		{"9000000000000000000", false, "", "too big"}, {"a fifth", false, "", "not a number"}, {"", false, "", "not a number"},
	} {
		r, err := ReadShare(c.s, c.usual)
		switch {
		case c.want != "" && (err != nil || r.String() != c.want):
			t.Errorf("%q: %v %v", c.s, r, err)
		case c.want == "" && (err == nil || !strings.Contains(err.Error(), c.says)):
			t.Errorf("%q: %v does not say %q", c.s, err, c.says)
		}
	}
}

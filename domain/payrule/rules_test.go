package payrule

import (
	"strings"
	"testing"
)

// No line of the table is lost, and none says less than a rule needs.
func TestTable(t *testing.T) {
	rules, lines := Rules(), 0
	for line := range strings.Lines(table) {
		if !strings.HasPrefix(line, "= ") {
			lines++
		}
	}
	if len(rules) != lines || lines < 50 {
		t.Errorf("%d rules of %d lines", len(rules), lines)
	}
	keys := map[string]bool{}
	for _, r := range rules {
		if keys[r.Key] || r.Path == "" || r.Label == "" || r.Help == "" || r.Kind == Choice && len(r.Options) < 2 {
			t.Errorf("%+v", r)
		}
		keys[r.Key] = true
	}
}

package plan

import (
	"strconv"
	"strings"
	"testing"
)

// withKinds is the small plan on a travel day, with a day of their own for one of two.
var withKinds = strings.NewReplacer("  - day: 1\n", "  - day: 1\n    kind: travel\n    kinds: {ben: scouting}\n",
	"bands: [{after: 10, times: 1.5}]}", "bands: [{after: 10, times: 1.5}], other-days: [{kind: scouting, share: 75%, worked: true}]}").Replace(small)

func TestKindsOfDays(t *testing.T) {
	p, problems := load(withKinds)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	s, _ := replay(t, p)
	for day := range s.Floor.Days {
		for _, who := range p.People {
			if got, want := s.KindOf(day, who.ID), map[string]string{"ada": "travel", "ben": "scouting"}[who.Key]; got != want {
				t.Errorf("%s: %q, want %q", who.Key, got, want)
			}
		}
	}
	for _, m := range []spoiled{
		{"a kind that nobody names", "kind: travel", "kind: traval", "18 bad_value", "traval"},
		{"a list for a kind", "kind: travel", "kind: [travel]", "18 wrong_type", ""},
		{"of somebody unknown", "ben: scouting", "bob: scouting", "19 unknown_reference", "bob"},
		{"that nobody names, of one", "ben: scouting", "ben: resting", "19 bad_value", "resting"},
	} {
		t.Run(m.name, func(t *testing.T) {
			if !strings.Contains(withKinds, m.old) {
				t.Fatalf("%q is not in the plan", m.old)
			}
			_, problems := load(strings.Replace(withKinds, m.old, m.new, 1))
			if len(problems) != 1 {
				t.Fatalf("the problems are %v", problems)
			}
			got := problems[0]
			if told := strings.Fields(m.want); string(got.Code) != told[1] || strconv.Itoa(got.Line) != told[0] || !strings.Contains(got.Say, m.says) {
				t.Errorf("it says %s", got)
			}
		})
	}
}

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

// A percentage that was written without its sign asks back by the name of its field,
// and so does an amount that is too large.
func TestSharesAndAmountsAskBack(t *testing.T) {
	const huge = "99999999999999999999"
	for rule, says := range map[string]string{
		"night: {from: 22:00, to: 06:00, extra: 5}":                        "“extra” in the night cannot stand: 5 reads as 500%; write 5% if that was meant, or 500%",
		"agency: {share: 20}":                                              "20 reads as 2000%; write 20% if that was meant",
		"agency: {share: 1}":                                               "1 reads as 100%; write 1% if that was meant",
		"half-day: {up-to: 5, share: 60}":                                  "60 reads as 6000%",
		"on-costs: [{name: insurance, share: 13.8}]":                       "“share” in the on-cost insurance cannot stand: 13.8 reads as 1380%",
		"cancellation: [{within: 24, share: 50}]":                          "50 reads as 5000%",
		"postponement: [{within: 24, share: 50}]":                          "50 reads as 5000%",
		"other-days: [{kind: travel, share: 50}]":                          "50 reads as 5000%",
		"weekend: {sunday: 150}":                                           "if 150% was meant, write 150%",
		"base: " + huge:                                                    "“base” in the terms usual cannot stand: that number is too big",
		"base: 99999999999999":                                             "the hourly base is more than anybody is paid",
		"meal: {due: 6, every: 30, amounts: [20, " + huge + "]}":           "“amounts” in the meal rule",
		"turnaround: {rest: 11, every: 30, amounts: [20, 99999999999999]}": "turnaround penalty 2 is more than anybody is paid",
		"extras: [{name: kit, amount: " + huge + "}]":                      "“amount” in the line of extras kit",
		"usage: [{name: web, amount: 99999999999999}]":                     "web is more than anybody is paid",
		"extras: [{name: kit, amount: 1, count: 99999999999}]":             "too many",
	} {
		_, problems := load(strings.Replace(small, "bands: [{after: 10, times: 1.5}]}", "bands: [{after: 10, times: 1.5}], "+rule+"}", 1))
		if len(problems) != 1 || !strings.Contains(problems[0].Say, says) {
			t.Errorf("%s: %v does not say %q", rule, problems, says)
		}
	}
	for file, says := range map[string]string{
		strings.Replace(small, "rate: 640.00", "rate: "+huge, 1):                                                      "“rate” in the terms usual cannot stand: that number is too big",
		strings.Replace(small, "rate: 900.00", "rate: "+huge, 1):                                                      "“rate” in the terms of the hire Mill",
		strings.Replace(small, "terms: usual}", "terms: usual, employee: new-york, minimum-wage: "+huge+"}", 1):       "“minimum-wage” in the person ada",
		strings.Replace(small, "terms: usual}", "terms: usual, employee: new-york, minimum-wage: 99999999999999}", 1): "minimum wage is more than anybody is paid",
	} {
		_, problems := load(file)
		if len(problems) != 1 || !strings.Contains(problems[0].Say, says) {
			t.Errorf("%v does not say %q", problems, says)
		}
	}
}

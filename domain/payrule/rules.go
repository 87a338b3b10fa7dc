package payrule

import (
	_ "embed" // for the table
	"strings"
)

// table is the vocabulary, a line for each rule under the name of its group, in the
// order in which it is asked and explained:
//
//	key | path | kind | flags | example | word left out | options | label | help
//
// The flags are N for needed, H for a place or equipment too and T for one that the
// description writes by its label. Options are value=word=label, with a semicolon
// between them. A table is a tenth of the size that the same list has as code.
//
//go:embed rules.txt
var table string

// Rules gives the vocabulary.
func Rules() []Rule {
	var out []Rule
	group := ""
	for line := range strings.Lines(table) {
		line = strings.TrimSuffix(line, "\n")
		if name, ok := strings.CutPrefix(line, "= "); ok {
			group = name
			continue
		}
		f := strings.Split(line, " | ")
		if len(f) != 9 {
			continue // a test counts the lines
		}
		r := Rule{Key: f[0], Path: f[1], Kind: Kind(f[2]), Needed: strings.Contains(f[3], "N"), Hire: strings.Contains(f[3], "H"), Newer: strings.Contains(f[3], "T"),
			Example: f[4], Word: f[5], Group: group, Label: f[7], Help: f[8]}
		for o := range strings.SplitSeq(f[6], ";") {
			if p := strings.Split(o, "="); len(p) == 3 {
				r.Options = append(r.Options, Option{p[0], p[1], p[2]})
			}
		}
		out = append(out, r)
	}
	return out
}

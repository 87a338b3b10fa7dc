package payrule

import (
	_ "embed" // for the table
	"strconv"
	"strings"
)

// table is the vocabulary, a line for each rule under the name of its group, in the
// order in which it is asked and explained:
//
//	key | path | kind | flags | limits | example | word left out | options | label | help
//
// The flags are N for needed, H for a place or equipment too and T for one that the
// description writes by its label. Limits are least..most as a person writes the
// value, without the least where there is none; of a list, how long it may be.
// Options are value=word=label, with a semicolon
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
		if len(f) != 10 {
			continue // a test counts the lines
		}
		r := Rule{Key: f[0], Path: f[1], Kind: Kind(f[2]), Needed: strings.Contains(f[3], "N"), Hire: strings.Contains(f[3], "H"), Newer: strings.Contains(f[3], "T"),
			Example: f[5], Word: f[6], Group: group, Label: f[8], Help: f[9]}
		if least, most, ok := strings.Cut(f[4], ".."); ok {
			r.Least, r.Most = number(least), number(most)
		}
		for o := range strings.SplitSeq(f[7], ";") {
			if p := strings.Split(o, "="); len(p) == 3 {
				r.Options = append(r.Options, Option{p[0], p[1], p[2]})
			}
		}
		out = append(out, r)
	}
	return out
}

// number reads a limit, 0 for none.
func number(s string) int64 {
	n, err := strconv.ParseInt(s, 10, 64)
	if err != nil {
		return 0
	}
	return n
}

// Package payrule is the one vocabulary for a rule of pay: what each term is called
// in a plan file and on a form, of what kind it is, what it may be, and what it
// means. The plan file, its reference, the form and the description on screen read
// it; package overtime reckons, and is the judge of what goes together.
package payrule

import (
	"strconv"
	"strings"
)

// Kind is what sort of value a rule takes.
type Kind string

// The kinds. In a plan file a list is a list of tables with the fields in brackets.
const (
	Choice  Kind = "choice"
	Money   Kind = "money"
	Moneys  Kind = "moneys"
	Hours   Kind = "hours"   // in hours, kept as minutes
	Minutes Kind = "minutes" // a whole number
	Count   Kind = "count"
	Ratio   Kind = "ratio" // 1.5 or 150%
	Share   Kind = "share" // 25% or 0.25
	Clock   Kind = "clock"
	Yes     Kind = "yes"     // true or false
	Bands   Kind = "bands"   // (after, times, elapsed)
	Costs   Kind = "costs"   // (name, share)
	Extras  Kind = "extras"  // (name, amount, count)
	Others  Kind = "others"  // (kind, share, worked)
	Notices Kind = "notices" // (within, share)
	Dates   Kind = "dates"
)

// Option is one value of a choice.
type Option struct {
	Value string // as the terms keep it
	Word  string // in a plan file, where it is another
	Label string
}

// Rule is one term.
type Rule struct {
	Key     string // in a plan file; "half-day.up-to" is up-to in the table half-day
	Path    string // in the JSON of overtime.Terms
	Label   string
	Kind    Kind
	Group   string // what it is folded away with on a form
	Help    string
	Least   int64  // as a person writes it: hours, minutes, times, percent, or how many
	Most    int64  // in the same unit, 0 for no limit of its own
	Needed  bool   // in its table
	Example string // of what a plan file says
	Options []Option
	Word    string // what a plan file means that leaves out a choice
	Hire    bool   // goes with a place or equipment too
	Newer   bool   // the description writes it down by its label
}

// Table is the part of a key before the dot, "" for a rule that is in none.
func (r Rule) Table() string {
	table, _, in := strings.Cut(r.Key, ".")
	if !in {
		return ""
	}
	return table
}

// Field is the part of a key after the dot.
func (r Rule) Field() string { return r.Key[strings.IndexByte(r.Key, '.')+1:] }

// Reference writes the rules down for the head of a plan file: each key with what it
// means, in lines of a comment.
func Reference() string {
	var b strings.Builder
	table := ""
	for _, r := range Rules() {
		key, indent := r.Field(), "  "
		if t := r.Table(); t != table {
			if table = t; t != "" {
				b.WriteString("#   " + t + ", a table:\n")
			}
		}
		if table != "" {
			indent = "    "
		}
		line := "# " + indent + pad(key, 12)
		for _, word := range strings.Fields(strings.TrimSuffix(r.Label, ", in minutes") + ". " + r.Help + words(r) + " " + r.Limits()) {
			if len([]rune(line))+1+len([]rune(word)) > 78 {
				b.WriteString(strings.TrimRight(line, " ") + "\n")
				line = "# " + indent + pad("", 12)
			}
			line += " " + word
		}
		b.WriteString(line + "\n")
	}
	return b.String()
}

func pad(s string, n int) string { return s + strings.Repeat(" ", max(n-len(s), 0)) }

// words says what a plan file may say.
func words(r Rule) string {
	switch r.Kind {
	case Choice:
		var all []string
		for _, o := range r.Options {
			if w := o.File(); w != "" {
				all = append(all, w)
			}
		}
		return " One of: " + strings.Join(all, ", ") + "."
	case Hours:
		return " In hours."
	case Minutes:
		return " In minutes."
	case Yes:
		return " True or false."
	case Bands:
		return " A list of after (in hours), times and elapsed."
	case Costs:
		return " A list of name and share."
	case Extras:
		return " A list of name, amount and count."
	case Others:
		return " A list of kind, share and worked."
	case Notices:
		return " A list of within (in hours) and share."
	case Moneys:
		return " A list."
	case Dates:
		return " A list of dates."
	}
	return ""
}

// Limits says what a value may be, in a sentence; "" where it has no limit of its own.
func (r Rule) Limits() string {
	least, most := strconv.FormatInt(r.Least, 10), strconv.FormatInt(r.Most, 10)
	if r.Kind == Share {
		most += "%"
	}
	switch {
	case r.Most == 0:
		return ""
	case r.Least == 0:
		return "At most " + most + "."
	}
	return "From " + least + " to " + most + "."
}

// File is how a plan file says it.
func (o Option) File() string {
	if o.Word != "" {
		return o.Word
	}
	return o.Value
}

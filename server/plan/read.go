package plan

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"fairday/domain/money"
	"fairday/domain/when"
)

// reader goes through one file.
type reader struct {
	file     string
	date     when.Date
	zone     when.Zone
	currency money.Currency
	now      when.Instant
	tick     when.Instant
	random   io.Reader
	fault    error // of random

	problems []Problem
	steps    []step
	spoiled  map[string]bool // what cannot be made, by id
	plan     Plan

	people, setups, heroes book
	terms                  map[string]*table // named terms
	termsLost              bool
	kinds                  []string // of days, that any terms name
}

// parse gives the file's outermost mapping, or nil after a problem.
func (r *reader) parse(file io.Reader) *yaml.Node {
	b, err := io.ReadAll(io.LimitReader(file, MaxBytes+1))
	switch {
	case err != nil:
		r.complain(0, CodeUnreadable, "The file could not be read: %v. Check that it is there and that you may open it.", err)
		return nil
	case len(b) > MaxBytes:
		r.complain(0, CodeTooLarge, "The file is larger than %d kB. A plan is text only; leave out what is not part of it.", MaxBytes>>10)
		return nil
	}
	var doc, more yaml.Node
	dec := yaml.NewDecoder(bytes.NewReader(b))
	switch err := dec.Decode(&doc); {
	case errors.Is(err, io.EOF) || (err == nil && emptyDoc(&doc)):
		r.complain(0, CodeEmpty, "The file is empty. Start from the one that \"fairday example\" prints and change what is different.")
		return nil
	case err != nil:
		r.badYAML(err)
		return nil
	}
	if err := dec.Decode(&more); err == nil {
		r.complain(more.Line, CodeYAML, "A second document starts here. Keep one shoot to a file, without a line of three dashes.")
	} else if !errors.Is(err, io.EOF) {
		r.badYAML(err)
		return nil
	}
	r.plain(&doc)
	return doc.Content[0]
}

func emptyDoc(doc *yaml.Node) bool {
	return len(doc.Content) == 0 || (doc.Content[0].Kind == yaml.ScalarNode && doc.Content[0].Value == "") || isNull(doc.Content[0])
}

var yamlLine = regexp.MustCompile(`^yaml: (?:line (\d+): )?`)

func (r *reader) badYAML(err error) {
	m := yamlLine.FindStringSubmatch(err.Error())
	line, what := 0, err.Error()
	if m != nil {
		line, _ = strconv.Atoi(m[1]) // nought where it names no line
		what = what[len(m[0]):]
	}
	r.complain(line, CodeYAML, "The file cannot be read from about here (%s). Look at the indents, colons and quotes of this line and its neighbours.", what)
}

// plain refuses what makes a file say more than it shows.
func (r *reader) plain(n *yaml.Node) {
	if n.Kind == yaml.AliasNode || n.Anchor != "" || n.Style&yaml.TaggedStyle != 0 {
		r.complain(n.Line, CodeNotPlain, "Plan files do without &names, *names and !tags. Write the value out; terms that many people share can be named under terms.")
		return
	}
	for _, c := range n.Content {
		r.plain(c)
	}
}

// table is one mapping of the file, a row of the plan.
type table struct {
	*reader
	what   string // what it is: "shot", "person anna"
	line   int
	fields map[string]*yaml.Node
	lines  map[string]int // of the keys
	keys   []string       // as the file orders them
	bad    bool           // has a problem, so that it makes no intent
	shape  bool           // it is a mapping at all
}

func (t *table) wrong(line int, code Code, format string, args ...any) {
	t.bad = true
	t.complain(line, code, format, args...)
}

// open reads a mapping. With known keys, others are problems. It is never nil.
func (r *reader) open(n *yaml.Node, line int, what string, known ...string) *table {
	t := &table{reader: r, what: what, line: line, fields: map[string]*yaml.Node{}, lines: map[string]int{}, shape: n.Kind == yaml.MappingNode}
	if !t.shape {
		t.wrong(line, CodeType, "The %s must be lines of “word: value”, not %s. Indent them under it.", what, kindOf(n))
		return t
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		k, v := n.Content[i], n.Content[i+1]
		switch {
		case k.Kind != yaml.ScalarNode:
			t.wrong(k.Line, CodeType, "In the %s there is %s where a word should be. Write “word: value”.", what, kindOf(k))
		case t.lines[k.Value] != 0:
			t.wrong(k.Line, CodeDuplicate, "“%s” is twice in the %s, first on line %d. Keep one of them.", clip(k.Value), what, t.lines[k.Value])
		case len(known) > 0 && !slices.Contains(known, k.Value):
			t.wrong(k.Line, CodeUnknownKey, "“%s” means nothing in the %s. Use one of: %s.", clip(k.Value), what, strings.Join(known, ", "))
		default:
			t.lines[k.Value] = k.Line
			t.keys = append(t.keys, k.Value)
			if !isNull(v) {
				t.fields[k.Value] = v
			}
		}
	}
	return t
}

// at is the line of a field, or of the table where it has none.
func (t *table) at(key string) int {
	if n := t.lines[key]; n != 0 {
		return n
	}
	return t.line
}

// needs says that a field is missing, unless it is there or the table is no
// table at all.
func (t *table) needs(key, example string) bool {
	if t.fields[key] == nil && t.shape {
		t.wrong(t.at(key), CodeMissing, "“%s” is missing in the %s. Add a line like “%s: %s”.", key, t.what, key, example)
	}
	return t.fields[key] != nil
}

// part is needs for what takes more than a line.
func (t *table) part(key string) bool {
	if t.fields[key] == nil && t.shape {
		t.wrong(t.at(key), CodeMissing, "“%s” is missing in the %s. Add a part that starts with “%s:”, as in the one that \"fairday example\" prints.", key, t.what, key)
	}
	return t.fields[key] != nil
}

// scalar gives a field's text; "" where it is not there.
func (t *table) scalar(key string) string {
	n := t.fields[key]
	if n == nil {
		return ""
	}
	if n.Kind != yaml.ScalarNode {
		t.wrong(n.Line, CodeType, "“%s” in the %s must be one value, not %s.", key, t.what, kindOf(n))
		return ""
	}
	return strings.TrimSpace(n.Value)
}

// text is a scalar that must be there.
func (t *table) text(key, example string) string {
	if !t.needs(key, example) {
		return ""
	}
	return t.scalar(key)
}

// number reads a whole number; fallback where it is not there.
func (t *table) number(key string, fallback int) int {
	s := t.scalar(key)
	if s == "" {
		return fallback
	}
	n, err := strconv.Atoi(s)
	if err != nil {
		t.wrong(t.at(key), CodeValue, "“%s” is not a whole number. Write “%s” in the %s in digits, like 30.", clip(s), key, t.what)
	}
	return n
}

// flag reads true or false; false where it is not there.
func (t *table) flag(key string) bool {
	switch s := t.scalar(key); s {
	case "true":
		return true
	case "", "false":
	default:
		t.wrong(t.at(key), CodeValue, "“%s” is neither true nor false. Write one of the two words.", clip(s))
	}
	return false
}

// clock reads a time of day that must be there.
func (t *table) clock(key string) when.Clock {
	s := t.text(key, "07:30")
	if s == "" {
		return 0
	}
	c, err := when.ParseClock(s)
	t.check(key, err)
	return c
}

// check turns an error about a field into a problem.
func (t *table) check(key string, err error) {
	if err != nil {
		t.wrong(t.at(key), CodeValue, "“%s” in the %s cannot stand: %v.", key, t.what, err)
	}
}

// choice reads one word of a list, the first where it is not there.
func choice[T ~string](t *table, key string, words []T) T {
	s := t.scalar(key)
	if s == "" {
		return words[0]
	}
	if !slices.Contains(words, T(s)) {
		t.wrong(t.at(key), CodeValue, "“%s” is not one of: %s. Choose one for “%s” in the %s.", clip(s), list(words), key, t.what)
	}
	return T(s)
}

// items gives the elements of a list.
func (t *table) items(key string, most int) []*yaml.Node {
	n := t.fields[key]
	switch {
	case n == nil:
		return nil
	case n.Kind != yaml.SequenceNode:
		t.wrong(n.Line, CodeType, "“%s” in the %s must be a list, not %s. Start each line with a dash, or write [one, two].", key, t.what, kindOf(n))
		return nil
	case len(n.Content) > most:
		t.wrong(n.Line, CodeTooMany, "“%s” in the %s lists %d, and %d fit. Leave out what this shoot does not need.", key, t.what, len(n.Content), most)
		return nil
	}
	return n.Content
}

// words reads a list of texts. It is never nil.
func (t *table) words(key string, most int) []string {
	out := []string{}
	for _, n := range t.items(key, most) {
		if n.Kind != yaml.ScalarNode || isNull(n) {
			t.wrong(n.Line, CodeType, "“%s” in the %s must list single values, not %s.", key, t.what, kindOf(n))
			continue
		}
		out = append(out, strings.TrimSpace(n.Value))
	}
	return out
}

// rows opens each element of a list of tables. The first of the known keys
// tells them apart in sentences.
func (t *table) rows(key, what string, most int, known ...string) []*table {
	var out []*table
	for _, n := range t.items(key, most) {
		row := t.open(n, n.Line, what, known...)
		if v := row.fields[known[0]]; v != nil && v.Kind == yaml.ScalarNode {
			row.what += " " + clip(v.Value)
		}
		out = append(out, row)
	}
	return out
}

var plainKey = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,39}$`)

// named opens each value of a mapping from keys to tables, in order; ok is false
// where there is something else instead.
func (t *table) named(key, what string, most int, known ...string) (keys []string, tables []*table, ok bool) {
	n := t.fields[key]
	if n == nil {
		return nil, nil, true
	}
	all := t.open(n, t.at(key), "list of "+key)
	if len(all.keys) > most {
		all.wrong(all.line, CodeTooMany, "There are %d %s, and %d fit. Leave out what this shoot does not need.", len(all.keys), key, most)
		return nil, nil, false
	}
	for _, k := range all.keys {
		v := all.fields[k]
		if v == nil {
			v = &yaml.Node{Kind: yaml.MappingNode}
		}
		row := t.open(v, all.lines[k], what+" "+clip(k), known...)
		if !plainKey.MatchString(k) {
			row.wrong(row.line, CodeValue, "“%s” cannot be a key. Use up to 40 small letters, digits and hyphens, like hero-lamp.", clip(k))
		}
		keys, tables = append(keys, k), append(tables, row)
	}
	return keys, tables, all.shape
}

func isNull(n *yaml.Node) bool { return n.Kind == yaml.ScalarNode && n.Tag == "!!null" }

func kindOf(n *yaml.Node) string {
	switch {
	case isNull(n):
		return "nothing"
	case n.Kind == yaml.MappingNode:
		return "“word: value”"
	case n.Kind == yaml.SequenceNode:
		return "a list"
	case n.Kind == yaml.AliasNode:
		return "a *name"
	}
	return fmt.Sprintf("“%s”", clip(n.Value))
}

func list[T ~string](words []T) string {
	var out []string
	for _, w := range words {
		if w != "" {
			out = append(out, string(w))
		}
	}
	return strings.Join(out, ", ")
}

// clip keeps what somebody wrote short enough for a sentence.
func clip(s string) string {
	if r := []rune(s); len(r) > 60 {
		return string(r[:60]) + "…"
	}
	return s
}

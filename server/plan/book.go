package plan

import (
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

// book knows the ids of one kind of row by the keys of the file.
type book struct {
	what string
	keys []string
	ids  map[string]string
	lost bool // the part could not be read, so that no key of it can be blamed
}

func (b *book) put(key, id string) {
	if b.ids == nil {
		b.ids = map[string]string{}
	}
	b.keys, b.ids[key] = append(b.keys, key), id
}

// find gives the id of a key that a row names, or says that nothing has it.
func (t *table) find(b *book, key string, line int) string {
	id, ok := b.ids[key]
	switch {
	case b.lost:
		t.bad = true
	case !ok:
		have := "There is none in the plan yet"
		if len(b.keys) > 0 {
			have = "The plan has: " + clip(strings.Join(b.keys, ", "))
		}
		t.wrong(line, CodeReference, "No %s has the key “%s”. %s.", b.what, clip(key), have)
	}
	return id
}

// finds reads a list of keys as ids, each of them once.
func finds[T ~string](t *table, key string, b *book) []T {
	out := []T{}
	for _, n := range t.items(key, 40) {
		if n.Kind != yaml.ScalarNode {
			t.wrong(n.Line, CodeType, "“%s” in the %s must list single keys, not %s.", key, t.what, kindOf(n))
			continue
		}
		id := T(t.find(b, n.Value, n.Line))
		if slices.Contains(out, id) && id != "" {
			t.wrong(n.Line, CodeDuplicate, "“%s” in the %s names “%s” twice. Keep one of them.", key, t.what, clip(n.Value))
		}
		out = append(out, id)
	}
	return out
}

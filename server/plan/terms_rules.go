package plan

import (
	"cmp"
	"slices"
	"strings"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/payrule"
	"fairday/domain/when"
)

// readRules reads the rules of one table of terms, as the vocabulary has them, and
// puts what is there along its path.
func (t *table) readRules(name string, all map[string]any) {
	for _, r := range payrule.Rules() {
		if r.Table() != name {
			continue
		}
		key := r.Field()
		if t.fields[key] == nil && r.Word == "" && (!r.Needed || !t.needs(key, example(r))) {
			continue
		}
		inner := all
		path := strings.Split(r.Path, ".")
		for _, p := range path[:len(path)-1] {
			next, ok := inner[p].(map[string]any)
			if !ok {
				next = map[string]any{}
				inner[p] = next
			}
			inner = next
		}
		inner[path[len(path)-1]] = t.readRule(r, key)
	}
}

func example(r payrule.Rule) string {
	if r.Kind == payrule.Clock {
		return "07:30"
	}
	return r.Example
}

func (t *table) readRule(r payrule.Rule, key string) any {
	switch r.Kind {
	case payrule.Choice:
		var words []string
		for _, o := range r.Options {
			words = append(words, o.File())
		}
		words = slices.DeleteFunc(words, func(w string) bool { return w == "" })
		if t.fields[key] == nil {
			return r.Word
		}
		said := choice(t, key, words)
		for _, o := range r.Options {
			if o.File() == said {
				return o.Value
			}
		}
		return said
	case payrule.Money:
		return t.amount(key)
	case payrule.Moneys:
		return t.amounts(key)
	case payrule.Hours:
		return t.hours(key)
	case payrule.Minutes, payrule.Count:
		return t.number(key, 0)
	case payrule.Ratio:
		return t.maybe(key, example(r), money.ParseRatio)
	case payrule.Share:
		return t.maybe(key, example(r), rarelyAll)
	case payrule.Clock:
		return t.clock(key)
	case payrule.Yes:
		return t.flag(key)
	case payrule.Bands:
		return t.bands(key, strings.ToLower(strings.TrimSuffix(key, "s"))+bandOf(key), cmp.Or(map[string]string{"week": "40"}[key], "10"))
	case payrule.Costs:
		var out []overtime.OnCost
		for _, row := range t.rows(key, "on-cost", int(r.Most), "name", "share") {
			out = append(out, overtime.OnCost{Name: row.text("name", "insurance"), Share: row.share("share", "13.8%", rarelyAll)})
			t.bad = t.bad || row.bad
		}
		return out
	case payrule.Extras:
		var out []overtime.Extra
		for _, row := range t.rows(key, "line of "+key, int(r.Most), "name", "amount", "count") {
			x := overtime.Extra{Name: row.text("name", "kit"), Count: int64(row.number("count", 0))}
			if row.needs("amount", "45.00") {
				x.Amount = row.amount("amount")
			}
			t.bad = t.bad || row.bad
			out = append(out, x)
		}
		return out
	case payrule.Others:
		var out []overtime.OtherDay
		for _, row := range t.rows(key, "other day", int(r.Most), "kind", "share", "worked") {
			out = append(out, overtime.OtherDay{Kind: row.text("kind", "travel"), Share: row.share("share", "50%", oftenAll), Worked: row.flag("worked")})
			t.bad = t.bad || row.bad
		}
		return out
	case payrule.Notices:
		var out []overtime.Notice
		for _, row := range t.rows(key, key, int(r.Most), "within", "share") {
			n := overtime.Notice{Share: row.share("share", "50%", oftenAll)}
			if row.needs("within", "24") {
				n.Within = row.hours("within")
			}
			t.bad = t.bad || row.bad
			out = append(out, n)
		}
		return out
	case payrule.Dates:
		var out []when.Date
		for _, w := range t.words(key, int(r.Most)) {
			d, err := when.ParseDate(w)
			t.check(key, err)
			out = append(out, d)
		}
		return out
	}
	return nil
}

// bandOf makes "week band" of the key week.
func bandOf(key string) string {
	if key == "week" {
		return " band"
	}
	return ""
}

// inside reads a table within a table, where there is one.
func (t *table) inside(key, what string, read func(*table), known ...string) {
	n := t.fields[key]
	if n == nil {
		return
	}
	row := t.open(n, t.at(key), what, known...)
	if row.shape {
		read(row)
	}
	t.bad = t.bad || row.bad
}

// Shares of which all is usual, such as what a cancelled day costs, and others.
func oftenAll(s string) (money.Ratio, error)  { return payrule.ReadShare(s, true) }
func rarelyAll(s string) (money.Ratio, error) { return payrule.ReadShare(s, false) }

// maybe reads a number or a share, where it is there.
func (t *table) maybe(key, example string, read func(string) (money.Ratio, error)) *money.Ratio {
	if t.fields[key] == nil {
		return nil
	}
	r := t.share(key, cmp.Or(example, "1.5"), read)
	if r.Check() != nil {
		return nil // it was told
	}
	return &r
}

// bands reads a list of bands.
func (t *table) bands(key, what, example string) []overtime.Band {
	var out []overtime.Band
	for _, row := range t.rows(key, what, 12, "after", "times", "elapsed") {
		b := overtime.Band{Elapsed: row.flag("elapsed")}
		if row.needs("after", example) {
			b.After = row.hours("after")
		}
		b.Times = row.ratio("times", "1.5")
		t.bad = t.bad || row.bad
		out = append(out, b)
	}
	return out
}

// ratio reads a number that must be there.
func (t *table) ratio(key, example string) money.Ratio {
	return t.share(key, example, money.ParseRatio)
}

// share reads a number or a share that must be there.
func (t *table) share(key, example string, read func(string) (money.Ratio, error)) money.Ratio {
	s := t.text(key, example)
	if s == "" {
		return money.Ratio{}
	}
	r, err := read(s)
	t.check(key, err)
	return r
}

// amounts reads a list of money, in the shoot's currency where it names none.
func (t *table) amounts(key string) []money.Amount {
	var out []money.Amount
	for _, w := range t.words(key, 20) {
		a, err := money.Parse(w, t.currency)
		t.check(key, err)
		out = append(out, a)
	}
	return out
}

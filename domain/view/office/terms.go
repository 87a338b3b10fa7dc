package office

import (
	"cmp"
	"encoding/json"
	"slices"
	"strconv"
	"strings"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/payrule"
	"fairday/domain/shoot"
	"fairday/domain/view"
)

// termsOf is whose terms are looked at, and the edit that changes them.
type termsOf struct {
	id, name string
	hire     bool
	terms    overtime.Terms
	employee shoot.Employee
	written  bool // there are terms
	intent   string
	args     view.Fields
	extra    []view.Field // what the edit asks for besides terms
}

// terms shows the terms of whom the context asks for.
func (m *maker) terms() *TermsSheet {
	of, ok := m.termsOf(m.c.Of)
	if !ok {
		return &TermsSheet{ID: m.c.Of, Say: "That is not on the shoot any more. Look again."}
	}
	out := &TermsSheet{ID: of.id, Name: of.name}
	currency := m.State.Money.Currency
	if of.written {
		currency = of.terms.Rate.Currency
		out.Rules = rules(of.terms)
		if of.employee.Law != "" {
			out.Rules = append(out.Rules, view.Line{Label: "Labour law", Value: of.employee.Law.Label()})
		}
		change := m.termsForm("Change these terms", of, of.terms, currency, "What was agreed decides.", "")
		out.Change = &change
	} else {
		out.Say = "No terms are written for them. Start from a card."
	}
	for _, c := range overtime.Cards() {
		if (c.Terms.Basis == overtime.Hire) != of.hire && c.Terms.Basis != overtime.AllIn {
			continue
		}
		example := "The card’s example is " + c.Terms.Rate.Format() + "."
		t := c.Terms
		t.Rate = money.Amount{Currency: currency}
		if of.written {
			t.Rate = of.terms.Rate
		}
		out.Cards = append(out.Cards, TermsCard{Name: view.Capital(c.Name), Source: view.Sentence("source: " + c.Source + ", as of " + view.Itoa(c.Year)), Caution: c.Caution,
			Rules: rules(c.Terms), Start: m.termsForm("Start from this card", of, t, currency, c.Caution, example)})
	}
	return out
}

func (m *maker) termsOf(id string) (termsOf, bool) {
	if p, ok := m.State.Floor.People[shoot.PersonID(id)]; ok && !p.Revoked {
		t, written := m.State.Money.Terms[p.ID]
		return termsOf{id: id, name: p.Name, terms: t.Terms, employee: t.Employee, written: written, intent: "terms.set",
			args: view.Fields{"person": p.ID, "base": t.Version, "employee": t.Employee}}, true
	}
	h, ok := m.State.Money.Hires[shoot.HireID(id)]
	if !ok {
		return termsOf{}, false
	}
	return termsOf{id: id, name: h.Name, hire: true, terms: h.Terms, written: true, intent: "hire.set", args: view.Fields{"id": h.ID, "day": h.Day, "base": h.Version},
		extra: []view.Field{
			{Key: "name", Label: "Name", Kind: view.KindText, Value: h.Name, Needed: true, As: view.AsText},
			{Key: "from", Label: "Hours start at", Kind: view.KindTime, Value: h.From.String(), Needed: true, As: view.AsClock},
		}}, true
}

// termsForm asks for all that terms can say.
func (m *maker) termsForm(label string, of termsOf, t overtime.Terms, c money.Currency, say, hint string) view.Action {
	args := view.Fields{"terms": t}
	for k, v := range of.args {
		args[k] = v
	}
	asked := append(of.extra[:len(of.extra):len(of.extra)], termsFields(t, of.hire, hint)...)
	if !of.hire {
		asked = append(asked, employeeFields(of.employee, c)...)
	}
	a := m.Entry(label, of.intent, args, view.Form{Title: "Terms of " + of.name, Submit: "Set the terms", Say: say, Currency: string(c),
		Fields: asked})
	if c == "" {
		return a.Off("Set the currency of the shoot first.")
	}
	return a
}

// termsFields asks for every rule of the vocabulary that goes with whom it is for.
func termsFields(t overtime.Terms, hire bool, hint string) []view.Field {
	var all map[string]any
	raw, err := json.Marshal(t)
	if err == nil {
		err = json.Unmarshal(raw, &all)
	}
	if err != nil {
		return nil // terms are JSON already
	}
	var out []view.Field
	for _, r := range payrule.Rules() {
		if hire && !r.Hire {
			continue
		}
		f := view.Field{Key: "terms." + r.Path, Label: r.Label, Group: r.Group, Hint: r.Help}
		var v any = all
		for _, p := range strings.Split(r.Path, ".") {
			inner, _ := v.(map[string]any)
			v = inner[p]
		}
		termsField(&f, r, v, t.Rate.Currency)
		switch r.Path {
		case "basis":
			f.Needed, f.Hint = true, ""
			f.Options = slices.DeleteFunc(f.Options, func(o view.Option) bool {
				return o.Value != string(overtime.AllIn) && hire != (o.Value == string(overtime.Hire))
			})
		case "rate":
			f.Needed, f.As, f.Hint = true, view.AsAmount, hint
		}
		out = append(out, f)
	}
	return out
}

// askedAs is how a kind of rule is asked for.
var askedAs = map[payrule.Kind]view.Field{
	payrule.Money:   {Kind: view.KindMoney, As: view.AsWage},
	payrule.Moneys:  {Kind: view.KindLines, As: view.AsAmounts, Hint: " One a line."},
	payrule.Hours:   {Kind: view.KindText, As: view.AsHours},
	payrule.Minutes: {Kind: view.KindNumber, As: view.AsMinutes},
	payrule.Count:   {Kind: view.KindNumber, As: view.AsMinutes},
	payrule.Ratio:   {Kind: view.KindText, As: view.AsRatio},
	payrule.Share:   {Kind: view.KindText, As: view.AsShare},
	payrule.Clock:   {Kind: view.KindTime, As: view.AsMaybe},
	payrule.Yes:     {Kind: view.KindChoice, As: view.AsTruth, Needed: true},
	payrule.Choice:  {Kind: view.KindChoice, As: view.AsText},
	payrule.Bands:   {Kind: view.KindLines, As: view.AsBands, Hint: " One a line: 10 x 1.5."},
	payrule.Notices: {Kind: view.KindLines, As: view.AsNotices, Hint: " One a line: 24 x 50%."},
	payrule.Costs:   {Kind: view.KindLines, As: view.AsCosts, Hint: " One a line: insurance 13.8%."},
	payrule.Others:  {Kind: view.KindLines, As: view.AsOthers, Hint: " One a line: travel 50%, or prep 75% worked."},
	payrule.Extras:  {Kind: view.KindLines, As: view.AsExtras, Hint: " One a line: kit 45.00, or mileage 0.67 x 40."},
	payrule.Dates:   {Kind: view.KindLines, As: view.AsDates, Hint: " One a line: 2027-12-25."},
}

// termsField makes the field of a rule, with the value that it has in JSON.
func termsField(f *view.Field, r payrule.Rule, v any, c money.Currency) {
	how := askedAs[r.Kind]
	f.Kind, f.As, f.Needed = how.Kind, how.As, how.Needed
	f.Hint = strings.TrimSpace(f.Hint + how.Hint + " " + r.Limits())
	f.Value = written(r.Kind, v, c)
	if r.Kind == payrule.Money {
		f.Label += ", in " + string(c)
	}
	for _, o := range r.Options {
		f.Options = append(f.Options, view.Option{Value: o.Value, Label: o.Label})
		if o.Word != "" && f.Value == o.Word {
			f.Value = o.Value
		}
	}
	if f.Needed = f.Needed || len(r.Options) > 0 && r.Kind == payrule.Minutes; f.Needed {
		f.Hint = ""
	}
	if r.Kind == payrule.Minutes && len(r.Options) > 0 {
		f.Kind, f.As = view.KindChoice, view.AsNumber
		if f.Value == "" || f.Value == "1" {
			f.Value = "0"
		}
	}
}

// written writes a value in JSON as a form has it.
func written(kind payrule.Kind, v any, c money.Currency) string {
	switch x := v.(type) {
	case string:
		return x
	case float64:
		if kind == payrule.Hours {
			return blankHours(int64(x))
		}
		return strconv.FormatInt(int64(x), 10)
	case bool:
		return strconv.FormatBool(x)
	case []any:
		out := ""
		for i, one := range x {
			if i > 0 {
				out += "\n"
			}
			out += written(kind, one, c)
		}
		return out
	case map[string]any:
		return writtenLine(kind, x, c)
	}
	if kind == payrule.Yes {
		return "false"
	}
	return ""
}

func writtenLine(kind payrule.Kind, m map[string]any, c money.Currency) string {
	word := func(kind payrule.Kind, key string) string { return written(kind, m[key], c) }
	switch kind {
	case payrule.Money, payrule.Moneys:
		return bare(m, c)
	case payrule.Bands, payrule.Notices:
		after, _ := cmp.Or(m["after"], m["within"]).(float64)
		out := view.WriteHours(int64(after)) + " x " + cmp.Or(word("", "times"), word("", "share"))
		if m["elapsed"] == true {
			out += " " + view.Elapsed
		}
		return out
	}
	out := cmp.Or(word("", "name"), word("", "kind")) + " " + cmp.Or(word("", "share"), word(payrule.Money, "amount"))
	if n := word("", "count"); n != "" {
		out += " x " + n
	}
	if m["worked"] == true {
		out += " " + view.WorkedDay
	}
	return out
}

// bare writes money as forms take it, without its currency; nothing for none.
func bare(v any, c money.Currency) string {
	m, _ := v.(map[string]any)
	n, _ := m["minor"].(float64)
	if n == 0 {
		return ""
	}
	out, _, _ := strings.Cut(money.Of(int64(n), c).String(), " ")
	return out
}

func blankHours(minutes int64) string {
	if minutes == 0 {
		return ""
	}
	return view.WriteHours(minutes)
}

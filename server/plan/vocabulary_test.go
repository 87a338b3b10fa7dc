package plan

import (
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"os"
	"reflect"
	"strings"
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/payrule"
	"fairday/domain/when"
)

var update = flag.Bool("update", false, "write the reference of the rules of pay into the demo's plan file")

const demoFile = "../../testdata/demo/shoot.yaml"

// The head of the demo's plan file explains every rule of pay, as the vocabulary
// has it. It is written anew with: go test ./server/plan -run Reference -update
func TestReferenceOfTerms(t *testing.T) {
	raw, err := os.ReadFile(demoFile)
	if err != nil {
		t.Fatal(err)
	}
	text := string(raw)
	const head, foot = "They can also be written out at the person.\n#\n", "#\n# These are figures to plan with."
	before, rest, ok := strings.Cut(text, head)
	was, after, found := strings.Cut(rest, foot)
	if !ok || !found {
		t.Fatal("the plan file has no place for the reference")
	}
	if was == payrule.Reference() {
		return
	}
	if !*update {
		t.Fatal("the plan file does not explain the rules as they are; run the test with -update")
	}
	if err := os.WriteFile(demoFile, []byte(before+head+payrule.Reference()+foot+after), 0o644); err != nil {
		t.Fatal(err)
	}
}

// Every field of terms that is reckoned with has one row, with what a person needs
// to write it down; and every row leads to a field.
func TestVocabularyIsWhole(t *testing.T) {
	paths := map[string]bool{}
	for _, r := range payrule.Rules() {
		if r.Key == "" || r.Label == "" || len(r.Help) < 8 || paths[r.Path] {
			t.Errorf("%+v", r)
		}
		paths[r.Path] = true
	}
	var walk func(reflect.Type, string)
	walk = func(of reflect.Type, at string) {
		for i := range of.NumField() {
			f := of.Field(i)
			name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			if paths[at+name] {
				delete(paths, at+name)
			} else if f.Type.Kind() == reflect.Struct && f.Type != reflect.TypeFor[money.Amount]() && f.Type != reflect.TypeFor[money.Ratio]() {
				walk(f.Type, at+name+".")
			} else {
				t.Errorf("no row says what %s is", at+name)
			}
		}
	}
	walk(reflect.TypeFor[overtime.Terms](), "")
	for path := range paths {
		t.Errorf("%s is no field of terms", path)
	}
}

// Who judges terms holds each of them to the limits that are told of it: at a limit
// nothing is said of that rule, and beyond it something is.
func TestLimitsAreTheJudges(t *testing.T) {
	usd := money.Of(640_00, "USD")
	whole := money.Whole(1)
	full := overtime.Terms{Basis: overtime.Day, Rate: usd, Included: 600,
		Meal:       overtime.MealRule{Due: 360, Every: 30, Amounts: []money.Amount{usd}},
		Turnaround: overtime.Turnaround{Rest: 660, Times: whole, Every: 30, Amounts: []money.Amount{usd}},
		Sixth:      overtime.RunDay{Times: whole}, Seventh: overtime.RunDay{Times: whole},
		Weekend: overtime.Weekend{Holiday: whole, Holidays: []when.Date{"2027-12-25"}},
		Night:   overtime.Night{From: 1320, To: 360, Extra: whole}, Night2: overtime.Night{From: 0, To: 240, Extra: whole},
		EarlyCall: overtime.Night{From: 180, To: 420, Extra: whole}, Agency: overtime.Agency{Share: whole, On: overtime.AgencyOnFee}}
	hourly := overtime.Terms{Basis: overtime.Hourly, Rate: usd}
	if err := errors.Join(full.Validate(), hourly.Validate()); err != nil {
		t.Fatal(err)
	}
	held := 0
	for _, r := range payrule.Rules() {
		if r.Most == 0 {
			continue
		}
		held++
		terms := full
		if r.Path == "minimum" {
			terms = hourly
		}
		if err := judged(t, terms, r, r.Most+1); err == nil {
			t.Errorf("%s may be %d, and %d is taken", r.Key, r.Most, r.Most+1)
		} else if at := judged(t, terms, r, r.Most); at != nil && at.Code == err.Code {
			t.Errorf("%s may be %d, and that is refused: %v", r.Key, r.Most, at)
		}
		if r.Least > 0 {
			if err := judged(t, terms, r, -1); err == nil { // nothing says that there is no such rule
				t.Errorf("%s must be %d, and less is taken", r.Key, r.Least)
			}
			if err := judged(t, terms, r, r.Least); err != nil {
				t.Errorf("%s must be %d, and that is refused: %v", r.Key, r.Least, err)
			}
		}
	}
	if held < 25 {
		t.Errorf("%d rules have limits", held)
	}
}

// judged gives what is said of terms with a rule at a number, as a person writes it.
func judged(t *testing.T, terms overtime.Terms, r payrule.Rule, n int64) *overtime.Error {
	t.Helper()
	raw, err := json.Marshal(terms)
	all := map[string]any{}
	if err == nil {
		err = json.Unmarshal(raw, &all)
	}
	if err != nil {
		t.Fatal(err)
	}
	at, path := all, strings.Split(r.Path, ".")
	for _, p := range path[:len(path)-1] {
		inner, ok := at[p].(map[string]any)
		if !ok {
			inner = map[string]any{}
			at[p] = inner
		}
		at = inner
	}
	at[path[len(path)-1]] = limitValue(r, n)
	var changed overtime.Terms
	if raw, err = json.Marshal(all); err == nil {
		err = json.Unmarshal(raw, &changed)
	}
	if err != nil {
		t.Fatalf("%s: %v", r.Key, err)
	}
	var e *overtime.Error
	if errors.As(changed.Validate(), &e) {
		return e
	}
	return nil
}

// limitValue is a number in the JSON of a rule: of a list, so many lines.
func limitValue(r payrule.Rule, n int64) any {
	line := func(i int64) any {
		name, part := fmt.Sprint("x", i), money.Ratio{Num: 1, Den: 100}
		switch r.Kind {
		case payrule.Costs:
			return overtime.OnCost{Name: name, Share: part}
		case payrule.Extras:
			return overtime.Extra{Name: name, Amount: money.Of(1_00, "USD")}
		case payrule.Others:
			return overtime.OtherDay{Kind: name, Share: part}
		case payrule.Notices:
			return overtime.Notice{Within: (i + 1) * 60, Share: part}
		}
		date, _ := when.ParseDate("2027-01-01")
		return date.Add(int(i))
	}
	switch r.Kind {
	case payrule.Hours:
		return n * 60
	case payrule.Minutes, payrule.Count:
		return n
	case payrule.Ratio:
		return money.Whole(n)
	case payrule.Share:
		share, _ := money.ParseRatio(fmt.Sprintf("%d.%02d", n/100, n%100))
		return share
	}
	var out []any
	for i := range n {
		out = append(out, line(i))
	}
	return out
}

// The rules of the trade, read from a file.
func TestRulesOfTheTrade(t *testing.T) {
	eur := func(minor int64) money.Amount { return money.Of(minor, "EUR") }
	ratio := func(num, den int64) money.Ratio { return money.Ratio{Num: num, Den: den} }
	text := `{basis: day, rate: 640, hours: 10, first: 60, inclusive: 1, continuous: 9, week: [{after: 40, times: 1.5}],
     meal: {due: 6, every: 30, amounts: [20], grace: 12, breakfast: 120},
     night: {from: 22:00, to: 06:00, extra: 25%}, night-2: {from: 00:00, to: 04:00, extra: 50%}, early-call: {from: 03:00, to: 07:00, extra: 50%},
     weekend: {saturday: 1.5, sunday: 2, holiday: 2, holidays: [2027-12-25]},
     other-days: [{kind: prep, share: 75%, worked: true}, {kind: travel, share: 50%}],
     cancellation: [{within: 24, share: 100%}, {within: 72, share: 50%}], postponement: [{within: 24, share: 50%}],
     extras: [{name: kit, amount: 45}, {name: mileage, amount: 0.67, count: 40}], usage: [{name: one year, amount: 900}]}`
	want := overtime.Terms{Basis: overtime.Day, Rate: eur(64000), Included: 600, First: 60, Inclusive: 60, Continuous: 540,
		Week:      []overtime.Band{{After: 2400, Times: ratio(3, 2)}},
		Meal:      overtime.MealRule{Due: 360, Every: 30, Amounts: []money.Amount{eur(2000)}, Grace: 12, Breakfast: 120},
		Night:     overtime.Night{From: 1320, To: 360, Extra: ratio(1, 4)},
		Night2:    overtime.Night{From: 0, To: 240, Extra: ratio(1, 2)},
		EarlyCall: overtime.Night{From: 180, To: 420, Extra: ratio(1, 2)},
		Weekend:   overtime.Weekend{Saturday: ratio(3, 2), Sunday: ratio(2, 1), Holiday: ratio(2, 1), Holidays: []when.Date{"2027-12-25"}},
		Other:     []overtime.OtherDay{{Kind: "prep", Share: ratio(3, 4), Worked: true}, {Kind: "travel", Share: ratio(1, 2)}},
		Cancel:    []overtime.Notice{{Within: 1440, Share: ratio(1, 1)}, {Within: 4320, Share: ratio(1, 2)}},
		Postpone:  []overtime.Notice{{Within: 1440, Share: ratio(1, 2)}},
		Extras:    []overtime.Extra{{Name: "kit", Amount: eur(4500)}, {Name: "mileage", Amount: eur(67), Count: 40}},
		Usage:     []overtime.Extra{{Name: "one year", Amount: eur(90000)}}}
	p, problems := load(strings.Replace(small, "{basis: day, rate: 640.00, hours: 10, bands: [{after: 10, times: 1.5}]}", text, 1))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	for _, in := range p.Intents {
		var args struct{ Terms overtime.Terms }
		if in.Name != "terms.set" {
			continue
		}
		if err := json.Unmarshal(in.Args, &args); err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(args.Terms, want) {
			t.Errorf("read %+v\nwant %+v", args.Terms, want)
		}
		return
	}
	t.Error("no terms were set")
}

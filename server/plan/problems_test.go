package plan

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"
	"testing/iotest"

	"fairday/domain/when"
)

// small is a plan without a problem; the rows below each spoil something in it.
const small = `title: Winter table
client: Nobody & Daughters
currency: EUR
zone: Europe/Lisbon
date: 2027-03-15
terms:
  usual: {basis: day, rate: 640.00, hours: 10, bands: [{after: 10, times: 1.5}]}
people:
  ada: {name: Ada Example, role: producer, terms: usual}
  ben: {name: Ben Example, role: crew, diet: vegan, allergens: [milk]}
set-ups:
  window: {name: Window, minutes: 20}
heroes:
  lamp: {name: Lamp, plate: {serial: A-17}, checklist: [Clean]}
  soup: {name: Soup, plate: {serial: B-2}, food: true, hold: 20}
days:
  - day: 1
    calls: {ada: 08:00, ben: 08:30}
    sheet: {place: The Mill, general-call: 08:00, planned-wrap: 18:00, publish: true}
    meals:
      - {name: Lunch, at: 13:00, minutes: 45}
    hires:
      - {name: Mill, from: 07:00, terms: {basis: hire, rate: 900.00, hours: 12}}
    shots:
      - {number: 1, title: Lamp lit, set-up: window, minutes: 30, heroes: [lamp], talent: [ben]}
      - {number: 2, title: Soup steaming, set-up: window, minutes: 30, heroes: [soup]}
`

func load(file string) (Plan, []Problem) {
	return Load(strings.NewReader(file), "my.yaml", "", testNow, seeded())
}

func TestSmallPlanLoads(t *testing.T) {
	p, problems := load(small)
	if len(problems) > 0 || p.Title != "Winter table" || len(p.People) != 2 {
		t.Fatalf("%v, %+v", problems, p)
	}
	replay(t, p)
}

// spoiled is one mistake, and what is said of it.
type spoiled struct {
	name     string
	old, new string // replaced in small once; with old empty, new is the whole file
	want     string // "line code" of every problem, in order
	says     string // part of the first sentence
}

var mistakes = []spoiled{
	// The file as a whole.
	{"empty", "", "", "0 empty", "Start from"},
	{"comments only", "", "# nothing\n", "0 empty", "Start from"},
	{"null", "", "~\n", "0 empty", "Start from"},
	{"a word", "", "hello\n", "1 wrong_type", "“hello”"},
	{"a list", "", "- title\n- client\n", "1 wrong_type", "not a list"},
	{"open quote", "client: Nobody", "client: \"Nobody", "2 bad_yaml", "quotes of this line"},
	{"tab", "  ada:", "\tada:", "9 bad_yaml", "indents"},
	{"wrong indent", "  ben:", " ben:", "9 bad_yaml", "indents"},
	{"not text", "", "title: \xff\xfe\n", "0 bad_yaml", "cannot be read"},
	{"two documents", "", small + "---\ntitle: Another\n", "27 bad_yaml", "one shoot to a file"},
	{"alias", "{name: Window, minutes: 20}", "&w {name: Window, minutes: 20}\n  door: *w", "12 not_plain|13 not_plain|13 wrong_type", "Write the value out"},
	{"merge key", "  ben: {", "  ben: {<<: {role: crew}, ", "10 unknown_key", "“<<”"},
	{"tag", "title: Winter table", "title: !!binary V2ludGVy", "1 not_plain", "!tags"},
	{"too large", "", "title: " + strings.Repeat("x", MaxBytes), "0 too_large", "256 kB"},

	// Keys.
	{"unknown at the top", "client:", "customer:", "2 unknown_key", "“customer” means nothing in the plan"},
	{"unknown in a row", "name: Window, minutes: 20", "name: Window, minuts: 20", "12 unknown_key", "name, minutes"},
	{"unknown in a plate", "{serial: A-17}", "{number: A-17}", "14 unknown_key", "designation"},
	{"unknown in terms", "hours: 10,", "hours: 10, bonus: 5,", "7 unknown_key", "basis"},
	{"twice at the top", "zone: Europe/Lisbon", "zone: Europe/Lisbon\ntitle: Again", "5 duplicate", "first on line 1"},
	{"twice in a row", "minutes: 45", "minutes: 45, minutes: 50", "21 duplicate", "“minutes” is twice in the meal"},
	{"two heroes of one key", "  soup: {", "  lamp: {", "15 duplicate|26 unknown_reference", "first on line 14"},
	{"two people of one key", "  ben: {", "  ada: {", "10 duplicate|18 unknown_reference|25 unknown_reference", "first on line 9"},
	{"called twice", "ben: 08:30}", "ada: 08:30}", "18 duplicate", "“ada” is twice"},
	{"a key with spaces", "  window:", "  The Window:", "12 bad_value|25 unknown_reference|26 unknown_reference", "small letters"},
	{"a table as key", "  window:", "  {a: b}:", "12 wrong_type|25 unknown_reference|26 unknown_reference", "where a word should be"},

	// Missing.
	{"no title", "title: Winter table\n", "", "1 missing", "title"},
	{"an empty title", "title: Winter table", "title:", "1 missing", "title"},
	{"no currency", "currency: EUR\n", "", "1 missing", "currency"},
	{"no zone", "zone: Europe/Lisbon\n", "", "1 missing", "zone"},
	{"no date", "date: 2027-03-15\n", "", "1 missing", "date"},
	{"no people", small[strings.Index(small, "people:"):strings.Index(small, "set-ups:")], "", "1 missing", "a part that starts with “people:”"},
	{"no days", small[strings.Index(small, "days:"):], "", "1 missing", "days"},
	{"an empty list of days", small[strings.Index(small, "days:"):], "days: []\n", "16 missing", "empty"},
	{"a person without a name", "name: Ben Example, ", "", "10 missing", "“name” is missing in the person ben"},
	{"a person without a role", "role: crew, ", "", "10 missing", "role"},
	{"a person of nothing", "  ben: {name: Ben Example, role: crew, diet: vegan, allergens: [milk]}", "  ben:", "10 missing|10 missing", "name"},
	{"a hero without a plate", "plate: {serial: A-17}, ", "", "14 missing", "plate"},
	{"a day without a number", "  - day: 1", "  - name: First", "17 missing", "day"},
	{"a shot without a number", "number: 1, ", "", "25 missing", "number"},
	{"a shot without a set-up", "set-up: window, minutes: 30, heroes: [lamp]", "minutes: 30, heroes: [lamp]", "25 missing", "set-up"},
	{"a shot without minutes", "minutes: 30, heroes: [lamp]", "heroes: [lamp]", "25 missing", "minutes"},
	{"a meal without a time", "at: 13:00, ", "", "21 missing", "at"},
	{"a meal without a length", ", minutes: 45", "", "21 missing", "minutes"},
	{"a sheet without a place", "place: The Mill, ", "", "19 missing", "place"},
	{"a sheet without a wrap", "planned-wrap: 18:00, ", "", "19 missing", "planned-wrap"},
	{"a hire without terms", ", terms: {basis: hire, rate: 900.00, hours: 12}", "", "23 missing", "terms"},
	{"a band without times", ", times: 1.5", "", "7 missing", "times"},
	{"terms without a basis", "basis: hire, ", "", "23 missing", "basis"},
	{"terms without a rate", "rate: 640.00, ", "", "7 missing", "rate"},

	// Wrong types.
	{"people as a list", "people:\n  ada:", "people:\n- ada:", "8 wrong_type", "not a list"},
	{"set-ups as a word", "set-ups:\n  window: {name: Window, minutes: 20}", "set-ups: window", "11 wrong_type", "“word: value”"},
	{"a person as a word", "  ben: {name: Ben Example, role: crew, diet: vegan, allergens: [milk]}", "  ben: Ben", "10 wrong_type", "person ben"},
	{"a title as a list", "title: Winter table", "title: [Winter, table]", "1 wrong_type", "one value"},
	{"days as lines", "  - day: 1\n    calls", "    day: 1\n    calls", "17 wrong_type", "must be a list"},
	{"heroes of a shot as a word", "heroes: [lamp]", "heroes: lamp", "25 wrong_type", "must be a list"},
	{"a list within a list", "heroes: [lamp]", "heroes: [[lamp]]", "25 wrong_type", "single keys"},
	{"a checklist of tables", "checklist: [Clean]", "checklist: [{a: b}]", "14 wrong_type", "single values"},
	{"a shot as a word", "      - {number: 2, title: Soup steaming, set-up: window, minutes: 30, heroes: [soup]}", "      - soup", "26 wrong_type", "shot"},

	// Values.
	{"no number", "name: Window, minutes: 20", "name: Window, minutes: twenty", "12 bad_value", "“twenty” is not a whole number"},
	{"half a minute", "minutes: 45", "minutes: 45.5", "21 bad_value", "whole number"},
	{"no clock", "at: 13:00", "at: 1pm", "21 bad_value", "not a time of day"},
	{"a clock past its end", "ben: 08:30", "ben: 48:00", "18 bad_value", "not a time of day"},
	{"a call at nothing", "ben: 08:30", "ben: ", "18 missing", "ben"},
	{"no date at all", "date: 2027-03-15", "date: 15/3/2027", "5 bad_value", "is not a date"},
	{"a date that is not", "date: 2027-03-15", "date: 2027-02-29", "5 bad_value", "is not a date"},
	{"no zone like it", "zone: Europe/Lisbon", "zone: Lisbon", "4 bad_value", "unknown time zone"},
	{"the machine's zone", "zone: Europe/Lisbon", "zone: Local", "4 bad_value", "unknown time zone"},
	{"a day's zone", "  - day: 1", "  - day: 1\n    zone: Mars/North", "18 bad_value", "unknown time zone"},
	{"no currency like it", "currency: EUR", "currency: EURO", "3 bad_value", "ISO 4217"},
	{"neither true nor false", "publish: true", "publish: yes", "19 bad_value", "neither true nor false"},
	{"no role like it", "role: crew", "role: boss", "10 bad_value", "producer, art-director"},
	{"no diet like it", "diet: vegan", "diet: carnivore", "10 bad_value", "omnivore, vegetarian"},
	{"no allergen like it", "allergens: [milk]", "allergens: [cream]", "10 bad_value", "“cream” is not an allergen"},
	{"no priority like it", "title: Lamp lit,", "title: Lamp lit, priority: high,", "25 bad_value", "must, want, spare"},
	{"no basis like it", "basis: day", "basis: week", "7 bad_value", "day, all-in, hire, hourly"},
	{"no amount", "rate: 900.00", "rate: 900 quid", "23 bad_value", "not a currency"},
	{"a comma in an amount", "rate: 640.00", "rate: \"640,00\"", "7 bad_value", "not an amount"},
	{"thirds of a minute", "hours: 12", "hours: 12.333", "23 bad_value", "whole number of minutes"},
	{"no ratio", "times: 1.5", "times: double", "7 bad_value", "1.5, 4/3"},
	{"day nought", "- day: 1", "- day: 0", "17 bad_value", "Number the days from 1"},
	{"guests below nought", "minutes: 45", "minutes: 45, guests: -2", "21 bad_value", "cannot come"},
	{"one day twice", "  - day: 1\n", "  - day: 1\n    name: One\n  - day: 1\n", "19 duplicate", "from line 17"},
	{"one shot twice", "number: 2", "number: 1", "26 duplicate", "on line 25"},
	{"one hero twice", "heroes: [lamp]", "heroes: [lamp, lamp]", "25 duplicate", "names “lamp” twice"},

	// References.
	{"no such hero", "heroes: [lamp]", "heroes: [lantern]", "25 unknown_reference", "The plan has: lamp, soup"},
	{"no such talent", "talent: [ben]", "talent: [bill]", "25 unknown_reference", "ada, ben"},
	{"no such set-up", "set-up: window, minutes: 30, heroes: [soup]", "set-up: door, minutes: 30, heroes: [soup]", "26 unknown_reference", "window"},
	{"nobody to call", "ben: 08:30", "bill: 08:30", "18 unknown_reference", "“bill”"},
	{"terms as a word", "terms:\n  usual: {basis: day, rate: 640.00, hours: 10, bands: [{after: 10, times: 1.5}]}", "terms: usual", "6 wrong_type", "“usual”"},
	{"no such terms", "terms: usual", "terms: usually", "9 unknown_reference", "“usually”"},

	// What the rules of the shoot refuse.
	{"nobody in charge", "role: producer", "role: crew", "8 no_producer", "role: producer"},
	{"negative set-up", "name: Window, minutes: 20", "name: Window, minutes: -20", "12 refused", "The set-up window is refused. The minutes of the change must be from 0 to 600"},
	{"negative shot", "minutes: 30, heroes: [soup]", "minutes: -30, heroes: [soup]", "26 refused", "planned minutes"},
	{"negative meal", "minutes: 45", "minutes: -45", "21 refused", "minutes of the meal"},
	{"negative margin", "minutes: 45", "minutes: 45, margin: -1", "21 refused", "margin"},
	{"hold without food", "food: true, hold: 20", "hold: 20", "15 refused", "Only food has a hold time"},
	{"food without hold", "food: true, hold: 20", "food: true", "15 refused", "hold time"},
	{"too long a checklist", "[Clean]", "[a, b, c, d, e, f, g, h, i, j, k, l, m]", "14 refused", "checklist"},
	{"a checklist that repeats", "[Clean]", "[Clean, Clean]", "14 refused", "twice"},
	{"three confirmations", "checklist: [Clean]", "confirmations: 3", "14 refused", "confirmations"},
	{"nothing on the plate", "{serial: A-17}", "{}", "14 refused", "at least one thing"},
	{"an allergen twice", "[milk]", "[milk, milk]", "10 refused", "twice"},
	{"wrap before call", "planned-wrap: 18:00", "planned-wrap: 07:00", "19 refused", "later than the general call"},
	{"published without calls", "    calls: {ada: 08:00, ben: 08:30}\n", "", "18 refused", "calls nobody"},
	{"a name too long", "name: Ben Example", "name: " + strings.Repeat("Ben ", 40), "10 refused", "too long"},
	{"bands out of order", "{after: 10, times: 1.5}", "{after: 12, times: 2}, {after: 10, times: 1.5}", "7 refused", "shortest first"},
	{"a rate below nought", "rate: 640.00", "rate: -640.00", "7 refused", "below zero"},
	{"a day without hours", "hours: 12", "grace: 5", "23 refused", "The terms of the hire Mill are refused: the included time"},
	{"a step nobody counts in", "hours: 12", "hours: 12, step: 7", "23 refused", "steps of 7 min"},
	{"a meal rule by halves", "hours: 10,", "hours: 10, meal: {due: 6},", "7 refused", "penalty periods"},
	{"half a half day", "hours: 10,", "hours: 10, half-day: {up-to: 5},", "7 missing", "“share” is missing in the half day"},
	{"a late call at noon", "hours: 10,", "hours: 10, late-call: {from: noon, to: 17:00},", "7 bad_value", "late call"},
	{"a late call backwards", "hours: 10,", "hours: 10, late-call: {from: 17:00, to: 11:00},", "7 refused", "two times of one day"},
	{"a rest of nothing", "hours: 10,", "hours: 10, turnaround: {rest: 10},", "7 refused", "short rest costs"},
	{"a rest as a word", "hours: 10,", "hours: 10, turnaround: short,", "7 wrong_type", "turnaround"},
	{"a rest in thalers", "hours: 10,", "hours: 10, turnaround: {rest: 10, every: 60, amounts: [5 THL]},", "7 bad_value", "turnaround"},
	{"a sixth day for less", "hours: 10,", "hours: 10, sixth-day: {times: 0.5},", "7 refused", "sixth day"},
	{"a seventh day of nothing", "hours: 10,", "hours: 10, seventh-day: {},", "7 missing", "seventh day"},
	{"an employee without terms", "diet: vegan", "employee: uk", "10 missing", "An employee needs terms"},
	{"no law like it", "role: producer,", "role: producer, employee: mars,", "9 bad_value", "us, california"},
	{"a minimum wage of letters", "role: producer,", "role: producer, employee: new-york, minimum-wage: little,", "9 bad_value", "not an amount"},
	{"a minimum wage elsewhere", "role: producer,", "role: producer, employee: uk, minimum-wage: 12,", "9 refused", "under New York's law alone"},
	{"a night for nothing", "hours: 10,", "hours: 10, night: {from: 22:00, to: 06:00},", "7 missing", "“extra”"},
	{"an agency on expenses", "hours: 10,", "hours: 10, agency: {share: 20%, on: expenses},", "7 bad_value", "fee, overtime, both"},
	{"an agency for itself", "hours: 10,", "hours: 10, agency: {share: 200%},", "7 refused", "agency fee"},
	{"a nameless on-cost", "hours: 10,", "hours: 10, on-costs: [{share: 10%}],", "7 missing", "“name”"},
	{"an on-cost of letters", "hours: 10,", "hours: 10, on-costs: [{name: tax, share: much}],", "7 bad_value", "on-cost tax"},
	{"a week of a place", "basis: hire, rate: 900.00,", "basis: hire, rate: 900.00, week: [{after: 40, times: 1.5}],", "23 refused", "bands by the week"},
	{"a minimum of a day rate", "hours: 10,", "hours: 10, minimum: 4,", "7 refused", "minimum call"},
	{"days of less than none", "hours: 10,", "hours: 10, days: -1,", "7 refused", "agreed days"},
	{"a meal by two rules", "hours: 10,", "hours: 10, meal: {due: 6, hour: true, every: 30, amounts: [5]},", "7 refused", "one of the two"},
	{"a shortest meal of hours", "hours: 10,", "hours: 10, meal-least: 300,", "7 refused", "shortest meal"},
	{"a divisor for nothing", "hours: 10,", "hours: 10, divisor: weighted,", "7 refused", "weighted divisor"},
}

func (m spoiled) file(t testing.TB) string {
	t.Helper()
	if m.old == "" {
		return m.new
	}
	if !strings.Contains(small, m.old) {
		t.Fatalf("%q is not in the small plan", m.old)
	}
	return strings.Replace(small, m.old, m.new, 1)
}

func TestMistakes(t *testing.T) {
	for _, m := range mistakes {
		t.Run(m.name, func(t *testing.T) {
			p, problems := load(m.file(t))
			var got []string
			for _, x := range problems {
				got = append(got, fmt.Sprintf("%d %s", x.Line, x.Code))
				checkSentence(t, x)
			}
			if s := strings.Join(got, "|"); s != m.want {
				t.Fatalf("got %s, want %s\n%v", s, m.want, problems)
			}
			if !strings.Contains(problems[0].Say, m.says) {
				t.Errorf("%q does not say %q", problems[0].Say, m.says)
			}
			if p.Title != "" || p.Intents != nil || p.People != nil {
				t.Error("something was loaded all the same")
			}
		})
	}
}

func checkSentence(t *testing.T, x Problem) {
	t.Helper()
	if len(x.Say) < 25 || !strings.HasSuffix(x.Say, ".") || strings.Contains(x.Say, "%!") || x.File != "my.yaml" {
		t.Errorf("%+v is not told in a sentence", x)
	}
}

func TestMistakesFromOutside(t *testing.T) {
	for _, row := range []struct {
		name   string
		file   io.Reader
		date   when.Date
		random io.Reader
		want   Code
	}{
		{"a file that breaks off", iotest.ErrReader(errors.New("the disk is gone")), "", seeded(), CodeUnreadable},
		{"a date that is none", strings.NewReader(small), "tomorrow", seeded(), CodeValue},
		{"a date no calendar reaches", strings.NewReader(strings.Replace(small, "day: 1", "day: 2", 1)), "2200-12-31", seeded(), CodeRefused},
		{"no random bytes", strings.NewReader(small), "", strings.NewReader("x"), CodeUnreadable},
	} {
		p, problems := Load(row.file, "my.yaml", row.date, testNow, row.random)
		if len(problems) != 1 || problems[0].Code != row.want || p.Intents != nil {
			t.Errorf("%s: got %v, want one problem, %s", row.name, problems, row.want)
			continue
		}
		checkSentence(t, problems[0])
	}
}

// TestEveryMistakeIsTold makes sure that the reader goes on after a problem, and
// that what hangs on it is not blamed.
func TestEveryMistakeIsTold(t *testing.T) {
	file := strings.NewReplacer(
		"currency: EUR", "currency: EURO",
		"role: crew", "role: boss",
		"hold: 20", "hold: 0",
		"at: 13:00", "at: noon",
		"rate: 900.00", "rate: free",
		"title: Lamp lit", "titel: Lamp lit",
	).Replace(small)
	_, problems := load(file)
	var got []string
	for _, x := range problems {
		got = append(got, fmt.Sprintf("%d %s", x.Line, x.Code))
	}
	want := []string{"3 bad_value", "10 bad_value", "15 refused", "21 bad_value", "23 bad_value", "25 unknown_key", "25 missing"}
	if !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

func TestTooManyRows(t *testing.T) {
	var b strings.Builder
	for i := range maxSetups + 1 {
		fmt.Fprintf(&b, "  s%d: {name: Set-up, minutes: 5}\n", i)
	}
	_, problems := load(strings.Replace(small, "set-ups:\n", "set-ups:\n"+b.String(), 1))
	if len(problems) == 0 || problems[0].Code != CodeTooMany {
		t.Errorf("got %v", problems)
	}
	days := strings.Repeat("  - {day: 1}\n", maxDays+1)
	_, problems = load(small[:strings.Index(small, "  - day")] + days)
	if len(problems) != 1 || problems[0].Code != CodeTooMany {
		t.Errorf("got %v", problems)
	}
}

func TestMoreProblemsThanAreListed(t *testing.T) {
	var b strings.Builder
	for i := range 2 * maxProblems {
		fmt.Fprintf(&b, "odd%d: 1\n", i)
	}
	_, problems := load(small + b.String())
	if len(problems) != maxProblems+1 || problems[maxProblems].Code != CodeMore {
		t.Fatalf("%d problems, the last %v", len(problems), problems[len(problems)-1])
	}
}

// TestAliasBomb makes sure that a file which would grow when it is read is
// refused for its words, at its own size.
func TestAliasBomb(t *testing.T) {
	var b strings.Builder
	b.WriteString("a0: &a0 [x, x, x, x, x, x, x, x, x]\n")
	for i := range 30 {
		fmt.Fprintf(&b, "a%d: &a%d [*a%d, *a%d, *a%d, *a%d, *a%d, *a%d]\n", i+1, i+1, i, i, i, i, i, i)
	}
	_, problems := load(b.String())
	if !slices.ContainsFunc(problems, func(x Problem) bool { return x.Code == CodeNotPlain }) {
		t.Errorf("got %v", problems)
	}
}

func TestEveryCodeHasItsMistake(t *testing.T) {
	seen := map[Code]bool{CodeTooMany: true, CodeMore: true, CodeUnreadable: true} // in tests of their own
	for _, m := range mistakes {
		for row := range strings.SplitSeq(m.want, "|") {
			_, code, _ := strings.Cut(row, " ")
			seen[Code(code)] = true
		}
	}
	for _, c := range []Code{CodeUnreadable, CodeEmpty, CodeTooLarge, CodeYAML, CodeNotPlain, CodeUnknownKey, CodeDuplicate, CodeMissing,
		CodeType, CodeValue, CodeReference, CodeTooMany, CodeNoProducer, CodeRefused, CodeMore} {
		if !seen[c] {
			t.Errorf("no mistake gives %s", c)
		}
		delete(seen, c)
	}
	if len(seen) > 0 {
		t.Errorf("codes that are not on the list: %v", seen)
	}
}

func FuzzLoad(f *testing.F) {
	f.Add([]byte(small))
	f.Add([]byte("title: Winter table\r\r\r\rclient: [\n"))
	for _, m := range mistakes {
		if len(m.new) < 10_000 {
			f.Add([]byte(m.file(f)))
		}
	}
	f.Fuzz(func(t *testing.T, file []byte) {
		p, problems := Load(strings.NewReader(string(file)), "my.yaml", "", testNow, seeded())
		if len(problems) == 0 {
			replay(t, p)
			return
		}
		if p.Intents != nil {
			t.Error("loaded in spite of problems")
		}
		lines := 2 // each of these ends a line in YAML, and the end may be named
		for _, end := range []string{"\n", "\r", "\u0085", "\u2028", "\u2029"} {
			lines += strings.Count(string(file), end)
		}
		for _, x := range problems {
			if x.Line < 0 || x.Line > lines || x.Say == "" {
				t.Errorf("%+v", x)
			}
		}
	})
}

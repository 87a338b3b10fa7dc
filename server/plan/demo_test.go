package plan

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"fairday/domain/catering"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/testdata/demo"
)

// testNow is an instant on 25 November 2026, long before the file's own date.
const testNow = when.Instant(1795600000000)

func seeded() *rand.ChaCha8 { return rand.NewChaCha8([32]byte{1}) }

// replay decides and applies a plan's intents on a new state.
func replay(t testing.TB, p Plan) (*shoot.State, []shoot.Event) {
	t.Helper()
	s := shoot.New()
	var log []shoot.Event
	for _, in := range p.Intents {
		dec, err := shoot.Decide(s, in)
		if err != nil {
			t.Fatalf("%s %s: %v", in.Name, in.Args, err)
		}
		if dec.Flag != nil {
			t.Errorf("%s %s is flagged: %+v", in.Name, in.Args, dec.Flag)
		}
		for _, e := range dec.Events {
			shoot.Apply(s, e)
			log = append(log, e)
		}
	}
	return s, log
}

func loadDemo(t testing.TB, date when.Date) Plan {
	t.Helper()
	p, problems := Load(bytes.NewReader(demo.File), demo.Name, date, testNow, seeded())
	for _, x := range problems {
		t.Error(x)
	}
	if t.Failed() {
		t.FailNow()
	}
	return p
}

func TestDemoLoads(t *testing.T) {
	p := loadDemo(t, "2026-11-25")
	s, log := replay(t, p)
	again := shoot.New()
	for _, e := range log { // through its stored form
		var back shoot.Event
		if err := json.Unmarshal(asJSON(t, e), &back); err != nil {
			t.Fatal(err)
		}
		shoot.Apply(again, back)
	}
	if !bytes.Equal(asJSON(t, s), asJSON(t, again)) {
		t.Error("the events do not replay to the state they came from")
	}
	twice := loadDemo(t, "2026-11-25")
	if !bytes.Equal(asJSON(t, p), asJSON(t, twice)) {
		t.Error("the same file, instant and random bytes make two plans")
	}
}

func asJSON(t testing.TB, v any) []byte {
	t.Helper()
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestDemoIsTheShootItIsMeantToBe(t *testing.T) {
	p := loadDemo(t, "2026-11-25")
	s, _ := replay(t, p)
	f := s.Floor
	count := func(what string, got, want int) {
		t.Helper()
		if got != want {
			t.Errorf("%d %s, want %d", got, what, want)
		}
	}
	count("people", len(f.People), 18)
	count("people in the plan", len(p.People), 18)
	count("days", len(f.Days), 2)
	count("shots", len(f.Shots), 16)
	count("set-ups", len(f.Setups), 6)
	count("heroes", len(f.Heroes), 4)
	count("meals", len(f.Meals), 4)
	count("places on hire", len(s.Money.Hires), 2)
	count("call sheets", len(f.Sheets), 2)
	for _, role := range shoot.Roles() {
		n := 0
		for _, who := range f.People {
			if who.Role == role {
				n++
			}
		}
		if n == 0 {
			t.Errorf("nobody is %s", role)
		}
	}
	var food, double int
	for _, h := range f.Heroes {
		if h.Food && h.HoldMinutes > 0 {
			food++
		}
		if h.Needs == 2 {
			double++
		}
	}
	count("heroes that are food", food, 1)
	count("heroes that need two people", double, 1)
	bases := map[overtime.Basis]int{}
	for _, x := range s.Money.Terms {
		bases[x.Basis]++
	}
	for _, x := range s.Money.Hires {
		bases[x.Terms.Basis]++
	}
	count("all-in fees", bases[overtime.AllIn], 3)
	count("day rates", bases[overtime.Day], 12)
	count("hires", bases[overtime.Hire], 2)
	diets, allergens := map[catering.Diet]int{}, map[catering.Allergen]int{}
	for _, d := range s.Diets {
		for _, k := range d.Kinds {
			diets[k]++
		}
		for _, a := range d.Allergens {
			allergens[a]++
		}
	}
	count("vegans", diets[catering.Vegan], 4)
	count("people without peanuts", allergens[catering.Peanuts], 1)
	count("people without gluten", allergens[catering.Gluten], 1)
}

func TestDemoShotsAndSheets(t *testing.T) {
	p := loadDemo(t, "2026-11-25")
	s, _ := replay(t, p)
	perDay, priorities := map[when.Date]int{}, map[shoot.Priority]int{}
	for _, d := range s.Floor.Days {
		perDay[d.Date] = len(d.Order)
		for i, id := range d.Order {
			if i > 0 && id < d.Order[i-1] {
				t.Errorf("%s: ids do not sort as the file has the shots", d.Name)
			}
		}
		sheet, ok := s.SheetNow(d.ID)
		if !ok || sheet.Number != 1 || len(sheet.Calls) < 17 {
			t.Errorf("%s: no call sheet in version 1 that calls everybody", d.Name)
		}
		if !strings.Contains(sheet.Emergency, "local emergency number") {
			t.Errorf("%s: the emergency line does not say to call the local number", d.Name)
		}
		for _, word := range []string{"Cords", "Exits", "Heat", "local code"} {
			if !strings.Contains(sheet.Safety, word) {
				t.Errorf("%s: nothing on %s among the safety notes", d.Name, word)
			}
		}
	}
	if perDay["2026-11-25"] != 10 || perDay["2026-11-26"] != 6 {
		t.Errorf("shots on the days: %v, want 10 and 6 from 25 November 2026 on", perDay)
	}
	for _, shot := range s.Floor.Shots {
		priorities[shot.Priority]++
		if shot.Fallback == "" || shot.Crop == "" {
			t.Errorf("shot %s has no fallback or no crop", shot.Number)
		}
	}
	if len(priorities) != 3 {
		t.Errorf("priorities: %v, want all three", priorities)
	}
}

func TestDemoNumbersAreReserved(t *testing.T) {
	// 555-0100 to 555-0199 are kept for fiction (North American Numbering Plan;
	// common knowledge of the trade, from memory).
	reserved := regexp.MustCompile(`^555-01\d\d$`)
	s, _ := replay(t, loadDemo(t, ""))
	for _, who := range s.Floor.People {
		if !reserved.MatchString(who.Phone) {
			t.Errorf("%s: %q is not in the reserved range", who.Name, who.Phone)
		}
	}
	for _, n := range regexp.MustCompile(`\d{3}-\d{4}`).FindAllString(string(demo.File), -1) {
		if n != "2027-03" && !reserved.MatchString(n) {
			t.Errorf("%q looks like a phone number and is not in the reserved range", n)
		}
	}
	if regexp.MustCompile(`https?://|@|www\.`).Match(demo.File) {
		t.Error("the demo names an address on the network")
	}
}

func TestDateOfDayOne(t *testing.T) {
	for _, row := range []struct {
		arg, want when.Date
	}{{"", "2027-03-15"}, {"2026-12-31", "2026-12-31"}} {
		s, _ := replay(t, loadDemo(t, row.arg))
		dates := map[when.Date]bool{}
		for _, d := range s.Floor.Days {
			dates[d.Date] = true
		}
		if !dates[row.want] || !dates[row.want.Add(1)] {
			t.Errorf("date %q: days are %v, want %s and the day after", row.arg, dates, row.want)
		}
	}
}

func TestIntentsAreTheDesks(t *testing.T) {
	seen := map[shoot.IntentID]bool{}
	for _, in := range loadDemo(t, "").Intents {
		if in.Actor != shoot.Desk || in.Happened != testNow || in.Received != testNow {
			t.Fatalf("%s: actor %q, happened %d, received %d", in.Name, in.Actor, in.Happened, in.Received)
		}
		if seen[in.ID] || len(in.ID) != 36 || in.ID[14] != '7' {
			t.Fatalf("%s: %q is no id of its own in version 7", in.Name, in.ID)
		}
		seen[in.ID] = true
	}
}

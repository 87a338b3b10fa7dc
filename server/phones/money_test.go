package phones

import (
	"encoding/json"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"fairday/domain/money"
	"fairday/domain/shoot"
	"fairday/domain/when"
)

// amountsIn finds every amount of money in a JSON text, however deep it lies.
func amountsIn(t testing.TB, raw json.RawMessage) []money.Amount {
	t.Helper()
	var v any
	if err := json.Unmarshal(raw, &v); err != nil {
		t.Fatal(err)
	}
	var out []money.Amount
	var walk func(any)
	walk = func(v any) {
		switch v := v.(type) {
		case map[string]any:
			minor, ok := v["minor"].(float64)
			if currency, is := v["currency"].(string); ok && is && minor != 0 {
				out = append(out, money.Of(int64(minor), money.Currency(currency)))
			}
			for _, inner := range v {
				walk(inner)
			}
		case []any:
			for _, inner := range v {
				walk(inner)
			}
		}
	}
	walk(v)
	return out
}

// amounts are all that the demo's plan speaks of.
func (h *host) amounts(t testing.TB) []money.Amount {
	t.Helper()
	var all []money.Amount
	for _, in := range h.plan.Intents {
		if shoot.IsMoney(in.Name) {
			all = append(all, amountsIn(t, in.Args)...)
		}
	}
	if len(all) < 20 {
		t.Fatalf("only %d amounts were found in the plan", len(all))
	}
	return all
}

// traces are the ways that an amount could be written: 1045.00 dollars as
// $1,045.00, 1,045.00, 1045.00, 104500 or 1045. Numbers of one or two digits, and small
// sums in minor units, stand for too much else to be looked for.
func traces(a money.Amount) *regexp.Regexp {
	number, _, _ := strings.Cut(a.String(), " ")
	whole, _, _ := strings.Cut(number, ".")
	minor := strconv.FormatInt(a.Minor, 10)
	ways := []string{`"minor":` + minor, regexp.QuoteMeta(a.Format()), regexp.QuoteMeta(strings.TrimLeft(a.Format(), "$")), regexp.QuoteMeta(number)}
	if len(whole) >= 3 {
		ways = append(ways, minor, whole)
	}
	// Within an id, a hash, a sealed cursor or a longer number it is chance.
	return regexp.MustCompile(`(?:^|[^0-9A-Za-z_.,+/-])(?:` + strings.Join(ways, "|") + `)(?:[^0-9A-Za-z_+/-]|$)`)
}

// moneyWords are names that only the money plane has, and any dollars at all.
var moneyWords = regexp.MustCompile(`"(?:rate|terms|approvals|hires|money|minor|divisor|bands)"|"currency":"[A-Z]|"(?:terms\.set|hire\.set|currency\.set|overtime\.approved)"|\$ ?[0-9]|USD`)

// chance are numbers that can be any: how far clocks lie apart in milliseconds,
// and ports.
var chance = regexp.MustCompile(`"offset":-?[0-9]+|127\.0\.0\.1:[0-9]+`)

// readable makes one text of what was recorded and stored, JSON within JSON laid
// open.
func readable(parts ...string) string {
	text := strings.Join(parts, "\n")
	for range 3 {
		text = strings.NewReplacer(`\\`, `\`, `\"`, `"`).Replace(text)
	}
	return chance.ReplaceAllString(text, "")
}

// around shows where a pattern was found.
func around(text string, at []int) string {
	return text[max(0, at[0]-60):min(len(text), at[1]+60)]
}

// have gives what a phone heard, said and stores.
func (p *phone) have() string {
	p.t.Helper()
	p.until("a picture of the last view is stored", `(async () => {
		const done = (r) => new Promise((yes, no) => { r.onsuccess = () => yes(r.result); r.onerror = () => no(r.error); });
		const found = (await indexedDB.databases()).find((d) => d.name.startsWith('fairday-cache-'));
		const db = await done(indexedDB.open(found.name));
		const n = await done(db.transaction('painted').objectStore('painted').count());
		db.close();
		return n > 1;
	})()`)
	stored, err := p.stored()
	if err != nil {
		p.t.Fatal(err)
	}
	heard, err := p.spoken()
	if err != nil {
		p.t.Fatal(err)
	}
	return readable(heard, string(stored))
}

// Nothing of the money reaches a phone that must not see it: not over its
// socket, not in any answer, not in what it stores. The producer's phone has it
// all, which shows that the search finds what is there.
func TestMoneyStaysWithTheProducer(t *testing.T) {
	h := start(t)
	crew, producer := h.phone(t, "tamsin"), h.phone(t, "wren")
	office := h.handWith(t, producer.cookie())
	others := map[string]*hand{}
	for _, key := range []string{"ilmar", "sunniva", "dario", "oriel", "marisol", "philippa", "gudrun", "ansel"} {
		others[key] = h.hand(t, key)
	}

	// Money moves while everybody is connected.
	s := office.now()
	day, who := firstDay(t, s), personOf(t, s, h.named("tamsin"))
	terms := s.Money.Terms[who.ID]
	terms.Terms.Rate = money.Of(47923, "USD")
	office.accepted("terms.set", map[string]any{"person": who.ID, "terms": terms.Terms, "base": terms.Version})
	sheet, _ := s.SheetNow(day.ID)
	granted := money.Of(431077, "USD")
	office.accepted("overtime.approve", map[string]any{"id": newID(t), "day": day.ID, "until": sheet.Wrap + when.Hour, "amount": granted, "note": "for the lamp"})
	office.accepted("meal.guests", map[string]any{"meal": s.MealsOf(day.ID)[1].ID, "delta": 3}) // the last word that all of them hear
	after := func(s *shoot.State) bool { return s.Floor.Meals[s.MealsOf(day.ID)[1].ID].Guests == 5 }
	crew.knows("the new guests", after)
	producer.knows("the new guests", after)
	for _, screen := range []string{"shots", "catering", "callsheet"} {
		crew.turn(screen)
	}
	producer.turn("callsheet")
	producer.turn("overtime")

	all := append(h.amounts(t), terms.Terms.Rate, granted)
	seen, has := crew.have(), producer.have()
	texts := map[string]string{"tamsin": seen}
	for key, a := range others {
		a.sees("the new guests", after)
		texts[key] = readable(string(a.tape.bytes()))
	}
	for key, text := range texts {
		if len(text) < 10_000 || !strings.Contains(text, "Saltglass Works") {
			t.Fatalf("%s's record is not complete: %s", key, trimmed(text, 300))
		}
		if at := moneyWords.FindStringIndex(text); at != nil {
			t.Errorf("%s's phone has a word of money: %s", key, around(text, at))
		}
	}
	for _, a := range all {
		find := traces(a)
		if !find.MatchString(has) {
			t.Errorf("the producer's phone does not have %s, or this search does not find it", a)
		}
		for key, text := range texts {
			if at := find.FindStringIndex(text); at != nil {
				t.Errorf("%s's phone has %s: %s", key, a, around(text, at))
			}
		}
	}
	if !moneyWords.MatchString(has) {
		t.Error("the producer's phone has no word of money, or this search does not find it")
	}
	if shown, err := evaluate[string](producer, `document.body.textContent`); err != nil || !strings.Contains(shown, "$") {
		t.Errorf("the producer's screen shows no dollars (%v): %s", err, fmt.Sprint(trimmed(shown, 300)))
	}
}

package overtime

import (
	"errors"
	"testing"

	"fairday/domain/money"
	"fairday/domain/when"
)

// $600 for 10 h from 09:00, x1.5 after 10 and x2 after 12 h, called 08:00 the day
// after, 10 h of rest owed: from 22:01 each minute of a later wrap is a minute of
// missed rest.
func TestShortRest(t *testing.T) {
	next := at(23 * 60)
	for _, c := range []struct {
		rule              Turnaround
		out               int
		overtime, penalty int64
	}{
		{Turnaround{Rest: 600, Times: ratio(t, "1.5")}, 780, 0, 0},
		{Turnaround{Rest: 600, Times: ratio(t, "1.5")}, 781, 150, 0},
		{Turnaround{Rest: 600, Times: ratio(t, "1.5")}, 900, 18000, 0},
		{Turnaround{Rest: 600, Carry: true}, 900, 24000, 0},
		{Turnaround{Rest: 600, Every: 60, Amounts: []money.Amount{usd(4000), usd(6000)}}, 841, 0, 10000},
		{Turnaround{}, 900, 0, 0},
	} {
		terms := dayTerms(t)
		terms.Turnaround = c.rule
		h := Hours{In: at(0), Before: Before{Run: 1}}
		ended := h.Wrapped(at(c.out))
		over, penalty, err := ShortRest(terms, ended, next)
		if err != nil || over != usd(c.overtime) || penalty != usd(c.penalty) {
			t.Errorf("%+v: %v, %v, %v", c, over, penalty, err)
		}
		people := []Engagement{{"ines", "Ines Marlow", terms, h, next, "styling"}}
		curves, err := Expose(people, at(540), at(1000))
		if err != nil {
			t.Fatal(err)
		}
		want := pay(t, terms, ended).Exposed.Minor + c.overtime + c.penalty
		if got := curves[0].At(at(c.out)); got != usd(want) {
			t.Errorf("%+v: curve %v, want %d", c, got, want)
		}
		// It is one cost, on the day that pays it: today's share leaves it out.
		if rest, err := people[0].Tomorrow(at(c.out)); err != nil || rest != usd(c.overtime+c.penalty) {
			t.Errorf("%+v: tomorrow %v, %v", c, rest, err)
		}
		today := want - c.overtime - c.penalty
		if shares, err := Shares(people, at(c.out)); err != nil || shares[0].Exposed != usd(today) || shares[0].Cost != usd(60000+today) {
			t.Errorf("%+v: %+v, %v", c, shares, err)
		}
		if over, err := people[0].Beyond(at(c.out)); err != nil || over != usd(today) {
			t.Errorf("%+v: beyond %v, %v", c, over, err)
		}
	}
	// The day after says the same, if it is long enough.
	terms := dayTerms(t)
	terms.Turnaround = Turnaround{Rest: 600, Carry: true}
	today := Hours{In: at(0), Out: at(900), Before: Before{Run: 1}}
	tomorrow := Hours{Call: next, In: next, Out: next + 13*when.Hour, Before: Before{Out: today.Out, Times: pay(t, terms, today).EndedOn(), Run: 2}}
	if early, err := pay(t, terms, tomorrow).Sum(KindEarly); err != nil || early != usd(24000) {
		t.Error(early, err)
	}
	// The two days together count it once.
	days, err := Shares([]Engagement{{Key: "1", Terms: terms, Hours: today, Next: next}, {Key: "2", Terms: terms, Hours: tomorrow}}, tomorrow.Out)
	if err != nil {
		t.Fatal(err)
	}
	whole, err := SumBy(days, ByGroup)
	if want := pay(t, terms, today).Exposed.Minor + pay(t, terms, tomorrow).Exposed.Minor; err != nil || whole[0].Exposed != usd(want) {
		t.Error(whole, want, err)
	}
	for code, err := range map[string]error{
		CodeHoursOpen: third(ShortRest(terms, Hours{In: at(0), Before: Before{Run: 1}}, next)),
		CodeBefore:    third(ShortRest(terms, today, at(-5))),
		CodeBasis:     third(ShortRest(Terms{}, today, next)),
	} {
		if !errors.Is(err, &Error{Code: code}) {
			t.Errorf("%v, want %s", err, code)
		}
	}
}

func third(_, _ money.Amount, err error) error { return err }

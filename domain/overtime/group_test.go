package overtime

import (
	"errors"
	"math/rand/v2"
	"testing"

	"fairday/domain/money"
	"fairday/domain/when"
)

// Sums by department add up to the whole, in each currency, and the whole is the
// curve.
func TestSharesAddUp(t *testing.T) {
	for seed := range 200 {
		r := rand.New(rand.NewPCG(uint64(seed), 4))
		people := crew(t, r, 1+r.IntN(9))
		wrap := at(600 + r.IntN(500))
		for i := range people {
			people[i].Next = 0 // what a short rest costs is tomorrow's, the curve shows it today
		}
		shares, err := Shares(people, wrap)
		if err != nil {
			t.Fatal(err)
		}
		groups, err1 := SumBy(shares, ByGroup)
		whole, err2 := SumBy(shares, func(Share) string { return "day" })
		curves, err3 := Expose(people, wrap, wrap)
		if err := errors.Join(err1, err2, err3); err != nil {
			t.Fatal(err)
		}
		sums := map[money.Currency]Sum{}
		for _, g := range groups {
			c := g.Cost.Currency
			s := sums[c]
			s.Group, s.People = "day", s.People+g.People
			for _, add := range []struct {
				to *money.Amount
				a  money.Amount
			}{{&s.Rate, g.Rate}, {&s.Exposed, g.Exposed}, {&s.Cost, g.Cost}} {
				if *add.to, err = add.to.Add(add.a); err != nil {
					t.Fatal(err)
				}
			}
			sums[c] = s
		}
		if len(whole) != len(sums) || len(whole) != len(curves) {
			t.Fatal(len(whole), len(sums), len(curves))
		}
		for i, w := range whole {
			if sums[w.Cost.Currency] != w {
				t.Errorf("seed %d: groups %+v, whole %+v", seed, sums, w)
			}
			if got := curves[i].At(wrap); got != w.Exposed {
				t.Errorf("seed %d: curve %v, shares %v", seed, got, w.Exposed)
			}
		}
	}
}

// Splitting the lines of a slip by kind sums to the whole.
func TestKindsAddUp(t *testing.T) {
	for seed := range 300 {
		r := rand.New(rand.NewPCG(uint64(seed), 5))
		terms := anyTerms(t, r)
		s := pay(t, terms, anyHours(r, terms))
		sum := func(kinds ...Kind) money.Amount {
			a, err := s.Sum(kinds...)
			if err != nil {
				t.Fatal(err)
			}
			return a
		}
		over, penalty := sum(KindOvertime, KindExtra, KindEarly, KindNight), sum(KindMeal, KindTurnaround)
		if over != s.Overtime || penalty != s.Penalty {
			t.Errorf("seed %d: %v, %v of %+v", seed, over, penalty, s)
		}
		rate, costs := sum(KindFee, KindRun, KindTime, KindUsage, KindExpense), sum(KindAgency, KindOnCost)
		if s.Total.Minor != rate.Minor+over.Minor+penalty.Minor || s.Cost.Minor != s.Total.Minor+costs.Minor {
			t.Errorf("seed %d: %v and %v of %+v", seed, rate, costs, s)
		}
	}
}

// Two people in two currencies by hand: £45 each started hour from 19:01 and
// $60 from 19:31, reported in dollars at a stated 1.25.
func TestReportByHand(t *testing.T) {
	pounds := Terms{Basis: Day, Rate: money.Of(45000, "GBP"), Included: 600, Step: 60}
	dollars := Terms{Basis: Day, Rate: usd(60000), Included: 600, Step: 60}
	curves, err := Expose([]Engagement{
		{"ines", "Ines Marlow", pounds, Hours{In: at(0)}, 0, ""},
		{"wren", "Wren Oakes", dollars, Hours{In: at(30)}, 0, ""},
	}, at(540), at(670))
	if err != nil {
		t.Fatal(err)
	}
	x := money.Exchange{To: "USD", Rates: map[money.Currency]money.Ratio{"GBP": ratio(t, "1.25")}}
	c, err := Report(curves, x)
	if err != nil {
		t.Fatal(err)
	}
	want := []struct {
		at   when.Instant
		by   int64
		keys string
	}{{at(601), 5625, "ines"}, {at(631), 6000, "wren"}, {at(661), 5625, "ines"}}
	if len(c.Steps) != len(want) || c.Currency != "USD" || !c.Base.IsZero() {
		t.Fatalf("%+v", c)
	}
	for i, s := range c.Steps {
		if s.At != want[i].at || s.Amount != usd(want[i].by) || len(s.Keys) != 1 || s.Keys[0] != want[i].keys {
			t.Errorf("step %d: %+v", i, s)
		}
	}
	if got := c.At(at(670)); got != usd(17250) {
		t.Error(got)
	}
}

func TestReportRefusals(t *testing.T) {
	one, err := Expose([]Engagement{{"a", "Ines Marlow", dayTerms(t), Hours{In: at(0)}, 0, ""}}, at(0), at(700))
	if err != nil {
		t.Fatal(err)
	}
	other := one[0]
	other.To++
	if _, err := Report([]Curve{one[0], other}, money.Exchange{To: "USD"}); !errors.Is(err, &Error{Code: CodeRange}) {
		t.Error(err)
	}
	for name, x := range map[string]money.Exchange{
		"no rate for dollars": {To: "EUR"},
		"rate of nothing":     {To: "EUR", Rates: map[money.Currency]money.Ratio{"USD": {}}},
	} {
		if _, err := Report(one, x); !errors.Is(err, &money.Error{Code: money.CodeExchangeRate}) {
			t.Errorf("%s: %v", name, err)
		}
	}
	_, err = Shares([]Engagement{{"c", "Wren Oakes", Terms{}, Hours{In: at(0)}, 0, ""}}, at(0))
	var who *EngagementError
	if !errors.As(err, &who) || who.Key != "c" || !errors.Is(err, &Error{Code: CodeBasis}) {
		t.Error(err)
	}
	if _, err := SumBy([]Share{{Group: "camera", Cost: usd(1 << 62)}, {Group: "camera", Cost: usd(1 << 62)}}, ByGroup); !errors.Is(err, &money.Error{Code: money.CodeOverflow}) {
		t.Error(err)
	}
}

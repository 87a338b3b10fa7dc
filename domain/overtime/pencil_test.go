package overtime

import (
	"fmt"
	"math/big"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"fairday/domain/money"
)

// A person with a pencil has the text of a line and nothing else: what stands after
// the last colon is a sum that comes to the amount, rounded once, half a unit
// upwards. Brackets at the end are remarks.

var (
	remark  = regexp.MustCompile(` \((?:an hour is|[^()]* counted as).*\)$`)
	numbers = regexp.MustCompile(`^\(?([0-9]+(?:\.[0-9]+)?)(?:/([0-9]+))?\)?$`)
	lengths = regexp.MustCompile(`^(?:\(?([0-9]+(?:\.[0-9]+)?)(?:/([0-9]+))?\)? h)?(?: ?([0-9]+) min)?$`)
	moneys  = regexp.MustCompile(`^(?:[A-Z]{3} |US\$|\$|£|€|¥)([0-9,]+(?:\.[0-9]+)?)$`)
)

func frac(whole, den string) *big.Rat {
	r, ok := new(big.Rat).SetString(whole)
	if !ok {
		return nil
	}
	if den != "" {
		d, _ := new(big.Rat).SetString(den)
		r.Quo(r, d)
	}
	return r
}

// factorOf reads one thing that is multiplied: a number, a length in hours, or money.
func factorOf(s string) (*big.Rat, error) {
	s = strings.TrimSuffix(strings.TrimSuffix(strings.TrimSuffix(s, " more"), " extra"), " an hour")
	if m := moneys.FindStringSubmatch(s); m != nil {
		return frac(strings.ReplaceAll(m[1], ",", ""), ""), nil
	}
	if m := numbers.FindStringSubmatch(s); m != nil {
		return frac(m[1], m[2]), nil
	}
	if m := lengths.FindStringSubmatch(s); m != nil && s != "" {
		out := new(big.Rat)
		if m[1] != "" {
			out = frac(m[1], m[2])
		}
		if m[3] != "" {
			out.Add(out, new(big.Rat).Quo(frac(m[3], ""), big.NewRat(60, 1)))
		}
		return out, nil
	}
	return nil, fmt.Errorf("a pencil cannot read %q", s)
}

// reckoned is what a text comes to, in whole units of the currency.
func reckoned(s string) (*big.Rat, error) {
	out := new(big.Rat)
	for _, term := range strings.Split(s, " + ") {
		product := big.NewRat(1, 1)
		for i, times := range strings.Split(term, " × ") {
			for j, over := range strings.Split(times, " / ") {
				v, err := factorOf(over)
				if err != nil {
					return nil, fmt.Errorf("%w in %q (%d, %d)", err, s, i, j)
				}
				if j == 0 {
					product.Mul(product, v)
				} else {
					product.Quo(product, v)
				}
			}
		}
		out.Add(out, product)
	}
	return out, nil
}

// follow reckons a line from its text, in minor units.
func follow(l Line) (int64, error) {
	digits, _ := l.Amount.Currency.Digits()
	unit := new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(digits)), nil))
	text := remark.ReplaceAllString(l.Why, "")
	text = text[strings.LastIndex(text, ": ")+2:]
	if !strings.Contains(text, " = ") {
		v, err := reckoned(text)
		if err != nil {
			return 0, err
		}
		return halfUp(v.Mul(v, unit)), nil
	}
	sum := int64(0)
	for i, part := range strings.Split(text, ", less ") { // each says what it comes to
		left, right, _ := strings.Cut(part, " = ")
		a, err := reckoned(left)
		if err != nil {
			return 0, err
		}
		b, err := reckoned(right)
		if err != nil {
			return 0, err
		}
		v := halfUp(a.Mul(a, unit))
		if said := halfUp(b.Mul(b, unit)); said != v {
			return 0, fmt.Errorf("%q is %d, not %d", part, v, said)
		}
		if i > 0 {
			v = -v
		}
		sum += v
	}
	return sum, nil
}

// Each line of 10,000 slips comes to its amount by its own text.
func TestLinesByPencil(t *testing.T) {
	kinds := map[Kind]int{}
	for seed := range 10_000 {
		r := rand.New(rand.NewPCG(uint64(seed), 21))
		terms := anyTerms(t, r)
		if r.IntN(3) == 0 {
			terms = sharpTerms(t, r)
		}
		if r.IntN(8) == 0 {
			terms = inYen(terms)
		}
		h := anyHours(r, terms)
		for _, lines := range [][]Line{pay(t, terms, h).Lines, pay(t, terms, h).Costs} {
			for _, l := range lines {
				got, err := follow(l)
				if err != nil || got != l.Amount.Minor {
					t.Fatalf("seed %d: %s: %d by pencil, the line says %v: %v\n%s\n%+v", seed, l.Kind, got, l.Amount, err, l.Why, terms)
				}
				kinds[l.Kind]++
			}
		}
	}
	for _, k := range []Kind{KindFee, KindRun, KindTime, KindOvertime, KindExtra, KindEarly, KindNight, KindMeal, KindTurnaround, KindAgency, KindOnCost} {
		if kinds[k] < 20 {
			t.Errorf("only %d lines of %s", kinds[k], k)
		}
	}
}

// inYen has the terms in a currency without smaller units.
func inYen(t Terms) Terms {
	t.Rate.Currency = "JPY"
	if t.Base.Minor != 0 {
		t.Base.Currency = "JPY"
	}
	for _, all := range [][]Extra{t.Extras, t.Usage} {
		for i := range all {
			all[i].Amount.Currency = t.Rate.Currency
		}
	}
	for _, amounts := range [][]money.Amount{t.Meal.Amounts, t.Turnaround.Amounts} {
		for i := range amounts {
			amounts[i].Currency = "JPY"
		}
	}
	return t
}

// How the texts read, by hand.
func TestLinesRead(t *testing.T) {
	weighted := Terms{Basis: Day, Rate: usd(75000), Included: 600, Divisor: ByWeighted, Bands: bands(t, 480, "1.5", 720, "2"),
		Meal: MealRule{Due: 360, Every: 30, Amounts: []money.Amount{usd(2500), usd(3500), usd(5000)}}}
	var got []string
	for _, l := range pay(t, weighted, Hours{In: at(0), Out: at(780), Meals: []Break{{at(490), at(520)}}}).Lines {
		got = append(got, l.Why)
	}
	same(t, "weighted", got, []string{
		"day rate for 10 h: $750.00 (an hour is the rate / (8 h + 2 h × 1.5) = 11 h)",
		"after 10 h: 2 h × $750.00 / 11 h × 1.5",
		"after 12 h: 30 min × $750.00 / 11 h × 2",
		"meal 1 late by 2 h 10 min, 5 started × 30 min: $25.00 + $35.00 + 3 × $50.00",
	})
	days := Terms{Basis: Day, Rate: usd(100001), Included: 600, Days: 3}
	if s := pay(t, days, Hours{In: at(0), Out: at(600), Before: Before{Day: 2}}); s.Lines[0].Why != "day rate, day 2 of 3: $1,000.01 × 2 / 3 = $666.67, less $1,000.01 × 1 / 3 = $333.34" {
		t.Error(s.Lines[0].Why)
	}
}

// Follow is follow, for the tests that see the package from outside.
var Follow = follow

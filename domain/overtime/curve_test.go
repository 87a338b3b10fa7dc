package overtime

import (
	"errors"
	"fmt"
	"math/big"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"fairday/domain/money"
	"fairday/domain/when"
)

// Two people and a place by hand. Ines: $600 for 10 h, x1.5 after, by the half
// hour, in at 09:00: $45 each from 19:01. Tomas, not in yet, called 10:00 on $500
// for 10 h, x1 by the hour: $50 each from 20:01. The loft: $1200 for 10 h from
// 09:00, $150 an hour started: from 19:01.
func TestCurveByHand(t *testing.T) {
	curves, err := Expose([]Engagement{
		{"ines", "Ines Marlow", Terms{Basis: Day, Rate: usd(60000), Included: 600, Step: 30, Bands: bands(t, 600, "1.5")}, Hours{Call: at(0), In: at(0)}, 0, ""},
		{"tomas", "Tomas Reed", Terms{Basis: Day, Rate: usd(50000), Included: 600, Step: 60}, Hours{Call: at(60)}, 0, ""},
		{"loft", "The loft", Terms{Basis: Hire, Rate: usd(120000), Included: 600, Base: usd(15000), Step: 60}, Hours{Call: at(0)}, 0, ""},
		{"wren", "Wren Oakes", Terms{Basis: AllIn, Rate: usd(90000)}, Hours{In: at(0)}, 0, ""},
	}, at(540), at(690))
	if err != nil || len(curves) != 1 {
		t.Fatal(curves, err)
	}
	want := Curve{"USD", at(540), at(690), usd(0), []Step{
		{at(601), usd(19500), usd(19500), []string{"ines", "loft"}},
		{at(631), usd(4500), usd(24000), []string{"ines"}},
		{at(661), usd(24500), usd(48500), []string{"ines", "tomas", "loft"}},
	}}
	if !reflect.DeepEqual(curves[0], want) {
		t.Errorf("\n%+v, want\n%+v", curves[0], want)
	}
	c := curves[0]
	for _, p := range []struct {
		wrap when.Instant
		want int64
	}{{at(0), 0}, {at(600), 0}, {at(601) - 1, 0}, {at(601), 19500}, {at(630), 19500}, {at(631), 24000}, {at(5000), 48500}} {
		if got := c.At(p.wrap); got != usd(p.want) {
			t.Errorf("at %d: %v, want %d", p.wrap, got, p.want)
		}
	}
	if s, ok := c.Next(at(601)); !ok || s.At != at(631) || !slices.Equal(s.Keys, []string{"ines"}) {
		t.Error(s, ok)
	}
	if s, ok := c.Next(at(601) - 1); !ok || s.At != at(601) {
		t.Error(s, ok)
	}
	if _, ok := c.Next(at(661)); ok {
		t.Error("a step after the last")
	}
}

// crew makes up engagements: in, signed out, not in yet; in two currencies.
func crew(t *testing.T, r *rand.Rand, n int) []Engagement {
	var out []Engagement
	for i := range n {
		terms := anyTerms(t, r)
		h := anyHours(r, terms).onDay()
		if r.IntN(4) == 0 {
			terms = inPounds(terms)
		}
		switch r.IntN(4) {
		case 0: // signed out
		case 1: // not in yet
			h = Hours{Call: at(r.IntN(400)), Zone: h.Zone, Before: h.Before}
			h.Before.Out = min(h.Before.Out, h.Call)
		default:
			h = h.open()
		}
		out = append(out, Engagement{fmt.Sprint("p", i), fmt.Sprint("Person ", i), terms, h, pick(r, 0, at(1000+r.IntN(800))), pick(r, "camera", "styling", "")})
	}
	return out
}

func inPounds(t Terms) Terms {
	t.Rate.Currency = "GBP"
	if t.Base.Minor != 0 {
		t.Base.Currency = "GBP"
	}
	for _, all := range [][]Extra{t.Extras, t.Usage} {
		for i := range all {
			all[i].Amount.Currency = t.Rate.Currency
		}
	}
	for _, amounts := range [][]money.Amount{t.Meal.Amounts, t.Turnaround.Amounts} {
		for i := range amounts {
			amounts[i].Currency = "GBP"
		}
	}
	return t
}

// At every minute the curve is what Pay says for everybody, and who is named at
// a step is exactly who costs more than the minute before.
func TestCurveIsPayAtEveryMinute(t *testing.T) {
	for seed := range max(25, *generatedDays/200) {
		r := rand.New(rand.NewPCG(uint64(seed), 3))
		people := crew(t, r, 1+r.IntN(6))
		from, to := r.IntN(900)-60, 0
		to = from + r.IntN(1000)
		curves, err := Expose(people, at(from), at(to))
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		for _, c := range curves {
			checkCurve(t, seed, c, people, from, to)
		}
	}
}

func checkCurve(t *testing.T, seed int, c Curve, people []Engagement, from, to int) {
	t.Helper()
	before, step := map[string]int64{}, 0
	for mins := from; mins <= to; mins++ {
		var sum int64
		var rose []string
		for _, p := range people {
			if p.Terms.Rate.Currency != c.Currency {
				continue
			}
			s := pay(t, p.Terms, p.Hours.Wrapped(at(mins)))
			cost := slowExposed(p, s, int64(at(mins)/when.Minute))
			if cost < before[p.Key] {
				t.Fatalf("seed %d: %s falls at %d", seed, p.Key, mins)
			}
			if cost > before[p.Key] {
				rose = append(rose, p.Key)
			}
			before[p.Key] = cost
			sum += cost
		}
		if got := c.At(at(mins)); got != money.Of(sum, c.Currency) {
			t.Fatalf("seed %d, minute %d: curve %v, pay %d", seed, mins, got, sum)
		}
		if mins == from || len(rose) == 0 {
			continue
		}
		if step == len(c.Steps) || c.Steps[step].At != at(mins) || !slices.Equal(c.Steps[step].Keys, rose) {
			t.Fatalf("seed %d, minute %d: steps %+v, rose %v", seed, mins, c.Steps, rose)
		}
		step++
	}
	if step != len(c.Steps) {
		t.Fatalf("seed %d: %d steps more than rises", seed, len(c.Steps)-step)
	}
}

// slowExposed is what a slip exposes, with the rest that the next call leaves
// short, reckoned apart.
func slowExposed(p Engagement, s Slip, wrap int64) int64 {
	p.Terms = slowKind(p.Terms, p.Hours.Kind)
	overtime, penalty := s.Overtime.Minor, s.Penalty.Minor
	next, a := int64(p.Next/when.Minute), p.Terms.Turnaround
	out := max(wrap, int64(max(p.Hours.In, p.Hours.Call)/when.Minute))
	if p.Hours.Out != 0 {
		out = int64(p.Hours.Out / when.Minute)
	}
	short := int64(0)
	for m := next - a.Rest; next > 0 && m < min(out, next); m++ {
		if len(a.Amounts) > 0 && short%a.Every == 0 {
			penalty += a.Amounts[min(int(short/a.Every), len(a.Amounts)-1)].Minor
		}
		short++
	}
	if a.Carry || !a.Times.IsZero() {
		times := rat(a.Times)
		if a.Carry {
			times = big.NewRat(1, 1)
			for _, l := range s.Lines {
				v := rat(l.Times)
				if l.Kind == KindExtra {
					v.Add(v, big.NewRat(1, 1))
				}
				if (l.Kind == KindOvertime || l.Kind == KindTime || l.Kind == KindExtra || l.Kind == KindEarly) && v.Cmp(times) > 0 {
					times = v
				}
			}
		}
		overtime += halfUp(times.Mul(times, big.NewRat(short, 1)).Mul(times, slowBase(p.Terms)))
	}
	sum := overtime + penalty + slowRunning(p.Terms, s)
	share := func(r money.Ratio, of int64) int64 { return halfUp(new(big.Rat).Mul(rat(r), big.NewRat(of, 1))) }
	if on := p.Terms.Agency.On; on == AgencyOnOvertime || on == AgencyOnBoth {
		sum += share(p.Terms.Agency.Share, overtime)
	}
	for _, c := range p.Terms.OnCosts {
		sum += share(c.Share, overtime+penalty)
	}
	return sum
}

// slowRunning is what is paid at the plain rate beyond what is owed however short
// the day, with the costs on it.
func slowRunning(t Terms, s Slip) int64 {
	rate, least := int64(0), int64(0)
	for _, l := range s.Lines {
		if l.Kind == KindFee || l.Kind == KindRun || l.Kind == KindTime {
			rate += l.Amount.Minor
		}
	}
	run := money.Ratio{}
	for _, l := range s.Lines {
		if l.Kind == KindRun {
			run = l.Times
		}
	}
	switch {
	case t.Basis == Hourly:
		least = halfUp(new(big.Rat).Mul(big.NewRat(t.Minimum, 1), slowBase(t)))
	case t.Half.UpTo > 0:
		least = halfUp(new(big.Rat).Mul(rat(t.Half.Share), big.NewRat(t.Rate.Minor, 1)))
		least += halfUp(new(big.Rat).Mul(rat(run), big.NewRat(least, 1)))
	default:
		return 0
	}
	for _, l := range s.Lines {
		if l.Kind == KindUsage {
			rate, least = rate+l.Amount.Minor, least+l.Amount.Minor
		}
	}
	charged := func(of int64) int64 {
		sum := of
		if on := t.Agency.On; on == AgencyOnFee || on == AgencyOnBoth {
			sum += halfUp(new(big.Rat).Mul(rat(t.Agency.Share), big.NewRat(of, 1)))
		}
		for _, c := range t.OnCosts {
			sum += halfUp(new(big.Rat).Mul(rat(c.Share), big.NewRat(of, 1)))
		}
		return sum
	}
	return charged(rate) - charged(least)
}

// One currency a curve, in order; what cannot be reckoned is named and does not
// take the others with it.
func TestCurvesByCurrencyAndWithoutTheUnsound(t *testing.T) {
	pounds := inPounds(lateMeals(30, 2500))
	curves, err := Expose([]Engagement{
		{"a", "Ines Marlow", lateMeals(30, 2500), Hours{In: at(0)}, 0, ""},
		{"b", "Tomas Reed", pounds, Hours{In: at(0)}, 0, ""},
		{"c", "Wren Oakes", Terms{}, Hours{In: at(0)}, 0, ""},
		{"d", "Ada Finch", pounds, Hours{In: at(0), Meals: []Break{{at(300), 0}}}, 0, ""},
	}, at(0), at(361))
	if len(curves) != 2 || curves[0].Currency != "GBP" || curves[1].Currency != "USD" {
		t.Fatal(curves)
	}
	if got := curves[0].At(at(361)); got != money.Of(2500, "GBP") {
		t.Error(got)
	}
	var who *EngagementError
	if !errors.As(err, &who) || who.Key != "c" || !errors.Is(err, &Error{Code: CodeBasis}) || !errors.Is(err, &Error{Code: CodeMealOpen}) {
		t.Error(err)
	}
	if none, err := Expose(nil, at(0), at(60)); err != nil || len(none) != 0 {
		t.Error(none, err)
	}
}

// benchCrew is people on weighted day rates with two bands and meal penalties;
// rich adds every rule that goes with them, on a Saturday that is a sixth day, after a
// short rest and before another.
func benchCrew(b *testing.B, people int, step int64, rich bool) []Engagement {
	var out []Engagement
	for i := range people {
		terms := Terms{Basis: Day, Rate: usd(60000 + int64(i)*1000), Included: 600, Step: step, Divisor: ByWeighted,
			Bands: bands(b, 480, "1.5", 720, "2"), Meal: MealRule{Due: 360, Next: 360, Every: 30, Amounts: []money.Amount{usd(2500), usd(3500), usd(5000)}}}
		h := Hours{Call: at(i % 90), In: at(i%90 - 5), Meals: []Break{{at(300), at(345)}}}
		if rich {
			every(b, &terms)
			h.Zone, h.Before = "America/New_York", Before{Out: at(-630), Run: 6, Week: 45 * 60}
			h = h.shifted(h.Zone, 3*24*when.Hour)
		}
		e := Engagement{fmt.Sprint("p", i), fmt.Sprint("Person ", i), terms, h, 0, ""}
		if rich {
			e.Next = at(i%90 + 1440 + 3*24*60)
		}
		out = append(out, e)
	}
	return out
}

// every adds all the rules that go with a day rate by the day.
func every(b testing.TB, t *Terms) {
	t.Bands = append(t.Bands, Band{After: 780, Times: ratio(b, "2.5"), Elapsed: true})
	t.Week = bands(b, 40*60, "1.25", 50*60, "1.75")
	t.Grace, t.First, t.MealLeast, t.Meal.Grace, t.Meal.Breakfast = 5, 60, 20, 6, 60
	t.Night, t.Night2 = Night{22 * 60, 6 * 60, ratio(b, "0.25")}, Night{0, 4 * 60, ratio(b, "0.5")}
	t.EarlyCall, t.LateCall = Night{3 * 60, 7 * 60, ratio(b, "0.5")}, LateCall{11 * 60, 17 * 60}
	t.Turnaround = Turnaround{Rest: 660, Times: ratio(b, "1.5"), Every: 30, Amounts: []money.Amount{usd(2500), usd(3500)}}
	t.Sixth, t.Seventh = RunDay{Times: ratio(b, "1.25")}, RunDay{Times: ratio(b, "2"), Bands: bands(b, 480, "2", 600, "3")}
	t.Weekend = Weekend{Saturday: ratio(b, "1.5"), Sunday: ratio(b, "2"), Holiday: ratio(b, "3"), Holidays: []when.Date{"2026-12-25"}}
	t.Half = HalfDay{UpTo: 300, Share: ratio(b, "0.6")}
	t.Agency = Agency{ratio(b, "0.2"), AgencyOnBoth}
	t.OnCosts = []OnCost{{"insurance", ratio(b, "0.138")}, {"pension", ratio(b, "0.03")}}
	t.Extras, t.Usage = []Extra{{"kit", usd(4500), 0}, {"mileage", usd(67), 40}}, []Extra{{"one year", usd(90000), 0}}
	t.Other = []OtherDay{{"prep", ratio(b, "0.75"), true}, {"travel", ratio(b, "0.5"), false}}
	t.Cancel, t.Postpone = []Notice{{1440, money.Whole(1)}}, []Notice{{1440, ratio(b, "0.5")}}
}

// The curve for 60 people, and for a quarter and four times as many, from two
// hours before the end of the included time to eight hours after.
func BenchmarkExpose(b *testing.B) {
	for _, c := range []struct {
		name   string
		people int
		step   int64
		rich   bool
	}{
		{"15 by the minute", 15, 0, false}, {"60 by the minute", 60, 0, false}, {"240 by the minute", 240, 0, false},
		{"60 by the half hour", 60, 30, false},
		{"15 with every rule", 15, 0, true}, {"60 with every rule", 60, 0, true}, {"240 with every rule", 240, 0, true},
	} {
		b.Run(c.name, func(b *testing.B) {
			people := benchCrew(b, c.people, c.step, c.rich)
			later := 0
			if c.rich {
				later = 3 * 24 * 60
			}
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Expose(people, at(525+later), at(1125+later)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkAt(b *testing.B) {
	curves, err := Expose(benchCrew(b, 60, 30, false), at(525), at(1125))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		curves[0].At(at(1000))
	}
}

package pace

import (
	"math/big"
	"math/rand/v2"
	"testing"
)

// What is reckoned roughly is within three minutes of the forecast and a percent of
// its chance, and so is what a lever saves, within two, but for one in forty:
// where the wrap falls into one stretch of a window or the next at just about even
// odds, a hair decides which of the two the middle is.
func TestRoughAgainstTheForecast(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	off := func(a, b int64) int64 { return max(a-b, b-a) }
	levers, astray := 0, 0
	defer func() { t.Log(astray, "of", levers) }()
	for range 30 {
		p := anyPlan(r, few+1+r.IntN(16))
		cost := func(m int64) int64 { return max((m-p.By+14)/15, 0) * 5000 }
		w, err := p.work()
		if err != nil {
			t.Fatal(err)
		}
		day := w.day(w.present())
		q := newRough(w, day.Remaining, cost)
		both := func(d Day) (exact, got judged) {
			if exact, err = exactly(d, p.By, cost); err != nil {
				t.Fatal(err)
			}
			if got, err = q.judge(d); err != nil {
				t.Fatal(err)
			}
			return exact, got
		}
		was, guessed := both(day)
		if off(was.wrap50, guessed.wrap50) > 3 || off(was.wrap80, guessed.wrap80) > 3 || off(was.chance, guessed.chance) > Whole/100 {
			t.Errorf("the wrap is %+v and was guessed as %+v", was, guessed)
		}
		for _, c := range w.candidates() {
			levers++
			e, g := both(c.day)
			if off(was.wrap50-e.wrap50, guessed.wrap50-g.wrap50) > 2 || off(was.wrap80-e.wrap80, guessed.wrap80-g.wrap80) > 2 || off(e.chance, g.chance) > Whole/100 {
				astray++
			}
			a, b := e.money.float(), g.money.float()
			if d := a - b; d > 400 || d < -400 { // of 5000 a quarter of an hour
				t.Errorf("%s of %s is expected to cost %.0f, guessed %.0f", c.Kind, c.Key, a, b)
			}
		}
	}
	if astray > levers/40 {
		t.Errorf("%d of %d levers are astray", astray, levers)
	}
}

// Taking two branches together keeps their moments.
func TestBranchesTogether(t *testing.T) {
	a, b := spread{10, []float64{0.2, 0.5, 0.3}}, spread{40, []float64{0.6, 0.1, 0.1, 0.2}}
	both := spread{10, make([]float64, 34)}
	for i, p := range a.p {
		both.p[i] += 0.7 * p
	}
	for i, p := range b.p {
		both.p[30+i] += 0.3 * p
	}
	got, want := branch{a.moments(), 0.7}.with(branch{b.moments(), 0.3}), both.moments()
	for _, d := range []float64{got.mean - want.mean, got.variance - want.variance, got.third - want.third, got.weight - 1} {
		if d > 1e-9 || d < -1e-9 {
			t.Errorf("together they are %+v, and should be %+v", got, want)
		}
	}
}

func (m Mean) float() float64 { return float64(m.Units) + float64(m.Part)/Whole }

// A tally is exact, however large what it sums and whichever its sign.
func TestTally(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 2000 {
		var sum tally
		want := new(big.Int)
		for range 1 + r.IntN(40) {
			chance, cost := r.Int64N(Whole+1), (r.Int64()>>r.IntN(60))*(1-2*r.Int64N(2))/64
			sum.add(chance, cost)
			want.Add(want, new(big.Int).Mul(big.NewInt(chance), big.NewInt(cost)))
		}
		m := sum.mean()
		got := new(big.Int).Add(new(big.Int).Mul(big.NewInt(m.Units), big.NewInt(Whole)), big.NewInt(m.Part))
		if got.Cmp(want) != 0 || m.Part < 0 || m.Part >= Whole {
			t.Fatalf("%+v is %s and should be %s", m, got, want)
		}
	}
}

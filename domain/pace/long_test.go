package pace

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"testing"
)

var longOrders = flag.Int("pace.long", 0, "days of each size to search for long, and compare what a look finds")

// ordinaryPlan is a day as they are: a few set-ups, light for some shots, people who
// come late or have to go, food that does not keep, some shots before others, two
// meals, in an order that nobody has thought about.
func ordinaryPlan(r *rand.Rand, n int) Plan {
	p := Plan{Now: 540, Changes: map[string]int64{}}
	length := int64(1)
	setups := 3 + n/12
	for s := range setups {
		p.Changes[fmt.Sprint("s", s)] = 5 + r.Int64N(20)
	}
	for i := range n {
		t := Task{Key: fmt.Sprint(i), Setup: fmt.Sprint("s", r.IntN(setups)), Planned: 5 + r.Int64N(int64(900/n))}
		length += t.Planned
		p.Tasks = append(p.Tasks, t)
	}
	length += int64(setups) * 15
	at := func() int64 { return p.Now + r.Int64N(length) }
	light := []Limit{}
	for range 2 {
		from := at()
		light = append(light, Limit{"the sun comes in", "the sun leaves", []Stretch{{from, from + length/5 + r.Int64N(length/4)}}})
	}
	from := p.Now + r.Int64N(length/2)
	talent := []Limit{{"Ansel arrives", "Ansel has to go", []Stretch{{p.Now - 1, at() + length/5}}}, {"Noor arrives", "Noor has to go", []Stretch{{from, from + length/2}}}}
	for i := range p.Tasks {
		t := &p.Tasks[i]
		if r.IntN(6) == 0 {
			t.Limits = append(t.Limits, light[r.IntN(2)])
		}
		if r.IntN(6) == 0 {
			t.Limits = append(t.Limits, talent[r.IntN(2)])
		}
		if r.IntN(8) == 0 {
			t.Holds = append(t.Holds, Hold{What: fmt.Sprint("plate ", r.IntN(1+n/8)), Minutes: 40 + r.Int64N(60)})
		}
		if i > 0 && r.IntN(8) == 0 {
			t.After = append(t.After, fmt.Sprint(r.IntN(i)))
		}
	}
	p.Meals = []PlannedMeal{{Key: "lunch", At: 780, Minutes: 45}, {Key: "cake", At: 960, Minutes: 15}}
	p.By = p.Now + length + 60
	return p
}

// What a look finds, beside a search of 100 times its effort: 20 days of each size
// by -pace.long 20, fewer otherwise.
func TestALookAgainstALongSearch(t *testing.T) {
	days, effort := *longOrders, 100*Quick
	if days == 0 {
		days, effort = 4, 10*Quick
	}
	for _, n := range []int{12, 16, 20, 25, 30, 40, 50, 60} {
		r := rand.New(rand.NewPCG(31, uint64(n)))
		var present, look, long Tally
		proven, tried, worst := 0, 0, int64(0)
		for range days {
			p := ordinaryPlan(r, n)
			o, err := Order(p, Quick)
			if err != nil {
				t.Fatal(err)
			}
			checkOrdered(t, p, o)
			l, err := Order(p, effort)
			if err != nil {
				t.Fatal(err)
			}
			add := func(to *Tally, g Tally) { to.Late += g.Late; to.Wrap += g.Wrap - p.Now }
			add(&present, o.Present)
			add(&look, o.Best)
			add(&long, l.Best)
			worst = max(worst, o.Best.Late-l.Best.Late)
			if o.Proven {
				proven++
			}
			tried = max(tried, o.Tried)
		}
		d := int64(days)
		t.Logf("%2d shots: late %d min and %d min long as planned, %d and %d by a look, %d and %d by the long search; worst day %d min later; %d of %d proven; at most %d tries",
			n, present.Late/d, present.Wrap/d, look.Late/d, look.Wrap/d, long.Late/d, long.Wrap/d, worst, proven, days, tried)
		if n == 12 && proven < days {
			t.Error("12 shots are not proven")
		}
		if 20*look.Late > 21*long.Late+40*d || 20*look.Wrap > 21*long.Wrap {
			t.Errorf("%d shots: a look leaves more than 5 %% more", n)
		}
	}
}

func BenchmarkLook(b *testing.B) {
	for _, n := range []int{12, 25, 40, 60} {
		b.Run(fmt.Sprintf("%d shots", n), func(b *testing.B) {
			p := ordinaryPlan(rand.New(rand.NewPCG(35, uint64(n))), n)
			for b.Loop() {
				if _, err := Order(p, Quick); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

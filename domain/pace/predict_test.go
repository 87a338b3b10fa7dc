package pace

import (
	"fmt"
	"slices"
	"testing"
)

func predict(t testing.TB, d Day) Forecast {
	t.Helper()
	f, err := Predict(d)
	if err != nil {
		t.Fatal(err)
	}
	sum := int64(0)
	for _, p := range f.Parts {
		if p < 0 {
			t.Fatalf("a chance of %d", p)
		}
		sum += p
	}
	if last := f.From + int64(len(f.Parts)) - 1; sum != Whole || f.ChanceBy(last) != Whole || f.ChanceBy(last+99) != Whole ||
		f.ChanceBy(f.From-1) != 0 || f.ChanceBy(f.Wrap50) < Whole/2 || f.ChanceBy(f.Wrap50-1) >= Whole/2 ||
		f.ChanceBy(f.Wrap80) < Whole/5*4 || f.ChanceBy(f.Wrap80-1) >= Whole/5*4 {
		t.Fatalf("sum %d, wraps %d %d, from %d", sum, f.Wrap50, f.Wrap80, f.From)
	}
	return f
}

func TestOddDays(t *testing.T) {
	done := []Finished{{30, 40, 0}, {30, 31, 0}}
	lunch := []Meal{{At: 700, Minutes: 45}}
	for name, d := range map[string]Day{
		"empty":            {Now: 600},
		"all done":         {Now: 600, Finished: done},
		"done before meal": {Now: 600, Finished: done, Meals: lunch},
		"all planned at 0": {Now: 600, Remaining: []Remaining{{Key: "a"}, {Key: "b", Open: true}}},
	} {
		f := predict(t, d)
		if f.From != 600 || !slices.Equal(f.Parts, []int64{Whole}) || f.Wrap50 != 600 || f.Wrap80 != 600 || len(f.Starts) != len(d.Remaining) {
			t.Errorf("%s: %+v", name, f)
		}
	}
	f := predict(t, Day{Now: 600, Remaining: []Remaining{{Key: "a", Planned: 60}}}) // nothing done: the plan is in the middle
	if f.Wrap50 != 660 || f.Starts[0] != (Likely{"a", 600, 600}) {
		t.Errorf("%d, %v", f.Wrap50, f.Starts)
	}
	over := predict(t, Day{Now: 600, Remaining: []Remaining{{Key: "a", Planned: 30, Change: 20, Open: true, Elapsed: 50}}}) // remains -20
	if over.From != 601 || over.Wrap50 < 605 || over.Wrap50 > 620 || over.Starts[0] != (Likely{"a", 550, 550}) || over.Doubtful != nil {
		t.Errorf("%d, %d, %v", over.From, over.Wrap50, over.Starts)
	}
	night := predict(t, Day{Now: 600, Remaining: []Remaining{{Key: "a", Planned: 30, Open: true, Elapsed: 1000}}}) // up since yesterday
	if !slices.Equal(night.Doubtful, []string{"a"}) || night.Wrap50 != 630 || night.Starts[0].P50 != -400 {
		t.Errorf("%v, %d, %v", night.Doubtful, night.Wrap50, night.Starts)
	}
	var open []Remaining // many forgotten ones: still a forecast
	for range 60 {
		open = append(open, Remaining{Planned: 1, Open: true, Elapsed: 30})
	}
	predict(t, Day{Now: 600, Finished: []Finished{{100, 1, 0}, {100, 1, 0}, {100, 1, 0}}, Remaining: open})
}

// Meals and windows by hand, with shots so certain that the middle tells.
func TestMealsAndWindows(t *testing.T) {
	shots := func(earliest ...int64) (r []Remaining) {
		for i, e := range earliest {
			r = append(r, Remaining{Key: fmt.Sprint(i), Planned: 60, Earliest: e})
		}
		return r
	}
	for name, c := range map[string]struct {
		day  Day
		wrap int64
		last int64 // start of the last shot, in the middle
	}{
		"no meal":                   {Day{Now: 600, Remaining: shots(0)}, 660, 600},
		"meal in the shot":          {Day{Now: 600, Remaining: shots(0), Meals: []Meal{{610, 45}}}, 705, 600},
		"meal now":                  {Day{Now: 600, Remaining: shots(0), Meals: []Meal{{600, 45}}}, 705, 645},
		"meal on":                   {Day{Now: 600, Remaining: shots(0), Meals: []Meal{{580, 45}}}, 685, 625},
		"meal over":                 {Day{Now: 600, Remaining: shots(0), Meals: []Meal{{500, 45}}}, 660, 600},
		"meal of no time":           {Day{Now: 600, Remaining: shots(0), Meals: []Meal{{610, 0}}}, 660, 600},
		"two meals, in any order":   {Day{Now: 600, Remaining: shots(0), Meals: []Meal{{640, 20}, {610, 30}}}, 710, 600},
		"waits for its window":      {Day{Now: 600, Remaining: shots(700)}, 760, 700},
		"window is past":            {Day{Now: 600, Remaining: shots(500)}, 660, 600},
		"window opens in the meal":  {Day{Now: 600, Remaining: shots(700), Meals: []Meal{{690, 45}}}, 795, 735},
		"window opens with meal":    {Day{Now: 600, Remaining: shots(690), Meals: []Meal{{690, 45}}}, 795, 735},
		"window opens after meal":   {Day{Now: 600, Remaining: shots(735), Meals: []Meal{{690, 45}}}, 795, 735},
		"wait swallows the first":   {Day{Now: 600, Remaining: shots(0, 1000)}, 1060, 1000},
		"wait over two meals":       {Day{Now: 600, Remaining: shots(0, 1000), Meals: []Meal{{890, 60}, {950, 10}}}, 1060, 1000},
		"wait, and meal in the end": {Day{Now: 600, Remaining: shots(0, 1000), Meals: []Meal{{1010, 30}}}, 1090, 1000},
	} {
		f := predict(t, c.day)
		if f.Wrap50 != c.wrap || f.Starts[len(f.Starts)-1].P50 != c.last {
			t.Errorf("%s: wraps %d, starts %d; want %d, %d", name, f.Wrap50, f.Starts[len(f.Starts)-1].P50, c.wrap, c.last)
		}
		for _, m := range c.day.Meals { // nobody wraps during a meal
			if got := f.ChanceBy(m.At+m.Minutes) - f.ChanceBy(m.At); m.At >= c.day.Now && got != 0 {
				t.Errorf("%s: a chance of %d in the meal at %d", name, got, m.At)
			}
		}
	}
}

func TestExpected(t *testing.T) {
	f := Forecast{From: 10, Parts: []int64{Whole / 4, 0, Whole / 4 * 3}}
	if got := f.Expected(func(m int64) int64 { return 1001 * (m - 10) }); got != (Mean{1501, Whole / 2}) {
		t.Error(got)
	}
	if f.By(1) != 10 || f.By(Whole/4+1) != 12 || f.By(Whole) != 12 {
		t.Error(f.By(1), f.By(Whole))
	}
}

// shotList is a day of n shots as long as they fit ten hours, in sets of four.
func shotList(n int) Day {
	d := Day{Now: 540, Meals: []Meal{{At: 780, Minutes: 45}, {At: 1140, Minutes: 30}}}
	for i := range n {
		r := Remaining{Key: fmt.Sprint(i), Planned: int64(480/n + i%5 - 2)}
		if i%4 == 0 {
			r.Change = int64(480 / n)
		}
		if i == n/2 {
			r.Earliest = 840
		}
		d.Remaining = append(d.Remaining, r)
	}
	return d
}

func BenchmarkPredict(b *testing.B) {
	for _, n := range []int{15, 30, 60, 120} {
		for _, at := range []struct {
			name string
			done []Finished
		}{{"morning", nil}, {"midday", slices.Repeat([]Finished{{20, 24, 0}}, 15)}} {
			b.Run(fmt.Sprintf("%d shots/%s", n, at.name), func(b *testing.B) {
				d := shotList(n)
				d.Finished = at.done
				for b.Loop() {
					predict(b, d)
				}
			})
		}
	}
}

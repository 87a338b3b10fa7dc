package pace

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// One shot that took 1.2 times its plan, by Bayes' rule on a fine grid: the pace is
// as believed before, or has turned; the shot says something, or little.
func TestLearnByHand(t *testing.T) {
	p, err := Learn([]Finished{{Planned: 30, Took: 36}})
	if err != nil {
		t.Fatal(err)
	}
	normal := func(x, variance float64) float64 { return math.Exp(-x*x/2/variance) / math.Sqrt(variance) }
	noise := p.Shot*p.Shot + 50.0/900 // a tap is off by 5 min at either end
	var all, mean, square float64
	for x := -4.0; x < 4; x += 0.0005 {
		before := 0.9*normal(x+0.045, 0.0625) + 0.1*normal(x+0.045, 0.0625+0.09) // a plan is right as a sum of what varies by 0.3
		y := math.Log(1.2) - x
		w := before * (0.2*normal(y, noise) + 0.8*normal(y, noise+0.64))
		all, mean, square = all+w, mean+w*x, square+w*x*x
	}
	mean /= all
	sd := math.Sqrt(square/all - mean*mean + 0.09*0.09) // and it may yet turn
	if math.Abs(p.Mean-mean) > 1e-6 || math.Abs(p.SD-sd) > 1e-6 || math.Abs(p.Shot-0.3) > 1e-9 {
		t.Errorf("%+v, by hand %f %f", p, mean, sd)
	}
	for _, c := range []struct {
		done     []Finished
		percent  int64
		observed int64
		reason   string
	}{
		{nil, 100, 100, "no shot is finished yet, so this is the plan"},
		{[]Finished{{0, 12, 0}}, 100, 100, "no shot is finished yet, so this is the plan"},
		{[]Finished{{30, 36, 0}, {20, 24, 0}, {10, 11, 0}, {40, 47, 0}, {25, 30, 0}}, 111, 118, "5 shots, with the time between them, took 1.18 times their plan"},
		{[]Finished{{30, 0, 0}}, 85, 0, "1 shot, with the time before it, took 0.00 times its plan"}, // believed as a quarter, and little
	} {
		p, err := Learn(c.done)
		if err != nil || p.Percent() != c.percent || p.Observed() != c.observed || p.Reason() != c.reason {
			t.Errorf("%v: %d, %d, %q, %v", c.done, p.Percent(), p.Observed(), p.Reason(), err)
		}
	}
}

func TestRefusals(t *testing.T) {
	shot := func(r Remaining) Day { return Day{Now: 600, Remaining: []Remaining{r}} }
	many := Day{Remaining: make([]Remaining, mostShots+1)}
	for name, c := range map[string]struct {
		day  Day
		code string
		says string
	}{
		"plan below zero":         {shot(Remaining{Planned: -1}), CodePlanned, "remaining shot 1"},
		"plan of three days":      {shot(Remaining{Planned: 3 * 1440}), CodePlanned, "36 h"},
		"change below zero":       {shot(Remaining{Change: -5}), CodePlanned, "set-up change"},
		"finished plan below":     {Day{Finished: []Finished{{-1, 5, 0}}}, CodePlanned, "finished shot 1"},
		"captured before opened":  {Day{Finished: []Finished{{5, 5, 0}, {5, -1, 0}}}, CodeTook, "finished shot 2"},
		"took a week":             {Day{Finished: []Finished{{5, 9999, 0}}}, CodeTook, "9999 min"},
		"opened later":            {shot(Remaining{Planned: 10, Open: true, Elapsed: -3}), CodeElapsed, "after now"},
		"time without being up":   {shot(Remaining{Planned: 10, Elapsed: 3}), CodeElapsed, "not up"},
		"window next month":       {shot(Remaining{Planned: 10, Earliest: 50000}), CodeRange, "window"},
		"too many":                {many, CodeRange, "another day"},
		"three long ones":         {Day{Remaining: []Remaining{{Planned: 2000}, {Planned: 2000, Change: 400}}}, CodeRange, "4400 min"},
		"meal below zero":         {Day{Meals: []Meal{{At: 5, Minutes: -1}}}, CodeMeal, "-1 min"},
		"meal on another day":     {Day{Meals: []Meal{{At: 50000, Minutes: 30}}}, CodeMeal, "another day"},
		"meal in the other":       {Day{Meals: []Meal{{At: 630, Minutes: 30}, {At: 600, Minutes: 31}}}, CodeMeal, "overlap"},
		"meal of a day and night": {Day{Meals: []Meal{{At: 630, Minutes: 1440}}}, CodeMeal, "1440 min"},
	} {
		_, err := Predict(c.day)
		var e *Error
		if !errors.As(err, &e) || !errors.Is(err, &Error{Code: c.code}) || !strings.Contains(e.Text, c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

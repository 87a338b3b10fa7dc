package pace

import (
	"math"
	"testing"
)

// A day of one shot of an hour, weeks before, by hand: the logarithm of what it takes is
// normal about that of the hour, with the pace's 0.25 and the shot's 0.30 together, 0.3905.
// Done within n minutes, to the nearest: Φ(ln((n + 0.5)/60)/0.3905).
func TestAPlanAlone(t *testing.T) {
	for _, c := range []struct {
		by   int64
		want float64
	}{{600, 0.508}, {630, 0.853}, {660, 0.963}, {580, 0.155}} {
		p := Plan{Now: 540, Tasks: []Task{{Key: "a", Planned: 60}}, By: c.by}
		w, err := Heaviest(p)
		if err != nil {
			t.Fatal(err)
		}
		if got := float64(w.With) / Whole; math.Abs(got-c.want) > 0.004 {
			t.Errorf("by %d: %.3f, by hand %.3f", c.by, got, c.want)
		}
		if w.Key != "a" || w.Without != Whole {
			t.Errorf("by %d without the only shot: %+v", c.by, w)
		}
	}
}

func TestHeaviest(t *testing.T) {
	tasks := func(minutes ...int64) (out []Task) {
		for i, m := range minutes {
			out = append(out, Task{Key: string(rune('a' + i)), Planned: m})
		}
		return out
	}
	evening := tasks(30, 60, 10)
	evening[2].Limits = []Limit{{"the sun comes in", "the sun leaves", []Stretch{{1020, 1100}}}}
	change := tasks(40, 30, 40)
	change[1].Setup = "cellar"
	up := tasks(200, 30)
	up[0].Open, up[0].Elapsed = true, 10
	for _, c := range []struct {
		what  string
		plan  Plan
		worst string
	}{
		{"the longest", Plan{Now: 540, Tasks: tasks(30, 120, 30), By: 720}, "b"},
		{"a short one that waits for the evening", Plan{Now: 540, Tasks: evening, By: 720}, "c"},
		{"a short one with a long change", Plan{Now: 540, Tasks: change, Changes: map[string]int64{"cellar": 60}, By: 710}, "b"},
		{"of two alike the first", Plan{Now: 540, Tasks: tasks(60, 60), By: 660}, "a"},
		{"what is up is not left out", Plan{Now: 540, Tasks: up, By: 760}, "b"},
		{"where nothing helps", Plan{Now: 540, Tasks: up[:1], By: 541}, ""},
		{"nothing left", Plan{Now: 540, By: 600}, ""},
	} {
		w, err := Heaviest(c.plan)
		if err != nil {
			t.Fatal(err)
		}
		if w.Key != c.worst {
			t.Errorf("%s: %+v", c.what, w)
		}
	}
	if _, err := Heaviest(Plan{Tasks: []Task{{}}}); err == nil {
		t.Error("a task without a key is taken")
	}
}

package pace

import (
	"fmt"
	"slices"
	"testing"
)

func clockText(m int64) string { return fmt.Sprintf("%02d:%02d", m/60, m%60) }

func shotText(key string) string { return "shot " + key }

// An afternoon with the sun about to leave: it is told to shoot what needs the sun
// first, and to keep the set-up together.
func TestOrderByHand(t *testing.T) {
	sun := Limit{"the sun comes in", "the sun leaves", []Stretch{{780, 940}}}
	p := Plan{Now: 840, Setup: "table", Changes: map[string]int64{"table": 20, "stair": 30}, By: 1080,
		Tasks: []Task{
			{Key: "1", Setup: "table", Planned: 30, Priority: Must},
			{Key: "2", Setup: "stair", Planned: 40, Priority: Must},
			{Key: "3", Setup: "table", Planned: 45, Limits: []Limit{sun}, Fallback: 20},
			{Key: "4", Setup: "stair", Planned: 20, After: []string{"2"}},
		}}
	o, err := Order(p, Thorough)
	if err != nil || !o.Proven || o.Best != (Tally{0, 840 + 30 + 45 + 30 + 40 + 20, 1}) || !slices.Equal(o.Keys, []string{"1", "3", "2", "4"}) {
		t.Fatalf("%+v, %v", o, err)
	}
	if o.Present != (Tally{840 + 30 + 30 + 40 + 20 + 45 - 940, 840 + 30 + 30 + 40 + 20 + 45 + 30 + 20, 0}) || len(o.Moves) != 1 {
		t.Errorf("%+v", o)
	}
	var why []string
	for _, r := range o.Moves[0].Why {
		why = append(why, r.Text(clockText, shotText))
	}
	if o.Moves[0].Follow != "1" || !slices.Equal(why, []string{"before the sun leaves at 15:40", "saves a set-up change of 50 min"}) {
		t.Error(o.Moves[0].Key, why)
	}
	levers, err := Levers(p, func(m int64) int64 { return max(m-1020, 0) })
	if err != nil {
		t.Fatal(err)
	}
	var kinds []string
	for _, l := range levers {
		if l.Before >= l.After || l.Saved50 <= 0 || l.Saved80 <= 0 || l.Money.Sign() <= 0 {
			t.Errorf("%+v", l)
		}
		kinds = append(kinds, string(l.Kind)+" "+l.Key)
	}
	if want := []string{"together 3", "cut 3", "fallback 3", "cut 4"}; !slices.Equal(kinds, want) {
		t.Error(kinds)
	}
}

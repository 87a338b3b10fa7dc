package plan

import (
	"reflect"
	"strconv"
	"strings"
	"testing"

	"fairday/domain/shoot"
)

// withLight is the small plan with everything that binds shots to the day.
var withLight = strings.NewReplacer(
	"  - day: 1\n", "  - day: 1\n    light: {latitude: 38.722, longitude: -9.1393, windows: [{name: North, bearing: 350, width: 220, sill: 90, head: 260, depth: 100, reveal: 35, overhang: 120, above: 20, wall-high: 900, wall-far: 1100, outside: [{from: 340, to: 10, up: 25}]}], horizon: [{from: 80, to: 120, up: 6}]}\n    stays: {ben: 17:30}\n",
	"minutes: 45}", "minutes: 45, earliest: 12:30, latest: 14:00}",
	"heroes: [soup]}", "heroes: [soup], light: no-sun, window: North, after: [1], fallback-minutes: 12}",
).Replace(small)

// A plan says where the sun is and what shots are bound to, to the digit.
func TestPlanWithLight(t *testing.T) {
	p, problems := load(withLight)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	s, _ := replay(t, p)
	for day, light := range s.Floor.Lights {
		if light.Lat != 38_722_000 || light.Lon != -9_139_300 || len(light.Windows) != 1 || light.Windows[0].Sill != 90 ||
			!reflect.DeepEqual(light.Horizon, []shoot.Arc{{From: 80, To: 120, Up: 6}}) || !reflect.DeepEqual(light.Windows[0],
			shoot.Window{Name: "North", Bearing: 350, Width: 220, Sill: 90, Head: 260, Depth: 100, Reveal: 35, Overhang: 120, Above: 20,
				WallHigh: 900, WallFar: 1100, Arcs: []shoot.Arc{{From: 340, To: 10, Up: 25}}}) {
			t.Errorf("the light of %s is %+v", day, light)
		}
	}
	for shot, w := range s.Floor.Wishes {
		if w.Window != "North" || w.Light != "no-sun" || len(w.After) != 1 || w.Fallback != 12 || s.Floor.Shots[w.After[0]].Number != "1" {
			t.Errorf("shot %s wishes for %+v", s.Floor.Shots[shot].Number, w)
		}
	}
	if len(s.Floor.Lights) != 1 || len(s.Floor.Wishes) != 1 || len(s.Floor.Stays) != 1 || len(s.Floor.MealRanges) != 1 {
		t.Errorf("%d lights, %d wishes, %d stays, %d ranges", len(s.Floor.Lights), len(s.Floor.Wishes), len(s.Floor.Stays), len(s.Floor.MealRanges))
	}
}

func TestMistakesAboutLight(t *testing.T) {
	for _, m := range []struct{ name, old, new, want, says string }{
		{"a word for a latitude", "latitude: 38.722", "latitude: far", "18 bad_value", "digits after it"},
		{"seven digits", "38.722", "38.7220001", "18 bad_value", "six digits"},
		{"no longitude", ", longitude: -9.1393", "", "18 missing", "longitude"},
		{"off the Earth", "38.722", "98.722", "18 refused", "north pole"},
		{"a window without a sill", "sill: 90, ", "", "18 missing", "sill"},
		{"a wall without a distance", ", wall-far: 1100", "", "18 refused", "how far away"},
		{"something outside without an end", "to: 10, ", "", "18 missing", "to"},
		{"something outside in words", "up: 25", "up: high", "18 bad_value", "whole number"},
		{"a horizon past the zenith", "up: 6", "up: 96", "18 refused", "up to 90"},
		{"no such wish", "light: no-sun", "light: moon", "28 bad_value", "moon"},
		{"no such window", "window: North", "window: South", "28 refused", "no window"},
		{"a shot that is not there", "after: [1]", "after: [9]", "28 unknown_reference", "no shot 9"},
		{"after itself", "after: [1]", "after: [2]", "28 refused", ""},
		{"somebody unknown stays", "ben: 17:30", "bob: 17:30", "19 unknown_reference", "bob"},
		{"a stay that is no time", "ben: 17:30", "ben: late", "19 bad_value", ""},
		{"half a range", ", latest: 14:00", "", "23 missing", "latest"},
		{"a range backwards", "latest: 14:00", "latest: 12:00", "23 refused", "other way round"},
		{"minutes in words", "fallback-minutes: 12", "fallback-minutes: few", "28 bad_value", "whole number"},
	} {
		t.Run(m.name, func(t *testing.T) {
			if !strings.Contains(withLight, m.old) {
				t.Fatalf("%q is not in the plan", m.old)
			}
			_, problems := load(strings.Replace(withLight, m.old, m.new, 1))
			if len(problems) != 1 {
				t.Fatalf("the problems are %v", problems)
			}
			got := problems[0]
			if told := strings.Fields(m.want); string(got.Code) != told[1] || strconv.Itoa(got.Line) != told[0] || !strings.Contains(got.Say, m.says) {
				t.Errorf("it says %s", got)
			}
		})
	}
}

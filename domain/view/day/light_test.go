package day

import (
	"strings"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/view"
)

// nightByTheSun is a night from 20:00 to 05:30 in New York on the longest day of 2023.
func nightByTheSun(t *testing.T, light obj) (*stage, func() *RunOfDay) {
	t.Helper()
	st := newStage(t)
	st.Do(shoot.Desk, "05:00", "day.set", obj{"id": day2, "name": "Night", "date": "2023-06-21", "zone": "America/New_York", "base": 1})
	for i := range 2 {
		st.Do(shoot.Desk, "05:00", "shot.set", obj{"id": id(70 + i), "day": day2, "number": view.Itoa(20 + i), "title": "Night", "setup": id(21), "minutes": 60, "priority": "must",
			"crop": "", "heroes": []string{}, "talent": []string{}, "fallback": "", "notes": "", "base": 0})
	}
	st.Do(shoot.Desk, "05:00", "sheet.set", obj{"day": day2, "place": obj{"name": "The Mill", "address": "1 Water Lane"}, "generalCall": "20:00", "plannedWrap": "29:30",
		"emergency": "St Aldhelm, 12 min", "safety": "", "notes": "", "base": 0})
	st.Do(person(shoot.Producer), "05:00", "call.set", obj{"day": day2, "person": person(shoot.Crew), "call": "20:00", "was": nil})
	st.Do(person(shoot.Producer), "05:00", "sheet.publish", obj{"day": day2, "number": 1})
	light["day"], light["lat"], light["lon"], light["base"] = day2, 40_716_667, -74_016_667, 0
	st.Do(person(shoot.ArtDirector), "05:00", "light.set", light)
	return st, func() *RunOfDay {
		at, err := zone.At("2023-06-21", 20*60)
		if err != nil {
			t.Fatal(err)
		}
		return show[RunOfDay](st, shoot.Crew, "05:00", view.ScreenDay, func(c *Context) { c.Day, c.Now = shoot.DayID(day2), at })
	}
}

func pane(name string, bearing int, more obj) obj {
	w := obj{"name": name, "bearing": bearing, "width": 300, "sill": 0, "head": 250, "depth": 100, "height": 75}
	for k, v := range more {
		w[k] = v
	}
	return w
}

// NOAA's solar calculator has sunset at 20:30:40 and the next sunrise, which moves by
// seconds at the solstice, at 05:25:02.
func TestANightKnowsTheNextSunrise(t *testing.T) {
	st, look := nightByTheSun(t, obj{"windows": []obj{pane("east window", 70, nil), pane("west window", 290, nil)}})
	v := look()
	same(t, "light", v.Light[0], "Sunset 20:30, sunrise 05:25 +1.")
	contains(t, "east", v.Light[1], "Sun by the east window 05:")
	contains(t, "east", v.Light[1], "+1 to")
	contains(t, "east", v.Light[1], "What stands outside is not known.")
	contains(t, "west", v.Light[2], "to 20:")
	// A shot that wants the sun in the east waits for the morning, one that wants none is
	// free all night, and neither is missed.
	wish(st, id(70), "no-sun", "east window")
	wish(st, id(71), "sun", "east window")
	v = look()
	same(t, "unmet", len(v.Unmet), 0)
	contains(t, "wrap", v.Line, "06:3")
}

// What stands outside takes the sun away, and the screen says what it was reckoned with.
func TestWhatStandsOutsideIsSaid(t *testing.T) {
	_, bare := nightByTheSun(t, obj{"windows": []obj{pane("east window", 70, nil)}})
	for name, c := range map[string]struct {
		light obj
		says  string
		sun   bool
	}{
		"a wall":      {obj{"windows": []obj{pane("east window", 70, obj{"wallHigh": 950, "wallFar": 1100})}}, "Reckoned with a wall 9.5 m high 11 m away.", true},
		"a tower":     {obj{"windows": []obj{pane("east window", 70, obj{"arcs": []obj{{"from": 20, "to": 160, "up": 80}}})}}, "Reckoned with what is seen outside.", false},
		"deep reveal": {obj{"windows": []obj{pane("east window", 70, obj{"reveal": 45, "overhang": 120, "above": 20})}}, "Reckoned with an overhang of 1.2 m and a reveal of 0.45 m.", true},
		"a ridge":     {obj{"windows": []obj{pane("east window", 70, nil)}, "horizon": []obj{{"from": 0, "to": 180, "up": 15}}}, "Sun over what stands round the place", true},
	} {
		_, look := nightByTheSun(t, c.light)
		said := strings.Join(look().Light, " ")
		contains(t, name, said, c.says)
		if strings.Contains(said, "not known") {
			t.Errorf("%s: %s", name, said)
		}
		if got := !strings.Contains(said, "No direct sun by the east window"); got != c.sun {
			t.Errorf("%s: %s", name, said)
		}
		if said == strings.Join(bare().Light, " ") {
			t.Errorf("%s changes nothing", name)
		}
	}
}

// A shot whose window was taken off the plan does not read as one that has its light.
func TestAWishForAWindowThatIsGone(t *testing.T) {
	st, look := nightByTheSun(t, obj{"windows": []obj{pane("east window", 70, nil)}})
	wish(st, id(70), "no-sun", "east window")
	same(t, "before", len(look().Unmet), 0)
	st.Do(person(shoot.ArtDirector), "09:00", "light.set", obj{"day": day2, "lat": 40_716_667, "lon": -74_016_667, "base": 1, "windows": []obj{}, "horizon": []obj{}})
	same(t, "after", strings.Join(look().Unmet, " "), "Shot 20 cannot have what it needs on this day: the plan has no window east window.")
}

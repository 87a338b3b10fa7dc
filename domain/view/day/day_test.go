package day

import (
	"slices"
	"strings"
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/when"
)

// Everybody is told when the day may wrap, in words that are fit for them, and
// nobody but the producer is told what it costs.
func TestWrapLineOfEveryRole(t *testing.T) {
	st := newStage(t)
	others := map[shoot.Role]string{
		shoot.Client:  "We expect to be done at about 10:50; it may take until 11:30.",
		shoot.Caterer: "People are likely on set until about 10:50, and perhaps until 11:30.",
	}
	for _, r := range shoot.Roles() {
		want, ok := others[r]
		if !ok {
			want = "Likely wrap 10:50, by 11:30 four times in five."
		}
		same(t, string(r), show[Shell](st, r, "06:00", view.ScreenShell).Wrap, want)
		v := day(st, r, "06:00")
		if paid := v.Money != "" || len(v.Picture.Steps) > 0; paid != (r == shoot.Producer) {
			t.Errorf("%s is shown money: %t", r, paid)
		}
		if r != shoot.Producer && len(v.Release) > 0 {
			t.Errorf("%s is told what it saves to let people go: %q", r, v.Release)
		}
	}
}

// Steps of overtime that would be drawn over each other are one: the crew's at
// 17:00 and the photographer's at 18:00, and every hour from then on.
func TestStepsDoNotRunTogether(t *testing.T) {
	st := bigDay(t)
	got := day(st, shoot.Producer, "08:00").Picture.Steps
	if len(got) < 2 || !slices.IsSorted(got) {
		t.Fatalf("steps at %v", got)
	}
	for i := 1; i < len(got); i++ {
		if got[i]-got[i-1] < box/60 {
			t.Errorf("steps at %d and %d", got[i-1], got[i])
		}
	}
}

// night is one shot after the other from 23:00 on another date: four of an hour,
// and two changes of 20 minutes.
func night(t *testing.T, date when.Date) *RunOfDay {
	t.Helper()
	st := newStage(t)
	st.Do(shoot.Desk, "05:00", "day.set", obj{"id": day2, "name": "Night", "date": date, "zone": zone, "base": 1})
	for i, setup := range []string{id(21), id(21), id(22), id(21)} {
		st.Do(shoot.Desk, "05:00", "shot.set", obj{"id": id(70 + i), "day": day2, "number": view.Itoa(20 + i), "title": "Night", "setup": setup, "minutes": 60, "priority": "must",
			"crop": "", "heroes": []string{}, "talent": []string{}, "fallback": "", "notes": "", "base": 0})
	}
	st.Do(shoot.Desk, "05:00", "sheet.set", obj{"day": day2, "place": obj{"name": "The Mill", "address": "1 Water Lane"}, "generalCall": "23:00", "plannedWrap": "29:00",
		"emergency": "St Aldhelm, 12 min", "safety": "Hot lights", "notes": "", "base": 0})
	st.Do(person(shoot.Producer), "05:00", "call.set", obj{"day": day2, "person": person(shoot.Crew), "call": "23:00", "was": nil})
	st.Do(person(shoot.Producer), "05:00", "sheet.publish", obj{"day": day2, "number": 1})
	at, err := zone.At(date, 23*60)
	if err != nil {
		t.Fatal(err)
	}
	return show[RunOfDay](st, shoot.Crew, "05:00", view.ScreenDay, func(c *Context) { c.Day, c.Now = shoot.DayID(day2), at })
}

// Clocks go back from 02:00 to 01:00 on 1 November 2026 and forward from 02:00 to
// 03:00 on 14 March 2027 in New York (the first Sunday of November and the second
// of March, 15 U.S.C. 260a). The work takes as long; the clock shows another time.
func TestNightOfClockChange(t *testing.T) {
	for _, c := range []struct {
		name string
		date when.Date
		want string
	}{
		{"an ordinary night", "2026-11-13", "Likely wrap 03:50 +1, by "},
		{"clocks go back", "2026-10-31", "Likely wrap 02:50 +1, by "},
		{"clocks go forward", "2027-03-13", "Likely wrap 04:50 +1, by "},
	} {
		v := night(t, c.date)
		contains(t, c.name, v.Line, c.want)
		var labels []string
		for _, h := range v.Picture.Hours {
			labels = append(labels, h.Label)
		}
		hours := strings.Join(labels, " ")
		switch c.date {
		case "2026-10-31":
			contains(t, "hours", hours, "01:00 01:00")
		case "2027-03-13":
			contains(t, "hours", hours, "01:00 03:00")
		default:
			contains(t, "hours", hours, "01:00 02:00 03:00")
		}
	}
}

// At 70 degrees north the sun does not set in late June.
func TestPolarSummer(t *testing.T) {
	st := newStage(t)
	st.Do(shoot.Desk, "05:00", "day.set", obj{"id": day2, "name": "Day 2", "date": "2026-06-21", "zone": zone, "base": 1})
	st.Do(shoot.Desk, "05:00", "shot.set", obj{"id": id(70), "day": day2, "number": "20", "title": "Midnight sun", "setup": id(21), "minutes": 60, "priority": "must",
		"crop": "", "heroes": []string{}, "talent": []string{}, "fallback": "", "notes": "", "base": 0})
	st.Do(person(shoot.ArtDirector), "05:00", "light.set", obj{"day": day2, "lat": 70_000_000, "lon": -74_000_000, "base": 0, "windows": []obj{}})
	wish(st, id(70), "daylight", "")
	at, err := zone.At("2026-06-21", 22*60)
	if err != nil {
		t.Fatal(err)
	}
	v := show[RunOfDay](st, shoot.Crew, "08:00", view.ScreenDay, func(c *Context) { c.Day, c.Now = shoot.DayID(day2), at })
	same(t, "light", v.Light[0], "The sun does not set on this day.")
	same(t, "unmet", len(v.Unmet), 0)
	for _, b := range v.Picture.Sky {
		same(t, "sky", b.Kind, "daylight")
	}
}

func wish(st *stage, shot, light, window string) {
	st.Do(person(shoot.ArtDirector), "06:00", "shot.wishes", obj{"shot": shot, "light": light, "window": window, "after": []string{}, "fallback": 0, "base": 0})
}

// What cannot be met is said with the shot, what is missing and when it turns.
func TestUnmetSaysWhichAndWhy(t *testing.T) {
	for _, c := range []struct {
		name, at string
		do       func(st *stage)
		want     string
	}{
		{"after sunset", "16:45", func(st *stage) { wish(st, shot3, "daylight", "") }, "and the sun sets at 16:"},
		{"the sun has left", "16:45", func(st *stage) { wish(st, shot3, "sun", "south window") }, "and the sun leaves the south window at "},
		{"a window the sun never comes in by", "08:00", func(st *stage) {
			st.Do(person(shoot.ArtDirector), "06:00", "light.set", obj{"day": day1, "lat": 41_000_000, "lon": -74_000_000, "base": 1, "windows": []obj{
				{"name": "north window", "bearing": 0, "width": 300, "sill": 20, "head": 300, "depth": 200, "height": 75}}})
			wish(st, shot3, "sun", "north window")
		}, "Shot 3 cannot have what it needs on this day: the sun does not come in by the north window."},
		{"somebody has to go too early", "08:00", func(st *stage) {
			st.Do(person(shoot.Producer), "06:00", "stay.until", obj{"day": day1, "person": person(shoot.Talent), "until": "08:15", "was": nil})
		}, "takes 30 min and has 15 min at most before Pat "},
		{"somebody is gone", "12:00", func(st *stage) {
			st.Do(person(shoot.Producer), "06:00", "stay.until", obj{"day": day1, "person": person(shoot.Talent), "until": "11:00", "was": nil})
		}, "has to go at 11:00."},
	} {
		t.Run(c.name, func(t *testing.T) {
			st := newStage(t)
			light(st, 41_000_000)
			c.do(st)
			v := day(st, shoot.Crew, c.at)
			if len(v.Unmet) == 0 {
				t.Fatal("everything is met")
			}
			contains(t, "unmet", strings.Join(v.Unmet, " "), c.want)
			if !strings.HasPrefix(v.Unmet[0], "Shot ") {
				t.Errorf("which shot? %q", v.Unmet[0])
			}
			for _, lost := range []string{"between when", "and sunset", "at  "} {
				if strings.Contains(v.Unmet[0], lost) {
					t.Errorf("%q", v.Unmet[0])
				}
			}
		})
	}
}

// Whoever is done long before the wrap could go, where that saves money; whoever
// is in the last shot could not, and the advice is the producer's alone.
func TestReleaseOfTalent(t *testing.T) {
	st := newStage(t)
	ada, talent := person(shoot.Producer), person(shoot.Talent)
	st.Do(ada, "05:00", "terms.set", obj{"person": talent, "base": 0, "terms": overtime.Terms{Basis: overtime.Day, Rate: money.Of(600_00, "USD"), Included: 60, Step: 15,
		Bands: []overtime.Band{{After: 60, Times: money.Whole(2)}}}})
	same(t, "in the last shot", day(st, shoot.Producer, "08:00").Release, []string(nil))
	for _, s := range []string{shot2, shot3, shot4} {
		plan := st.State.Floor.Shots[shoot.ShotID(s)].ShotPlan
		plan.Talent = nil
		st.Do(person(shoot.ArtDirector), "06:00", "shot.set", struct {
			shoot.ShotPlan
			Base int `json:"base"`
		}{plan, st.State.Floor.Shots[shoot.ShotID(s)].Version})
	}
	v := day(st, shoot.Producer, "08:00")
	same(t, "advice", len(v.Release), 1)
	contains(t, "advice", v.Release[0], "Pat ")
	contains(t, "advice", v.Release[0], " is done at about 08:5")
	contains(t, "advice", v.Release[0], "Letting them go then saves about $")
	same(t, "for the art director", len(day(st, shoot.ArtDirector, "08:00").Release), 0)
	st.Do(person(shoot.ArtDirector), "09:00", "shot.cut", obj{"shot": shot1})
	same(t, "in no shot that is left", len(day(st, shoot.Producer, "09:30").Release), 0)
}

package day

import (
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/when"
)

// The steps of TestExposureAgainstTheWrap: 18:01, 19:01, 20:01 ...
func TestWarningBeforeAStep(t *testing.T) {
	st := newStage(t)
	first := view.Mark{Word: "Dearer within 30 min", Shape: view.ShapeStepLine, Tone: view.ToneWarn}
	again := view.Mark{Word: "Dearer within 10 min", Shape: view.ShapeStep, Tone: view.ToneStop}
	say := "18:01: +$250.00 (Pat Crew and The barn)"
	for _, c := range []struct {
		now  string
		plus when.Instant
		want *Warning
	}{
		{"17:30", when.Minute - 1, nil},
		{"17:31", 0, &Warning{first, "In 30 min", "30 min", say}},
		{"17:50", when.Minute - 1, &Warning{first, "In 11 min", "11 min", say}},
		{"17:51", 0, &Warning{again, "In 10 min", "10 min", say}},
		{"18:00", 30 * when.Second, &Warning{again, "In 1 min", "1 min", say}},
		{"18:01", 0, nil},
		{"18:40", 0, &Warning{first, "In 21 min", "21 min", "19:01: +$340.00 (Pat Photographer, Pat Crew and The barn)"}},
		{"05:00", 0, nil},
	} {
		later := func(x *Context) { x.Now += c.plus }
		v := show[Overtime](st, shoot.Producer, c.now, view.ScreenOvertime, later)
		if (v.Warning == nil) != (c.want == nil) {
			t.Fatalf("at %s: %+v", c.now, v.Warning)
		}
		count, said := "", ""
		if c.want != nil {
			same(t, c.now, *v.Warning, *c.want)
			count, said = c.want.Count, view.Lower(c.want.In)+", "+c.want.Say
		}
		for _, r := range shoot.Roles() {
			for _, tab := range show[Shell](st, r, c.now, view.ScreenShell, later).Tabs {
				if tab.Screen == view.ScreenOvertime {
					same(t, "tab at "+c.now, tab.Count+", "+tab.Say, count+", "+said)
				} else if tab.Count != "" {
					t.Errorf("%s is counted on %s", tab.Count, tab.Screen)
				}
			}
		}
	}
}

// Overtime by the minute is warned of when it starts and when it gets dearer.
func TestWarningIsNotForEveryMinute(t *testing.T) {
	st := newStage(t)
	st.Do(shoot.Desk, "05:00", "hire.set", obj{"id": barn, "day": day1, "name": "The barn", "from": "09:00", "terms": overtime.Terms{Basis: overtime.AllIn, Rate: money.Of(1, "USD")}, "base": 1})
	for _, r := range []shoot.Role{shoot.Photographer, shoot.Crew} {
		st.Do(shoot.Desk, "05:00", "terms.set", obj{"person": person(r), "base": 1, "terms": overtime.Terms{Basis: overtime.Day, Rate: money.Of(480_00, "USD"), Included: 480,
			Bands: []overtime.Band{{After: 480, Times: money.Ratio{Num: 3, Den: 2}}, {After: 600, Times: money.Whole(2)}}}})
	}
	for now, want := range map[string]string{
		"16:40": "17:01: +$3.00 (Pat Photographer and Pat Crew)", // 1.50 a minute each
		"17:10": "",
		"18:29": "",
		"18:31": "19:01: +$4.00 (Pat Photographer and Pat Crew)",
		"19:10": "",
	} {
		got := ""
		if w := show[Overtime](st, shoot.Producer, now, view.ScreenOvertime).Warning; w != nil {
			got = w.Say
		}
		same(t, now, got, want)
	}
}

package day

import (
	"fmt"
	"strings"
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/when"
)

// The plan of the fixture: four shots of 30 minutes from 08:00 and two changes of
// 20 minutes (shots 1 and 10) come to 10:40, and the middle of a sum of
// log-normals lies a little above the sum of the middles. By hand, with the pace's
// spread of 0.25 over all 160 minutes and 0.30 of each: 40 and 19.9 min, together
// 45; 0.84 of that above the middle is 11:25 or a little later.
func TestWrapLineBeforeTheDay(t *testing.T) {
	st := newStage(t)
	for _, c := range []struct {
		role shoot.Role
		want string
	}{
		{shoot.Crew, "Likely wrap 10:50, by 11:30 four times in five."},
		{shoot.ArtDirector, "Likely wrap 10:50, by 11:30 four times in five."},
		{shoot.Client, "We expect to be done at about 10:50; it may take until 11:30."},
		{shoot.Caterer, "People are likely on set until about 10:50, and perhaps until 11:30."},
	} {
		same(t, string(c.role), show[Shell](st, c.role, "06:00", view.ScreenShell).Wrap, c.want)
	}
}

// day shows the run of the day.
func day(st *stage, r shoot.Role, at string) *RunOfDay {
	return show[RunOfDay](st, r, at, view.ScreenDay)
}

func TestForecastFollowsTheDay(t *testing.T) {
	st := newStage(t)
	art, cam := person(shoot.ArtDirector), person(shoot.Photographer)
	same(t, "pace", day(st, shoot.Crew, "08:00").Pace, "No shot is finished yet, so this is the plan.")
	st.Do(art, "09:00", "shot.open", obj{"shot": shot3})
	st.Do(art, "09:10", "pause.start", obj{"day": day1, "why": "the courier"})
	v := day(st, shoot.Crew, "09:20")
	same(t, "waits", v.Waits, "Waiting since 09:10: the courier.")
	st.Press(art, "09:30", find(t, day(st, shoot.ArtDirector, "09:30").Actions, "We go on"), nil)
	st.Do(cam, "10:05", "shot.capture", obj{"shot": shot3}) // 65 minutes up, 20 of them waiting
	v = day(st, shoot.Crew, "10:05")
	same(t, "pace", v.Pace, "1 shot, with the time before it, took 3.50 times its plan.")
	before := v.Line
	later := day(st, shoot.Crew, "10:35").Line
	if before == later || !strings.HasPrefix(later, "Likely wrap 1") {
		t.Errorf("half an hour in which nothing was done: %q, then %q", before, later)
	}
	same(t, "rows", len(v.Picture.Rows), 4)
	row := v.Picture.Rows[2]
	same(t, "row", row.Say, "Shot 3, captured, planned 09:20 to 09:50, was up 09:00 to 10:05.")
	if !row.Done || row.Likely.From >= row.Likely.To {
		t.Errorf("the bar is %+v", row)
	}
	same(t, "starts", len(v.Starts), 3)
	if len(v.Levers) != 0 || v.Money != "" || len(v.Picture.Steps) != 0 {
		t.Error("crew are shown levers or money")
	}
}

func TestOddDays(t *testing.T) {
	t.Run("all done", func(t *testing.T) {
		st := newStage(t)
		for _, s := range []string{shot1, shot2, shot4} {
			st.Do(person(shoot.ArtDirector), "09:00", "shot.cut", obj{"shot": s})
		}
		st.Do(person(shoot.ArtDirector), "09:00", "shot.open", obj{"shot": shot3})
		st.Do(person(shoot.Photographer), "09:40", "shot.capture", obj{"shot": shot3})
		same(t, "line", day(st, shoot.Crew, "12:00").Line, "Every shot is captured, the last at 09:40.")
	})
	t.Run("longer up than planned", func(t *testing.T) {
		st := newStage(t)
		st.Do(person(shoot.ArtDirector), "09:00", "shot.open", obj{"shot": shot3})
		v := day(st, shoot.Crew, "10:30")
		contains(t, "line", v.Line, "Likely wrap 1")
		if v.Picture.Rows[2].Likely.To < v.Picture.Now {
			t.Errorf("what is up ends at %d, before now at %d", v.Picture.Rows[2].Likely.To, v.Picture.Now)
		}
	})
	t.Run("up since yesterday", func(t *testing.T) {
		st := newStage(t)
		yesterday := clock("09:00") - 24*when.Hour
		if _, r := st.Late(person(shoot.ArtDirector), yesterday, yesterday, "shot.open", obj{"shot": shot3}); r != nil {
			t.Fatal(r)
		}
		v := day(st, shoot.Crew, "09:30")
		contains(t, "line", v.Line, "Likely wrap 1")
		contains(t, "doubt", strings.Join(v.Doubts, " "), "Shot 3 is up for too long to be believed")
	})
	t.Run("over and not done", func(t *testing.T) {
		st := newStage(t)
		v := show[RunOfDay](st, shoot.Crew, "32:00", view.ScreenDay, func(c *Context) { c.Day = shoot.DayID(day1) })
		same(t, "line", v.Line, "The day is over. 4 shots were not captured.")
	})
	t.Run("no day", func(t *testing.T) {
		st := &stage{T: t, State: shoot.New()}
		st.State.Floor.People[person(shoot.Crew)] = shoot.Person{ID: person(shoot.Crew), Role: shoot.Crew}
		same(t, "line", day(st, shoot.Crew, "09:00").Line, "The plan has no shoot day yet.")
	})
}

// light sets the fixture's day at a latitude, with a window that looks south.
func light(st *stage, lat int) {
	st.Do(person(shoot.ArtDirector), "06:00", "light.set", obj{"day": day1, "lat": lat, "lon": -74_000_000, "base": 0, "windows": []obj{
		{"name": "south window", "bearing": 180, "width": 300, "sill": 20, "head": 300, "depth": 200, "height": 75}}})
}

func TestLightBindsShots(t *testing.T) {
	st := newStage(t)
	light(st, 41_000_000)
	st.Do(person(shoot.ArtDirector), "06:00", "shot.wishes", obj{"shot": shot3, "light": "sun", "window": "south window", "after": []string{}, "fallback": 0, "base": 0})
	v := day(st, shoot.Crew, "08:00")
	contains(t, "light", v.Light[0], "Sunrise 06:5")
	contains(t, "sun", v.Light[1], "Sun by the south window ")
	if len(v.Unmet) != 0 || len(v.Picture.Sky) == 0 || len(v.Picture.Suns[0].In) == 0 {
		t.Errorf("unmet %q, sky %+v", v.Unmet, v.Picture.Sky)
	}
	v = day(st, shoot.Crew, "16:30") // the sun has gone
	if len(v.Unmet) != 1 {
		t.Fatalf("unmet: %q", v.Unmet)
	}
	contains(t, "unmet", v.Unmet[0], "and the sun leaves the south window at ")
}

// At 70 degrees north there is no sun in late November.
func TestPolarNight(t *testing.T) {
	st := newStage(t)
	light(st, 70_000_000)
	st.Do(person(shoot.ArtDirector), "06:00", "shot.wishes", obj{"shot": shot3, "light": "daylight", "window": "", "after": []string{}, "fallback": 0, "base": 0})
	v := day(st, shoot.Crew, "08:00")
	same(t, "light", v.Light, []string{"The sun does not rise on this day.", "No direct sun by the south window. What stands outside is not known."})
	same(t, "unmet", v.Unmet, []string{"Shot 3 cannot have what it needs on this day: the sun does not rise."})
}

func TestLeversAreTakenAndUndone(t *testing.T) {
	st := newStage(t)
	art := person(shoot.ArtDirector)
	shot := st.State.Floor.Shots[shoot.ShotID(shot2)].ShotPlan
	shot.Priority = shoot.Spare
	st.Do(art, "06:00", "shot.set", struct {
		shoot.ShotPlan
		Base int `json:"base"`
	}{shot, 1})
	v := day(st, shoot.ArtDirector, "08:00")
	taken := 0
	for i := range v.Levers {
		l := day(st, shoot.ArtDirector, "08:00").Levers[i] // as it stands after the others were taken and undone
		if !l.Take.Enabled || l.Money != "" {
			t.Errorf("%s: %+v", l.Title, l)
		}
		line := day(st, shoot.ArtDirector, "08:00").Line
		st.Press(art, "08:00", l.Take, nil)
		if after := day(st, shoot.ArtDirector, "08:00").Line; after == line {
			t.Errorf("%s (%s): still %q", l.Title, l.Saves, line)
		}
		st.Do(art, "08:00", l.Undo.Name, l.Undo.Args)
		same(t, "undone "+l.Title, day(st, shoot.ArtDirector, "08:00").Line, line)
		taken++
	}
	if taken == 0 || v.LeversSay != "" {
		t.Errorf("no lever: %q", v.LeversSay)
	}
	kinds := ""
	for _, l := range v.Levers {
		kinds += l.Title + "; "
	}
	contains(t, "levers", kinds, "Bring the shots of one set-up together; ")
	contains(t, "levers", kinds, "Cut shot 2; ")
}

func TestMoneyOfTheForecast(t *testing.T) {
	st := newStage(t)
	v := day(st, shoot.Producer, "08:00")
	same(t, "money", v.Money, "No overtime is expected.")
	v = day(st, shoot.Producer, "17:30") // two hours and forty minutes are left, and steps come at 18:01 and 19:01
	contains(t, "money", v.Money, "Overtime comes to about $")
	same(t, "plan", v.Plan, "Done by the planned wrap at 18:00: hardly ever.")
}

// bigDay is 60 shots and 60 people on terms.
func bigDay(b testing.TB) *stage {
	st := newStage(b)
	art, ada := person(shoot.ArtDirector), person(shoot.Producer)
	light(st, 41_000_000)
	for i := range 56 {
		setup := id(300 + i/7)
		if i%7 == 0 {
			st.Do(art, "05:00", "setup.set", obj{"id": setup, "name": fmt.Sprint("Corner ", i/7), "minutes": 5, "base": 0})
		}
		st.Do(art, "05:00", "shot.set", obj{"id": id(3000 + i), "day": day1, "number": view.Itoa(100 + i), "title": "Picture", "setup": setup, "minutes": 7, "priority": "want",
			"crop": "", "heroes": []string{}, "talent": []string{}, "fallback": "smaller", "notes": "", "base": 0})
	}
	for i := range 60 {
		p := shoot.PersonID(id(2000 + i))
		st.Do(shoot.Desk, "05:00", "person.set", obj{"id": p, "name": fmt.Sprintf("Crew %02d", i), "role": "crew", "department": "Grip", "job": "", "phone": "", "base": 0})
		st.Do(ada, "05:00", "call.set", obj{"day": day1, "person": p, "call": when.Clock(420 + i), "was": nil})
		st.Do(ada, "05:00", "terms.set", obj{"person": p, "base": 0, "terms": overtime.Terms{Basis: overtime.Day, Rate: money.Of(50000+int64(i), "USD"), Included: 540, Step: 15,
			Bands: []overtime.Band{{After: 540, Times: money.Ratio{Num: 3, Den: 2}}, {After: 720, Times: money.Whole(2)}}}})
	}
	st.Do(ada, "05:00", "sheet.publish", obj{"day": day1, "number": 2})
	return st
}

func BenchmarkDay60(b *testing.B) {
	st := bigDay(b)
	for _, c := range []struct {
		name, screen string
		role         shoot.Role
		memo         bool
	}{{"day", "day", shoot.Producer, false}, {"shell", "shell", shoot.Crew, false}, {"the same minute again", "day", shoot.Producer, true}} {
		b.Run(c.name, func(b *testing.B) {
			ctx := looks(person(c.role), "08:00")
			if c.memo {
				ctx.Memo = &Memo{}
			}
			s := st.State.For(shoot.Audience{Person: ctx.Me, Role: c.role})
			for b.Loop() {
				if _, err := Make(c.screen, s, ctx); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// What an order or a meal was before stands in the shoot itself: whoever opens the
// screen anew can go back to it.
func TestGoingBackSurvivesAReload(t *testing.T) {
	st := newStage(t)
	ada := person(shoot.Producer)
	before := day(st, shoot.Producer, "08:00")
	if len(before.Back) != 0 {
		t.Errorf("nothing was changed, and %+v", before.Back)
	}
	order := st.State.Floor.Days[shoot.DayID(day1)].Order
	if len(order) == 0 {
		for _, s := range before.Starts {
			order = append(order, shoot.ShotID(s.ID))
		}
	}
	var other []shoot.ShotID
	for i := range order {
		other = append(other, order[len(order)-1-i])
	}
	st.Do(ada, "08:00", "shot.order", obj{"day": day1, "order": other, "base": st.State.Floor.Days[shoot.DayID(day1)].OrderVersion})
	for id, m := range st.State.Floor.Meals {
		if string(m.Day) == day1 && m.Service == shoot.MealPlanned {
			st.Do(ada, "08:00", "meal.set", obj{"id": id, "day": day1, "name": m.Name, "at": m.At + 15, "minutes": m.Minutes + 5, "margin": m.Margin, "base": m.Version})
		}
	}
	after := day(st, shoot.Producer, "08:00")
	if len(after.Back) < 2 {
		t.Fatalf("%+v", after.Back)
	}
	for _, a := range after.Back {
		st.Press(ada, "08:00", a, nil)
	}
	same(t, "line", day(st, shoot.Producer, "08:00").Line, before.Line)
	same(t, "order", fmt.Sprint(st.State.Floor.Days[shoot.DayID(day1)].Order), fmt.Sprint(order))
	if len(day(st, shoot.Crew, "08:00").Back) != 0 {
		t.Error("the crew may change the order")
	}
}

// Where one cut is not enough two are offered together, one press for both; and they
// come back together.
func TestTwoCutsTogether(t *testing.T) {
	st := newStage(t)
	art := person(shoot.ArtDirector)
	st.Do(art, "08:00", "shots.cut", obj{"shots": []string{shot1, shot2}})
	for _, s := range []string{shot1, shot2} {
		same(t, s, st.State.Floor.Shots[shoot.ShotID(s)].Progress, shoot.Cut)
	}
	st.Do(art, "08:01", "shots.back", obj{"shots": []string{shot1, shot2}})
	for _, s := range []string{shot1, shot2} {
		same(t, s, st.State.Floor.Shots[shoot.ShotID(s)].Progress, shoot.Planned)
	}
}

// Cuts and fallbacks are taken back from the shoot as well, on any phone.
func TestGoingBackFromCutsAndFallbacks(t *testing.T) {
	st := newStage(t)
	art := person(shoot.ArtDirector)
	before := day(st, shoot.ArtDirector, "08:00").Line
	st.Do(art, "08:00", "shot.cut", obj{"shot": shot4})
	st.Do(art, "08:00", "shot.wishes", obj{"shot": shot2, "light": "", "window": "", "after": []string{}, "fallback": 5, "base": 0})
	planned := day(st, shoot.ArtDirector, "08:00").Line
	st.Do(art, "08:00", "shot.fallback", obj{"shot": shot2, "on": true})
	for _, label := range []string{"Back to the first idea of shot 2", "Put shot 10 back"} {
		if planned == before {
			t.Fatal("the cut shortens nothing")
		}
		st.Press(art, "08:01", find(t, day(st, shoot.ArtDirector, "08:01").Back, label), nil)
	}
	v := day(st, shoot.ArtDirector, "08:01")
	same(t, "line", v.Line, before)
	same(t, "nothing to take back", len(v.Back), 0)
}

package shoot

import (
	"testing"

	"fairday/domain/when"
)

var north = Window{Name: "North", Bearing: 350, Width: 220, Sill: 90, Head: 260, Depth: 100, Height: 75}

func TestPlanRefusals(t *testing.T) {
	six, five := when.Clock(18*60), when.Clock(17*60)
	light := func(change func(*lightSet)) lightSet {
		a := lightSet{Day: day1, Lat: 38722000, Lon: -9139000, Windows: []Window{north}, Base: 1}
		change(&a)
		return a
	}
	for name, c := range map[string]struct {
		code   Code
		who    PersonID
		intent string
		args   any
	}{
		"light, no such day":        {CodeUnknownThing, art, "light.set", light(func(a *lightSet) { a.Day = "x" })},
		"light, off the Earth":      {CodeBadArgs, art, "light.set", light(func(a *lightSet) { a.Lat = 91_000_000 })},
		"light, stale":              {CodeStale, art, "light.set", light(func(a *lightSet) { a.Base = 0 })},
		"light, not for crew":       {CodeNotAllowed, crew, "light.set", light(func(*lightSet) {})},
		"window upside down":        {CodeBadArgs, art, "light.set", light(func(a *lightSet) { a.Windows = []Window{{Name: "N", Width: 100, Sill: 200, Head: 100, Depth: 50}} })},
		"window without a name":     {CodeBadArgs, art, "light.set", light(func(a *lightSet) { a.Windows[0].Name = " " })},
		"window twice":              {CodeBadArgs, art, "light.set", light(func(a *lightSet) { a.Windows = []Window{north, north} })},
		"too many windows":          {CodeBadArgs, art, "light.set", light(func(a *lightSet) { a.Windows = make([]Window, 13) })},
		"wish, no such shot":        {CodeUnknownThing, art, "shot.wishes", shotWishes{Shot: "x"}},
		"wish for moonlight":        {CodeBadArgs, art, "shot.wishes", shotWishes{Shot: shotFree, Light: "moon"}},
		"wish, no such window":      {CodeUnknownThing, art, "shot.wishes", shotWishes{Shot: shotFree, Light: WantSun, Window: "South"}},
		"a window for any light":    {CodeBadArgs, art, "shot.wishes", shotWishes{Shot: shotFree, Window: "North"}},
		"after itself":              {CodeUnknownThing, art, "shot.wishes", shotWishes{Shot: shotFree, After: []ShotID{shotFree}}},
		"after one that is unknown": {CodeUnknownThing, art, "shot.wishes", shotWishes{Shot: shotFree, After: []ShotID{"x"}}},
		"in a circle":               {CodeBadArgs, art, "shot.wishes", shotWishes{Shot: shotLamp, After: []ShotID{shotSoup}}},
		"fallback of two days":      {CodeBadArgs, art, "shot.wishes", shotWishes{Shot: shotFree, Fallback: 2000}},
		"wish, stale":               {CodeStale, art, "shot.wishes", shotWishes{Shot: shotSoup, Base: 0}},
		"stay, no such person":      {CodeUnknownThing, art, "stay.until", stayUntil{day1, "x", &six, nil}},
		"stay, no such day":         {CodeUnknownThing, art, "stay.until", stayUntil{"x", cam, &six, nil}},
		"stay, stale":               {CodeStale, art, "stay.until", stayUntil{day1, cam, &six, &five}},
		"range, no such meal":       {CodeUnknownThing, ada, "meal.range", mealRange{"x", 1, 2, 0}},
		"range backwards":           {CodeBadArgs, ada, "meal.range", mealRange{lunch, 14 * 60, 12 * 60, 0}},
		"range, not for the AD":     {CodeNotAllowed, art, "meal.range", mealRange{lunch, 12 * 60, 14 * 60, 0}},
		"range, stale":              {CodeStale, ada, "meal.range", mealRange{lunch, 12 * 60, 14 * 60, 3}},
		"pause, no such day":        {CodeUnknownThing, art, "pause.start", pauseStart{"x", ""}},
		"pause, a long story":       {CodeBadArgs, art, "pause.start", pauseStart{day1, string(make([]byte, 200))}},
		"pause, not for crew":       {CodeNotAllowed, crew, "pause.start", pauseStart{day1, ""}},
		"going on, no such day":     {CodeUnknownThing, art, "pause.end", pauseEnd{"x"}},
	} {
		t.Run(name, func(t *testing.T) {
			st := newStage(t)
			at := clock("09:00")
			st.must(art, at, "light.set", lightSet{Day: day1, Lat: 38722000, Lon: -9139000, Windows: []Window{north}})
			st.must(art, at, "shot.wishes", shotWishes{Shot: shotSoup, After: []ShotID{shotLamp}})
			st.must(art, at, "stay.until", stayUntil{day1, cam, &six, nil})
			st.refused(c.code, c.who, at, c.intent, c.args)
		})
	}
}

// What a shot was worked on leaves out the pauses, the meals that were served and
// the time in which its hero did not hold; what overlaps counts once.
func TestWorked(t *testing.T) {
	st := newStage(t)
	st.confirmLamp(clock("08:50"))
	st.must(art, clock("09:00"), "shot.open", shotOpen{shotLamp})
	st.must(art, clock("09:10"), "pause.start", pauseStart{day1, "the courier"})
	st.must(art, clock("09:12"), "pause.start", pauseStart{day1, "again"}) // it waits already
	if p, on := st.s.Paused(day1); !on || p.Why != "the courier" || p.By != art {
		t.Errorf("the pause is %+v, %v", p, on)
	}
	st.must(prop, clock("09:20"), "hero.away", heroAway{lamp, ""})
	st.must(art, clock("09:30"), "pause.end", pauseEnd{day1})
	st.must(art, clock("09:31"), "pause.end", pauseEnd{day1})
	worked := func(at string) int { return int(st.s.Worked(st.s.Floor.Shots[shotLamp], clock(at)) / when.Minute) }
	if got := worked("09:05"); got != 5 {
		t.Errorf("at 09:05 it was worked on for %d min", got)
	}
	if got := worked("09:40"); got != 10 { // the hero is still away
		t.Errorf("at 09:40: %d min", got)
	}
	st.must(prop, clock("09:45"), "hero.back", heroBack{lamp})
	st.confirmLamp(clock("09:50")) // the second reads a minute later
	if got := worked("10:01"); got != 20 {
		t.Errorf("at 10:01: %d min", got)
	}
	st.must(ada, clock("12:58"), "meal.count", mealCount{lunch})
	st.must(ada, clock("13:00"), "meal.start", mealStart{lunch})
	if got, want := worked("13:45"), 20+179; got != want {
		t.Errorf("at 13:45: %d min, want %d", got, want)
	}
	st.must(art, clock("14:00"), "shot.capture", shotCapture{shotLamp, ""})
	if got, want := worked("18:00"), 20+179+15; got != want {
		t.Errorf("when it was captured: %d min, want %d", got, want)
	}
}

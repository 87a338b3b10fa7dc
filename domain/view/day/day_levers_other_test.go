package day

import (
	"strings"
	"testing"

	"fairday/domain/pace"
	"fairday/domain/shoot"
	"fairday/domain/view"
)

// full is the first day with more than fits, and a shot of an hour on each of the days
// after it that are given a wrap; each is called at 08:00.
func full(t *testing.T, wraps ...string) *stage {
	st := newStage(t)
	art, ada := person(shoot.ArtDirector), person(shoot.Producer)
	for _, s := range []string{shot1, shot2, shot3, shot4} {
		plan := st.State.Floor.Shots[shoot.ShotID(s)].ShotPlan
		plan.Minutes, plan.Priority = 60, shoot.Want
		if s == shot3 {
			plan.Minutes = 240
		}
		st.Do(art, "05:20", "shot.set", struct {
			shoot.ShotPlan
			Base int `json:"base"`
		}{plan, 1})
	}
	st.Do(ada, "05:20", "day.set", obj{"id": id(3), "name": "Day 3", "date": "2026-11-27", "zone": zone, "base": 0})
	st.Do(ada, "05:21", "sheet.set", obj{"day": day1, "place": obj{"name": "The Mill", "address": ""}, "generalCall": "08:00", "plannedWrap": "14:00", "emergency": "", "safety": "", "notes": "", "base": 1})
	st.Do(ada, "05:22", "sheet.publish", obj{"day": day1, "number": 2})
	for i, wrap := range wraps {
		on := []string{day2, id(3)}[i]
		st.Do(art, "05:23", "shot.set", obj{"id": id(70 + i), "day": on, "number": []string{"20", "30"}[i], "title": "Picture", "setup": id(22), "minutes": 60, "priority": "must",
			"crop": "", "heroes": []string{}, "talent": []string{}, "fallback": "", "notes": "", "base": 0})
		st.Do(ada, "05:24", "sheet.set", obj{"day": on, "place": obj{"name": "The Mill", "address": ""}, "generalCall": "08:00", "plannedWrap": wrap, "emergency": "", "safety": "", "notes": "", "base": 0})
		st.Do(ada, "05:24", "call.set", obj{"day": on, "person": person(shoot.Talent), "call": "08:00", "was": nil})
		st.Do(ada, "05:25", "sheet.publish", obj{"day": on, "number": 1})
	}
	return st
}

// moves are the levers to another day, and where the first of them stands.
func moves(st *stage) (out []Lever, all []Lever) {
	all = show[RunOfDay](st, shoot.ArtDirector, "06:00", view.ScreenDay, func(c *Context) { c.Memo = &Memo{} }).Levers
	for _, l := range all {
		if strings.HasPrefix(l.Title, "Make shot") && strings.Contains(l.Title, " on Day ") {
			out = append(out, l)
		}
	}
	return out, all
}

// A shot of four hours after one of one hour: 300 minutes from 08:00. The day that wraps
// at 10:00 cannot hold it, the one that wraps at 20:00 almost surely can.
func TestAShotGoesToTheDayWithRoom(t *testing.T) {
	for _, c := range []struct{ second, third, on, say string }{
		{"10:00", "20:00", "Day 3", "That day is then done by 20:00: almost surely. Without it: almost surely."},
		{"20:00", "10:00", "Day 2", "That day is then done by 20:00: almost surely. Without it: almost surely."},
	} {
		st := full(t, c.second, c.third)
		got, _ := moves(st)
		if len(got) == 0 {
			t.Fatal("no lever to another day")
		}
		same(t, "title", got[0].Title, "Make shot 3 on "+c.on)
		same(t, "why", got[0].Why, []string{c.say})
		art := person(shoot.ArtDirector)
		before := day(st, shoot.ArtDirector, "06:00").Line
		st.Press(art, "06:00", got[0].Take, nil)
		if day(st, shoot.ArtDirector, "06:00").Line == before {
			t.Error("the wrap does not move")
		}
		st.Do(art, "06:01", got[0].Undo.Name, got[0].Undo.Args)
		same(t, "back", day(st, shoot.ArtDirector, "06:01").Line, before)
	}
}

// toOther is the lever that makes a shot on another day, shown or not.
func toOther(st *stage, shot string) Lever {
	m, err := newMaker(st.State.For(shoot.Audience{Person: person(shoot.ArtDirector), Role: shoot.ArtDirector}), looks(person(shoot.ArtDirector), "06:00"))
	if err != nil {
		st.T.Fatal(err)
	}
	o := m.forecast()
	for _, t := range m.pulled(o, nil) {
		if t.Kind == pace.LeverDay && t.Key == shot {
			return m.lever(o, t, nil)
		}
	}
	st.T.Fatal("no lever to another day")
	return Lever{}
}

// Where no day has room the lever says what it does there, and no other comes after it.
func TestAShotThatOnlyMovesTheTrouble(t *testing.T) {
	st := full(t, "09:00", "09:00")
	l := toOther(st, shot3)
	same(t, "why", l.Why, []string{"That day is then done by 09:00: hardly ever. Without it: as likely as not."})
	same(t, "dear", l.dear, true)
	if _, all := moves(st); len(all) == 0 || all[0].dear {
		t.Errorf("it comes first of %d", len(all))
	}
	same(t, "dear where there is room", toOther(full(t, "20:00", "20:00"), shot3).dear, false)
}

// What a shot would be late for on the other day is said: its talent has to go at 08:30.
func TestAShotThatMissesItsPeopleThere(t *testing.T) {
	st := full(t, "20:00", "20:00")
	leaves := func(on string) {
		st.Do(person(shoot.Producer), "05:30", "stay.until", obj{"day": on, "person": person(shoot.Talent), "until": "08:30", "was": nil})
	}
	leaves(day2)
	l := toOther(st, shot3)
	same(t, "the day on which nobody has to go", []any{l.Title, l.dear}, []any{"Make shot 3 on Day 3", false})
	leaves(id(3))
	l = toOther(st, shot3)
	contains(t, "why", strings.Join(l.Why, " "), "Pat Talent has to go")
	same(t, "dear", l.dear, true)
}

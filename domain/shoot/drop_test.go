package shoot

import (
	"slices"
	"testing"
)

// Shots are called by their number, so no two have the same one.
func TestNumberUsedTwice(t *testing.T) {
	st := newStage(t)
	at := clock("07:00")
	next := shotSet{ShotPlan: ShotPlan{ID: ShotID(id(80)), Day: day1, Number: " 3", Title: "Another", Setup: table, Minutes: 10, Priority: Want}}
	st.refused(CodeBadArgs, art, at, "shot.set", next)
	next.Number = "3A"
	st.must(art, at, "shot.set", next)
	was := st.s.Floor.Shots[shotFree]
	st.must(art, at, "shot.set", shotSet{was.ShotPlan, was.Version}) // its own number
	next.Number, next.Base = "1", 1
	st.refused(CodeBadArgs, art, at, "shot.set", next)
}

// What nothing happened to can be deleted, and entered again; anything else stays.
func TestDrop(t *testing.T) {
	st := newStage(t)
	at := clock("07:00")
	st.must(art, at, "shot.order", shotOrder{day1, []ShotID{shotFree, shotLamp}, 0})
	st.must(art, at, "shot.wishes", shotWishes{shotLamp, AnyLight, "", []ShotID{shotFree}, 0, 0})
	plan := st.s.Floor.Shots[shotFree].ShotPlan
	st.must(art, at, "shot.drop", shotDrop{shotFree})
	st.must(art, at, "shot.drop", shotDrop{shotFree}) // so already
	f := st.s.Floor
	if _, there := f.Shots[shotFree]; there || !slices.Equal(f.Days[day1].Order, []ShotID{shotLamp}) || len(f.Wishes[shotLamp].After) != 0 {
		t.Errorf("%+v %+v", f.Days[day1].Order, f.Wishes)
	}
	st.must(art, at, "shot.set", shotSet{plan, 0})
	st.must(art, at, "shot.open", shotOpen{shotFree})
	st.must(art, at, "shot.reset", shotReset{shotFree, Open})
	st.refused(CodeWrongProgress, art, at, "shot.drop", shotDrop{shotFree})
	st.refused(CodeWrongProgress, art, at, "hero.drop", heroDrop{lamp}) // of a shot
	st.refused(CodeNotAllowed, cam, at, "shot.drop", shotDrop{shotLamp})
	st.must(art, at, "shot.drop", shotDrop{shotLamp})
	st.must(art, at, "hero.drop", heroDrop{lamp})
	st.must(art, at, "hero.drop", heroDrop{lamp}) // so already
	if _, there := st.s.Floor.Heroes[lamp]; there {
		t.Error("the hero is there")
	}
	st.must(food, at, "hero.swap", heroSwap{soup, ""})
	st.must(art, at, "shot.drop", shotDrop{shotSoup})
	st.refused(CodeWrongProgress, art, at, "hero.drop", heroDrop{soup})
}

package day

import (
	"encoding/json"
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/view"
)

// A button that was left for later takes what there is when it is pressed, and is
// off where that has gone.
func TestWhatIsLeftForLater(t *testing.T) {
	st := newStage(t)
	art := person(shoot.ArtDirector)
	up := find(t, shotOf(t, show[Shots](st, shoot.ArtDirector, "09:00", view.ScreenShots), "2").Order, "Move up")
	st.Press(art, "09:00", up, nil)
	if first := st.Opened(art, "09:01", up); first.Enabled || first.Why != "It is the first already." {
		t.Errorf("pressed again: %+v", first)
	}
	for what, a := range map[string]view.Action{
		"no such shot":   {Name: "shot.order", Args: json.RawMessage(`{"shot":"gone"}`), Later: true},
		"no such action": {Name: "shot.fly", Args: up.Args, Later: true},
		"nothing":        {Name: "shot.order", Args: json.RawMessage(`7`), Later: true},
		"not for later":  {Name: "shot.order", Args: up.Args},
	} {
		if got := Open(a, st.State, looks(art, "09:00")); got.Enabled || got.Why == "" {
			t.Errorf("%s: %+v", what, got)
		}
	}
}

// What is the same for every shot is not said with each of them: a day of sixty
// shots is a screen that a phone can paint at once.
func TestLongDayIsASmallScreen(t *testing.T) {
	st := bigDay(t)
	b, err := json.Marshal(show[Shots](st, shoot.ArtDirector, "08:00", view.ScreenShots))
	if err != nil || len(b) > 150_000 {
		t.Errorf("%d bytes, %v", len(b), err)
	}
}

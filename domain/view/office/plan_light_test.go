package office

import (
	"testing"

	"fairday/domain/shoot"
	"fairday/domain/view"
)

// A place and a window with all that stands outside, entered as a scout writes it down,
// changed, and taken away.
func TestLightIsPlanned(t *testing.T) {
	st := newStage(t)
	art := person(shoot.ArtDirector)
	part := func() PlanPart {
		return partOf(t, shown[Plan](st, shoot.ArtDirector, "09:00", view.ScreenPlan), "light")
	}
	same(t, "before", []any{len(part().Rows), part().Say}, []any{0, "The plan does not say where this day is shot, so the sun is not known."})
	st.Press(art, "09:00", asked(st, shoot.ArtDirector, "Say where it is"), map[string][]string{"lat": {"38.722"}, "lon": {"-9.1393"}, "horizon": {"80 to 120: 6\n\n200 230 4°"}})
	same(t, "the place", part().Rows[0].Says, []string{"38.722, -9.1393", "with what stands round it"})

	st.Press(art, "09:01", asked(st, shoot.ArtDirector, "Add a window"), map[string][]string{"windows.0.name": {"North window"}, "windows.0.bearing": {"350"},
		"windows.0.width": {"2.2"}, "windows.0.sill": {"0.9"}, "windows.0.head": {"2.6"}, "windows.0.depth": {"1"}})
	same(t, "a window", part().Rows[1].Says, []string{"faces 350°", "2.2 m wide", "what stands outside is not known"})
	st.Press(art, "09:02", asked(st, shoot.ArtDirector, "Add a window"), map[string][]string{"windows.1.name": {"Door"}, "windows.1.bearing": {"170"},
		"windows.1.width": {"1"}, "windows.1.sill": {"0"}, "windows.1.head": {"2.1"}, "windows.1.depth": {"0"}, "windows.1.wallHigh": {"9.5"}, "windows.1.wallFar": {"11"},
		"windows.1.reveal": {"0.35"}, "windows.1.overhang": {"1.2"}, "windows.1.above": {"0.2"}, "windows.1.arcs": {"340 to 10: 25"}})
	want := shoot.Window{Name: "Door", Bearing: 170, Width: 100, Head: 210, Reveal: 35, Overhang: 120, Above: 20, WallHigh: 950, WallFar: 1100,
		Arcs: []shoot.Arc{{From: 340, To: 10, Up: 25}}}
	light := st.State.Floor.Lights[shoot.DayID(day1)]
	same(t, "the door", light.Windows[1], want)
	same(t, "the horizon", light.Horizon, []shoot.Arc{{From: 80, To: 120, Up: 6}, {From: 200, To: 230, Up: 4}})
	contains(t, "what stands outside", part().Rows[2].Says[2], "a wall 9.5 m high 11 m away, an overhang of 1.2 m, a reveal of 0.35 m and what is seen outside")

	// Sent as it is shown it stays; one part changed leaves the other window alone.
	st.Press(art, "09:03", asked(st, shoot.ArtDirector, "window:Door"), nil)
	same(t, "the door again", st.State.Floor.Lights[shoot.DayID(day1)].Windows[1], want)
	st.Press(art, "09:04", asked(st, shoot.ArtDirector, "window:North window"), map[string][]string{"windows.0.wallHigh": {"4"}, "windows.0.wallFar": {"6"}})
	light = st.State.Floor.Lights[shoot.DayID(day1)]
	same(t, "the door still", light.Windows[1], want)
	same(t, "the north window", light.Windows[0].WallHigh, 400)

	st.Press(art, "09:05", find(t, part().Rows[1].Actions, "Take away"), nil)
	same(t, "taken away", len(st.State.Floor.Lights[shoot.DayID(day1)].Windows), 1)
	same(t, "the one that stays", part().Rows[1].Name, "Door")
}

// What a person reads who enters what cannot be.
func TestLightRefusals(t *testing.T) {
	st := newStage(t)
	art := person(shoot.ArtDirector)
	st.Press(art, "09:00", asked(st, shoot.ArtDirector, "Say where it is"), map[string][]string{"lat": {"38.722"}, "lon": {"-9.1393"}})
	for _, c := range []struct{ row, key, entered, says string }{
		{"place", "lat", "", "Latitude in degrees is missing."},
		{"place", "lat", "38,7", "Latitude in degrees: enter degrees like 38.722"},
		{"place", "lat", "98.7", "is not on the Earth"},
		{"place", "horizon", "110 to 160", "“110 to 160” cannot be read. Write one a line, like 110 to 160: 12."},
		{"place", "horizon", "110 to 160: 12 and more", "cannot be read"},
		{"place", "horizon", "110 to 460: 12", "not on the compass"},
		{"Add a window", "windows.0.width", "wide", "Width, metres: enter metres like 1.2, down to a centimetre."},
		{"Add a window", "windows.0.width", "-1", "width of -1 m cannot be"},
		{"Add a window", "windows.0.head", "0.5", "is not above its sill"},
		{"Add a window", "windows.0.wallHigh", "9", "how far away"},
		{"Add a window", "windows.0.above", "1", "does not jut out"},
		{"Add a window", "windows.0.name", " ", "Name is missing."},
	} {
		a := asked(st, shoot.ArtDirector, c.row)
		entered := map[string][]string{"lat": {"38.722"}, "lon": {"0"}, "windows.0.name": {"N"}, "windows.0.bearing": {"10"}, "windows.0.width": {"1"}, "windows.0.sill": {"0.9"},
			"windows.0.head": {"2"}, "windows.0.depth": {"1"}}
		entered[c.key] = []string{c.entered}
		said := ""
		if args, err := view.Fill(a, entered, id(4999)); err != nil {
			said = err.Error()
		} else if _, r := st.Late(art, clock("09:00"), clock("09:00"), a.Name, args); r != nil {
			said = r.Say
		}
		contains(t, c.key+" "+c.entered, said, c.says)
	}
}

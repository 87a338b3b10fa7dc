package sun

import (
	"math"
	"math/rand/v2"
	"testing"

	"fairday/domain/when"
)

// At an equinox on the equator the sun climbs straight up from due east, 15 degrees an
// hour, so that an elevation is 90 degrees less the hour angle and each edge an arc
// tangent of two lengths. The spot is on the floor 1 m in, the window reaches from the
// floor to 3 m.
func TestWhatStandsOutsideByHand(t *testing.T) {
	d := dayOn(t, "2026-03-20", "UTC", Place{})
	for name, c := range map[string]struct {
		change   func(*Window)
		from, to float64 // hour angles in degrees before noon
	}{
		"nothing":                         {func(*Window) {}, 90.57, 18.435},                                           // atan 3/1
		"a wall 10 m high at 9 m":         {func(w *Window) { w.WallHigh, w.WallFar = 10, 9 }, 45, 18.435},             // atan 10/10
		"the same in a wall of 1 m":       {func(w *Window) { w.WallHigh, w.WallFar, w.Reveal = 11, 9, 1 }, 45, 33.69}, // atan 11/11, atan 3/2
		"a reveal of 1 m":                 {func(w *Window) { w.Reveal = 1 }, 90.57, 33.69},
		"a balcony of 1 m at the head":    {func(w *Window) { w.Overhang = 1 }, 90.57, 33.69},
		"a balcony of 1 m, 1 m higher":    {func(w *Window) { w.Overhang, w.Above = 1, 1 }, 90.57, 26.565}, // atan 4/2
		"a balcony over a reveal":         {func(w *Window) { w.Overhang, w.Reveal, w.Above = 1, 1, 3 }, 90.57, 33.69},
		"a hill of 30 degrees":            {func(w *Window) { w.Arcs = []Arc{{80, 100, 30}} }, 60, 18.435},
		"a hill to the north of it":       {func(w *Window) { w.Arcs = []Arc{{40, 80, 30}} }, 90.57, 18.435},
		"a hill all round":                {func(w *Window) { w.Arcs = []Arc{{0, 360, 30}} }, 60, 18.435},
		"an arc the long way round":       {func(w *Window) { w.Arcs = []Arc{{100, 80, 30}} }, 90.57, 18.435},
		"a wall behind the hill":          {func(w *Window) { w.WallHigh, w.WallFar, w.Arcs = 10, 9, []Arc{{80, 100, 30}} }, 45, 18.435},
		"a table, and a wall as high":     {func(w *Window) { w.Height, w.WallHigh, w.WallFar = 1, 1, 20 }, 90.57, 26.565}, // atan 2/1
		"a low wall that hides the floor": {func(w *Window) { w.WallHigh, w.WallFar = 1, 0.732 }, 60, 18.435},              // atan 1/1.732 is 30
	} {
		w := Window{Bearing: 90, Width: 2, Head: 3, Depth: 1}
		c.change(&w)
		got, err := through(d, w)
		if err != nil || len(got) != 1 {
			t.Errorf("%s: %v, %v", name, got, err)
			continue
		}
		for what, off := range map[string]when.Instant{
			"from": got[0].From - (d.Noon - when.Instant(c.from*240000)),
			"to":   got[0].To - (d.Noon - when.Instant(c.to*240000)),
		} {
			if off < -120*when.Second || off > 120*when.Second { // a minute, and refraction near the horizon
				t.Errorf("%s: %s is off by %d s", name, what, off/when.Second)
			}
		}
	}
}

// What shuts the sun out altogether leaves nothing, and what stands too low nothing out.
func TestShutOut(t *testing.T) {
	d := dayOn(t, "2026-03-20", "UTC", Place{})
	w := Window{Bearing: 90, Width: 2, Head: 3, Depth: 1, WallHigh: 100, WallFar: 5}
	if got, err := through(d, w); err != nil || got != nil {
		t.Errorf("behind a tower: %v, %v", got, err)
	}
	east := []Arc{{45, 135, 90}}
	clear, in, err := Sky{Horizon: east}.Shines(d.From, d.To, []Window{{Bearing: 90, Width: 2, Head: 3, Depth: 1}})
	if err != nil || in[0] != nil || len(clear) != 1 || clear[0].From < d.Noon-2*when.Minute {
		t.Errorf("a cliff in the east leaves %v clear and %v in the window, %v", clear, in, err)
	}
}

// box is a solid between two corners: to the right along the wall of the window, out of
// it, and up.
type box struct{ low, high [3]float64 }

// hit tells whether a ray from a point meets the box, slab by slab.
func (b box) hit(from, dir [3]float64) bool {
	first, last := 0.0, math.Inf(1)
	for i := range 3 {
		if dir[i] == 0 {
			if from[i] < b.low[i] || from[i] > b.high[i] {
				return false
			}
			continue
		}
		one, two := (b.low[i]-from[i])/dir[i], (b.high[i]-from[i])/dir[i]
		first, last = max(first, min(one, two)), min(last, max(one, two))
	}
	return first < last
}

// boxes are the room's wall with the window as a hole, the overhang and the wall
// opposite.
func (w Window) boxes() []box {
	const far, thin = 1e5, 1e-7
	face := w.Reveal + thin
	all := []box{
		{[3]float64{-far, 0, -far}, [3]float64{-w.Width / 2, face, far}},
		{[3]float64{w.Width / 2, 0, -far}, [3]float64{far, face, far}},
		{[3]float64{-far, 0, -far}, [3]float64{far, face, w.Sill}},
		{[3]float64{-far, 0, w.Head}, [3]float64{far, face, far}},
	}
	if w.Overhang > 0 {
		all = append(all, box{[3]float64{-far, face, w.Head + w.Above}, [3]float64{far, w.Reveal + w.Overhang, w.Head + w.Above + 0.2}})
	}
	if w.WallFar > 0 {
		all = append(all, box{[3]float64{-far, w.Reveal + w.WallFar, -far}, [3]float64{far, w.Reveal + w.WallFar + 12, w.WallHigh}})
	}
	return all
}

// shone follows the ray from the spot to the sun through the boxes, with the library's
// trigonometry. An arc is a piece of a round wall a kilometre away.
func shone(w Window, azimuth, elevation float64) bool {
	if elevation <= 0 {
		return false
	}
	off, up := (azimuth-w.Bearing)*math.Pi/180, elevation*math.Pi/180
	dir := [3]float64{math.Sin(off) * math.Cos(up), math.Cos(off) * math.Cos(up), math.Sin(up)}
	if dir[1] <= 0 {
		return false
	}
	for _, b := range w.boxes() {
		if b.hit([3]float64{0, -w.Depth, w.Height}, dir) {
			return false
		}
	}
	for _, a := range w.Arcs {
		wide := math.Mod(a.To-a.From+360, 360)
		within := wide == 0 || math.Mod(azimuth-a.From+720, 360) <= wide
		if within && 1000*math.Tan(up) < 1000*math.Tan(a.Up*math.Pi/180) {
			return false
		}
	}
	return true
}

// Every minute of days at any place, through any window with anything before it,
// against rays and boxes. A minute that a hair's breadth decides may fall either way.
func TestWindowsAgainstBoxes(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 11))
	some := func(most float64) float64 { return r.Float64() * most }
	maybe := func(most float64) float64 { return some(most) * float64(r.IntN(2)) }
	litMinutes, blocked := 0, 0
	for range 400 {
		p := Place{some(180) - 90, some(360) - 180}
		w := Window{Bearing: some(360), Width: 0.4 + some(5), Sill: maybe(1.5), Depth: maybe(4), Height: maybe(1.2), Reveal: maybe(0.8),
			Overhang: maybe(3), WallHigh: maybe(15)}
		w.Head = w.Sill + 0.3 + some(2.5)
		if w.Overhang > 0 {
			w.Above = maybe(1)
		}
		if w.WallHigh > 0 {
			w.WallFar = 1 + some(25)
		}
		for range r.IntN(3) {
			w.Arcs = append(w.Arcs, Arc{some(360), some(360), 1 + some(60)})
		}
		d := dayOn(t, when.Date("2026-01-01").Add(r.IntN(365)), "UTC", p)
		got, err := through(d, w)
		if err != nil {
			t.Fatal(err)
		}
		bare := w
		bare.Reveal, bare.Overhang, bare.Above, bare.WallHigh, bare.WallFar, bare.Arcs = 0, 0, 0, 0, 0, nil
		for at := wholeMinute(d.From); at <= d.To; at += when.Minute {
			s, err := Position(at, p)
			if err != nil {
				t.Fatal(err)
			}
			want := shone(w, s.Azimuth, s.Refracted)
			if want {
				litMinutes++
			} else if shone(bare, s.Azimuth, s.Refracted) {
				blocked++
			}
			if want == within(got, at) {
				continue
			}
			const hair = 1e-6                                                             // degrees
			alone := want && !within(got, at-when.Minute) && !within(got, at+when.Minute) // shorter than a minute
			if !alone && shone(w, s.Azimuth+hair, s.Refracted+hair) == want && shone(w, s.Azimuth-hair, s.Refracted-hair) == want &&
				shone(w, s.Azimuth+hair, s.Refracted-hair) == want && shone(w, s.Azimuth-hair, s.Refracted+hair) == want {
				t.Fatalf("%+v, %+v: at %d the sun at %f, %f comes in: %v", p, w, at, s.Azimuth, s.Refracted, want)
			}
		}
	}
	if litMinutes < 5000 || blocked < 5000 {
		t.Errorf("%d minutes with sun and %d without are too few to tell", litMinutes, blocked)
	}
}

func within(all []Stretch, at when.Instant) bool {
	for _, s := range all {
		if s.From <= at && at <= s.To {
			return true
		}
	}
	return false
}

func TestObstructionsRefused(t *testing.T) {
	for name, change := range map[string]func(*Window){
		"reveal below":       func(w *Window) { w.Reveal = -0.1 },
		"no reveal":          func(w *Window) { w.Reveal = math.NaN() },
		"overhang":           func(w *Window) { w.Overhang = -1 },
		"above no overhang":  func(w *Window) { w.Above = 1 },
		"a wall nowhere":     func(w *Window) { w.WallHigh = 10 },
		"a wall of nothing":  func(w *Window) { w.WallFar = 10 },
		"an endless wall":    func(w *Window) { w.WallHigh, w.WallFar = math.Inf(1), 10 },
		"arc off the card":   func(w *Window) { w.Arcs = []Arc{{-10, 20, 5}} },
		"arc past the card":  func(w *Window) { w.Arcs = []Arc{{10, 370, 5}} },
		"an arc of nothing":  func(w *Window) { w.Arcs = []Arc{{10, 10, 5}} },
		"north to north":     func(w *Window) { w.Arcs = []Arc{{360, 0, 5}} },
		"an arc on the line": func(w *Window) { w.Arcs = []Arc{{10, 20, 0}} },
		"past the zenith":    func(w *Window) { w.Arcs = []Arc{{10, 20, 91}} },
		"no elevation":       func(w *Window) { w.Arcs = []Arc{{10, 20, math.NaN()}} },
		"too many arcs":      func(w *Window) { w.Arcs = make([]Arc, mostArcs+1) },
	} {
		w := Window{Bearing: 90, Width: 2, Sill: 1, Head: 2, Depth: 1}
		change(&w)
		if err, _ := w.Check().(*Error); err == nil || err.Code != CodeWindow {
			t.Errorf("%s: %v", name, err)
		}
	}
	noon := utc(t, "2026-06-21T12:00:00Z")
	for name, k := range map[string]Sky{"horizon": {Horizon: []Arc{{1, 1, 1}}}, "place": {Place: Place{91, 0}}} {
		if _, _, err := k.Shines(noon, noon+when.Hour, nil); err == nil {
			t.Errorf("%s passes", name)
		}
	}
	if _, _, err := (Sky{}).Shines(noon, noon, nil); err == nil {
		t.Error("a stretch of nothing passes")
	}
	if _, err := Between(noon, noon+longestLight+1, Place{}); err == nil {
		t.Error("a stretch of more than a week passes")
	}
}

package sun

import (
	"math"
	"testing"

	"fairday/domain/when"
)

// FuzzDay holds what is true of every day at every place. The seeds run with the
// ordinary tests: latitudes from pole to pole, longitudes that fit no clock, the
// solstices and equinoxes.
func FuzzDay(f *testing.F) {
	for _, lat := range []float64{-90, -78.2, -66.6, -35, 0, 23.4, 51.5, 65.8, 67.4, 69.65, 89.5, 90} {
		for i, lon := range []float64{-180, -74, 0, 139.7, 180} {
			for _, day := range []uint16{79, 172, 265, 355, 20500} {
				f.Add(lat, lon, day+uint16(i), 90*float64(i%4)+15, 1.5)
			}
		}
	}
	f.Fuzz(func(t *testing.T, lat, lon float64, days uint16, bearing, depth float64) {
		p := Place{lat, lon}
		if p.Check() != nil {
			t.Skip()
		}
		d := dayOn(t, when.Date("1970-01-02").Add(int(days)), "UTC", p)
		checkCrossings(t, d)
		checkNoon(t, d)
		w := Window{Bearing: bearing, Width: 2, Sill: 0.9, Head: 2.4, Depth: depth, Height: 0.75}
		if w.Check() == nil {
			checkThrough(t, d, w)
		}
		checkBands(t, d.From, d.To, p)
	})
}

func elevation(t *testing.T, at when.Instant, p Place) float64 {
	t.Helper()
	s, err := Position(at, p)
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range []float64{s.Azimuth, s.Elevation, s.Refracted, s.Distance} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Fatalf("at %d in %+v: %+v", at, p, s)
		}
	}
	if s.Azimuth < 0 || s.Azimuth >= 360 || math.Abs(s.Elevation) > 90 {
		t.Fatalf("at %d in %+v: %+v", at, p, s)
	}
	return s.Elevation
}

// At a crossing the sun stands at the height, and order is kept.
func checkCrossings(t *testing.T, d Day) {
	for _, c := range []struct {
		what   string
		got    Crossing
		height float64
		from   when.Instant
		to     when.Instant
	}{
		{"dawn", d.Dawn, -6, d.From, d.Noon}, {"rise", d.Rise, -50. / 60, d.From, d.Noon},
		{"set", d.Set, -50. / 60, d.Noon, d.To}, {"dusk", d.Dusk, -6, d.Noon, d.To},
	} {
		switch c.got.Standing {
		case Crosses:
			if c.got.At < c.from || c.got.At > c.to {
				t.Errorf("%+v: %s at %d", d, c.what, c.got.At)
			}
			if e := elevation(t, c.got.At, d.place); math.Abs(e-c.height) > 1e-5 {
				t.Errorf("%+v: elevation at %s is %.7f", d, c.what, e)
			}
		case NeverRises:
			if d.Elevation >= c.height || c.got.At != 0 {
				t.Errorf("%+v: %s never rises", d, c.what)
			}
		case NeverSets:
			if d.Elevation < c.height || c.got.At != 0 {
				t.Errorf("%+v: %s never sets", d, c.what)
			}
		default:
			t.Errorf("%s has the standing %q", c.what, c.got.Standing)
		}
	}
	if d.Dawn.At != 0 && d.Rise.At != 0 && d.Dawn.At >= d.Rise.At || d.Dusk.At != 0 && d.Set.At >= d.Dusk.At {
		t.Errorf("%+v: twilight within the day", d)
	}
}

// Noon is the highest the sun gets. The sun's own drift of at most a minute of arc
// an hour moves the highest point by less than a thousandth of a degree below 60
// degrees of latitude; beyond 85 there is no saying.
func checkNoon(t *testing.T, d Day) {
	slack := 0.001
	switch lat := math.Abs(d.place.Lat); {
	case lat > 85:
		slack = 0.25
	case lat > 60:
		slack = 0.02
	}
	for at := d.From; at <= d.To; at += 7 * when.Minute {
		if e := elevation(t, at, d.place); e > d.Elevation+slack {
			t.Fatalf("%+v: %.5f at %d", d, e, at)
		}
	}
	if length := d.To - d.From; length < 24*when.Hour-when.Minute || length > 24*when.Hour+when.Minute {
		t.Errorf("a day of %d ms", length)
	}
}

// The minutes of a window are minutes of the sun up, each of them lit.
func checkThrough(t *testing.T, d Day, w Window) {
	got, err := through(d, w)
	if err != nil {
		t.Fatal(err)
	}
	up, ok := d.up()
	if !ok && len(got) > 0 {
		t.Errorf("%+v: sun through %+v in the polar night", d, w)
	}
	last := up.From
	for _, s := range got {
		if s.From < last || s.To > up.To || s.To <= s.From || s.From%when.Minute != 0 || s.To%when.Minute != 0 {
			t.Errorf("%+v through %+v: %+v after %d", d, w, s, last)
		}
		last = s.To
		for at := s.From; at <= s.To; at += when.Minute {
			if !lit(t, at, d.place, w) {
				t.Fatalf("%+v through %+v: dark at %d", d, w, at)
			}
		}
	}
}

// lit works out from azimuth and refracted elevation, with the library's
// trigonometry, where the ray onto the spot came through the wall.
func lit(t *testing.T, at when.Instant, p Place, w Window) bool {
	s, err := Position(at, p)
	if err != nil {
		t.Fatal(err)
	}
	off := (s.Azimuth - w.Bearing) * math.Pi / 180
	if s.Refracted <= 0 || math.Cos(off) <= 0 {
		return false
	}
	const slack = 1e-6
	aside := w.Depth * math.Tan(off)
	height := w.Height + w.Depth/math.Cos(off)*math.Tan(s.Refracted*math.Pi/180)
	return math.Abs(aside) <= w.Width/2*(1+slack) && height >= w.Sill*(1-slack) && height <= w.Head*(1+slack)
}

// The bands of light cover the stretch without gap or repetition, and a sample
// of moments stands in the right one.
func checkBands(t *testing.T, from, to when.Instant, p Place) {
	bands, err := LightBetween(from, to, p)
	if err != nil {
		t.Fatal(err)
	}
	at := from
	for i, b := range bands {
		if b.From != at || b.To <= b.From || i > 0 && b.Light == bands[i-1].Light {
			t.Fatalf("bands %+v from %d to %d", bands, from, to)
		}
		at = b.To
		for m := b.From; m < b.To && math.Abs(p.Lat) < 89; m += 11 * when.Minute {
			e := elevation(t, m, p)
			low, high := map[Light]float64{Night: -90, Twilight: -6, Daylight: -50. / 60}[b.Light], map[Light]float64{Night: -6, Twilight: -50. / 60, Daylight: 90}[b.Light]
			if e < low-0.01 || e > high+0.01 {
				t.Fatalf("%s at %d with the sun at %.4f, place %+v", b.Light, m, e, p)
			}
		}
	}
	if at != to {
		t.Errorf("bands end at %d, want %d", at, to)
	}
}

// The package's own trigonometry against the library's.
func TestTrigonometry(t *testing.T) {
	for x := -725.0; x <= 725; x += 0.37 {
		sin, cos := sincos(x)
		if math.Abs(sin-math.Sin(x*math.Pi/180)) > 1e-14 || math.Abs(cos-math.Cos(x*math.Pi/180)) > 1e-14 {
			t.Errorf("sincos(%g) = %g, %g", x, sin, cos)
		}
		if got, want := arc(sin, cos), math.Atan2(sin, cos)*180/math.Pi; math.Abs(signed(got-want)) > 1e-13 {
			t.Errorf("arc at %g = %g, want %g", x, got, want)
		}
	}
	for _, x := range []float64{0, 90, 180, 270, 360, -90, 1e9} {
		if sin, cos := sincos(x); math.Abs(mul(sin, sin)+mul(cos, cos)-1) > 1e-15 {
			t.Errorf("sincos(%g) is off the circle", x)
		}
	}
	if turn(-1e-18) != 0 || turn(-90) != 270 || turn(720) != 0 || signed(180) != -180 || signed(359) != -1 {
		t.Error("angles are not brought into their turn")
	}
}

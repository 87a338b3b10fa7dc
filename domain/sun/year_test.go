package sun

import (
	_ "embed"
	"math"
	"strconv"
	"strings"
	"testing"

	"fairday/domain/when"
)

//go:embed testdata/year.tsv
var year string

// A year at eight places against the npm library astronomy-engine, which
// testdata/year.mjs asked once: positions within 0.0125 degrees, of azimuth along
// the sky, since it turns fast near the zenith (0.01 of ours and 0.0025 for parallax,
// which we leave out); noon, rise and set within 60 s,
// and none on the same days. Where the sun only grazes the horizon, more slowly
// than a tenth of a degree a minute, a moment is worth less.
func TestYearAgainstAnotherLibrary(t *testing.T) {
	worst := map[string]float64{}
	for _, line := range strings.Split(strings.TrimSpace(year), "\n") {
		f := strings.Split(line, "\t")
		n := make([]float64, len(f))
		for i, s := range f[1:] {
			v, err := strconv.ParseFloat(s, 64)
			if err != nil {
				t.Fatal(err)
			}
			n[i+1] = v
		}
		p, at := Place{n[1], n[2]}, when.Instant(n[3])
		off := func(what string, by, within float64) {
			if worst[what] = max(worst[what], math.Abs(by)); math.Abs(by) > within {
				t.Errorf("%s: %s is off by %f", line, what, by)
			}
		}
		if f[0] == "p" {
			s, err := Position(at, p)
			if err != nil {
				t.Fatal(err)
			}
			off("elevation", s.Elevation-n[5], 0.0125)
			off("azimuth", signed(s.Azimuth-n[4])*math.Cos(n[5]*math.Pi/180), 0.0125)
			continue
		}
		day := p.dayAbout(at)
		off("noon", float64(day.Noon-at)/1000, 60)
		for what, c := range map[string]Crossing{"rise": day.Rise, "set": day.Set} {
			want := n[4]
			if what == "set" {
				want = n[5]
			}
			switch {
			case (c.Standing == Crosses) != (want != 0):
				t.Errorf("%s: %s %s", line, what, c.Standing)
			case want != 0 && math.Abs(day.speed(c.At)) >= 0.1:
				off(what, float64(c.At)/1000-want/1000, 60)
			}
		}
	}
	t.Logf("farthest off: %v", worst)
}

// speed is how fast the sun climbs, in degrees a minute.
func (d Day) speed(at when.Instant) float64 {
	o := d.place.observer()
	return o.look(at+when.Minute/2).elevation() - o.look(at-when.Minute/2).elevation()
}

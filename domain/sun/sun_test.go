package sun

import (
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"fairday/domain/when"
)

func says(z when.Zone, d when.Date, all []Stretch) string {
	var out []string
	for _, s := range all {
		out = append(out, z.ClockOn(d, s.From)+" to "+z.ClockOn(d, s.To))
	}
	return strings.Join(out, ", ")
}

// At an equinox on the equator the sun goes from due east over the zenith to due
// west, 15 degrees an hour: what a window lets in can be told with a set square.
func TestWindowByHand(t *testing.T) {
	d := dayOn(t, "2026-03-20", "UTC", Place{})
	east := Window{Bearing: 90, Width: 2, Sill: 1, Head: 2, Depth: 1, Height: 0}
	for _, c := range []struct {
		name   string
		window Window
		// the hour angles, in degrees before noon, between which the sun comes in
		from, to float64
	}{
		// a spot 1 m in: over the sill from 45 degrees of elevation, under the head until atan 2
		{"floor", east, 45, 90 - 63.435},
		// a table at sill height: from the horizon on
		{"table", Window{Bearing: 90, Width: 2, Sill: 1, Head: 2, Depth: 1, Height: 1}, 90.57, 45},
		// in the opening: until noon
		{"opening", Window{Bearing: 90, Width: 2, Sill: 1, Head: 2, Depth: 0, Height: 1.5}, 90.57, 0},
	} {
		got, err := through(d, c.window)
		if err != nil || len(got) != 1 {
			t.Errorf("%s: %v, %v", c.name, got, err)
			continue
		}
		for what, off := range map[string]when.Instant{
			"from": got[0].From - (d.Noon - when.Instant(c.from*240000)),
			"to":   got[0].To - (d.Noon - when.Instant(c.to*240000)),
		} {
			if off < -90*when.Second || off > 90*when.Second {
				t.Errorf("%s: %s is off by %d s", c.name, what, off/when.Second)
			}
		}
	}
	west := east
	west.Bearing = 270
	morning, _ := through(d, east)
	evening, err := through(d, west)
	if err != nil || len(evening) != 1 || evening[0].From < d.Noon {
		t.Fatalf("west: %v, %v", evening, err)
	}
	if diff := (morning[0].From - d.Noon) + (evening[0].To - d.Noon); diff < -2*when.Minute || diff > 2*when.Minute {
		t.Errorf("east and west are not alike: %d ms", diff)
	}
}

// A north window in Lisbon gets no sun in winter; in summer, early and late.
func TestWindowFacingNorth(t *testing.T) {
	lisbon, z := Place{38.72, -9.14}, when.Zone("Europe/Lisbon")
	w := Window{Bearing: 0, Width: 3, Sill: 0.9, Head: 2.4, Depth: 0, Height: 1}
	for date, want := range map[when.Date]int{"2026-12-21": 0, "2026-06-21": 2} {
		d := dayOn(t, date, z, lisbon)
		got, err := through(d, w)
		if err != nil || len(got) != want {
			t.Errorf("%s: %s, %v", date, says(z, date, got), err)
		}
	}
}

// Where the sun never sets a window may have it at the clock's midnight, and in the
// polar night never.
func TestWindowInPolarSummer(t *testing.T) {
	z, tromso := when.Zone("Europe/Oslo"), Place{69.65, 18.96}
	w := Window{Bearing: 0, Width: 3, Sill: 0, Head: 2.4, Depth: 0, Height: 1}
	got, err := through(dayOn(t, "2026-06-21", z, tromso), w)
	if err != nil || len(got) != 2 { // the day runs from one of the sun's midnights to the next
		t.Errorf("summer: %s, %v", says(z, "2026-06-21", got), err)
	}
	w.Bearing = 180
	if got, err := through(dayOn(t, "2026-12-21", z, tromso), w); err != nil || got != nil {
		t.Errorf("winter: %v, %v", got, err)
	}
}

func TestLight(t *testing.T) {
	for _, c := range []struct {
		what  string
		date  when.Date
		zone  when.Zone
		place Place
		want  string
		hours when.Instant
	}{
		{"clocks go forward", "2023-03-12", "America/New_York", Place{40 + 43./60, -74 - 1./60}, "night twilight daylight twilight night", 23},
		{"clocks go back", "2023-11-05", "America/New_York", Place{40 + 43./60, -74 - 1./60}, "night twilight daylight twilight night", 25},
		{"dusk after midnight, dawn before three", "2023-06-21", "Europe/Oslo", Place{59 + 55./60, 10 + 44./60}, "twilight night twilight daylight twilight", 24},
		{"midnight sun", "2026-06-21", "Europe/Oslo", Place{69.65, 18.96}, "daylight", 24},
		{"polar night", "2026-12-21", "Europe/Oslo", Place{69.65, 18.96}, "night twilight night", 24},
		{"night all day", "2026-12-21", "UTC", Place{90, 0}, "night", 24},
	} {
		bands, err := LightOn(c.date, c.zone, c.place)
		if err != nil {
			t.Fatal(err)
		}
		var words []string
		for _, b := range bands {
			words = append(words, string(b.Light))
		}
		if got := strings.Join(words, " "); got != c.want {
			t.Errorf("%s: %s, want %s", c.what, got, c.want)
		}
		if got := bands[len(bands)-1].To - bands[0].From; got != c.hours*when.Hour {
			t.Errorf("%s: %d h, want %d", c.what, got/when.Hour, c.hours)
		}
	}
}

// A shoot that runs past midnight has one stretch of light.
func TestLightAcrossMidnight(t *testing.T) {
	from, to := utc(t, "2026-07-01T16:00:00+01:00"), utc(t, "2026-07-02T07:00:00+01:00")
	bands, err := LightBetween(from, to, Place{38.72, -9.14})
	if err != nil || len(bands) != 5 || bands[2].Light != Night {
		t.Errorf("%+v, %v", bands, err)
	}
}

func TestRefused(t *testing.T) {
	nan := math.NaN()
	place, noon := Place{38.72, -9.14}, utc(t, "2026-06-21T12:00:00Z")
	position := func(at when.Instant, p Place) error { _, err := Position(at, p); return err }
	on := func(d when.Date, z when.Zone, p Place) error {
		_, err := On(d, z, p)
		_, lightErr := LightOn(d, z, p)
		if !errors.Is(lightErr, err) {
			t.Errorf("On says %v, LightOn says %v", err, lightErr)
		}
		return err
	}
	light := func(from, to when.Instant, p Place) error { _, err := LightBetween(from, to, p); return err }
	through := func(change func(*Window)) error {
		w := Window{Bearing: 90, Width: 2, Sill: 1, Head: 2, Depth: 1}
		change(&w)
		_, err := through(dayOn(t, "2026-06-21", "UTC", place), w)
		return err
	}
	for name, c := range map[string]struct {
		err  error
		code string
	}{
		"latitude":         {position(noon, Place{90.1, 0}), CodePlace},
		"latitude south":   {position(noon, Place{-91, 0}), CodePlace},
		"no latitude":      {position(noon, Place{nan, 0}), CodePlace},
		"longitude":        {position(noon, Place{0, 180.5}), CodePlace},
		"no longitude":     {position(noon, Place{0, nan}), CodePlace},
		"endless":          {position(noon, Place{0, math.Inf(-1)}), CodePlace},
		"moment not set":   {position(0, place), CodeTime},
		"moment too late":  {position(latest+1, place), CodeTime},
		"day's place":      {on("2026-06-21", "UTC", Place{100, 0}), CodePlace},
		"date":             {on("2026-02-30", "UTC", place), CodeDate},
		"zone":             {on("2026-06-21", "Mars/Base", place), CodeZone},
		"date too late":    {on("2200-12-31", "UTC", place), CodeTime},
		"light's place":    {light(noon, noon+1, Place{100, 0}), CodePlace},
		"light's start":    {light(0, noon, place), CodeTime},
		"light's end":      {light(noon, latest+1, place), CodeTime},
		"light backwards":  {light(noon, noon, place), CodeRange},
		"light too long":   {light(noon, noon+longestLight+1, place), CodeRange},
		"bearing":          {through(func(w *Window) { w.Bearing = 361 }), CodeWindow},
		"bearing below":    {through(func(w *Window) { w.Bearing = -1 }), CodeWindow},
		"no bearing":       {through(func(w *Window) { w.Bearing = nan }), CodeWindow},
		"no width":         {through(func(w *Window) { w.Width = 0 }), CodeWindow},
		"width below":      {through(func(w *Window) { w.Width = -1 }), CodeWindow},
		"head at the sill": {through(func(w *Window) { w.Head = 1 }), CodeWindow},
		"sill":             {through(func(w *Window) { w.Sill = -0.1 }), CodeWindow},
		"no depth":         {through(func(w *Window) { w.Depth = nan }), CodeWindow},
		"depth":            {through(func(w *Window) { w.Depth = 1e6 }), CodeWindow},
		"height":           {through(func(w *Window) { w.Height = -2 }), CodeWindow},
	} {
		var e *Error
		if !errors.As(c.err, &e) || e.Code != c.code {
			t.Errorf("%s: %v, want %s", name, c.err, c.code)
		} else if !strings.HasSuffix(e.Text, ".") || !strings.Contains(e.Text, "; ") && !strings.Contains(e.Text, ". ") {
			t.Errorf("%s says no next step: %s", name, e.Text)
		}
	}
}

// No product may be fused with a sum: each is the argument of a conversion. Those
// in constant declarations, and of a literal with whole hours, are exact.
func TestNoFusedProducts(t *testing.T) {
	if got := loose(t, "x.go", "package p\nfunc f(a, b float64) float64 { a *= b; c := a * b; return float64(a*b) + c }"); len(got) != 2 {
		t.Fatalf("the check sees %v", got)
	}
	files, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if strings.HasSuffix(f.Name(), ".go") && !strings.HasSuffix(f.Name(), "_test.go") {
			for _, where := range loose(t, f.Name(), nil) {
				t.Errorf("%s: convert the product, or use mul", where)
			}
		}
	}
}

func loose(t *testing.T, name string, src any) (found []string) {
	fset := token.NewFileSet()
	file, err := parser.ParseFile(fset, name, src, 0)
	if err != nil {
		t.Fatal(err)
	}
	var kept []ast.Node
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.GenDecl:
			return n.Tok != token.CONST
		case *ast.CallExpr:
			if id, ok := n.Fun.(*ast.Ident); ok && id.Name == "float64" {
				kept = append(kept, n.Args[0])
			}
		case *ast.BinaryExpr:
			_, constant := n.X.(*ast.BasicLit) // 2*halfDay, 24*60
			if n.Op == token.MUL && !constant && !slices.Contains(kept, ast.Node(n)) {
				found = append(found, fmt.Sprint(fset.Position(n.Pos())))
			}
		case *ast.AssignStmt:
			if n.Tok == token.MUL_ASSIGN {
				found = append(found, fmt.Sprint(fset.Position(n.Pos())))
			}
		}
		return true
	})
	return found
}

// The bits of some hundred days come out the same wherever the tests run, in
// WebAssembly too. The sum was taken from this package: it says nothing of what is
// right, which the published values do, and changes when the equations do.
func TestSameBitsEverywhere(t *testing.T) {
	h := uint64(14695981039346656037) // FNV-1a over the bits
	add := func(v uint64) {
		for i := 0; i < 64; i += 8 {
			h = (h ^ v>>i&0xff) * 1099511628211
		}
	}
	for day := 0; day < 365; day += 7 {
		for lat := -85.0; lat <= 85; lat += 17 {
			p := Place{lat, 2*lat + 0.123}
			d := dayOn(t, when.Date("2026-01-01").Add(day), "UTC", p)
			s, _ := Position(d.Noon+when.Instant(day)*when.Minute, p)
			for _, v := range []float64{s.Azimuth, s.Elevation, s.Refracted, s.Distance} {
				add(math.Float64bits(v))
			}
			for _, c := range []Crossing{d.Dawn, d.Rise, d.Set, d.Dusk, {At: d.Noon}} {
				add(uint64(c.At))
			}
		}
	}
	if want := uint64(0xb0f92b5c19eb520b); h != want {
		t.Errorf("the bits come to %#x, want %#x", h, want)
	}
}

func BenchmarkDay(b *testing.B) {
	w := Window{Bearing: 200, Width: 2, Sill: 0.9, Head: 2.4, Depth: 2, Height: 0.75}
	for _, c := range []struct {
		name string
		run  func() error
	}{
		{"day", func() error { _, err := On("2026-06-21", "UTC", Place{38.72, -9.14}); return err }},
		{"light", func() error { _, err := LightOn("2026-06-21", "UTC", Place{38.72, -9.14}); return err }},
		{"window", func() error {
			d, err := On("2026-06-21", "UTC", Place{38.72, -9.14})
			if err != nil {
				return err
			}
			_, err = through(d, w)
			return err
		}},
	} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				if err := c.run(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// through is the sun in one window from one of the sun's midnights to the next.
func through(d Day, w Window) ([]Stretch, error) {
	_, in, err := Sky{Place: d.place}.Shines(d.From, d.To, []Window{w})
	if err != nil {
		return nil, err
	}
	return in[0], nil
}

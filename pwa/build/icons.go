package main

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
)

// The mark is an F whose middle arm is a low sun. It is drawn on a square of
// 100 units; bars are x, y, width and height.
var (
	paper     = color.RGBA{0xf6, 0xf0, 0xe6, 0xff}
	ink       = color.RGBA{0x22, 0x1d, 0x18, 0xff}
	persimmon = color.RGBA{0xd9, 0x55, 0x2b, 0xff}

	bars = [][4]float64{{28, 22, 13, 56}, {28, 22, 46, 13}}
	sun  = struct{ x, y, r float64 }{59, 55, 13}
)

// writeIcons draws the mark for the tab, the home screen and masked shapes. A
// maskable icon keeps the mark inside the middle 80 percent (W3C Web App
// Manifest, "Icon masks and safe zone").
func writeIcons(dir string) error {
	files := map[string][]byte{"icon.svg": []byte(svg())}
	for name, p := range map[string]struct {
		px    int
		scale float64
	}{"icon-192.png": {192, 1}, "icon-512.png": {512, 1}, "icon-maskable-512.png": {512, 0.8}, "apple-touch-icon.png": {180, 0.9}} {
		b, err := draw(p.px, p.scale)
		if err != nil {
			return err
		}
		files[name] = b
	}
	for name, b := range files {
		if err := os.WriteFile(filepath.Join(dir, name), b, 0o644); err != nil {
			return err
		}
	}
	return nil
}

func svg() string {
	hex := func(c color.RGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><rect width="100" height="100" rx="18" fill="%s"/>`, hex(paper))
	for _, r := range bars {
		fmt.Fprintf(&b, `<rect x="%g" y="%g" width="%g" height="%g" fill="%s"/>`, r[0], r[1], r[2], r[3], hex(ink))
	}
	fmt.Fprintf(&b, `<circle cx="%g" cy="%g" r="%g" fill="%s"/></svg>`, sun.x, sun.y, sun.r, hex(persimmon))
	return b.String()
}

// draw paints the mark px wide, shrunk about the middle, with each pixel the
// mean of four by four samples.
func draw(px int, scale float64) ([]byte, error) {
	const fine = 4
	img := image.NewRGBA(image.Rect(0, 0, px, px))
	for y := range px {
		for x := range px {
			var r, g, b int
			for s := range fine * fine {
				u := (float64(x) + (float64(s%fine)+0.5)/fine) / float64(px) * 100
				v := (float64(y) + (float64(s/fine)+0.5)/fine) / float64(px) * 100
				c := colourAt((u-50)/scale+50, (v-50)/scale+50)
				r, g, b = r+int(c.R), g+int(c.G), b+int(c.B)
			}
			n := fine * fine
			img.SetRGBA(x, y, color.RGBA{uint8(r / n), uint8(g / n), uint8(b / n), 0xff})
		}
	}
	var out bytes.Buffer
	err := png.Encode(&out, img)
	return out.Bytes(), err
}

func colourAt(x, y float64) color.RGBA {
	if math.Hypot(x-sun.x, y-sun.y) <= sun.r {
		return persimmon
	}
	for _, r := range bars {
		if x >= r[0] && x < r[0]+r[2] && y >= r[1] && y < r[1]+r[3] {
			return ink
		}
	}
	return paper
}

package web

import (
	"html/template"
	"strings"

	qr "github.com/piglig/go-qr"
)

// quiet is the empty border around a QR code in modules (ISO/IEC 18004 asks
// for four).
const quiet = 4

// QRText draws a QR code for a terminal, two rows of modules in one line of
// half blocks. It sets black on white itself, so that it reads on any
// background.
func QRText(text string) (string, error) {
	q, err := qr.EncodeText(text, qr.Low)
	if err != nil {
		return "", err
	}
	dark := func(x, y int) bool { return q.Module(x-quiet, y-quiet) }
	side := q.Size() + 2*quiet
	var b strings.Builder
	for y := 0; y < side; y += 2 {
		b.WriteString("\x1b[30;107m")
		for x := range side {
			switch top, low := dark(x, y), dark(x, y+1); {
			case top && low:
				b.WriteRune('█')
			case top:
				b.WriteRune('▀')
			case low:
				b.WriteRune('▄')
			default:
				b.WriteRune(' ')
			}
		}
		b.WriteString("\x1b[0m\n")
	}
	return b.String(), nil
}

// QRImage draws a QR code as an SVG element.
func QRImage(text string) (template.HTML, error) {
	q, err := qr.EncodeText(text, qr.Low)
	if err != nil {
		return "", err
	}
	const module = 4 // pixels; the border is in pixels as well
	svg, err := q.ToSVGBytes(qr.NewQrCodeImgConfig(module, quiet*module, qr.WithOptimalSVG()))
	return template.HTML(svg), err // made of numbers only, nothing of the text
}

package view

import (
	"slices"
	"strconv"
	"strings"

	"fairday/domain/shoot"
	"fairday/domain/sun"
)

// light reads a place, a length or what stands before the sky.
func (f Field) light(s string) (any, error) {
	if f.As == AsArcs {
		return f.arcs(s)
	}
	places, say := 2, "enter metres like 1.2, down to a centimetre."
	if f.As == AsDegrees {
		places, say = 6, "enter degrees like 38.722, with a minus for south and west."
	}
	n, ok := sun.Fixed(s, places)
	if !ok {
		return nil, &Problem{f.Key, f.Label + ": " + say}
	}
	return n, nil
}

// arcs reads lines like "110 to 160: 12".
func (f Field) arcs(s string) (any, error) {
	out := []shoot.Arc{}
	for line := range strings.Lines(s) {
		if strings.TrimSpace(line) == "" {
			continue
		}
		words := strings.Fields(strings.NewReplacer(":", " ", "°", " ").Replace(line))
		words = slices.DeleteFunc(words, func(w string) bool { return w == "to" })
		var n []int
		for _, w := range words {
			if v, err := strconv.Atoi(w); err == nil {
				n = append(n, v)
			}
		}
		if len(n) != 3 || len(words) != 3 {
			return nil, &Problem{f.Key, f.Label + ": “" + strings.TrimSpace(line) + "” cannot be read. Write one a line, like 110 to 160: 12."}
		}
		out = append(out, shoot.Arc{From: n[0], To: n[1], Up: n[2]})
	}
	return out, nil
}

// ArcLines writes what arcs reads.
func ArcLines(all []shoot.Arc) string {
	var lines []string
	for _, a := range all {
		lines = append(lines, Itoa(a.From)+" to "+Itoa(a.To)+": "+Itoa(a.Up))
	}
	return strings.Join(lines, "\n")
}

// Outside tells what stands before a window, as it was reckoned with.
func Outside(w shoot.Window) string {
	var what []string
	if w.WallFar > 0 {
		what = append(what, "a wall "+Metres(w.WallHigh)+" high "+Metres(w.WallFar)+" away")
	}
	if w.Overhang > 0 {
		what = append(what, "an overhang of "+Metres(w.Overhang))
	}
	if w.Reveal > 0 {
		what = append(what, "a reveal of "+Metres(w.Reveal))
	}
	if len(w.Arcs) > 0 {
		what = append(what, "what is seen outside")
	}
	return List(what)
}

// Metres writes centimetres as metres: "9 m", "1.2 m".
func Metres(cm int) string { return sun.FixedText(cm, 2) + " m" }

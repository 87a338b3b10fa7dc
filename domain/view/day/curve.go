package day

import (
	"sort"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/view"
	"fairday/domain/when"
)

// box is the width and height that a curve is drawn in.
const box = 1000

// curve lays a curve out for drawing.
func (m *maker) curve(c overtime.Curve, r *reckoning, drag when.Instant) Curve {
	c.To = min(c.To, r.to) // it may have been reckoned further than is drawn
	c.Steps = c.Steps[:sort.Search(len(c.Steps), func(i int) bool { return c.Steps[i].At > c.To })]
	top := c.At(c.To).Minor
	x := func(at when.Instant) int {
		if at < c.From || at > c.To {
			return -1
		}
		return int((at - c.From) * box / (c.To - c.From))
	}
	y := func(a money.Amount) int {
		if top == 0 {
			return 0
		}
		return scaled(a.Minor, top)
	}
	out := Curve{Currency: string(c.Currency), Points: []Point{{0, y(c.Base)}}, X: m.hourTicks(c, x), Y: amountTicks(c.Currency, top),
		Now: x(r.now), Wrap: x(r.wrap), Drag: x(drag)}
	before := y(c.Base)
	for _, s := range c.Steps {
		if y(s.Total) == before {
			continue // too small a step to draw
		}
		out.Points = append(out.Points, Point{x(s.At), before}, Point{x(s.At), y(s.Total)})
		before = y(s.Total)
	}
	out.Points = append(out.Points, Point{box, before})
	out.Say = "From " + c.Base.Format() + " at " + m.Clock(c.From) + " to " + c.At(c.To).Format() + " at " + m.Clock(c.To) +
		", in " + view.Count(len(c.Steps), "step", "steps") + "."
	return out
}

// scaled is part of whole in thousandths.
func scaled(part, whole int64) int {
	for whole > 1<<52 { // the product has to fit
		part, whole = part>>1, whole>>1
	}
	return int(part * box / whole)
}

// hourTicks marks whole hours, eight at most.
func (m *maker) hourTicks(c overtime.Curve, x func(when.Instant) int) []Tick {
	every := when.Hour
	for (c.To-c.From)/every > 8 {
		every += when.Hour
	}
	at := c.From
	_, clock := m.At.Local(at)
	at += when.Instant((60-clock%60)%60) * when.Minute
	var out []Tick
	for ; at <= c.To; at += every {
		out = append(out, Tick{x(at), m.Clock(at)})
	}
	return out
}

// amountTicks marks round amounts, from nought up, five at most.
func amountTicks(c money.Currency, top int64) []Tick {
	zero := Tick{0, money.Of(0, c).Format()}
	if top == 0 {
		return []Tick{zero}
	}
	step := int64(1)
	for i := 0; top/step > 4; i++ { // 1, 2, 5, 10, 20, 50 ...
		if i%3 == 1 {
			step = step / 2 * 5
		} else {
			step *= 2
		}
	}
	out := []Tick{zero}
	for v := step; v <= top && v > 0; v += step {
		out = append(out, Tick{scaled(v, top), money.Of(v, c).Format()})
	}
	return out
}

package pace

import "math"

// A day has a hundred levers, and each makes another day. Those of a long day are
// not worked out minute by minute: at one pace the wrap is a sum of many
// independent lengths, so its mean, variance and third cumulant, which simply add
// up, tell its distribution well enough (Edgeworth's series, first term; Cramér,
// Mathematical Methods of Statistics, section 17.7, from memory). Over the pace it
// is summed as the forecast is.

// few is up to how many remaining shots a lever is worked out as exactly as the
// forecast: of so few the sum is not yet like a normal.
const few = 6

// moments are the cumulants of a length.
type moments struct{ mean, variance, third float64 }

func (m moments) plus(n moments) moments {
	return moments{m.mean + n.mean, m.variance + n.variance, m.third + n.third}
}

// moments of a spread.
func (s spread) moments() moments {
	total, mean := 0.0, 0.0
	for i, p := range s.p {
		total += p
		mean += float64(float64(i) * p)
	}
	mean /= total
	var variance, third float64
	for i, p := range s.p {
		d := float64(i) - mean
		sq := float64(d * d)
		variance += float64(sq * p)
		third += float64(float64(sq*d) * p)
	}
	return moments{float64(s.from) + mean, variance / total, third / total}
}

// nodes are where a normal is looked at to see what a window makes of it.
const nodes = 57

type node struct{ z, weight float64 }

// look is never written to.
var look = func() (out [nodes]node) {
	sum := 0.0
	for i := range out {
		z := float64(i-nodes/2) / 8
		out[i] = node{z, densityOf(max(z, -z))}
		sum += out[i].weight
	}
	for i := range out {
		out[i].weight /= sum
	}
	return out
}()

// branch is one way that a day may go: into this stretch of a window or the next.
type branch struct {
	moments
	weight float64
}

// So many branches of a day are told apart on the way, and at its end; the least
// likely are taken together.
const (
	mostBranches = 16
	mostParts    = 8
)

// moved is what becomes of a branch where each minute moves to another, which
// never goes back while the minutes go on: those that go on as they were, those
// that wait for one minute, and so on, each a branch of its own.
func (b branch) moved(to func(int64) int64, out []branch) []branch {
	sd, skew := math.Sqrt(b.variance), b.skew()
	var at, then [nodes]float64
	changed := false
	for i, n := range look {
		bent := n.z + float64(skew*(float64(n.z*n.z)-1))/6
		at[i] = b.mean + float64(sd*bent)
		minute := int64(math.Floor(at[i] + 0.5))
		then[i] = at[i]
		if goes := to(minute); goes != minute {
			then[i], changed = float64(goes), true
		}
	}
	if !changed {
		return append(out, b)
	}
	for i, k := 0, 0; i < nodes; i = k {
		waits := then[i] != at[i]
		for k = i + 1; k < nodes && (then[k] != at[k]) == waits && (!waits || then[k] == then[i]); k++ {
		}
		out = append(out, branchOf(then[i:k], look[i:k], b.weight))
	}
	return out
}

// branchOf puts nodes together.
func branchOf(at []float64, looked []node, weight float64) branch {
	var out branch
	for i, n := range looked {
		out.weight += n.weight
		out.mean += float64(at[i] * n.weight)
	}
	out.mean /= out.weight
	for i, n := range looked {
		d := at[i] - out.mean
		sq := float64(d * d)
		out.variance += float64(sq * n.weight)
		out.third += float64(float64(sq*d) * n.weight)
	}
	out.variance /= out.weight
	out.third /= out.weight
	out.weight = float64(out.weight * weight)
	return out
}

// fewer takes branches together, the least likely with its neighbour, until they
// are not too many.
func fewer(all []branch, most int) []branch {
	for len(all) > most {
		least := 1
		for i := 2; i < len(all); i++ {
			if all[i].weight+all[i-1].weight < all[least].weight+all[least-1].weight {
				least = i
			}
		}
		all[least-1] = all[least-1].with(all[least])
		all = append(all[:least], all[least+1:]...)
	}
	return all
}

// with is both of two branches as one.
func (b branch) with(o branch) branch {
	w := b.weight + o.weight
	p, q := b.weight/w, o.weight/w
	d := o.mean - b.mean
	sq := float64(float64(d*d) * float64(p*q))
	return branch{moments{b.mean + float64(d*q), float64(b.variance*p) + float64(o.variance*q) + sq,
		float64(b.third*p) + float64(o.third*q) + float64(3*float64(float64(float64(p*q)*d)*(o.variance-b.variance))) + float64(float64(sq*d)*(p-q))}, w}
}

// skew is the third cumulant by the standard deviation, within what the series can
// bear.
func (m moments) skew() float64 {
	if m.variance < 1e-6 {
		return 0
	}
	return max(-1.2, min(1.2, m.third/float64(m.variance*math.Sqrt(m.variance))))
}

// rough works out days of one plan.
type rough struct {
	pace   Pace
	by     int64 // the planned wrap
	points []roughPoint
	prices *prices // nil where money is not to be seen

	day, next []branch // while a day is worked out at one pace
}

// roughPoint is one pace and what is known of lengths at it.
type roughPoint struct {
	pace, weight float64
	of           Pace
	lasts        []moments // by the minutes planned
	rests        map[restOf][]branch
}

func newRough(w *work, left []Remaining, cost func(minute int64) int64) *rough {
	pace := w.pace
	r := &rough{pace: pace, by: w.plan.By}
	if cost != nil {
		r.prices = newPrices(w.plan.Now, cost)
	}
	n := int64(pointsFor(pace, left))
	for i := -n; i <= n; i++ {
		z := float64(4*i) / float64(n)
		if outlying(z) {
			continue
		}
		r.points = append(r.points, roughPoint{pace: pace.Mean + float64(z*pace.SD), weight: expOf(-float64(z*z) / 2), of: pace,
			rests: map[restOf][]branch{}})
	}
	return r
}

func (p *roughPoint) length(planned int64) moments {
	if planned == 0 {
		return moments{}
	}
	for int64(len(p.lasts)) <= planned {
		p.lasts = append(p.lasts, moments{})
	}
	m := &p.lasts[planned]
	if m.mean == 0 {
		*m = lasts(planned, p.pace, p.of.Shot).moments()
	}
	return *m
}

// restOf is what the rest of a shot depends on.
type restOf struct {
	planned, elapsed int64
	passed           bool
}

func (p *roughPoint) rest(l Remaining) []branch {
	of := restOf{l.Planned, l.Elapsed, l.Passed}
	m, ok := p.rests[of]
	if !ok {
		m = branches(p.of.rest(l, p.pace))
		p.rests[of] = m
	}
	return m
}

// branches are ways as moments.
func branches(ways []may) (out []branch) {
	for _, w := range ways {
		out = append(out, branch{w.moments(), w.weight})
	}
	return out
}

// guess is when a day may wrap, over the pace.
type guess struct {
	clock clock
	parts []roughPart
	low   int64 // working minutes that nearly all of it lies between
	high  int64
}

type roughPart struct{ mean, sd, skew, weight float64 }

// plus makes the day longer, whichever way it went.
func (r *rough) plus(m moments) {
	for i := range r.day {
		r.day[i].moments = r.day[i].plus(m)
	}
}

// goes makes the day longer in one way or another, and gives how likely they are
// together.
func (r *rough) goes(ways []branch) (chance float64) {
	for _, w := range ways {
		chance += w.weight
	}
	if len(ways) == 1 {
		r.plus(ways[0].moments)
		return chance
	}
	r.next = r.next[:0]
	for _, b := range r.day {
		for _, w := range ways {
			r.next = append(r.next, branch{b.plus(w.moments), float64(b.weight*w.weight) / chance})
		}
	}
	r.day, r.next = fewer(r.next, mostBranches), r.day
	return chance
}

// moved sends each way that the day went through a window.
func (r *rough) moved(to func(int64) int64) {
	r.next = r.next[:0]
	for _, b := range r.day {
		r.next = b.moved(to, r.next)
	}
	r.day, r.next = fewer(r.next, mostBranches), r.day
}

// wrap works a day out.
func (r *rough) wrap(d Day) (guess, error) {
	c, err := newClock(d.Now, d.Meals)
	if err != nil {
		return guess{}, err
	}
	var f Forecast
	left := d.believed(&f)
	waits := make([]during, len(left))
	for i, l := range left {
		waits[i] = c.during(l.Windows)
	}
	g := guess{clock: c, low: math.MaxInt64}
	total := 0.0
	ahead := branches(d.credit(r.pace))
	for i := range r.points {
		p := &r.points[i]
		weight := p.weight
		r.day = append(r.day[:0], branch{weight: 1})
		r.goes(ahead)
		for i, l := range left {
			if l.Open {
				weight = max(float64(weight*r.goes(p.rest(l))), 1e-280)
				continue
			}
			r.plus(p.length(l.Change))
			if l.Earliest > c.now {
				r.moved(func(at int64) int64 { return max(at, c.work(l.Earliest)) })
			}
			if in := waits[i]; in != nil {
				length := r.pace.of(l.Planned)
				r.moved(func(at int64) int64 { at, _ = in.start(c, at, length); return at })
			}
			r.plus(p.length(l.Planned))
		}
		r.day = fewer(r.day, mostParts)
		for _, b := range r.day {
			sd := max(math.Sqrt(b.variance), 0.3)
			part := roughPart{b.mean, sd, b.skew(), float64(weight * b.weight)}
			g.parts = append(g.parts, part)
			total += part.weight
			if part.weight > 1e-7 {
				g.low = min(g.low, int64(math.Floor(b.mean-float64(farOut*sd))))
				g.high = max(g.high, int64(math.Ceil(b.mean+float64(farOut*sd))))
			}
		}
	}
	for i := range g.parts {
		g.parts[i].weight /= total
	}
	g.low = max(g.low, 0)
	return g, nil
}

// upTo is the chance that it has wrapped by the end of a working minute, and how
// fast that grows.
func (g guess) upTo(minute int64) (chance, slope float64) {
	x := float64(minute) + 0.5
	for _, p := range g.parts {
		z := (x - p.mean) / p.sd
		switch {
		case z > farOut:
			chance += p.weight
		case z > -farOut:
			far, density := above(z), densityAt(z)
			sq := float64(z * z)
			chance += float64(p.weight * (1 - far - float64(float64(density*p.skew)*(sq-1))/6))
			slope += float64(float64(p.weight*density)*(1+float64(float64(p.skew*z)*(sq-3))/6)) / p.sd
		}
	}
	return max(0, min(1, chance)), max(0, slope)
}

// densityAt is densityOf from the nearest row of the table, by Taylor's series.
func densityAt(z float64) float64 {
	if z < 0 {
		z = -z
	}
	if z >= farOut {
		return densityOf(z)
	}
	i := int(float64(z*rows) + 0.5)
	z0 := float64(float64(i) / rows)
	h := z - z0
	curve := float64(float64(float64(h*h)*(float64(z0*z0)-1)) / 2)
	return float64(table[i].density * (1 - float64(h*z0) + curve))
}

// by is the first minute by which it has wrapped with at least a chance: within
// the cell of the curve that it falls into.
func (g guess) by(chance float64, c *curve) int64 {
	cell := 1
	for cell < len(c.chance)-1 && c.chance[cell] < chance {
		cell++
	}
	high := min(c.from+int64(cell)*c.step, g.high)
	low := min(c.from+int64(cell-1)*c.step+1, high)
	for low < high {
		middle := low + (high-low)/2
		if is, _ := g.upTo(middle); is >= chance {
			high = middle
		} else {
			low = middle + 1
		}
	}
	return g.clock.ends(max(low, 0))
}

// chanceBy is the chance of having wrapped by a minute, in billionths.
func (g guess) chanceBy(minute int64) int64 {
	if minute < g.clock.now {
		return 0
	}
	c, _ := g.upTo(g.clock.work(minute))
	return int64(float64(c*Whole) + 0.5)
}

// cells is how many stretches the wrap is cut into to reckon a cost; within each
// the chance follows a cubic.
const cells = 40

// curve is a guess as its cells have it.
type curve struct {
	from, step    int64
	chance, slope [cells + 2]float64
}

func (g guess) curve() curve {
	c := curve{from: g.low - 1, step: max((g.high-g.low)/cells, 1)}
	for i := range c.chance {
		c.chance[i], c.slope[i] = g.upTo(c.from + int64(i)*c.step)
	}
	return c
}

// upTo is the chance of having wrapped by the end of a working minute, in
// billionths.
func (c *curve) upTo(minute int64) int64 {
	if minute <= c.from {
		return 0
	}
	i := (minute - c.from) / c.step
	if i > cells {
		return Whole
	}
	t := float64(minute-c.from-i*c.step) / float64(c.step)
	h := float64(c.step)
	chance := cubic(t, c.chance[i], c.chance[i+1], float64(c.slope[i]*h), float64(c.slope[i+1]*h))
	return int64(float64(max(0, min(1, chance))*Whole) + 0.5)
}

// prices are a cost that depends on the minute, by the minutes at which it changes.
type prices struct {
	cost    func(minute int64) int64
	first   int64 // what the first minute costs
	to      int64 // how far they are known
	last    int64 // what that minute costs
	changes []change
}

type change struct{ at, by int64 }

func newPrices(from int64, cost func(minute int64) int64) *prices {
	c := cost(from)
	return &prices{cost: cost, first: c, to: from, last: c}
}

// cover learns the prices up to a minute.
func (p *prices) cover(to int64) {
	for p.to < to {
		p.to++
		if c := p.cost(p.to); c != p.last {
			p.changes = append(p.changes, change{p.to, c - p.last})
			p.last = c
		}
	}
}

// expected is what the day costs on average.
func (g guess) expected(p *prices, c *curve) Mean {
	last := g.clock.ends(g.high)
	p.cover(last)
	var sum tally
	sum.add(Whole, p.first)
	for _, x := range p.changes {
		if x.at > last {
			break
		}
		if later := Whole - c.upTo(g.clock.work(x.at-1)); later > 0 {
			sum.add(later, x.by)
		}
	}
	return sum.mean()
}

// cubic goes from a to b, starting with slope p and ending with slope q.
func cubic(t, a, b, p, q float64) float64 {
	sq := float64(t * t)
	cu := float64(sq * t)
	rise := float64(3*sq) - float64(2*cu)
	first := cu - float64(2*sq) + t
	last := cu - sq
	return a + float64((b-a)*rise) + float64(p*first) + float64(q*last)
}

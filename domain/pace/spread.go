package pace

import "slices"

// spread is the chance of each minute from one on.
type spread struct {
	from int64
	p    []float64
}

func certain(minute int64) spread { return spread{minute, []float64{1}} }

// Chances that are too small to count, at the ends of a duration and of a sum.
const (
	reach = 3.5  // standard deviations of a duration
	faint = 1e-9 // of a sum
)

// lasts is how long something planned at so many minutes takes at a log pace.
// What lies beyond reach is at the ends.
func lasts(planned int64, pace, sd float64) spread {
	if planned == 0 {
		return certain(0)
	}
	mid := logOf(float64(planned)) + pace
	low := int64(expOf(mid-reach*sd) + 0.5)
	high := int64(expOf(mid+reach*sd) + 0.5)
	s := spread{low, make([]float64, 0, high-low+1)}
	over := 1.0
	for m := low; m < high; m++ {
		next := longer(m, mid, sd)
		s.p = append(s.p, over-next)
		over = next
	}
	s.p = append(s.p, over)
	return s
}

// longer is the chance that it takes more than so many minutes, to the nearest
// minute.
func longer(minutes int64, mid, sd float64) float64 {
	return above((logOf(float64(minutes)+0.5) - mid) / sd)
}

// may is one of the ways in which something may be, and how likely it is.
type may struct {
	spread
	weight float64
}

// oneOf is all ways as one spread.
func oneOf(ways []may) (out spread, weight float64) {
	for _, w := range ways {
		weight += w.weight
	}
	if len(ways) == 1 {
		return ways[0].spread, weight
	}
	for _, w := range ways {
		out.add(w.spread, w.weight/weight)
	}
	return out, weight
}

// passed is how likely a shot is made that was up before another was opened.
const passed = 0.8

// rest is how much longer something takes that nobody has said to have ended, and
// how likely it was to come to that: it has not ended, or whoever taps is late, and
// what was worked counts towards what comes after it.
func (p Pace) rest(r Remaining, pace float64) []may {
	switch {
	case r.Planned == 0:
		return []may{{certain(0), 1}}
	case r.Passed:
		return []may{{certain(0), passed}, {lasts(r.Planned, pace, p.Shot), 1 - passed}}
	}
	on, chance := p.on(r.Planned, r.Elapsed, pace)
	if r.Elapsed == 0 {
		return []may{{on, 1}}
	}
	ended := lasts(r.Planned, pace, p.Shot)
	ended.from -= r.Elapsed
	return []may{{on, float64(chance * (1 - p.Late))}, {ended, p.Late}}
}

// on is how much longer something takes that has not ended after so many minutes,
// and how likely it was to come to that.
func (p Pace) on(planned, elapsed int64, pace float64) (spread, float64) {
	mid := logOf(float64(planned)) + pace
	all := longer(elapsed, mid, p.Shot)
	s := spread{from: 1}
	for over, m := all, elapsed+1; ; m++ {
		next := longer(m, mid, p.Shot)
		if next < float64(1e-4*all) {
			s.p = append(s.p, over/all)
			return s, all
		}
		s.p = append(s.p, (over-next)/all)
		over = next
	}
}

// plus is the sum of two independent minutes.
func (s spread) plus(t spread) spread {
	if len(t.p) == 1 {
		return spread{s.from + t.from, s.p}
	}
	p := make([]float64, len(s.p)+len(t.p)-1)
	i := 0
	for ; i+4 <= len(s.p); i += 4 { // four at a time, so that the sums stay in registers
		a, b, c, d := s.p[i], s.p[i+1], s.p[i+2], s.p[i+3]
		out := p[i:][:len(t.p)+3]
		var x, y, z float64 // the last three of t
		for j, w := range t.p {
			out[j] += float64(a*w) + float64(b*x) + float64(c*y) + float64(d*z)
			x, y, z = w, x, y
		}
		n := len(t.p)
		out[n] += float64(b*x) + float64(c*y) + float64(d*z)
		out[n+1] += float64(c*x) + float64(d*y)
		out[n+2] += float64(d * x)
	}
	for ; i < len(s.p); i++ {
		a, out := s.p[i], p[i:][:len(t.p)]
		for j, w := range t.p {
			out[j] += float64(a * w)
		}
	}
	return spread{s.from + t.from, p}.trim()
}

// trim cuts faint ends off.
func (s spread) trim() spread {
	strong := func(p float64) bool { return p >= faint }
	i := max(slices.IndexFunc(s.p, strong), 0)
	n := len(s.p)
	for n > i+1 && !strong(s.p[n-1]) {
		n--
	}
	return spread{s.from + int64(i), s.p[i:n]}
}

// notBefore moves all chance before a minute to it.
func (s spread) notBefore(minute int64) spread {
	n := minute - s.from
	if n <= 0 {
		return s
	}
	sum := 0.0
	for _, p := range s.p[:min(n+1, int64(len(s.p)))] {
		sum += p
	}
	p := []float64{sum}
	if n+1 < int64(len(s.p)) {
		p = append(p, s.p[n+1:]...)
	}
	return spread{minute, p}
}

// moved moves the chance of each minute to another, which never goes back while
// the minutes go on.
func (s spread) moved(to func(int64) int64) spread {
	from := to(s.from)
	out := spread{from, make([]float64, to(s.from+int64(len(s.p))-1)-from+1)}
	for i, p := range s.p {
		out.p[to(s.from+int64(i))-from] += p
	}
	return out
}

// add adds another spread times a weight, for a mixture.
func (s *spread) add(t spread, weight float64) {
	if s.p == nil {
		s.from = t.from
	}
	if t.from < s.from {
		s.p = append(make([]float64, s.from-t.from), s.p...)
		s.from = t.from
	}
	if n := int(t.from-s.from) + len(t.p) - len(s.p); n > 0 {
		s.p = append(s.p, make([]float64, n)...)
	}
	out := s.p[t.from-s.from:]
	for i, p := range t.p {
		out[i] += float64(p * weight)
	}
}

// parts is the spread in whole parts that sum to Whole.
func (s spread) parts() []int64 {
	total := 0.0
	for _, p := range s.p {
		total += p
	}
	out := make([]int64, len(s.p))
	sum, before := 0.0, int64(0)
	for i, p := range s.p {
		sum += p
		upTo := int64(float64(sum/total*Whole) + 0.5)
		out[i] = upTo - before
		before = upTo
	}
	return out
}

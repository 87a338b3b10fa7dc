package pace

// How far a proof goes, in shots tried at a place.
const (
	sure       = 12        // up to so many shots the best order is proven at every look
	surely     = 4_000_000 // and may take so much; 12 shots with everything that binds them took 350,000 at most
	mostProven = 24        // beyond, what is done and what is left come together in too many ways
	glance     = 60_000    // how much a look tries where it may be in vain
)

// seen says which jobs are done, and which set-up stands.
type seen struct {
	done   uint64
	stands int
}

// way is one way of having done some of the jobs.
type way struct {
	stage
	done uint64
	from int // in the ways with one job less
	job  int
	next int  // another way with the same seen, -1 for none
	dead bool // another is at least as good
}

// limit is a score that no order is better than.
func (s *search) limit() score {
	g := s.begin()
	for _, i := range s.start[:s.open] {
		s.put(&g, i, nil)
	}
	return s.least(&g, 0, s.start[s.open:])
}

// least is a score that no way of doing the rest is better than: everything once
// with each set-up entered once, and each shot on its own as early as it could be. Of
// those left it passes over what is done.
func (s *search) least(g *stage, done uint64, left []int) score {
	low := g.score
	var entered uint64
	ends := low.at
	for _, i := range left {
		if done&(1<<i) != 0 {
			continue
		}
		j := &s.jobs[i]
		low.at += j.minutes
		if j.setup != 0 && j.setup != g.stands {
			if bit := uint64(1) << (j.setup & 63); entered&bit == 0 && j.setup < 64 {
				entered |= bit
				low.at += s.change[j.setup]
			}
		}
		at := g.at
		if len(j.during) > 0 {
			var late int64
			at, late = j.during.start(s.clock, g.at, j.minutes)
			low.late += late
		} else if j.never {
			low.late += max(j.minutes, 1)
		}
		ends = max(ends, at+j.minutes)
		for _, h := range j.holds {
			last := h.minutes
			if h.fresh >= 0 {
				if g.made[h.fresh] == notMade {
					low.late += max(j.minutes-h.minutes, 0)
					continue
				}
				last += g.made[h.fresh]
			}
			low.late += max(s.clock.ends(at+j.minutes)-last, 0)
		}
	}
	low.at = max(low.at, ends)
	return low
}

// prove goes through all that can be done, job by job: of the ways of having done
// the same jobs it goes on from those that no other is at least as good as (Held
// and Karp, J. SIAM 10, 1962). Not if effort runs out first or there are too many
// shots.
func (s *search) prove() bool {
	if s.limit().compare(s.best) >= 0 {
		return true
	}
	n := len(s.start) - s.open
	if n > mostProven || len(s.jobs) > 64 {
		return false
	}
	switch {
	case n <= sure && s.effort >= Quick:
		s.effort = s.tried + surely
	case s.effort <= Quick:
		s.effort = min(s.effort, s.tried+glance)
	default:
		s.effort = min(s.effort, s.tried+surely) // for the room it takes
	}
	first := way{stage: s.begin(), from: -1, next: -1}
	for _, i := range s.start[:s.open] {
		s.put(&first.stage, i, nil)
		first.done |= 1 << i
	}
	layers := [][]way{{first}}
	for range s.start[s.open:] {
		next, ok := s.further(layers[len(layers)-1])
		if !ok {
			return false
		}
		layers = append(layers, next)
	}
	last := layers[len(layers)-1]
	best := -1
	for n := range last {
		if last[n].score.compare(s.best) < 0 {
			s.best, best = last[n].score, n
		}
	}
	if best >= 0 {
		for n, k := len(layers)-1, best; n > 0; n-- {
			s.order[s.open+n-1], k = layers[n][k].job, layers[n][k].from
		}
		copy(s.order, s.start[:s.open])
	}
	return true
}

// further does one job more in all ways.
func (s *search) further(ways []way) (out []way, ok bool) {
	heads := map[seen]int{}
	var left []int
	var spare []int64 // room for made
	for n := range ways {
		g := &ways[n]
		if g.dead {
			continue
		}
		left = left[:0]
		for _, i := range s.start {
			if g.done&(1<<i) == 0 {
				left = append(left, i)
			}
		}
		for k, i := range left {
			if s.waits(i, g.done) {
				continue
			}
			if s.tried++; s.tried > s.effort {
				return nil, false
			}
			next := way{stage: g.stage, done: g.done | 1<<i, from: n, job: i}
			if s.fresh > 0 {
				if len(spare) < s.fresh {
					spare = make([]int64, 256*s.fresh)
				}
				next.made, spare = spare[:s.fresh:s.fresh], spare[s.fresh:]
				copy(next.made, g.made)
			}
			next.pairs += k
			s.put(&next.stage, i, nil)
			if s.least(&next.stage, next.done, left).compare(s.best) < 0 {
				out = s.add(out, heads, next, left)
			}
		}
	}
	return out, true
}

func (s *search) waits(i int, done uint64) bool {
	for _, a := range s.jobs[i].after {
		if done&(1<<a) == 0 {
			return true
		}
	}
	return false
}

// add takes a way among the others, unless one is at least as good, and marks those
// that it is at least as good as.
func (s *search) add(ways []way, heads map[seen]int, g way, left []int) []way {
	key := seen{g.done, g.stands}
	head, ok := heads[key]
	if !ok {
		head = -1
	}
	f := s.future(&g, left)
	for n := head; n >= 0; n = ways[n].next {
		if o := &ways[n]; !o.dead {
			if f.good(&o.stage, &g.stage) {
				return ways
			}
			o.dead = f.good(&g.stage, &o.stage)
		}
	}
	g.next = head
	heads[key] = len(ways)
	return append(ways, g)
}

// future is what bears on the choice among ways with the same jobs done.
type future struct {
	needed uint64 // fresh heroes that are needed yet
	shared bool   // one of them is still to be made, and several shots need it
	single bool   // one is still to be made for a single shot
	meal   int64  // the working minute at which the last meal starts, -1 without one
}

// good tells whether one way is at least as good as another with the same jobs
// done and the same set-up standing, whatever comes. All that bears on what comes is
// in it: the lateness and the pairs so far, the minute, and when the heroes were
// made that are needed yet. To be earlier does harm where a hero is still to be
// made: several shots would find it the older, and a single one that starts earlier
// may be cut in two by a meal that it would have come after, with the hero waiting.
func (f future) good(o, g *stage) bool {
	if o.late > g.late || o.pairs > g.pairs || o.at > g.at {
		return false
	}
	if o.at < g.at && (f.shared || f.single && o.at <= f.meal) {
		return false
	}
	for h := range o.made {
		if f.needed&(1<<(h&63)) != 0 && o.made[h] < g.made[h] {
			return false
		}
	}
	return true
}

func (s *search) future(g *way, left []int) (f future) {
	f.meal = -1
	if n := len(s.clock.meals); n > 0 {
		f.meal = s.clock.meals[n-1].at
	}
	var once uint64
	for _, i := range left {
		if g.done&(1<<i) != 0 {
			continue
		}
		for _, h := range s.jobs[i].holds {
			if h.fresh < 0 {
				continue
			}
			bit := uint64(1) << (h.fresh & 63)
			f.needed |= bit
			if g.made[h.fresh] == notMade {
				f.single = true
				f.shared = f.shared || once&bit != 0
			}
			once |= bit
		}
	}
	return f
}

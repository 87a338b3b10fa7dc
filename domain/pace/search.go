package pace

import "slices"

// search looks for the best order.
type search struct {
	*work
	rank    []int // of each job in the present order
	start   []int
	order   []int // the best so far
	best    score
	present score
	tried   int
	effort  int
	memo    map[seen][]stage
	path    []int
	stopped bool
}

// seen says which jobs are done, and which set-up stands.
type seen struct {
	done   uint64
	stands int
}

func newSearch(w *work, present []int, effort int) *search {
	s := &search{work: w, start: present, order: slices.Clone(present), effort: effort, rank: make([]int, len(w.jobs))}
	for r, i := range present {
		s.rank[i] = r
	}
	s.present = s.judge(present)
	s.best = s.present
	return s
}

// judge gives the score of a whole order.
func (s *search) judge(order []int) score {
	g := s.begin()
	for k, i := range order {
		s.put(&g, i)
		for _, later := range order[k+1:] {
			if s.rank[later] < s.rank[i] {
				g.pairs++
			}
		}
	}
	s.tried += len(order)
	return g.score
}

// improve moves shots and runs of shots of one set-up about as long as that helps
// and effort is left.
func (s *search) improve() {
	for better := true; better && s.tried < s.effort; {
		better = false
		for from := s.open; from < len(s.order) && !better; from++ {
			for _, n := range s.lengths(from) {
				for to := s.open; to <= len(s.order)-n && !better; to++ {
					better = to != from && s.try(from, n, to)
				}
			}
		}
	}
}

// lengths are how many shots from a place on are moved together: the one, and the
// run of its set-up that starts there.
func (s *search) lengths(from int) []int {
	at := func(i int) int { return s.jobs[s.order[i]].setup }
	n := 1
	for from+n < len(s.order) && at(from+n) == at(from) {
		n++
	}
	if n == 1 || from > s.open && at(from-1) == at(from) {
		return []int{1}
	}
	return []int{n, 1}
}

// try moves n shots from one place to another and keeps that where it is better.
func (s *search) try(from, n, to int) bool {
	if s.tried >= s.effort {
		return false
	}
	order := slices.Clone(s.order)
	run := slices.Clone(order[from : from+n])
	order = slices.Insert(slices.Delete(order, from, from+n), to, run...)
	if !s.allowed(order) {
		s.tried++
		return false
	}
	g := s.judge(order)
	if g.compare(s.best) >= 0 {
		return false
	}
	s.order, s.best = order, g
	return true
}

func (s *search) allowed(order []int) bool {
	done := make([]bool, len(s.jobs))
	for _, i := range order {
		if !s.free(i, done) {
			return false
		}
		done[i] = true
	}
	return true
}

// bound is a score that no order is better than.
func (s *search) bound() score {
	g := s.begin()
	for _, i := range s.start[:s.open] {
		s.put(&g, i)
	}
	return s.least(&g, s.start[s.open:])
}

// least is a score that no way of doing the rest is better than: everything once
// with each set-up entered once, and each shot on its own as early as it could be.
func (s *search) least(g *stage, left []int) score {
	low := g.score
	var entered uint64
	ends := low.at
	for _, i := range left {
		j := &s.jobs[i]
		low.at += j.minutes
		change := int64(0)
		if j.setup != 0 && j.setup != g.stands {
			change = s.change[j.setup]
			if bit := uint64(1) << (j.setup & 63); entered&bit == 0 && j.setup < 64 {
				entered |= bit
				low.at += change
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

// prove goes through all orders that could be better; not if effort runs out
// first or there are too many shots.
func (s *search) prove() bool {
	if s.bound().compare(s.best) >= 0 {
		return true
	}
	if len(s.jobs) > 64 {
		return false
	}
	s.memo = map[seen][]stage{}
	g, done := s.begin(), uint64(0)
	for _, i := range s.start[:s.open] {
		s.put(&g, i)
		done |= 1 << i
		s.path = append(s.path, i)
	}
	s.descend(g, done, slices.Clone(s.start[s.open:]))
	return !s.stopped
}

// descend tries each of what is left next, in the present order.
func (s *search) descend(g stage, done uint64, left []int) {
	if len(left) == 0 {
		if g.score.compare(s.best) < 0 {
			s.best, s.order = g.score, slices.Clone(s.path)
		}
		return
	}
	if s.least(&g, left).compare(s.best) >= 0 || s.worse(&g, done, left) {
		return
	}
	for k, i := range left {
		if s.waits(i, done) {
			continue
		}
		if s.tried++; s.tried > s.effort {
			s.stopped = true
			return
		}
		next := g
		next.made = slices.Clone(g.made)
		next.pairs += k
		s.put(&next, i)
		s.path = append(s.path, i)
		s.descend(next, done|1<<i, slices.Delete(slices.Clone(left), k, k+1))
		s.path = s.path[:len(s.path)-1]
		if s.stopped {
			return
		}
	}
}

func (s *search) waits(i int, done uint64) bool {
	return slices.ContainsFunc(s.jobs[i].after, func(a int) bool { return done&(1<<a) == 0 })
}

// worse tells whether the same was done before at least as well; if not it is
// remembered. To be early is no better where a hero is still to be made that
// several shots need: it would run out the earlier.
func (s *search) worse(g *stage, done uint64, left []int) bool {
	key := seen{done, g.stands}
	unmade, needed := s.heroes(g, left)
	for _, o := range s.memo[key] {
		if o.late <= g.late && o.pairs <= g.pairs && (o.at == g.at || o.at < g.at && !unmade) && later(o.made, g.made, needed) {
			return true
		}
	}
	s.memo[key] = append(s.memo[key], *g)
	return false
}

// heroes says which of the fresh ones are needed yet, and whether one of those that
// several shots need is still to be made.
func (s *search) heroes(g *stage, left []int) (unmade bool, needed uint64) {
	var once uint64
	for _, i := range left {
		for _, h := range s.jobs[i].holds {
			if h.fresh < 0 {
				continue
			}
			bit := uint64(1) << (h.fresh & 63)
			needed |= bit
			unmade = unmade || g.made[h.fresh] == notMade && once&bit != 0
			once |= bit
		}
	}
	return unmade, needed
}

// later tells whether heroes were made no earlier, of those that are needed.
func later(a, b []int64, needed uint64) bool {
	for h := range a {
		if needed&(1<<(h&63)) != 0 && a[h] < b[h] {
			return false
		}
	}
	return true
}

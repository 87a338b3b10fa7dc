package pace

import (
	"math/bits"
	"slices"
)

// search looks for the best order: by annealing from a greedy start, with the
// minutes reckoned anew only where an order changes. What it draws by chance comes
// from a fixed seed, so that every machine finds the same order.
type search struct {
	*work
	rank    []int // of each job in the present order
	start   []int
	order   []int // the best so far
	best    score
	present score
	tried   int
	effort  int
	dice    uint64
	bound   bool // some jobs have to wait for others

	now   []int // the order that is looked about from
	place []int // of each job in now
	next  []int // the same, with the change that is tried
	at    []mark
	then  []mark
	made  []madeBy
	stage stage
	cost  score
}

// mark is how far an order has come before a place.
type mark struct {
	late, at int64
	stands   int
}

// madeBy is where in the order that is looked about from a fresh hero is made.
type madeBy struct {
	place int
	at    int64
}

func newSearch(w *work, present []int, effort int) *search {
	s := &search{work: w, start: present, order: slices.Clone(present), effort: effort, rank: make([]int, len(w.jobs)), dice: 0x9e3779b97f4a7c15}
	for r, i := range present {
		s.rank[i] = r
		s.bound = s.bound || len(w.jobs[i].after) > 0
	}
	s.present = s.judge(present)
	s.best = s.present
	return s
}

// judge gives the score of a whole order.
func (s *search) judge(order []int) score {
	g := s.begin()
	for _, i := range order {
		s.put(&g, i, nil)
	}
	g.pairs = s.pairs(order)
	s.tried += len(order)
	return g.score
}

// pairs counts the pairs of jobs that have changed places.
func (s *search) pairs(order []int) (n int) {
	for k, i := range order {
		for _, later := range order[k+1:] {
			if s.rank[later] < s.rank[i] {
				n++
			}
		}
	}
	return n
}

// draw gives a number below n (Marsaglia, Xorshift RNGs, 2003, from memory).
func (s *search) draw(n int) int {
	s.dice ^= s.dice << 13
	s.dice ^= s.dice >> 7
	s.dice ^= s.dice << 17
	hi, _ := bits.Mul64(s.dice, uint64(n))
	return int(hi)
}

// How long annealing goes on, in shots tried for each that there is to place, where
// a proof comes after it and where not; and what it reckons in.
const (
	mostTries = 15_000
	fewTries  = 1_500
	minute    = 16 // parts of a minute that heat and costs are reckoned in
	lateness  = 12 // minutes of a later wrap that a minute of lateness is taken for while it is hot
)

// improve anneals from a greedy order, from the present one, and, less hot, from the
// best that was found, since one start alone is caught now and then; and then puts back in place what need not have moved.
func (s *search) improve() {
	n := len(s.start) - s.open
	if n < 2 {
		return
	}
	if s.tried+n*n/2 < s.effort {
		s.keep(s.greedy())
	}
	until := min(s.effort, s.tried+mostTries*n*max(s.effort/Quick, 1))
	if n <= sure {
		until = min(until, s.tried+fewTries*n) // the proof finds what this does not
	}
	part := (until - s.tried) / 5
	s.anneal(s.order, s.tried+2*part, heat(s.work))
	s.anneal(s.start, s.tried+2*part, heat(s.work))
	s.anneal(s.order, until, heat(s.work)/4)
	s.settle()
}

// heat is what annealing starts at: two shots and their changes, which is hot enough
// to take a morning apart that was put together wrongly.
func heat(w *work) int64 {
	sum := int64(0)
	for i := range w.jobs {
		sum += w.jobs[i].minutes + w.change[w.jobs[i].setup]
	}
	return max(2*sum*minute/int64(len(w.jobs)), minute)
}

// keep takes an order where it is the best so far.
func (s *search) keep(order []int) {
	if g := s.judge(order); g.compare(s.best) < 0 {
		s.best = g
		copy(s.order, order)
	}
}

// greedy does what costs least next.
func (s *search) greedy() []int {
	order := slices.Clone(s.start)
	g := s.begin()
	for _, i := range order[:s.open] {
		s.put(&g, i, nil)
	}
	done := make([]bool, len(s.jobs))
	for _, i := range order[:s.open] {
		done[i] = true
	}
	made := slices.Clone(g.made)
	for k := s.open; k < len(order); k++ {
		best, least := -1, int64(0)
		for n := k; n < len(order); n++ {
			i := order[n]
			if !s.free(i, done) {
				continue
			}
			t := g
			t.made = made
			copy(made, g.made)
			s.put(&t, i, nil)
			s.tried++
			cost := (t.late-g.late)*lateness + (t.at - g.at - s.jobs[i].minutes) + s.slack(i, g.at)/4
			if best < 0 || cost < least {
				best, least = n, cost
			}
		}
		i := order[best]
		copy(order[k+1:best+1], order[k:best])
		order[k] = i
		done[i] = true
		s.put(&g, i, nil)
	}
	return order
}

// slack is for how long a job can wait yet, four hours at most.
func (s *search) slack(i int, at int64) int64 {
	j := &s.jobs[i]
	room := int64(240)
	if n := len(j.during); n > 0 {
		room = min(room, max(j.during[n-1].to-at-j.minutes, 0))
	}
	for _, h := range j.holds {
		if h.fresh < 0 {
			room = min(room, max(h.minutes-s.clock.ends(at+j.minutes), 0))
		}
	}
	return room
}

// from makes an order the one that is looked about from.
func (s *search) from(order []int) {
	n := len(order)
	if s.now == nil {
		s.now, s.next, s.place = make([]int, n), make([]int, n), make([]int, len(s.jobs))
		s.at, s.then = make([]mark, n+1), make([]mark, n+1)
		s.made, s.stage = make([]madeBy, s.fresh), s.begin()
	}
	copy(s.now, order)
	copy(s.next, order)
	s.back(0)
	for k, i := range order {
		s.at[k] = s.mark()
		s.put(&s.stage, i, nil)
		s.place[i] = k
	}
	s.at[n] = s.mark()
	s.tried += n
	s.cost = s.stage.score
	s.remember(0, n)
}

func (s *search) mark() mark { return mark{s.stage.late, s.stage.at, s.stage.stands} }

// back puts the stage to before a place.
func (s *search) back(k int) {
	m := mark{stands: s.stands}
	if k > 0 {
		m = s.at[k]
	}
	s.stage.late, s.stage.at, s.stage.stands = m.late, m.at, m.stands
	for h, b := range s.made {
		s.stage.made[h] = notMade
		if b.place < k {
			s.stage.made[h] = b.at
		}
	}
}

// remember notes where heroes are made between two places.
func (s *search) remember(from, to int) {
	if s.fresh == 0 {
		return
	}
	for h := range s.made {
		if s.made[h].place >= from || from == 0 {
			s.made[h] = madeBy{len(s.now), 0}
		}
	}
	for k := from; k < len(s.now); k++ {
		for _, h := range s.jobs[s.now[k]].holds {
			if h.fresh >= 0 && s.made[h.fresh].place > k {
				s.made[h.fresh] = madeBy{k, s.stage.made[h.fresh]}
			}
		}
	}
}

// same tells whether a changed order has come to where the other was before a
// place: the rest is as it was.
func (s *search) same(k int) bool {
	if m := s.at[k]; s.stage.at != m.at || s.stage.stands != m.stands {
		return false
	}
	for h, b := range s.made {
		if b.place < k && s.stage.made[h] != b.at {
			return false
		}
	}
	return true
}

// look reckons next, which differs from now between two places, and stops where it
// costs more than it may. to is up to where it had to reckon.
func (s *search) look(lo, hi int, weight, may int64) (g score, to int, ok bool) {
	s.back(lo)
	n := len(s.next)
	for k := lo; k < n; k++ {
		s.then[k] = s.mark()
		if k >= hi && s.same(k) {
			return score{late: s.stage.late + s.cost.late - s.at[k].late, at: s.cost.at}, k, true
		}
		s.put(&s.stage, s.next[k], nil)
		s.tried++
		if s.stage.late*weight+s.stage.at*minute > may {
			return score{}, k, false
		}
	}
	s.then[n] = s.mark()
	return s.stage.score, n + 1, true
}

// take makes next, which was looked at, the order that is looked about from.
func (s *search) take(lo, hi, to int, g score) {
	copy(s.now[lo:hi], s.next[lo:hi])
	for k := lo; k < hi; k++ {
		s.place[s.now[k]] = k
	}
	late := g.late - s.cost.late
	copy(s.at[lo:min(to, len(s.at))], s.then[lo:min(to, len(s.at))])
	if late != 0 {
		for k := to; k < len(s.at); k++ {
			s.at[k].late += late
		}
	}
	s.cost = g
	for h, b := range s.made { // those that the look did not come to are made as they were
		if s.stage.made[h] == notMade && b.place < len(s.now) {
			s.stage.made[h] = b.at
		}
	}
	s.remember(lo, to)
}

// vary draws a change of the order: it puts next between two places, or is not ok
// where that is none.
func (s *search) vary() (lo, hi int, ok bool) {
	n := len(s.now)
	a := s.open + s.draw(n-s.open)
	b := s.open + s.draw(n-s.open)
	kind := s.draw(8)
	if kind == 7 {
		a = s.late(a)
	}
	if kind == 0 || kind == 1 {
		return s.swap(min(a, b), max(a, b))
	}
	first, last := a, a+1
	if setup := s.jobs[s.now[a]].setup; kind < 5 { // a run of one set-up goes together
		for first > s.open && s.jobs[s.now[first-1]].setup == setup {
			first--
		}
		for last < n && s.jobs[s.now[last]].setup == setup {
			last++
		}
		if kind == 4 { // a part of it
			first = a
		}
	} else if kind == 5 && setup != 0 { // one goes to another of its set-up
		for t := 1; t < n-s.open; t++ {
			k := s.open + (b-s.open+t)%(n-s.open)
			if k != a && s.jobs[s.now[k]].setup == setup {
				b = k
				break
			}
		}
	}
	if b < first {
		return s.turn(b, first, last)
	}
	return s.turn(first, last, b+1)
}

// late is a place that is late, the next one from a place on, or that place.
func (s *search) late(from int) int {
	k := from
	for range len(s.now) - s.open {
		if s.at[k+1].late > s.at[k].late {
			return k
		}
		if k++; k == len(s.now) {
			k = s.open
		}
	}
	return from
}

// turn lets what lies from mid to hi go before what lies from lo to mid.
func (s *search) turn(lo, mid, hi int) (int, int, bool) {
	if mid >= hi || lo >= mid {
		return 0, 0, false
	}
	if s.bound {
		for _, i := range s.now[mid:hi] {
			for _, a := range s.jobs[i].after {
				if p := s.place[a]; p >= lo && p < mid {
					return 0, 0, false
				}
			}
		}
	}
	k := lo + copy(s.next[lo:], s.now[mid:hi])
	copy(s.next[k:], s.now[lo:mid])
	return lo, hi, true
}

func (s *search) swap(a, b int) (int, int, bool) {
	if a == b {
		return 0, 0, false
	}
	if s.bound {
		for k := a + 1; k <= b; k++ {
			for _, f := range s.jobs[s.now[k]].after {
				if p := s.place[f]; p == a || k == b && p > a && p < b {
					return 0, 0, false
				}
			}
		}
	}
	s.next[a], s.next[b] = s.now[b], s.now[a]
	return a, b + 1, true
}

// anneal takes worse orders the more rarely the colder it gets (Kirkpatrick,
// Gelatt and Vecchi, Science 220, 1983), from an order on until so many shots were
// tried.
func (s *search) anneal(order []int, until int, hot int64) {
	s.from(order)
	first, weight := s.tried, int64(lateness*minute)
	for s.tried < until {
		left := int64(until-s.tried) * 1024 / int64(max(until-first, 1))
		warm := hot * left / 1024 * left / 1024 * left / 1024
		if left < 256 {
			weight = 1 << 20
		}
		s.tried++ // so that it ends where nothing can change
		lo, hi, ok := s.vary()
		if !ok {
			continue
		}
		may := s.cost.late*weight + s.cost.at*minute + s.worse(warm)
		g, to, ok := s.look(lo, hi, weight, may)
		if !ok || g.late*weight+g.at*minute > may {
			copy(s.next[lo:hi], s.now[lo:hi])
			continue
		}
		s.take(lo, hi, to, g)
		if g.late < s.best.late || g.late == s.best.late && g.at < s.best.at {
			s.best = score{g.late, g.at, s.pairs(s.now)}
			copy(s.order, s.now)
		}
	}
}

// worse draws by how much an order may cost more at a heat: the logarithm of a
// chance, between its powers of two by a straight line.
func (s *search) worse(heat int64) int64 {
	u := uint64(s.draw(1<<30)) | 1
	n := bits.Len64(u)
	part := int64(u<<(64-n)<<1>>56) * 16 / 256 // sixteenths into the power
	return heat * (int64(30-n)*16 + 16 - part) * 11 / 256
}

// settle moves shots back to where they were before, where no minute is lost by
// it.
func (s *search) settle() {
	s.from(s.order)
	for again := true; again && s.tried < s.effort; {
		again = false
		for k := s.open; k+1 < len(s.now) && s.tried < s.effort; k++ {
			if s.rank[s.now[k]] < s.rank[s.now[k+1]] {
				continue
			}
			lo, hi, ok := s.turn(k, k+1, k+2)
			if !ok {
				continue
			}
			g, to, ok := s.look(lo, hi, 1<<20, s.best.late<<20+s.best.at*minute)
			if !ok || g.late > s.best.late || g.late == s.best.late && g.at > s.best.at {
				copy(s.next[lo:hi], s.now[lo:hi])
				continue
			}
			s.take(lo, hi, to, g)
			again = true
		}
	}
	s.keep(s.now)
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

package pace

import "cmp"

// score is a Tally with the wrap in working minutes.
type score struct {
	late  int64
	at    int64
	pairs int
}

func (a score) compare(b score) int {
	return cmp.Or(cmp.Compare(a.late, b.late), cmp.Compare(a.at, b.at), cmp.Compare(a.pairs, b.pairs))
}

// stage is how far an order has come.
type stage struct {
	score
	stands int
	made   []int64 // the minute at which each fresh hero was made, notMade before
}

const notMade = int64(-1) << 60

func (w *work) begin() stage {
	s := stage{stands: w.stands, made: make([]int64, w.fresh)}
	for i := range s.made {
		s.made[i] = notMade
	}
	return s
}

// placed is where a job came to lie, in working minutes.
type placed struct {
	job, start, end int64
	window, hold    int64 // late for each
	hero            int   // the hold it is late for
}

// put does a job next. It changes the stage in place, and says where the job came to
// lie where that is asked.
func (w *work) put(s *stage, i int, say *placed) {
	j := &w.jobs[i]
	at := s.at
	if j.setup != 0 {
		if j.setup != s.stands && !j.open {
			at += w.change[j.setup]
		}
		s.stands = j.setup
	}
	window, hold, hero := int64(0), int64(0), 0
	switch {
	case len(j.during) == 0:
		if j.never {
			window = max(j.minutes, 1)
		}
	case j.open:
		window = j.during.over(w.clock, at, j.minutes)
	default:
		at, window = j.during.start(w.clock, at, j.minutes)
	}
	end := at + j.minutes
	for n := range j.holds {
		h := &j.holds[n]
		last := h.minutes
		if h.fresh >= 0 {
			if s.made[h.fresh] == notMade {
				s.made[h.fresh] = w.clock.starts(at) - j.elapsed
			}
			last += s.made[h.fresh]
		}
		if over := w.clock.ends(end) - last; over > 0 {
			if hold == 0 {
				hero = n
			}
			hold += over
		}
	}
	s.at = end
	s.late += window + hold
	if say != nil {
		*say = placed{int64(i), at, end, window, hold, hero}
	}
}

// over is by how many minutes what is up is over too late.
func (d during) over(c clock, from, minutes int64) int64 {
	least := int64(-1)
	for _, g := range d {
		if over := max(c.ends(from+minutes)-g.end, 0); least < 0 || over < least {
			least = over
		}
	}
	return least
}

// run does a whole order.
func (w *work) run(order []int) (stage, []placed) {
	s, out := w.begin(), make([]placed, len(order))
	for k, i := range order {
		w.put(&s, i, &out[k])
	}
	return s, out
}

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

// put does a job next. It changes the stage in place.
func (w *work) put(s *stage, i int) placed {
	j := &w.jobs[i]
	at := s.at
	up := w.plan.Tasks[i].Open
	if j.setup != 0 {
		if j.setup != s.stands && !up {
			at += w.change[j.setup]
		}
		s.stands = j.setup
	}
	out := placed{job: int64(i), start: at}
	if len(j.during) > 0 {
		var start int64
		if start, out.window = j.during.start(w.clock, at, j.minutes); up {
			out.window = j.during.over(w.clock, at, j.minutes)
		} else {
			out.start = start
		}
	} else if j.never {
		out.window = max(j.minutes, 1)
	}
	out.end = out.start + j.minutes
	for n, h := range j.holds {
		last := h.minutes
		if h.fresh >= 0 {
			if s.made[h.fresh] == notMade {
				s.made[h.fresh] = w.clock.starts(out.start) - w.plan.Tasks[i].Elapsed
			}
			last += s.made[h.fresh]
		}
		if over := w.clock.ends(out.end) - last; over > 0 {
			if out.hold == 0 {
				out.hero = n
			}
			out.hold += over
		}
	}
	s.at = out.end
	s.late += out.window + out.hold
	return out
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
	s, out := w.begin(), make([]placed, 0, len(order))
	for _, i := range order {
		out = append(out, w.put(&s, i))
	}
	return s, out
}

package pace

// during are the stretches in which something can be done, in working minutes.
type during []gap

// gap is a stretch on the clock that stands still over meals.
type gap struct {
	from, to int64 // working minutes
	end      int64 // the minute it is over
}

// all is within every limit: what the stretches of each have in common.
func all(limits []Limit) []Stretch {
	var in []Stretch
	for i, l := range limits {
		if i == 0 {
			in = append(in, l.During...)
			continue
		}
		var both []Stretch
		for _, a := range in {
			for _, b := range l.During {
				if s := (Stretch{max(a.From, b.From), min(a.To, b.To)}); s.From < s.To {
					both = append(both, s)
				}
			}
		}
		in = both
	}
	return in
}

func (c clock) during(in []Stretch) during {
	var out during
	for _, s := range in {
		if s.To > c.now {
			out = append(out, gap{max(c.work(s.From), 0), c.work(s.To), s.To})
		} else {
			out = append(out, gap{0, s.To - c.now, s.To}) // gone
		}
	}
	return out
}

// start is when something that takes so long starts at the earliest from a
// working minute on, and by how many minutes it is over too late: in the first
// stretch that it still fits into, or else where it is least late.
func (d during) start(c clock, from, minutes int64) (at, late int64) {
	for _, g := range d {
		if s := max(from, g.from); s+minutes <= g.to {
			return s, 0
		}
	}
	at = from
	for i, g := range d {
		s := max(from, g.from)
		if over := c.ends(s+minutes) - g.end; i == 0 || over < late {
			at, late = s, over
		}
	}
	return at, late
}

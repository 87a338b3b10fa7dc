package overtime

// span is from a minute up to but not including another, in minutes since 1970.
type span struct{ from, to int64 }

// pause is a break in minutes since 1970.
type pause struct {
	from, to int64
	short    bool // too short for a meal
}

// day is hours that make sense, in whole minutes.
type day struct {
	start  int64   // on the clock from
	credit int64   // minutes that count as worked before it, of a late call
	out    int64   // 0 while open
	meals  []pause // in order, on the clock, each a minute at least
	short  bool    // some of the meals are short

	breakfasted int64 // when a paid breakfast ended, 0 for none
}

// breakfast makes a break that begins within so many minutes of the start worked
// time: it is no meal, but the clock of the first one starts again at its end.
func (d *day) breakfast(within int64) {
	if within == 0 || len(d.meals) == 0 || d.meals[0].from > d.start+within {
		return
	}
	d.breakfasted, d.meals = d.meals[0].to, d.meals[1:]
}

// cutAt is the day as it counts if it ends at minute w: a short break is worked
// time once work has gone on after it. A break at the end of a day never is.
func (d day) cutAt(w int64) day {
	if !d.short {
		return d
	}
	var meals []pause
	for _, m := range d.meals {
		if !m.short || w <= m.to {
			meals = append(meals, m)
		}
	}
	d.meals = meals
	return d
}

// sameFrom is the first minute after w at which work goes on after a break: from
// then on cutAt may give another day.
func (d day) sameFrom(w int64) int64 {
	for _, m := range d.meals {
		if w <= m.to {
			return m.to + 1
		}
	}
	return forever
}

// worked is how many minutes are worked from the start up to minute w.
func (d *day) worked(w int64, mealPaid bool) int64 {
	n := max(w-d.start, 0)
	if !mealPaid {
		for i := range d.meals {
			if m := &d.meals[i]; m.from < w {
				n -= min(m.to, w) - m.from
			}
		}
	}
	return n + d.credit
}

// reached is the first minute by which so many minutes have been worked. Where
// a meal lies exactly there, after gives the minute work goes on instead.
func (d *day) reached(worked int64, mealPaid, after bool) int64 {
	w := d.start + worked - d.credit
	if mealPaid {
		return w
	}
	for _, m := range d.meals {
		if m.from < w || (after && m.from == w) {
			w += m.to - m.from
		}
	}
	return w
}

// works tells whether the minute after w is worked, and until when that holds.
func (d *day) works(w int64, mealPaid bool) (bool, int64) {
	if !mealPaid {
		for i := range d.meals {
			switch m := &d.meals[i]; {
			case w < m.from:
				return true, m.from
			case w < m.to:
				return false, m.to
			}
		}
	}
	return true, forever
}

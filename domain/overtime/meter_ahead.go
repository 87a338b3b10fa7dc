package overtime

import (
	"math"

	"fairday/domain/money"
)

// Between the minutes at which a rule sets in or lets go, the exposure depends
// on a few counters that go up by one each minute and on nothing else. The meter
// need not be read minute by minute there.

// growing is a counter that goes up, and what it is worth.
type growing struct {
	piece    *money.Piece
	n        int64
	straight bool // it is straight time; there is one such at most
}

// ahead says for how many minutes from now on only the counters in m.growing
// change, each by one a minute.
func (m *meter) ahead(w int64) int64 {
	m.growing = m.growing[:0]
	if w < m.w {
		return m.w - w // not in yet
	}
	works, until := m.d.works(w, m.MealPaid)
	n := min(min(m.until-1, m.lateUntil, until)-w, m.aheadOfNights(works))
	if w >= m.rested {
		n = min(n, m.aheadOfTiers(works))
	} else {
		n = min(n, m.rested-w, m.aheadOfRest(works))
	}
	if n > 0 && m.next > 0 && m.Turnaround.Rest > 0 {
		n = min(n, m.aheadOfNext())
	}
	return n
}

func (m *meter) grow(p *money.Piece, n int64) { m.growing = append(m.growing, growing{piece: p, n: n}) }

// aheadOfRest is for while the rest before the day is not over.
func (m *meter) aheadOfRest(works bool) int64 {
	if works {
		m.grow(&m.worthEarly, m.cut.early)
	}
	return forever
}

// aheadOfTiers is for once it is.
func (m *meter) aheadOfTiers(works bool) int64 {
	if !works || m.endless() {
		return forever
	}
	n := int64(forever)
	if half := m.Half.UpTo - m.ordinary; half > 0 {
		n = half
	} else if half == 0 {
		return 0
	}
	over := m.ordinary - m.Included
	if over < 0 && m.tiers[0].extra {
		return min(n, m.aheadOfWeek())
	}
	if m.Minimum > over {
		if m.tiers[0].to >= m.Minimum && len(m.tiers) > 1 && m.tiers[1].extra {
			return 0 // what the bands add is looked at minute by minute
		}
		return min(n, m.Minimum-over)
	}
	if same := max(-over, 0) + m.same(max(over, 0)); same > 0 {
		return min(n, same)
	}
	if m.Step > 1 || m.paid != m.ordinary {
		return 0
	}
	t := &m.tiers[m.full]
	m.growing = append(m.growing, growing{&t.minute, m.minutes(t), !m.premium(t)})
	return min(n, t.to-m.paid)
}

// aheadOfWeek is for included time to which bands by the week add.
func (m *meter) aheadOfWeek() int64 {
	switch t := &m.tiers[m.full]; {
	case !t.extra:
		return m.Included - m.ordinary
	case m.ordinary < t.from:
		return t.from - m.ordinary
	default:
		m.grow(&t.minute, m.minutes(t))
		return t.to - m.ordinary
	}
}

func (m *meter) aheadOfNights(works bool) int64 {
	n := int64(forever)
	for i := range m.nights {
		x := &m.nights[i]
		switch {
		case m.w < x.from:
			n = min(n, x.from-m.w)
		case m.w < x.to:
			n = min(n, x.to-m.w)
			if works {
				m.grow(&m.worthNight[i], m.inNight(*x))
			}
		}
	}
	return n
}

// aheadOfNext looks at the rest before the next call.
func (m *meter) aheadOfNext() int64 {
	short := m.short(m.next)
	switch full := m.next - m.Turnaround.Rest; {
	case m.w < full:
		return full - m.w
	case m.w >= m.next:
		return forever
	case short == 0 || m.Turnaround.Carry && m.full < len(m.tiers) && m.minutes(&m.tiers[m.full]) == 0:
		return 0
	}
	n := m.next - m.w
	if len(m.Turnaround.Amounts) > 0 {
		n = min(n, m.missedRest.periods(short)*m.missedRest.every-short)
	}
	if m.Turnaround.paid() {
		m.grow(&m.restMinute, short)
	}
	return n
}

// run follows the growing counters over the next minutes, all that by has room
// for, and puts in by how much the exposure rises at each. It gives the exposure
// at the last; ok is false where the sums might not fit, and by is as it was.
func (m *meter) run(by []int64) (now int64, ok bool) {
	overtime := m.sums.overtime
	last := overtime // after them all
	var runs [6]money.Run
	n := 0
	var plain money.Run
	var straight *money.Run
	rate := int64(0) // usage, and straight time that does not grow
	for _, g := range m.growing {
		r, end, ok := g.piece.Run(g.n, int64(len(by)))
		if !ok || end > math.MaxInt64/4-last {
			return 0, false
		}
		if g.straight {
			if rate = m.usage + m.sums.straight - r.Minor(); rate < 0 || end > math.MaxInt64/4-rate || !m.costs.fitRate(rate+end) {
				return 0, false
			}
			plain, straight = r, &plain
			continue
		}
		if n == len(runs) {
			return 0, false
		}
		runs[n], last, overtime = r, last+end, overtime-r.Minor()
		n++
	}
	if overtime < 0 || !m.costs.fit(last, m.sums.penalties) {
		return 0, false
	}
	return m.pace(by, overtime, runs[:n], rate, straight), true
}

// pace is the loop that most of a curve is made in: overtime and rate are what does
// not grow, and everything is known to fit.
func (m *meter) pace(by []int64, overtime int64, runs []money.Run, rate int64, straight *money.Run) int64 {
	penalties, before := m.sums.penalties, m.sums.exposed
	running := m.sums.running
	for i := range by {
		overtime := overtime
		for j := range runs {
			runs[j].Next()
			overtime += runs[j].Minor()
		}
		beyond := overtime + penalties
		now := beyond
		if m.costs.agented {
			now += m.costs.agency.Fitting(overtime)
		}
		for j := range m.costs.onCosts {
			now += m.costs.onCosts[j].Fitting(beyond)
		}
		if straight != nil {
			straight.Next()
			running = m.costs.fittingRate(rate+straight.Minor()) - m.owed
		}
		now += running
		by[i], before = now-before, now
	}
	return before
}

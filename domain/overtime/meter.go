package overtime

import "fairday/domain/money"

// meter reads the exposure of one engagement minute by minute, forwards. What
// has not changed since the minute before is not reckoned again. Sums are minor
// units of the engagement's currency.
type meter struct {
	*cut
	until   int64 // the cut's breaks count as they do before this minute
	meals   []meal
	known   []known // for each tier
	nightly money.Piece
	hourly  int64 // what a late meal costs by the hour
	rest    int64 // what missed rest costs
	last    state
	over    int64 // what the last state came to: overtime,
	late    int64 // penalties
	total   int64 // and both, with the costs on them
}

// known is what so many minutes of a tier were found to come to.
type known struct{ minutes, minor int64 }

// state is all that the exposure depends on.
type state struct{ paid, early, night, periods int64 }

// meter starts at a minute; the last one that will be asked for is known.
func (s *sheet) meter(first, last int64) (*meter, error) {
	m := &meter{}
	if len(s.nights) > 0 {
		var err error
		if m.nightly, err = s.worth(s.Night.Extra); err != nil {
			return nil, err
		}
	}
	if s.Meal.Hour {
		a, err := s.hour()
		if err != nil {
			return nil, err
		}
		m.hourly = a.Minor
	}
	if s.missed > 0 {
		a, err := s.missedRest.cost(s.missedRest.periods(s.missed))
		if err != nil {
			return nil, err
		}
		m.rest = a.Minor
	}
	return m, m.recut(s, first, last)
}

// recut takes stock of the breaks for a wrap at minute w and after.
func (m *meter) recut(s *sheet, w, last int64) error {
	var err error
	if m.cut, err = s.cutAt(w); err != nil {
		return err
	}
	m.until = s.day.sameFrom(m.w)
	m.meals = m.cut.late(min(last, m.until-1))
	m.forget()
	return nil
}

func (m *meter) forget() {
	m.known = append(m.known[:0], make([]known, len(m.tiers))...)
	m.last = state{-1, -1, -1, -1}
}

// at is the exposure for a wrap at minute w, in minor units.
func (m *meter) at(w, last int64) (int64, error) {
	if w >= m.until {
		if err := m.recut(m.sheet, w, last); err != nil {
			return 0, err
		}
	}
	m.move(w)
	if m.moving || (len(m.Week) > 0 && m.cut.early > 0) {
		if err := m.retier(); err != nil {
			return 0, err
		}
		m.forget()
	}
	now := state{paid: m.paid, early: m.cut.early, periods: m.periods()}
	for _, n := range m.nights {
		now.night += m.inNight(n)
	}
	if now == m.last {
		return m.total, nil
	}
	var err error
	if now.paid != m.last.paid || now.early != m.last.early || now.night != m.last.night {
		m.over, err = m.overtime()
	}
	if err == nil && now.periods != m.last.periods {
		m.late, err = m.penalty()
	}
	if err == nil {
		m.total, err = m.exposed(m.over, m.late)
	}
	m.last = now
	return m.total, err
}

// periods counts the started periods of all late meals.
func (m *meter) periods() (n int64) {
	for i := range m.meals {
		x := &m.meals[i]
		switch {
		case m.w <= x.due:
		case m.Meal.Hour:
			return 1
		default:
			n += m.lateMeal.periods(min(x.at, m.w) - x.due)
		}
	}
	return n
}

// quiet is for how many minutes from now on the exposure is known to stay.
func (m *meter) quiet() int64 {
	n := m.until - 1 - m.w
	if !m.endless() {
		if m.moving || m.w < m.rested {
			return 0
		}
		n = min(n, max(m.Included-m.ordinary, 0)+m.same(max(m.ordinary-m.Included, 0)))
	}
	for i := range m.meals {
		switch x := &m.meals[i]; {
		case m.w <= x.due:
			n = min(n, x.due-m.w)
		case m.w < x.at && !m.Meal.Hour:
			n = min(n, m.lateMeal.every*m.lateMeal.periods(m.w-x.due)-(m.w-x.due))
		}
	}
	for _, x := range m.nights {
		switch {
		case m.w <= x.from:
			n = min(n, x.from-m.w)
		case m.w < x.to:
			return 0
		}
	}
	return n
}

// overtime is what time beyond the rate comes to.
func (m *meter) overtime() (sum int64, err error) {
	for i := range m.tiers {
		t, k := &m.tiers[i], &m.known[i]
		n := m.minutes(t)
		if n == 0 {
			break
		}
		if !m.premium(t) {
			continue
		}
		if n != k.minutes {
			if err := k.learn(&t.minute, n); err != nil {
				return 0, err
			}
		}
		if sum, err = plus(sum, k.minor); err != nil {
			return 0, err
		}
	}
	if m.cut.early > 0 {
		worth, err := m.worth(m.sheet.early)
		if err == nil {
			sum, err = pieces(sum, worth, m.cut.early)
		}
		if err != nil {
			return 0, err
		}
	}
	for _, n := range m.nights {
		if sum, err = pieces(sum, m.nightly, m.inNight(n)); err != nil {
			return 0, err
		}
	}
	return sum, nil
}

func (k *known) learn(p *money.Piece, n int64) error {
	a, err := p.Of(n)
	k.minutes, k.minor = n, a.Minor
	return err
}

// pieces adds what n pieces come to.
func pieces(sum int64, p money.Piece, n int64) (int64, error) {
	a, err := p.Of(n)
	if err != nil {
		return 0, err
	}
	return plus(sum, a.Minor)
}

// plus adds two sums of one currency.
func plus(a, b int64) (int64, error) {
	s := a + b
	if a >= 0 && b >= 0 && s >= 0 {
		return s, nil
	}
	out, err := money.Of(a, "").Add(money.Of(b, ""))
	return out.Minor, err
}

// penalty is what late meals and missed rest come to.
func (m *meter) penalty() (int64, error) {
	sum := m.rest
	for i := range m.meals {
		x := &m.meals[i]
		late := min(x.at, m.w) - x.due
		switch {
		case late <= 0:
			continue
		case m.Meal.Hour:
			return plus(sum, m.hourly)
		}
		cost, err := m.lateMeal.cost(m.lateMeal.periods(late))
		if err != nil {
			return 0, err
		}
		if sum, err = plus(sum, cost.Minor); err != nil {
			return 0, err
		}
	}
	return sum, nil
}

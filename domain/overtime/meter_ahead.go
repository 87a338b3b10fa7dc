package overtime

// Between the minutes at which a rule sets in or lets go, the exposure either
// stays or grows along one tier. The meter need not be read minute by minute
// there.

// undisturbed is for how many minutes from now on nothing but worked time can
// change the exposure.
func (m *meter) undisturbed() int64 {
	n := min(m.until-1, m.lateUntil) - m.w
	if m.moving || m.w < m.rested {
		return 0
	}
	if m.next > 0 && !m.Turnaround.IsZero() {
		if m.short(m.next) > 0 {
			return 0
		}
		n = min(n, m.next-m.Turnaround.Rest-m.w)
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

// quiet is for how many minutes from now on the exposure is known to stay.
func (m *meter) quiet() int64 {
	n := m.undisturbed()
	if !m.endless() {
		n = min(n, max(m.Included-m.ordinary, 0)+m.same(max(m.ordinary-m.Included, 0)))
	}
	return n
}

// steady is for how many minutes from now on one more minute of the same tier is
// paid with each.
func (m *meter) steady() int64 {
	if m.Step > 1 || m.paid != m.ordinary || m.ordinary <= m.Included+m.Grace || m.full >= len(m.tiers) || !m.premium(&m.tiers[m.full]) {
		return 0
	}
	n := min(m.undisturbed(), m.tiers[m.full].to-m.paid)
	if m.MealPaid {
		return n
	}
	for i := range m.d.meals {
		switch x := &m.d.meals[i]; {
		case m.w <= x.from:
			return min(n, x.from-m.w)
		case m.w < x.to:
			return 0
		}
	}
	return n
}

// follow reads the next minutes of a steady stretch, all that by has room for,
// and gives the exposure at the last.
func (m *meter) follow(by []int64) (int64, error) {
	t := &m.tiers[m.full]
	paid, now := m.minutes(t), m.sums.exposed
	for i := range by {
		tier, err := t.minute.Minor(paid + int64(i) + 1)
		if err == nil {
			m.sums.tiers, err = plus(m.whole, tier)
		}
		if err == nil {
			m.sums.exposed, err = m.exposed()
		}
		if err != nil {
			return 0, err
		}
		by[i], now = m.sums.exposed-now, m.sums.exposed
	}
	return now, nil
}

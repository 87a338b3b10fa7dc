package overtime

import "fairday/domain/money"

// meter reads the exposure of one engagement minute by minute, forwards. What
// has not changed since the minute before is not reckoned again. Sums are minor
// units of the engagement's currency.
type meter struct {
	*cut
	until int64 // the cut's breaks count as they do before this minute
	meals []meal
	costs costs

	worthEarly money.Piece
	worthNight []money.Piece // of each of the nights
	hourly     int64         // what a late meal costs by the hour
	rest       int64         // what missed rest costs
	next       int64         // minute of the next call, 0 for none

	usage    int64 // minor units of it
	owed     int64 // what the rate comes to however short the day, with the costs on it
	wholeDay int64 // what the whole rate comes to where half a day costs less, with the costs on it

	last      state
	full      int   // so many tiers are paid whole
	whole     int64 // and come to this
	straight  int64 // and to this where they are straight time
	lateUntil int64 // no further penalty period starts by this minute
	sums      sums
	growing   []growing
}

// state is all that the exposure depends on.
type state struct {
	paid, counted, early, night, periods, short int64
	half                                        bool
}

// sums is what the last state comes to: the parts, then overtime and penalties
// with what a short rest before the next call adds, then both with their costs and
// with what straight time and a whole day instead of half of one come to.
type sums struct {
	tiers, straight, early, night, penalty int64
	overtime, penalties, running, exposed  int64
}

// meter starts at a minute; the last one that will be asked for is known.
func (s *sheet) meter(first, last, next int64) (*meter, error) {
	m := &meter{costs: s.costs(), next: next}
	if next != 0 && next <= s.day.start {
		return nil, fail(CodeBefore, "the next call is not after the start of this day; correct one of the two")
	}
	var err error
	for i := range s.nights {
		if i > 0 && s.nights[i].Extra == s.nights[i-1].Extra {
			m.worthNight = append(m.worthNight, m.worthNight[i-1])
			continue
		}
		worth, wrong := s.worth(s.nights[i].Extra)
		if wrong != nil {
			return nil, wrong
		}
		m.worthNight = append(m.worthNight, worth)
	}
	if err == nil && s.rested > s.day.start {
		m.worthEarly, err = s.worth(s.early)
	}
	var a money.Amount
	if err == nil && s.Meal.Hour {
		a, err = s.hour()
		m.hourly = a.Minor
	}
	if err == nil && s.missed > 0 {
		a, err = s.missedRest.cost(s.missedRest.periods(s.missed))
		m.rest = a.Minor
	}
	for _, u := range s.Usage {
		if err != nil || s.later() {
			break
		}
		if a, err = u.whole(); err == nil {
			m.usage, err = plus(m.usage, a.Minor)
		}
	}
	if err == nil && s.Half.UpTo > 0 {
		if m.owed, err = m.rate(s, true); err == nil {
			m.wholeDay, err = m.rate(s, false)
		}
	}
	if err != nil {
		return nil, err
	}
	if err = m.recut(s, first, last); err == nil && s.Minimum > 0 {
		minute, err1 := s.worth(money.Whole(1))
		if err = err1; err == nil {
			m.owed, err = minute.Minor(s.Minimum)
		}
	}
	if err == nil && s.Basis == Hourly {
		m.owed, err = m.onRate(m.owed)
	}
	return m, err
}

// rate is what a day that costs half a rate or a whole one comes to, with the costs
// on it.
func (m *meter) rate(s *sheet, half bool) (int64, error) {
	fee, more, err := s.fee(half)
	if err == nil {
		fee, err = fee.Add(more)
	}
	if err != nil {
		return 0, err
	}
	return m.onRate(fee.Minor)
}

// onRate is a rate, and usage, with the costs on both.
func (m *meter) onRate(rate int64) (int64, error) {
	rate, err := plus(rate, m.usage)
	if err != nil {
		return 0, err
	}
	return m.costs.onRate(rate)
}

// recut takes stock of the breaks for a wrap at minute w and after.
func (m *meter) recut(s *sheet, w, last int64) error {
	var err error
	if m.cut, err = s.cutAt(w); err != nil {
		return err
	}
	m.until = s.day.sameFrom(m.w)
	if m.w <= s.rested {
		m.until = min(m.until, s.rested+1)
	}
	m.meals = m.late(min(last, m.until-1))
	m.forget()
	return nil
}

func (m *meter) forget() {
	m.last = state{paid: -1, early: -1, night: -1, periods: -1, short: -1}
	m.full, m.whole, m.straight, m.lateUntil = 0, 0, 0, -1
}

// at is the exposure for a wrap at minute w, in minor units.
func (m *meter) at(w, last int64) (int64, error) {
	if w >= m.until {
		if err := m.recut(m.sheet, w, last); err != nil {
			return 0, err
		}
	}
	m.move(w)
	now := state{paid: m.paid, early: m.cut.early, periods: m.last.periods, short: m.short(m.next), half: m.isHalf()}
	if m.Minimum > 0 {
		now.counted = m.counted(m.ordinary)
	} else if len(m.Week) > 0 && m.Basis != Hourly {
		now.counted = min(m.ordinary, m.Included)
	}
	if m.w > m.lateUntil {
		now.periods, m.lateUntil = m.periods()
	}
	for i := range m.nights {
		now.night += m.inNight(m.nights[i])
	}
	if now == m.last {
		return m.sums.exposed, nil
	}
	var err error
	if now.paid != m.last.paid || now.counted != m.last.counted {
		m.sums.tiers, m.sums.straight, err = m.time()
	}
	if err == nil && now.early != m.last.early {
		m.sums.early, err = pieces(0, &m.worthEarly, now.early)
	}
	if err == nil && now.night != m.last.night {
		m.sums.night, err = m.night()
	}
	if err == nil && now.periods != m.last.periods {
		m.sums.penalty, err = m.penalty()
	}
	if err == nil {
		err = m.expose(now.half)
	}
	m.last = now
	return m.sums.exposed, err
}

// expose puts the sums together, with the costs on them.
func (m *meter) expose(half bool) error {
	overtime, err := plus(m.sums.tiers, m.sums.early)
	if err == nil {
		overtime, err = plus(overtime, m.sums.night)
	}
	penalty := m.sums.penalty
	if err == nil && m.short(m.next) > 0 {
		var a, b int64
		if a, b, err = m.shortRest(m.next); err == nil {
			overtime, err = plus(overtime, a)
		}
		if err == nil {
			penalty, err = plus(penalty, b)
		}
	}
	if err != nil {
		return err
	}
	m.sums.overtime, m.sums.penalties = overtime, penalty
	m.sums.exposed, err = m.costs.on(overtime, penalty)
	if err == nil {
		m.sums.running, err = m.runsOn(half)
	}
	if err == nil {
		m.sums.exposed, err = plus(m.sums.exposed, m.sums.running)
	}
	return err
}

// runsOn is what is paid at the plain rate because the day went on, with the costs
// on it.
func (m *meter) runsOn(half bool) (out int64, err error) {
	switch {
	case m.Basis == Hourly:
		out, err = m.onRate(m.sums.straight)
	case m.Half.UpTo > 0 && half:
		out = m.owed
	case m.Half.UpTo > 0:
		out = m.wholeDay
	}
	return out - m.owed, err
}

// periods counts the started periods of all late meals, and until when there
// will be no more.
func (m *meter) periods() (n, until int64) {
	until = forever
	for i := range m.meals {
		x := &m.meals[i]
		switch {
		case m.w <= x.due+m.Meal.Grace:
			until = min(until, x.due+m.Meal.Grace)
		case m.Meal.Hour:
			return 1, forever
		default:
			k := m.lateMeal.periods(min(x.at, m.w) - x.due)
			if n += k; m.w < x.at {
				until = min(until, x.due+k*m.lateMeal.every)
			}
		}
	}
	return n, until
}

// time is what the tiers come to: overtime, and straight time.
func (m *meter) time() (overtime, straight int64, err error) {
	for ; m.full < len(m.tiers); m.full++ {
		t := &m.tiers[m.full]
		overtime, straight = m.whole, m.straight
		sum := &overtime
		if !m.premium(t) {
			sum = &straight
		}
		if *sum, err = pieces(*sum, &t.minute, m.minutes(t)); err != nil || m.upTo(t) < t.to {
			return overtime, straight, err
		}
		m.whole, m.straight = overtime, straight
	}
	return m.whole, m.straight, nil
}

// night is what the nights add.
func (m *meter) night() (sum int64, err error) {
	for i := range m.nights {
		if sum, err = pieces(sum, &m.worthNight[i], m.inNight(m.nights[i])); err != nil {
			return 0, err
		}
	}
	return sum, nil
}

// pieces adds what n pieces come to.
func pieces(sum int64, p *money.Piece, n int64) (int64, error) {
	minor, err := p.Minor(n)
	if err != nil {
		return 0, err
	}
	return plus(sum, minor)
}

// plus adds two sums of one currency.
func plus(a, b int64) (int64, error) {
	if s := a + b; a >= 0 && b >= 0 && s >= 0 {
		return s, nil
	}
	return plusAny(a, b)
}

func plusAny(a, b int64) (int64, error) {
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
		case late <= m.Meal.Grace:
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

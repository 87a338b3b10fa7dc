package overtime

import (
	"fairday/domain/money"
	"fairday/domain/when"
)

// ShortRest is what the day after costs more because of hours that have ended,
// where its call leaves less rest than the terms owe: the minutes before the rest
// is over, as if all of them were worked, and the penalty. Where the terms carry
// over what a day ended on, it is the highest that this one reached. Nothing is
// due where there is no turnaround.
func ShortRest(t Terms, h Hours, next when.Instant) (overtime, penalty money.Amount, err error) {
	s, err := newSheet(t, h, newClockCache())
	if err != nil {
		return overtime, penalty, err
	}
	if h.Out == 0 {
		return overtime, penalty, fail(CodeHoursOpen, "still on the clock; sign out first, or ask what it comes to at a given wrap")
	}
	if minute(next) <= s.day.start {
		return overtime, penalty, fail(CodeBefore, "the next call is not after the start of this day; correct one of the two")
	}
	c, err := s.cutAt(s.day.out)
	if err != nil {
		return overtime, penalty, err
	}
	a, b, err := c.shortRest(minute(next))
	return money.Of(a, t.Rate.Currency), money.Of(b, t.Rate.Currency), err
}

// short is how much rest a call at minute next leaves missing.
func (c *cut) short(next int64) int64 {
	if next == 0 || c.Turnaround.Rest == 0 {
		return 0
	}
	return max(min(c.w, next)+c.Turnaround.Rest-next, 0)
}

// shortRest is ShortRest in minor units.
func (c *cut) shortRest(next int64) (overtime, penalty int64, err error) {
	n := c.short(next)
	if n == 0 {
		return 0, 0, nil
	}
	if c.Turnaround.paid() {
		times := c.Turnaround.Times
		if c.Turnaround.Carry {
			times = c.highest()
		}
		if times != c.restTimes {
			if c.restMinute, err = c.worth(times); err != nil {
				return 0, 0, err
			}
			c.restTimes = times
		}
		if overtime, err = c.restMinute.Minor(n); err != nil {
			return 0, 0, err
		}
	}
	if len(c.Turnaround.Amounts) > 0 {
		a, err := c.missedRest.cost(c.missedRest.periods(n))
		return overtime, a.Minor, err
	}
	return overtime, 0, nil
}

// highest is what is carried to tomorrow: the most that a minute of the day was
// paid at, 1 at least. A rest that was cut short is not made good by working on, so
// what it was paid at counts too.
func (c *cut) highest() money.Ratio {
	most := money.Whole(1)
	if c.early > 0 && c.sheet.early.Cmp(most) > 0 {
		most = c.sheet.early
	}
	for i := range c.tiers {
		t := &c.tiers[i]
		if c.minutes(t) == 0 {
			continue
		}
		times := t.times
		if t.extra {
			times, _ = times.Add(money.Whole(1)) // it was one more
		}
		if times.Cmp(most) > 0 {
			most = times
		}
	}
	return most
}

package pace

import "math/bits"

// Mean is an average of whole numbers, exactly: so many units and so many
// billionths of one, so that rounding stays with whoever knows the currency.
type Mean struct {
	Units int64
	Part  int64 // 0 to below Whole
}

// Minus is the difference of two.
func (m Mean) Minus(n Mean) Mean { return mean(m.Units-n.Units, m.Part-n.Part) }

// Sign is -1, 0 or 1.
func (m Mean) Sign() int {
	switch {
	case m.Units < 0:
		return -1
	case m.Units > 0 || m.Part > 0:
		return 1
	}
	return 0
}

func mean(units, part int64) Mean {
	units += part / Whole
	if part %= Whole; part < 0 {
		part += Whole
		units--
	}
	return Mean{units, part}
}

// tally sums costs times chances in billionths, exactly.
type tally struct {
	sum  Mean
	rest int64 // billionths that are not in sum yet
}

// add adds a cost with a chance of at most Whole.
func (t *tally) add(chance, cost int64) {
	const room = 4 * Whole // twice of which, times Whole, fits
	if cost <= room && cost >= -room {
		t.rest += chance * cost
		if t.rest > room*Whole || t.rest < -room*Whole {
			t.flush()
		}
		return
	}
	high, low := bits.Mul64(uint64(chance), uint64(max(cost, -cost)))
	units, part := bits.Div64(high, low, Whole)
	more := Mean{int64(units), int64(part)}
	if cost < 0 {
		more = Mean{}.Minus(more)
	}
	t.sum = mean(t.sum.Units+more.Units, t.sum.Part+more.Part)
}

func (t *tally) flush() {
	t.sum = mean(t.sum.Units, t.sum.Part+t.rest%Whole)
	t.sum.Units += t.rest / Whole
	t.rest = 0
}

func (t *tally) mean() Mean {
	t.flush()
	return t.sum
}

package overtime_test

import (
	"math/big"

	"fairday/domain/overtime"
	"fairday/domain/when"
)

// federalWeek is section 7(a): half the regular rate on top of straight pay for
// each hour over forty.
func federalWeek(days []lawDay) ruled {
	worked := int64(0)
	straight, counted, credit := of(0), of(0), of(0)
	for _, d := range days {
		hours := count(d.federal)
		worked += hours
		credit.Add(credit, d.premium)
		if d.byHour { // 778.110 and 778.315: each hour at its rate
			straight.Add(straight, sum(mul(d.rate, of(hours)), d.differential))
			counted.Add(counted, sum(mul(d.rate, of(min(hours, d.paid))), d.differential))
			continue
		}
		all := sum(d.fee, d.hourly, d.differential) // 778.112
		straight.Add(straight, all)
		counted.Add(counted, all)
	}
	counted.Add(counted, credit)
	if worked <= 40*60 {
		return ruled{counted, of(0), counted, credit}
	}
	extra := mul(over(straight, of(worked)), big.NewRat(worked-40*60, 2))
	return ruled{sum(straight, extra), extra, counted, credit}
}

// newYorkWeek is 142-2.4: an hour at the minimum wage for each long or split
// day, on top of the minimum wage for every hour worked.
func newYorkWeek(days []lawDay, wage int64) ruled {
	minute := over(of(wage), of(60))
	asked, extra := of(0), of(0)
	for _, d := range days {
		asked.Add(asked, mul(minute, of(count(d.federal))))
		if d.spread > 10*60 || d.split {
			extra.Add(extra, of(wage))
		}
	}
	paid := federalWeek(days)
	counted := new(big.Rat).Sub(paid.counted, paid.credit)
	if extra.Sign() == 0 {
		return ruled{of(0), of(0), counted, of(0)}
	}
	return ruled{sum(asked, extra), extra, counted, of(0)}
}

// californiaRate is the regular rate of the week for one minute: the base, and
// the differentials over all minutes worked.
func californiaRate(days []lawDay) (base, differential *big.Rat) {
	worked := int64(0)
	sums, more := of(0), of(0)
	for _, d := range days {
		n := count(d.state)
		worked += n
		sums.Add(sums, mul(d.base, of(n)))
		more.Add(more, d.differential)
	}
	if worked == 0 {
		return of(0), of(0)
	}
	return over(sums, of(worked)), over(more, of(worked))
}

// californiaFactors is Labor Code 510(a): for each minute of the week's work,
// day by day, how often the regular rate is owed for it.
func californiaFactors(days []lawDay) [][]*big.Rat {
	one, more, double := of(1), big.NewRat(3, 2), of(2)
	began := map[int]bool{}
	for _, d := range days {
		if count(d.state) > 0 {
			began[d.of] = true
		}
	}
	out, straight := make([][]*big.Rat, len(days)), 0
	for i, d := range days {
		seventh := d.of == 7 && len(began) == 7
		for m := range count(d.state) {
			factor := one
			switch {
			case seventh && m >= 8*60 || m >= 12*60:
				factor = double
			case seventh || m >= 8*60 || straight >= 40*60:
				factor = more
			default:
				straight++
			}
			out[i] = append(out[i], factor)
		}
	}
	return out
}

// californiaDay is what section 510 asks for one day.
func californiaDay(d lawDay, factors []*big.Rat, base, differential *big.Rat) ruled {
	covered, others, atFactor, extra := of(0), of(0), of(0), of(0)
	straightPays := base
	switch {
	case d.weighted:
		straightPays = d.base
	case d.covers > 0:
		straightPays = over(d.feeWith, of(d.covers))
	}
	for from := 0; from < len(factors); { // minutes of one kind at a time
		f, to := factors[from], from
		inFee := int64(from) < d.covers
		for to < len(factors) && factors[to] == f && (int64(to) < d.covers) == inFee {
			to++
		}
		n, plain := of(int64(to-from)), f.Cmp(of(1)) == 0
		pays := mul(f, base)
		switch {
		case plain && inFee:
			pays = straightPays
		case plain: // at its own rate
			pays = d.base
		}
		if inFee {
			covered.Add(covered, mul(n, pays))
		} else {
			others.Add(others, mul(n, pays))
		}
		if !plain {
			atFactor.Add(atFactor, mul(n, mul(new(big.Rat).Sub(f, of(1)), differential)))
			extra.Add(extra, mul(n, mul(f, sum(base, differential))))
		}
		from = to
	}
	if fee := d.feeWith; covered.Cmp(fee) < 0 {
		covered = fee
	}
	return ruled{sum(d.differential, covered, others, atFactor), extra, d.countedInCalifornia(), d.premium}
}

func (d lawDay) countedInCalifornia() *big.Rat {
	pay := d.hourly
	if d.byHour {
		pay = mul(d.rate, of(min(count(d.state), d.paid)))
	}
	return sum(d.fee, pay, d.differential, d.premium)
}

// mealMissed tells whether a meal that was owed did not come: Labor Code 512
// with Brinker, or Wage Order 12, section 11. Meal punches may not be rounded
// (Donohue v. AMN Services, 2021), so these are the instants as they were taken.
func mealMissed(h overtime.Hours, waived overtime.Waived, pictures bool) bool {
	const least = 30 * when.Minute
	worked, at := when.Instant(0), max(h.In, h.Call)
	var before []when.Instant // work before each meal
	for i := 0; i < len(h.Meals); i++ {
		from, to := h.Meals[i].From, h.Meals[i].To
		for i+1 < len(h.Meals) && h.Meals[i+1].From == to {
			i++
			to = h.Meals[i].To
		}
		if from = max(from, at); to-from < least && to < h.Out {
			continue // on duty
		}
		worked += from - at
		at = to
		if to < h.Out && worked > 0 { // in the middle of work
			before = append(before, worked)
		}
	}
	worked += max(h.Out-at, 0)
	if pictures {
		since := when.Instant(0)
		for _, m := range append(before, worked) {
			if m-since > 6*when.Hour {
				return true
			}
			since = m
		}
		return false
	}
	late := func(n int, hours when.Instant) bool {
		return worked > hours*when.Hour && (len(before) <= n || before[n] > hours*when.Hour)
	}
	first := late(0, 5) && !(waived.First && worked <= 6*when.Hour)
	return first || late(1, 10) && !(waived.Second && worked <= 12*when.Hour && len(before) > 0)
}

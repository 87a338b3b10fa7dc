package overtime_test

import (
	"math/rand/v2"
	"slices"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/when"
)

// span is a week that somebody worked, with what only the generator knows.
type span struct {
	overtime.Workweek
	start when.Instant // midnight before its first day
	exact bool         // every minute costs whole minor units at every factor, so nothing is rounded
}

func anyOf[T any](r *rand.Rand, from ...T) T { return from[r.IntN(len(from))] }

func chance(r *rand.Rand, percent int) bool { return r.IntN(100) < percent }

func times(num, den int64) money.Ratio {
	out, err := money.NewRatio(num, den)
	if err != nil {
		panic(err)
	}
	return out
}

// factors are dividers of 20, so that a rate of whole twenties a minute is exact.
func anyFactor(r *rand.Rand, least int64) money.Ratio {
	return times(max(anyOf[int64](r, 21, 22, 23, 25, 26, 30, 35, 40, 50, 60), least), 20)
}

// weekStarts are Sundays and Mondays, some of them in a week with a clock change.
func anyWeek(r *rand.Rand) (when.Zone, when.Date) {
	switch r.IntN(8) {
	case 0:
		return "America/New_York", anyOf[when.Date](r, "2026-03-08", "2026-03-02", "2026-11-01", "2026-10-26")
	case 1:
		return "America/Los_Angeles", anyOf[when.Date](r, "2027-03-14", "2027-03-08", "2027-11-07", "2027-11-01")
	case 2:
		return "Europe/London", anyOf[when.Date](r, "2026-03-29", "2026-03-23", "2026-10-25", "2026-10-19")
	}
	zone := anyOf[when.Zone](r, "America/New_York", "America/Los_Angeles", "Europe/London", "Europe/Berlin")
	return zone, when.Date("2026-01-05").Add(7*r.IntN(100) + anyOf(r, 0, 6))
}

// anyDays puts up to seven days of up to 20 h on a week, none of which begins
// before the one before has ended.
func anyDays(r *rand.Rand, zone when.Zone, first when.Date) (out []overtime.Workday) {
	number, busy := 1+r.IntN(7), when.Instant(0)
	if chance(r, 30) {
		number = 7
	}
	usual := when.Clock(r.IntN(24 * 60))
	long := int64(1 + r.IntN(20*60))
	for i := range 7 {
		if 7-i > number && chance(r, 100-100*number/7) {
			continue
		}
		if number == 0 {
			break
		}
		number--
		clock := usual
		if chance(r, 40) {
			clock = when.Clock(r.IntN(24 * 60))
		}
		length := long
		if chance(r, 50) {
			length = anyOf(r, int64(r.IntN(20*60+1)), 8*60, 10*60, 12*60, 6*60, int64(5*60+r.IntN(8*60)))
		}
		at, err := zone.At(first.Add(i), clock)
		if err != nil {
			panic(err)
		}
		if at < busy {
			continue
		}
		h := anyPunches(r, at, length)
		busy = max(h.Out, h.Call+when.Minute)
		h.Zone = zone
		out = append(out, overtime.Workday{
			Hours: h, Of: i + 1, NoRest: chance(r, 20),
			Waived: overtime.Waived{First: chance(r, 30), Second: chance(r, 30)},
		})
	}
	return out
}

// anyPunches is a day that starts at an instant: signed in early, late or not at
// all, with up to five breaks.
func anyPunches(r *rand.Rand, at when.Instant, length int64) overtime.Hours {
	second := func() when.Instant { return when.Instant(r.Int64N(int64(when.Minute))) }
	h := overtime.Hours{Call: at}
	switch r.IntN(4) {
	case 0:
		h.In = at + second()
	case 1:
		h.In = at - when.Instant(r.IntN(40))*when.Minute + second()
	case 2:
		h.In = at + when.Instant(r.IntN(40))*when.Minute + second()
	}
	if h.In != 0 && chance(r, 20) {
		h.Call = 0
	}
	start := max(h.In, h.Call)
	h.Out = start + when.Instant(length)*when.Minute + second()
	from := start
	for range r.IntN(6) {
		from += when.Instant(anyOf(r, r.IntN(30), r.IntN(400), 300, 360)) * when.Minute
		to := from + when.Instant(anyOf(r, r.IntN(91), 19, 20, 21, 29, 30, 60, 61))*when.Minute + anyOf(r, 0, second())
		if chance(r, 5) {
			to = h.Out
		}
		if to > h.Out || to < from {
			break
		}
		h.Meals = append(h.Meals, overtime.Break{From: from, To: to})
		from = to
	}
	return h
}

// anyContract draws terms: by the day, by the hour, weighted, all-in, with every
// kind of premium that the laws tell apart.
func anyContract(r *rand.Rand) (t overtime.Terms, exact bool) {
	usd := func(n int64) money.Amount { return money.Of(n, "USD") }
	exact = chance(r, 70)
	rateFor := func(minutes int64) money.Amount {
		if exact {
			return usd(minutes * 20 * int64(1+r.IntN(15)))
		}
		return usd(minutes + int64(r.IntN(200_000)))
	}
	switch r.IntN(6) {
	case 0, 1:
		t.Basis, t.Rate = overtime.Hourly, rateFor(60)
		if !exact {
			t.Rate = usd(int64(800 + r.IntN(9_000)))
		}
		anyThresholds(r, &t, anyOf[int64](r, 0, 120, 300, 480, 480, 600))
		if chance(r, 30) {
			t.Week = []overtime.Band{{After: anyOf[int64](r, 2100, 2400, 3000), Times: anyFactor(r, 0)}}
		}
		if chance(r, 30) {
			t.Minimum = int64(60 * (1 + r.IntN(5)))
		}
	case 2:
		t.Basis, t.Divisor, t.Included = overtime.Day, overtime.ByWeighted, anyOf[int64](r, 600, 720)
		t.Bands = []overtime.Band{{After: 480, Times: times(3, 2)}}
		t.Rate = rateFor(480 + (t.Included-480)*3/2)
		if chance(r, 50) {
			t.Bands = append(t.Bands, overtime.Band{After: 720, Times: times(2, 1)})
		}
	case 3:
		t.Basis, t.Rate = overtime.AllIn, rateFor(600)
		if chance(r, 50) {
			t.Included = 600
			anyThresholds(r, &t, 600)
		}
	default:
		t.Basis, t.Included = overtime.Day, anyOf[int64](r, 300, 420, 480, 600, 600, 660, 720)
		t.Rate = rateFor(t.Included)
		anyThresholds(r, &t, t.Included)
		if chance(r, 20) {
			t.Base = rateFor(60)
		}
		if chance(r, 15) {
			t.Days = int64(2 + r.IntN(6))
			t.Rate.Minor *= t.Days
		}
		if chance(r, 15) && t.Days == 0 {
			t.Half = overtime.HalfDay{UpTo: min(t.Included, anyOf[int64](r, 240, 300)) - 1, Share: times(3, 5)}
			exact = false
		}
	}
	if t.Basis == overtime.Day && chance(r, 20) {
		t.Week = []overtime.Band{{After: anyOf[int64](r, 2100, 2400, 3000), Times: anyFactor(r, 0)}}
	}
	anyContractRules(r, &t)
	anyRareRules(r, &t)
	return t, exact
}

func anyThresholds(r *rand.Rand, t *overtime.Terms, after int64) {
	for n := r.IntN(4); n > 0; n-- {
		least := int64(0)
		if len(t.Bands) > 0 {
			least = t.Bands[len(t.Bands)-1].Times.Num * 20 / t.Bands[len(t.Bands)-1].Times.Den
		}
		t.Bands = append(t.Bands, overtime.Band{After: after, Times: anyFactor(r, least)})
		after += int64(60 + r.IntN(180))
	}
}

// anyContractRules adds what depends on the clock, the calendar and the days
// before.
func anyContractRules(r *rand.Rand, t *overtime.Terms) {
	t.MealPaid = chance(r, 20)
	if !t.MealPaid && chance(r, 30) {
		t.MealLeast = anyOf[int64](r, 15, 20, 30)
	}
	hasBase := t.Included > 0 || t.Basis == overtime.Hourly
	if hasBase && t.Basis != overtime.AllIn && chance(r, 30) {
		t.Step, t.StepRule = anyOf[int64](r, 6, 15, 30, 60), anyOf(r, overtime.StepUp, overtime.StepNearest)
	}
	if chance(r, 25) && hasBase {
		t.LateCall = overtime.LateCall{From: 11 * 60, To: 17 * 60}
	}
	if chance(r, 30) && hasBase {
		t.Night = overtime.Night{From: 20 * 60, To: 6 * 60, Extra: anyOf(r, times(1, 10), times(1, 4), times(1, 2), times(1, 1))}
	}
	if chance(r, 15) && hasBase {
		t.EarlyCall = overtime.Night{From: 0, To: 6 * 60, Extra: anyOf(r, times(1, 4), times(9, 20), times(1, 2), times(1, 1))}
	}
	if chance(r, 20) && hasBase {
		t.Turnaround = overtime.Turnaround{Rest: 660, Times: anyOf(r, times(5, 4), times(29, 20), times(3, 2), times(2, 1))}
	}
	if chance(r, 25) && (len(t.Bands) == 0 || t.Bands[0].After > 0) {
		t.Sixth = overtime.RunDay{Times: anyOf(r, times(5, 4), times(29, 20), times(3, 2))}
		if chance(r, 60) {
			t.Seventh = overtime.RunDay{Times: anyOf(r, times(3, 2), times(2, 1))}
		}
	}
	if chance(r, 20) && (len(t.Bands) == 0 || t.Bands[0].After > 0) {
		t.Weekend = overtime.Weekend{Saturday: anyOf(r, times(5, 4), times(3, 2)), Sunday: anyOf(r, times(27, 20), times(2, 1))}
	}
	if chance(r, 40) {
		t.Meal = overtime.MealRule{Due: 360, Next: 360, Every: 30, Amounts: []money.Amount{money.Of(2500, t.Rate.Currency), money.Of(3500, t.Rate.Currency)}}
	}
	if chance(r, 20) {
		t.Extras = []overtime.Extra{{Name: "kit", Amount: money.Of(7_500, t.Rate.Currency)}}
	}
	if chance(r, 25) && t.Days == 0 {
		t.Other = []overtime.OtherDay{{Kind: "prep", Share: times(1, 2), Worked: true}, {Kind: "travel", Share: times(1, 4)}}
	}
}

// anyRareRules adds what few contracts have.
func anyRareRules(r *rand.Rand, t *overtime.Terms) {
	if t.Basis != overtime.Hourly && t.Included > 0 && chance(r, 15) {
		t.Grace = anyOf[int64](r, 5, 15)
	}
	if t.Basis == overtime.Day && t.Divisor == "" && chance(r, 15) {
		t.First = anyOf[int64](r, 30, 60)
	}
	if t.Basis == overtime.Day && t.Divisor == "" && !t.MealPaid && chance(r, 15) {
		t.Inclusive = 60
	}
	if t.Night != (overtime.Night{}) && chance(r, 30) {
		t.Night2 = overtime.Night{From: 0, To: 5 * 60, Extra: times(1, 4)}
	}
	if t.Sixth.Times != (money.Ratio{}) && t.Basis == overtime.Hourly && chance(r, 30) {
		t.Sixth.Bands = []overtime.Band{{After: 420, Times: anyFactor(r, 35)}}
	}
	if len(t.Bands) > 0 && t.Bands[0].After > 0 && t.Divisor == "" && chance(r, 15) {
		t.Bands = append(t.Bands, overtime.Band{After: 840, Times: anyFactor(r, 40), Elapsed: true})
	}
	if chance(r, 15) && t.Basis == overtime.Day && t.Days == 0 {
		t.Usage = []overtime.Extra{{Name: "one year", Amount: money.Of(50_000, t.Rate.Currency)}}
	}
	if chance(r, 15) && t.Basis != overtime.AllIn {
		t.Agency = overtime.Agency{Share: times(1, 5), On: overtime.AgencyOnBoth}
	}
}

// anySpan draws a week under a law; ok is false where the contract itself
// refuses to be reckoned.
func anySpan(r *rand.Rand, law overtime.Law) (out span, ok bool) {
	zone, first := anyWeek(r)
	out.Law, out.Wage = law, money.Of(anyOf[int64](r, 1650, 1700, 725, 1800), "USD")
	out.Terms, out.exact = anyContract(r)
	out.start, _ = zone.At(first, 0)
	out.Days = anyDays(r, zone, first)
	if len(out.Days) == 0 || out.Terms.Validate() != nil {
		return out, false
	}
	before := overtime.Before{Run: 1 + r.IntN(3)}
	if before.Run > 1 || chance(r, 50) {
		before.Out = out.start - when.Instant(r.IntN(20*60))*when.Minute
		before.Times = times(1, 1)
	}
	last := 0
	for i := range out.Days {
		d := &out.Days[i]
		if i > 0 && d.Of > last+1 {
			before.Run = 1
		}
		last = d.Of
		before.Day = int64(i + 1)
		d.Hours.Before = before
		if out.Terms.Days > 1 {
			d.Hours.Before.Day = 1 + int64(i)%out.Terms.Days
		}
		if len(out.Terms.Other) > 0 && chance(r, 30) {
			d.Hours.Kind = anyOf(r, "prep", "travel")
			out.exact = false
		}
		slip, err := overtime.Pay(out.Terms, d.Hours)
		if err != nil {
			return out, false
		}
		before.Run, before.Week = before.Run+1, before.Week+slip.Worked
		before.Out, before.Times = d.Hours.Out, slip.EndedOn()
	}
	return out, true
}

// anyRests draws days for the laws of rest, of which some have not ended, or end before they begin.
func anyRests(r *rand.Rand) (week when.Instant, days []overtime.Hours) {
	zone, first := anyWeek(r)
	week, _ = zone.At(first, 0)
	for _, d := range anyDays(r, zone, first.Add(-anyOf(r, 0, 0, 1, 3))) {
		days = append(days, d.Hours)
	}
	if i := r.IntN(max(len(days), 1)); len(days) > 0 && len(days[i].Meals) > 0 && chance(r, 10) {
		days[i].Meals[len(days[i].Meals)-1].To = 0
	}
	if len(days) > 0 && chance(r, 25) {
		i := r.IntN(len(days))
		days[i].Out, days[i].Meals = 0, nil
		if chance(r, 70) {
			days = days[:i+1]
		} else if chance(r, 50) {
			days[i].Out = max(days[i].In, days[i].Call) - 2*when.Hour
		}
	}
	slices.SortFunc(days, func(overtime.Hours, overtime.Hours) int { return r.IntN(3) - 1 })
	return week, days
}

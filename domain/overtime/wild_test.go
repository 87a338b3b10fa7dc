package overtime_test

import (
	"fmt"
	"math/rand/v2"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/when"
)

// wildTerms draws every field from all that Validate may take, one without regard
// for another, and keeps what it takes. Small rates make a line worth a few units.
func wildTerms(r *rand.Rand) overtime.Terms {
	for {
		if t := wilder(r); t.Validate() == nil {
			return t
		}
	}
}

func wilder(r *rand.Rand) overtime.Terms {
	currency := anyOf[money.Currency](r, "USD", "GBP", "JPY", "KWD")
	minor := func() money.Amount {
		return money.Of(anyOf(r, 1+r.Int64N(20), 1+r.Int64N(3000), 1+r.Int64N(200_000)), currency)
	}
	share := func() money.Ratio { return times(1+r.Int64N(29), 1+r.Int64N(30)) }
	factor := func() money.Ratio { d := 1 + r.Int64N(12); return times(d+r.Int64N(2*d+1), d) }
	length := func(most int) int64 { return anyOf(r, 1+r.Int64N(int64(most)), 15*(1+r.Int64N(int64(most)/15+1))) }
	clock := func() when.Clock { return when.Clock(anyOf(r, r.IntN(24*60), 30*r.IntN(48))) }
	bandsOf := func(elapsed bool) (out []overtime.Band) {
		after := anyOf[int64](r, 0, length(700))
		for range r.IntN(5) {
			out = append(out, overtime.Band{After: after, Times: factor(), Elapsed: elapsed})
			after += length(180)
		}
		return out
	}
	night := func() overtime.Night { return overtime.Night{From: clock(), To: clock(), Extra: share()} }
	t := overtime.Terms{Basis: anyOf(r, overtime.Day, overtime.Day, overtime.AllIn, overtime.Hire, overtime.Hourly), Rate: minor()}
	maybe := func(percent int, set func()) {
		if chance(r, percent) {
			set()
		}
	}
	if t.Basis != overtime.Hourly {
		maybe(90, func() { t.Included = length(800) })
		maybe(20, func() { t.Days = 1 + r.Int64N(6) })
		maybe(20, func() { t.Base = minor() })
		maybe(15, func() { t.Grace = length(60) })
		maybe(15, func() { t.First = length(120) })
		maybe(15, func() { t.Half = overtime.HalfDay{UpTo: length(400), Share: share()} })
		maybe(15, func() { t.Inclusive = length(90) })
		maybe(8, func() { t.Continuous = length(700) })
		maybe(20, func() { t.Divisor = overtime.ByWeighted })
	} else {
		maybe(40, func() { t.Minimum = length(400) })
	}
	t.Bands = bandsOf(false)
	maybe(40, func() { t.Bands = append(t.Bands, bandsOf(true)...) })
	maybe(25, func() { t.Week = bandsOf(false) })
	maybe(20, func() { t.MealPaid = true })
	maybe(30, func() { t.MealLeast = length(90) })
	maybe(50, func() {
		t.Step = anyOf[int64](r, 6, 15, 30, 60)
		t.StepRule = anyOf(r, overtime.StepUp, overtime.StepNearest)
	})
	maybe(20, func() { t.LateCall = overtime.LateCall{From: clock(), To: clock()} })
	maybe(40, func() {
		t.Meal = overtime.MealRule{Due: length(420), Next: anyOf(r, 0, length(420)), Every: length(60), Amounts: []money.Amount{minor(), minor(), minor()}[:1+r.IntN(3)]}
		maybe(20, func() { t.Meal.Hour, t.Meal.Every, t.Meal.Amounts = true, 0, nil })
		maybe(20, func() { t.Meal.Grace = length(20) })
		maybe(20, func() { t.Meal.Breakfast = length(120) })
	})
	maybe(35, func() {
		t.Turnaround = overtime.Turnaround{Rest: length(800)}
		maybe(50, func() { t.Turnaround.Times = factor() })
		maybe(30, func() { t.Turnaround.Carry = true })
		maybe(40, func() { t.Turnaround.Every, t.Turnaround.Amounts = length(60), []money.Amount{minor(), minor()} })
	})
	maybe(20, func() { t.Sixth = overtime.RunDay{Times: factor()} })
	maybe(20, func() { t.Seventh = overtime.RunDay{Times: factor(), Bands: bandsOf(chance(r, 50))} })
	maybe(35, func() { t.Night = night(); maybe(40, func() { t.Night2 = night() }) })
	maybe(15, func() { t.EarlyCall = night() })
	maybe(15, func() { t.Weekend = overtime.Weekend{Saturday: factor(), Sunday: factor()} })
	maybe(15, func() {
		t.Extras = []overtime.Extra{{Name: "kit", Amount: minor()}, {Name: "miles", Amount: minor(), Count: r.Int64N(50)}}
	})
	maybe(15, func() { t.Usage = []overtime.Extra{{Name: "a year", Amount: minor()}} })
	maybe(25, func() {
		t.Agency = overtime.Agency{Share: share(), On: anyOf(r, overtime.AgencyOnFee, overtime.AgencyOnOvertime, overtime.AgencyOnBoth)}
	})
	maybe(25, func() { t.OnCosts = []overtime.OnCost{{Name: "insurance", Share: share()}} })
	maybe(15, func() { t.Other = []overtime.OtherDay{{Kind: "prep", Share: share(), Worked: chance(r, 70)}} })
	return t
}

// wildHours is a day that has not ended, in a zone and often over a clock change,
// with breaks of any length.
func wildHours(r *rand.Rand, t overtime.Terms) overtime.Hours {
	zone := anyOf[when.Zone](r, "UTC", "America/New_York", "Europe/London", "Australia/Lord_Howe", "Pacific/Apia", "Asia/Kathmandu")
	date := anyOf[when.Date](r, "2026-03-07", "2026-03-08", "2026-10-31", "2026-11-01", "2026-03-28", "2026-10-24", "2026-04-04", "2026-10-03", "2011-12-29", "2026-06-12")
	start, err := zone.At(date, when.Clock(r.IntN(24*60)))
	if err != nil {
		panic(err)
	}
	h := overtime.Hours{Call: start, In: start + when.Instant(r.IntN(60)-30)*when.Minute + when.Instant(r.IntN(60_000)), Zone: zone}
	if chance(r, 20) {
		h.In = 0
	}
	h.Before = overtime.Before{Run: 1 + r.IntN(8), Week: r.Int64N(3000), Day: 1 + r.Int64N(max(t.Days, 1)), Times: times(3, 2), Out: start - when.Instant(r.IntN(900)+60)*when.Minute}
	if len(t.Other) > 0 && chance(r, 50) {
		h.Kind = "prep"
	}
	now := max(h.In, h.Call)
	for range r.IntN(6) {
		from := now + when.Instant(r.IntN(anyOf(r, 2, 60, 400)))*when.Minute
		now = from + when.Instant(r.IntN(anyOf(r, 5, 31, 60, 130)))*when.Minute
		h.Meals = append(h.Meals, overtime.Break{From: from, To: now})
	}
	return h
}

// tellDay writes terms and hours so that they can be made into a test of their own.
func tellDay(t overtime.Terms, h overtime.Hours) string { return fmt.Sprintf("%+v\n%+v", t, h) }

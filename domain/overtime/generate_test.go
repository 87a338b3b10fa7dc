package overtime

import (
	"math/rand/v2"
	"testing"

	"fairday/domain/money"
	"fairday/domain/when"
)

func pick[T any](r *rand.Rand, from ...T) T { return from[r.IntN(len(from))] }

func ratio(t testing.TB, s string) money.Ratio {
	t.Helper()
	v, err := money.ParseRatio(s)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// anyTerms makes up terms of every kind.
func anyTerms(t testing.TB, r *rand.Rand) Terms {
	out := Terms{Basis: pick(r, Day, Day, AllIn, Hire, Hourly), Rate: usd(r.Int64N(300_000) + 20_000), MealPaid: r.IntN(3) == 0}
	if out.Basis == AllIn && r.IntN(2) == 0 {
		anyCosts(t, r, &out)
		return out
	}
	if out.Basis != Hourly {
		out.Included = pick[int64](r, 240, 480, 540, 600, 605, 720)
		out.Grace = pick[int64](r, 0, 0, 7, 15)
		out.Days = pick[int64](r, 0, 0, 0, 1, 3, 7)
	}
	out.Step = pick[int64](r, 0, 1, 6, 15, 30, 60)
	if out.Step > 1 {
		out.StepRule = pick(r, "", StepUp, StepNearest)
	}
	out.Bands = anyBands(t, r, 0)
	switch {
	case out.Basis == Hourly:
	case r.IntN(4) == 0:
		out.Base = usd(r.Int64N(20_000) + 3000)
	case len(out.Bands) > 0 && out.Bands[0].After < out.Included:
		out.Divisor = pick(r, "", ByIncluded, ByWeighted)
	}
	if r.IntN(4) == 0 {
		after := pick(r, 420, 600, 660)
		for _, times := range pick(r, []string{"1.5"}, []string{"1.25", "2"}, []string{"1", "3"}) {
			b := bands(t, after, times)[0]
			b.Elapsed = true
			out.Bands = append(out.Bands, b)
			after += 130
		}
	}
	anyRules(t, r, &out)
	anyCosts(t, r, &out)
	anyMore(t, r, &out)
	return out
}

// anyMore adds the rules of the trade that few terms have.
func anyMore(t testing.TB, r *rand.Rand, out *Terms) {
	some := func() bool { return r.IntN(6) == 0 }
	if some() && out.Basis != Hourly {
		out.First = pick[int64](r, 10, 60, 90)
	}
	if some() && out.Basis != Hourly && !out.MealPaid {
		out.Inclusive = pick[int64](r, 30, 60)
		if r.IntN(3) > 0 {
			out.Continuous = max(out.Included-pick[int64](r, 0, 60, 61), out.Half.UpTo+1)
		}
	}
	if some() && out.Night != (Night{}) {
		out.Night2 = Night{pick[when.Clock](r, 0, 60, 1400), pick[when.Clock](r, 240, 299), ratio(t, pick(r, "0.5", "1/7"))}
	}
	if some() {
		out.EarlyCall = Night{pick[when.Clock](r, 180, 1200), pick[when.Clock](r, 420, 1260, 600), ratio(t, pick(r, "0.5", "0.2"))}
	}
	if some() {
		out.Weekend = Weekend{Saturday: ratio(t, pick(r, "1", "1.25")), Sunday: ratio(t, pick(r, "1.5", "2"))}
		if some() {
			out.Weekend.Holiday, out.Weekend.Holidays = ratio(t, "3"), []when.Date{"2026-11-25", "2026-10-31", "2026-04-05"}
		}
	}
	if some() {
		out.Extras = []Extra{{"kit: two bags", usd(4500), 0}, {"mileage", usd(67), r.Int64N(90)}}[r.IntN(2):]
	}
	if some() {
		out.Usage = []Extra{{"one year, web", usd(50_000 + r.Int64N(999)), 0}}
	}
	if some() {
		out.Other = []OtherDay{{"prep", ratio(t, "0.75"), true}, {"travel", ratio(t, "1/3"), false}}
	}
	if !out.Meal.IsZero() {
		if some() {
			out.Meal.Grace = pick[int64](r, 5, 12, 31)
		}
		if some() {
			out.Meal.Breakfast = pick[int64](r, 30, 120)
		}
	}
	if some() && out.Basis != Hire && out.Basis != Hourly {
		out.Week = bands(t, pick(r, 600, 2400), pick(r, "1.5", "2"), 2800, pick(r, "1.25", "3"))
	}
}

func anyBands(t testing.TB, r *rand.Rand, least int) (out []Band) {
	after := least + pick(r, 0, 300, 480, 600, 601)
	for range r.IntN(4) {
		out = append(out, bands(t, after, pick(r, "1", "1.25", "1.5", "2", "4/3", "3"))...)
		after += pick(r, 1, 60, 120, 240)
	}
	return out
}

func anyRules(t testing.TB, r *rand.Rand, out *Terms) {
	if r.IntN(4) == 0 {
		out.LateCall = LateCall{pick[when.Clock](r, 540, 660, 75), pick[when.Clock](r, 720, 1020)}
	}
	if r.IntN(4) == 0 {
		out.Night = Night{pick[when.Clock](r, 1200, 1320, 1350, 80), pick[when.Clock](r, 300, 360, 105), ratio(t, pick(r, "0.1", "0.25", "1/3", "1"))}
	}
	if (out.Basis == Day || out.Basis == Hire) && out.Days <= 1 && r.IntN(4) == 0 {
		out.Half = HalfDay{pick[int64](r, 200, 239), ratio(t, pick(r, "0.6", "1/3"))}
	}
	if out.Basis == Hire {
		return
	}
	if r.IntN(2) == 0 {
		out.Meal = MealRule{Due: pick[int64](r, 240, 300, 360), Next: pick[int64](r, 0, 300, 360), Hour: r.IntN(4) == 0}
		if !out.Meal.Hour {
			out.Meal.Every = pick[int64](r, 6, 30)
			out.Meal.Amounts = anyAmounts(r)
		}
	}
	if out.MealPaid == false || !out.Meal.IsZero() {
		out.MealLeast = pick[int64](r, 0, 0, 20, 30)
	}
	if r.IntN(4) == 0 {
		out.Turnaround = Turnaround{Rest: pick[int64](r, 600, 660, 720)}
		switch r.IntN(3) {
		case 0:
			out.Turnaround.Times = ratio(t, pick(r, "1", "1.5", "2"))
		case 1:
			out.Turnaround.Carry = true
		}
		if !out.Turnaround.paid() || r.IntN(2) == 0 {
			out.Turnaround.Every, out.Turnaround.Amounts = pick[int64](r, 15, 60), anyAmounts(r)
		}
	}
	for _, day := range []*RunDay{&out.Sixth, &out.Seventh} {
		if r.IntN(4) == 0 {
			*day = RunDay{ratio(t, pick(r, "1", "1.5", "2")), nil}
			if r.IntN(2) == 0 {
				day.Bands = anyBands(t, r, 0)
			}
		}
	}
	if out.Basis == Hourly {
		if r.IntN(3) == 0 {
			out.Week = bands(t, pick(r, 600, 2400), pick(r, "1.5", "2"), 3000, pick(r, "1.25", "3"))
		}
		if r.IntN(3) == 0 {
			out.Minimum = pick[int64](r, 120, 240, 480)
			for _, bands := range [][]Band{out.Bands, out.Sixth.Bands, out.Seventh.Bands} {
				for _, b := range bands {
					out.Minimum = min(out.Minimum, b.After)
				}
			}
		}
	}
}

func anyAmounts(r *rand.Rand) (out []money.Amount) {
	for range 1 + r.IntN(3) {
		out = append(out, usd(pick[int64](r, 0, 250, 850, 2500)))
	}
	return out
}

func anyCosts(t testing.TB, r *rand.Rand, out *Terms) {
	if r.IntN(4) == 0 {
		out.Agency = Agency{ratio(t, pick(r, "0.2", "0.15", "1/3")), AgencyOnFee}
		if !out.endless() {
			out.Agency.On = pick(r, AgencyOnFee, AgencyOnOvertime, AgencyOnBoth)
		}
	}
	if r.IntN(4) == 0 {
		out.OnCosts = []OnCost{{"insurance", ratio(t, "0.138")}, {"pension", ratio(t, "0.03")}}[:1+r.IntN(2)]
	}
}

// Starts of days on and around clock changes (IANA tz database), minutes from
// nine.
var starts = []struct {
	zone when.Zone
	from when.Instant
}{
	{"UTC", nine},
	{"America/New_York", 1_793_494_800_000},    // the evening summer time ends
	{"America/New_York", 1_804_986_000_000},    // the evening before it starts
	{"Europe/London", 1_792_868_400_000},       // the evening before it ends
	{"Europe/Berlin", 1_806_174_000_000},       // the evening before it starts
	{"Australia/Lord_Howe", 1_775_293_200_000}, // the evening before it ends there, by half an hour
	{"Pacific/Apia", 1_325_214_000_000},        // the evening before a day that never was
}

// anyHours makes up hours with up to three meals, not all on the whole minute,
// and what the terms need to know of the days before.
func anyHours(r *rand.Rand, t Terms) Hours {
	moment := func(mins int) when.Instant { return at(mins) + when.Instant(r.IntN(60_000)) }
	now := r.IntN(240)
	h := Hours{In: moment(now)}
	if r.IntN(2) == 0 {
		h.Call = at(now + r.IntN(120) - 60)
	}
	h.Before = Before{Run: 1 + r.IntN(8), Week: r.Int64N(3000), Day: 1 + r.Int64N(max(t.Days, 1)), Times: pick(r, money.Whole(1), money.Whole(2), money.Ratio{Num: 3, Den: 2})}
	if t.Turnaround.Rest > 0 && (h.Before.Run > 1 || r.IntN(2) == 0) {
		h.Before.Out = moment(now - 61 - r.IntN(900))
	}
	if len(t.Other) > 0 && r.IntN(2) == 0 {
		h.Kind = t.Other[r.IntN(len(t.Other))].Kind
	}
	for range r.IntN(4) {
		from := now + 1 + r.IntN(420)
		now = from + 1 + r.IntN(pick(r, 20, 90))
		h.Meals = append(h.Meals, Break{moment(from), moment(now)})
	}
	h.Out = moment(now + r.IntN(600))
	if h.Out < h.Call {
		h.Out = h.Call
	}
	if n := len(h.Meals); n > 0 && h.Out < h.Meals[n-1].To {
		h.Out = h.Meals[n-1].To
	}
	s := starts[r.IntN(len(starts))]
	return h.shifted(s.zone, s.from-nine)
}

// onDay moves hours back to the day that starts at nine.
func (h Hours) onDay() Hours {
	for _, s := range starts {
		if h.Zone == s.zone && h.In >= s.from && h.In < s.from+24*when.Hour {
			return h.shifted(s.zone, nine-s.from)
		}
	}
	return h
}

// shifted moves hours to another day and zone.
func (h Hours) shifted(zone when.Zone, by when.Instant) Hours {
	h.Zone = zone
	for _, i := range []*when.Instant{&h.Call, &h.In, &h.Out, &h.Before.Out} {
		if *i != 0 {
			*i += by
		}
	}
	for i := range h.Meals {
		h.Meals[i].From += by
		h.Meals[i].To += by
	}
	return h
}

// open takes the sign-out away.
func (h Hours) open() Hours {
	h.Out = 0
	return h
}

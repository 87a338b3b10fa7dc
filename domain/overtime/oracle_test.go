package overtime

import (
	"flag"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"fairday/domain/money"
	"fairday/domain/when"
)

// oracle reckons a day the slow way: it walks the minutes of the day one by one
// with fractions of unlimited size, and shares no code with Pay.
type oracle struct{ total, overtime, penalty, worked, cost, exposed int64 }

// slowKind is the terms on a day of some kind.
func slowKind(t Terms, kind string) Terms {
	for _, d := range t.Other { // a day that is no shoot day has a rate of its own
		if d.Kind != kind {
			continue
		}
		t.Rate.Minor = halfUp(new(big.Rat).Mul(rat(d.Share), big.NewRat(t.Rate.Minor, 1)))
		t.Base.Minor = halfUp(new(big.Rat).Mul(rat(d.Share), big.NewRat(t.Base.Minor, 1)))
		if !d.Worked {
			was := t
			t = Terms{Basis: AllIn, Rate: was.Rate, Days: was.Days, OnCosts: was.OnCosts, Extras: was.Extras, Usage: was.Usage, Agency: was.Agency}
			switch t.Agency.On {
			case AgencyOnBoth:
				t.Agency.On = AgencyOnFee
			case AgencyOnOvertime:
				t.Agency = Agency{}
			}
		}
	}
	return t
}

// minuteOf is one minute that may be paid.
type minuteOf struct{ clock, elapsed int64 }

func slow(t Terms, h Hours) oracle {
	var o oracle
	t = slowKind(t, h.Kind)
	base := slowBase(t)
	start, out := int64(max(h.In, h.Call)/when.Minute), int64(h.Out/when.Minute)
	zone := time.UTC
	if h.Zone != "" {
		zone, _ = time.LoadLocation(string(h.Zone))
	}
	wall := func(m int64) int { // minutes after local midnight
		at := time.Unix(m*60, 0).In(zone)
		return at.Hour()*60 + at.Minute()
	}
	// A late call counts from the stated hour.
	credit := int64(0)
	call := int64(h.Call / when.Minute)
	if call == 0 {
		call = int64(h.In / when.Minute)
	}
	if c := t.LateCall; c.To > 0 && wall(call) > int(c.From) && wall(call) <= int(c.To) {
		m := call // back to the minute that reads it, or that the clock jumped to over it
		for wall(m) != int(c.From) && !(wall(m-1) < int(c.From) && int(c.From) < wall(m)) {
			m--
		}
		credit = call - m
	}

	// A paid breakfast is worked, and the first meal is due from its end.
	due, breakfast := t.Meal.Due, Break{}
	for _, b := range h.Meals {
		from, to := int64(b.From/when.Minute), int64(b.To/when.Minute)
		if to > from && to > start {
			if t.Meal.Breakfast > 0 && max(from, start) <= start+t.Meal.Breakfast {
				breakfast, due = b, to-start+t.Meal.Due
			}
			break
		}
	}
	if breakfast != (Break{}) {
		var meals []Break
		for _, b := range h.Meals {
			if b != breakfast {
				meals = append(meals, b)
			}
		}
		h.Meals = meals
	}
	// The day on the clock, and the shorter one in which no meal began in time.
	if t.Inclusive > 0 {
		t.MealPaid = true
		t.Included += t.Inclusive
		took := false
		for _, b := range h.Meals {
			from, to := int64(b.From/when.Minute), int64(b.To/when.Minute)
			counts := to > from && to > start && (to-from >= t.MealLeast || to >= out)
			took = took || counts && max(from, start)-start+credit <= t.Continuous
		}
		if t.Continuous > 0 && !took {
			t.Included = t.Continuous
		}
	}
	breaks := func(m int64) bool {
		for _, b := range h.Meals {
			from, to := int64(b.From/when.Minute), int64(b.To/when.Minute)
			if m >= from && m < to && (to-from >= t.MealLeast || to >= out) {
				return true
			}
		}
		return false
	}

	// Which minutes are worked, before the rest is over and after; the meals and
	// the nights on the way.
	var ordinary []minuteOf
	for i := range credit {
		ordinary = append(ordinary, minuteOf{start - credit + i, i})
	}
	rest := int64(0)
	if t.Turnaround.Rest > 0 && h.Before.Out > 0 {
		rest = int64(h.Before.Out/when.Minute) + t.Turnaround.Rest
	}
	carried := t.Turnaround.Carry || t.Turnaround.Times.Num > 0
	var early int64
	type stretch struct {
		window int
		after  int64
	}
	windows := []Night{t.Night, t.Night2, t.EarlyCall}
	nights, last := map[stretch]int64{}, [3]int64{} // by the last minute that was not in it
	inMeal, started, pending := false, 0, int64(0)
	ruled := t.Meal.Due > 0
	lateHour := false
	for m := start; m < out; m++ {
		meal := breaks(m)
		switch {
		case meal && !inMeal:
			started, pending = 0, 0
		case !meal && inMeal:
			due = m - start + t.Meal.Next
			ruled = ruled && t.Meal.Next > 0
		}
		inMeal = meal
		if since := m - start - due; ruled && !meal && since >= 0 {
			if !t.Meal.Hour && since%t.Meal.Every == 0 {
				pending += t.Meal.Amounts[min(started, len(t.Meal.Amounts)-1)].Minor
				started++
			}
			if since+1 > t.Meal.Grace {
				lateHour = lateHour || t.Meal.Hour
				o.penalty += pending
				pending = 0
			}
		}
		for i, n := range windows {
			if !inWindow(wall(m), n) {
				last[i] = m // the next one is another
			}
		}
		if meal && !t.MealPaid {
			continue
		}
		if carried && m < rest {
			early++
		} else {
			ordinary = append(ordinary, minuteOf{m, m - start + credit})
		}
		for i, n := range windows {
			early := i == 2 && (last[i] != 0 || !inWindow(wall(start), n)) // the day has to start in it
			if n.Extra.Num > 0 && !early && inWindow(wall(m), n) {
				nights[stretch{i, last[i]}]++
			}
		}
	}
	o.worked = int64(len(ordinary)) + early
	if len(t.Turnaround.Amounts) > 0 {
		for i := int64(0); i < rest-start; i += t.Turnaround.Every {
			o.penalty += t.Turnaround.Amounts[min(int(i/t.Turnaround.Every), len(t.Turnaround.Amounts)-1)].Minor
		}
	}

	// What is paid beyond the rate, minute by minute; alike minutes in a row are a
	// line.
	bands, run := t.Bands, money.Ratio{}
	if d := t.Sixth; h.Before.Run >= 6 && d.Times.Num > 0 {
		run = d.Times
		if len(d.Bands) > 0 {
			bands = d.Bands
		}
	}
	if d := t.Seventh; h.Before.Run >= 7 && d.Times.Num > 0 {
		run, bands = d.Times, t.Bands
		if len(d.Bands) > 0 {
			bands = d.Bands
		}
	}
	local := time.Unix(start*60, 0).In(zone)
	for _, up := range []struct {
		on    bool
		times money.Ratio
	}{{local.Weekday() == time.Saturday, t.Weekend.Saturday}, {local.Weekday() == time.Sunday, t.Weekend.Sunday},
		{slices.Contains(t.Weekend.Holidays, when.Date(local.Format("2006-01-02"))), t.Weekend.Holiday}} {
		if up.on && rat(up.times).Cmp(rat(run)) > 0 {
			run = up.times
		}
	}
	counted := steps(t, max(int64(len(ordinary))-t.Included, 0))
	paid := t.Included + max(counted, t.Minimum)
	places := slowPlaces(t, h, credit, rest, ordinary, early)
	line, lineTimes, lineFrom, straight := int64(0), new(big.Rat), [2]int64{-1, 0}, int64(0)
	flush := func() {
		v := halfUp(new(big.Rat).Mul(new(big.Rat).Mul(lineTimes, big.NewRat(line, 1)), base))
		if lineFrom[0] > 0 || t.Basis != Hourly {
			o.overtime += v
		} else {
			straight += v
		}
		line = 0
	}
	if t.Basis == AllIn && t.Included == 0 {
		paid = 0
	}
	within := false // a band reaches into the minimum call
	for k := int64(0); k < min(counted, t.Minimum); k++ {
		_, from := slowTimes(t, bands, run, k, places[k].elapsed, h.Before.Week+places[k].early)
		within = within || from[0] > 0
	}
	for k := t.Included; k < paid; k++ {
		at := place{early: early}
		if k < int64(len(places)) {
			at = places[k]
		}
		times, from := slowTimes(t, bands, run, k, at.elapsed, h.Before.Week+at.early)
		switch {
		case k >= t.Minimum:
		case k >= counted: // nobody worked it
			times, from = big.NewRat(1, 1), [2]int64{}
		case within: // the minimum call is paid plain; this is what the band adds
			times.Sub(times, big.NewRat(1, 1))
		}
		if within && k == t.Minimum && line > 0 {
			flush()
		}
		if within && k < t.Minimum && from[0] == 0 {
			continue
		}
		if from != lineFrom && line > 0 {
			flush()
		}
		lineTimes, lineFrom = times, from
		line++
	}
	if line > 0 {
		flush()
	}
	if within {
		straight += halfUp(new(big.Rat).Mul(big.NewRat(t.Minimum, 1), base))
	}
	for at, n := range nights {
		o.overtime += halfUp(new(big.Rat).Mul(new(big.Rat).Mul(rat(windows[at.window].Extra), big.NewRat(n, 1)), base))
	}
	// What the week adds to the time that the rate has paid for.
	if t.Basis != Hourly && len(t.Week) > 0 {
		once, byBand := big.NewRat(1, 1), map[int]int64{}
		if rat(run).Cmp(once) > 0 {
			once = rat(run)
		}
		for k := range min(t.Included, int64(len(ordinary))) {
			e := early
			if k < credit {
				e = 0
			}
			for i := len(t.Week) - 1; i >= 0; i-- {
				if h.Before.Week+e+k >= t.Week[i].After {
					byBand[i]++
					break
				}
			}
		}
		for i, n := range byBand {
			if more := new(big.Rat).Sub(rat(t.Week[i].Times), once); more.Sign() > 0 {
				o.overtime += halfUp(more.Mul(more, new(big.Rat).Mul(big.NewRat(n, 1), base)))
			}
		}
	}
	if early > 0 {
		times := t.Turnaround.Times
		if t.Turnaround.Carry {
			times = h.Before.Times
		}
		o.overtime += halfUp(new(big.Rat).Mul(new(big.Rat).Mul(rat(times), big.NewRat(early, 1)), base))
	}
	if lateHour {
		o.penalty += halfUp(new(big.Rat).Mul(big.NewRat(60, 1), base))
	}

	// The rate, the run of days, and the costs on top.
	fee := int64(0)
	if t.Basis != Hourly {
		switch {
		case t.Half.UpTo > 0 && int64(len(ordinary)) <= t.Half.UpTo:
			fee = halfUp(new(big.Rat).Mul(rat(t.Half.Share), big.NewRat(t.Rate.Minor, 1)))
		case t.Days > 1:
			fee = halfUp(big.NewRat(t.Rate.Minor*h.Before.Day, t.Days)) - halfUp(big.NewRat(t.Rate.Minor*(h.Before.Day-1), t.Days))
		default:
			fee = t.Rate.Minor
		}
		if run.Num > run.Den {
			fee += halfUp(new(big.Rat).Mul(new(big.Rat).Sub(rat(run), big.NewRat(1, 1)), big.NewRat(fee, 1)))
		}
	}
	fee += straight
	expenses := int64(0)
	if t.Days <= 1 || h.Before.Day <= 1 {
		for _, u := range t.Usage {
			fee += u.Amount.Minor * max(u.Count, 1)
		}
		for _, e := range t.Extras {
			expenses += e.Amount.Minor * max(e.Count, 1)
		}
	}
	o.total = expenses + fee + o.overtime + o.penalty
	o.cost, o.exposed = o.total, o.overtime+o.penalty
	charge := func(share money.Ratio, of int64) int64 {
		v := halfUp(new(big.Rat).Mul(rat(share), big.NewRat(of, 1)))
		o.cost += v
		return v
	}
	if a := t.Agency; a.On == "fee" || a.On == "both" {
		charge(a.Share, fee)
	}
	if a := t.Agency; a.On == "overtime" || a.On == "both" {
		o.exposed += charge(a.Share, o.overtime)
	}
	for _, c := range t.OnCosts {
		charge(c.Share, fee)
		o.exposed += charge(c.Share, o.overtime+o.penalty)
	}
	return o
}

// place is where on the clock an ordinary minute counts, and how much was worked
// before the rest was over when it came to be paid.
type place struct{ elapsed, early int64 }

// inWindow tells whether a minute of the day is in the night.
func inWindow(w int, n Night) bool {
	if n.From < n.To {
		return w >= int(n.From) && w < int(n.To)
	}
	return w >= int(n.From) || w < int(n.To)
}

// slowPlaces finds the place of each ordinary minute that is paid. A step that was
// counted before its minutes were worked keeps the places they would have had if
// work had gone on: the day is lived through, wrap by wrap, and a minute keeps the
// place it has when it is first paid.
func slowPlaces(t Terms, h Hours, credit, rest int64, ordinary []minuteOf, early int64) []place {
	ahead := func(last int64, k, n int64) int64 { return last + 1 + k - n }
	var out []place
	if t.Step <= 1 && t.First == 0 {
		for i, m := range ordinary {
			e := early
			if int64(i) < credit {
				e = 0
			}
			out = append(out, place{m.elapsed, e})
		}
		return out
	}
	start, end := int64(max(h.In, h.Call)/when.Minute), int64(h.Out/when.Minute)
	carried := t.Turnaround.Carry || t.Turnaround.Times.Num > 0
	var work []int64 // clock minutes of ordinary work, on the clock of the day
	for i := range credit {
		work = append(work, i)
	}
	done, sofar := 0, int64(0)
	for w := start; w <= end; w++ {
		if w > start { // the minute before this wrap
			m := w - 1
			free := false
			for _, b := range h.Meals {
				from, to := int64(b.From/when.Minute), int64(b.To/when.Minute)
				if m < from || m >= to {
					continue
				}
				free = true
			}
			// A short break becomes work as work goes on after it.
			for _, b := range h.Meals {
				from, to := int64(b.From/when.Minute), int64(b.To/when.Minute)
				if to == m && to-from < t.MealLeast && !t.MealPaid {
					for x := max(from, start); x < to; x++ {
						if carried && x < rest {
							sofar++
						} else {
							work = append(work, x-start+credit)
						}
					}
				}
			}
			switch {
			case free && !t.MealPaid:
			case carried && m < rest:
				sofar++
			default:
				work = append(work, m-start+credit)
			}
		}
		n := int64(len(work))
		for k := int64(done); k < t.Included+steps(t, max(n-t.Included, 0)); k++ {
			at := k
			switch {
			case k < n:
				at = work[k]
			case n > 0:
				at = ahead(work[n-1], k, n)
			}
			out = append(out, place{at, sofar})
			done++
		}
	}
	return out
}

// slowTimes finds how often a minute is paid and which rule says so: 1 for bands
// by worked time, 2 elapsed, 3 the week, 4 the run, each with its threshold.
func slowTimes(t Terms, bands []Band, run money.Ratio, k, elapsed, week int64) (*big.Rat, [2]int64) {
	times, from := big.NewRat(1, 1), [2]int64{}
	for _, b := range bands {
		if !b.Elapsed && k >= b.After {
			times, from = rat(b.Times), [2]int64{1, b.After}
		}
	}
	for _, b := range bands {
		if b.Elapsed && elapsed >= b.After && rat(b.Times).Cmp(times) > 0 {
			times, from = rat(b.Times), [2]int64{2, b.After}
		}
	}
	var byWeek *Band
	for i, b := range t.Week {
		if week+k >= b.After {
			byWeek = &t.Week[i]
		}
	}
	if byWeek != nil && rat(byWeek.Times).Cmp(times) > 0 {
		times, from = rat(byWeek.Times), [2]int64{3, byWeek.After}
	}
	if run.Num > 0 && rat(run).Cmp(times) > 0 {
		times, from = rat(run), [2]int64{4, 0}
	}
	return times, from
}

// slowBase is what a minute is worth once.
func slowBase(t Terms) *big.Rat {
	days := max(t.Days, 1)
	switch {
	case t.Basis == AllIn && t.Included == 0:
		return new(big.Rat)
	case t.Basis == Hourly:
		return big.NewRat(t.Rate.Minor, 60)
	case t.Base.Minor != 0:
		return big.NewRat(t.Base.Minor, 60)
	case t.Divisor == ByWeighted:
		sum := new(big.Rat)
		var worked []Band
		for _, b := range t.Bands {
			if !b.Elapsed {
				worked = append(worked, b)
			}
		}
		for m := range t.Included {
			v, _ := slowTimes(Terms{}, worked, money.Ratio{}, m, 0, 0)
			sum.Add(sum, v)
		}
		return sum.Quo(big.NewRat(t.Rate.Minor, days), sum)
	}
	return big.NewRat(t.Rate.Minor, t.Included*days)
}

func rat(r money.Ratio) *big.Rat {
	if r.Den == 0 {
		return new(big.Rat)
	}
	return big.NewRat(r.Num, r.Den)
}

func steps(t Terms, over int64) int64 {
	if over <= t.Grace {
		return 0
	}
	step, n := max(t.Step, 1), int64(0)
	for n+step <= over {
		n += step
	}
	if rest := over - n; rest > 0 && (t.StepRule != StepNearest || rest*2 >= step) {
		n += step
	}
	return max(n, t.First)
}

func halfUp(r *big.Rat) int64 {
	r.Add(r, big.NewRat(1, 2))
	return new(big.Int).Div(r.Num(), r.Denom()).Int64()
}

// generatedDays is how many days the oracle reckons; one in 200 of them, 25 at
// least, is a crew whose curve is held against Pay at every minute. The long run
// is
//
//	go test ./domain/overtime -run 'Oracle|EveryMinute' -days 100000 -timeout 60m
var generatedDays = flag.Int("days", 4000, "how many generated days to hold against the oracle")

func TestPayAgreesWithOracle(t *testing.T) {
	days := *generatedDays
	if testing.Short() {
		days = min(days, 600)
	}
	for seed := range days {
		r := rand.New(rand.NewPCG(uint64(seed), 1))
		terms := anyTerms(t, r)
		h := anyHours(r, terms)
		s, err := Pay(terms, h)
		if err != nil {
			t.Fatalf("seed %d: %v for %+v %+v", seed, err, terms, h)
		}
		got := oracle{s.Total.Minor, s.Overtime.Minor, s.Penalty.Minor, s.Worked, s.Cost.Minor, s.Exposed.Minor}
		if want := slow(terms, h); got != want {
			t.Fatalf("seed %d: %+v, want %+v\nfor %+v\n%+v\n%+v", seed, got, want, terms, h, s.Lines)
		}
		checkLines(t, s, h)
	}
}

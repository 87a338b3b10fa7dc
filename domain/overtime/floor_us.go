package overtime

import (
	"fmt"
	"slices"

	"fairday/domain/money"
	"fairday/domain/when"
)

// What the floors of the United States leave out, and how they read the law.
var (
	leavesFederal = []string{"work for the same employer outside of this shoot", "bonuses and other pay outside of these terms", "pay for usage", "which travel is work (29 CFR 785.33 to 785.41)", "the minimum wage", "exemptions and collective agreements"}
	readsFederal  = []string{"a break of more than 20 min is free time", "penalties for meals and rest are no pay for hours (29 CFR 778.222) and count towards nothing",
		"a weighted rate is its hours at the base and its premium for hours over the day's threshold", "extra pay for a short rest or an early call is for the conditions of work, in the regular rate and no credit (29 CFR 778.204(b))",
		"so is what a fee is worth more on a sixth day, a weekend or a holiday, as no premium by the hour (29 CFR 778.207(b))"}
	leavesNewYork    = []string{"call-in pay (12 NYCRR 142-2.3)", "allowances, and rules of an industry of its own", "work for the same employer outside of this shoot"}
	readsNewYork     = []string{"premiums for overtime do not count towards the minimum wage", "a break of more than an hour makes a split shift (142-2.17)", "the day ends with the sign-out, a break before it or not (142-2.18)"}
	leavesCalifornia = []string{"reporting time pay (Wage Orders, section 5)", "split shifts (section 4)", "alternative workweeks (Labor Code 511)", "the minimum wage", "work for the same employer outside of this shoot",
		"bonuses and other pay outside of these terms", "pay for usage", "exemptions and collective agreements"}
	readsCalifornia = []string{"a rate for the day pays for its first 8 h, or the included hours where they are fewer", "each shoot day is one workday",
		"a weighted rate is its hours at the base and its premium", "of days at several rates the regular rate is the average by hours, and overtime is a multiple of it", "the seventh day is that of the workweek, with work on all seven (Mendoza v. Nordstrom, 2017)"}
)

// Pay gives the floors of pay of a workweek, those of the whole week first, then
// those of each day; none where the law has none. Each amount is exact until it is
// rounded, once, half a minor unit up.
//
// Federal law (FLSA 7(a)), for the week: S is all straight pay, fees and
// differentials: for an hourly rate the rate for all hours worked and
// the differentials, otherwise Fee, Hourly and Differential of all days. The regular
// rate is S over the minutes worked. Extra is half of it for each minute over 40 h,
// Credit is all Premium (7(h)), Least is S and Extra. Counted is S and Credit; of an
// hourly rate, only as many minutes of it as were paid. Up to 40 h nothing is due
// beyond what was paid, and Least is Counted. Nothing else counts.
//
// New York, for the week, beside the federal floor: each day that spreads over more
// than 10 h from its start to the sign-out, breaks and all (142-2.18), or has a
// break over 60 min between two stretches of work (142-2.17), adds an hour at the minimum wage (12 NYCRR 142-2.4). Extra is
// these hours. Least is the minimum wage for all minutes worked and Extra, or
// nothing where no day adds any; Counted is federal Counted without Premium. So
// it is due only where the pay of the week falls below.
//
// California, for each day (Labor Code 510), with a regular rate for the week: R is
// B and d. B is the hourly rate, or the weighted base, or otherwise the higher of a
// stated base and the rate over the included time, at most 8 h (8 h where it has
// no end); of days at several rates the average by minutes worked, and a straight
// minute is paid at its own. d is the Differential of all days over all minutes worked. Minutes of the
// week in order: the first 8 h of a day are straight until 40 h of straight time are
// reached, then x1.5; the next 4 h x1.5; all after them x2. On the seventh day with
// work on all seven the first 8 h are x1.5, all after them x2. Day by day, Least is
// the Differential; and for minutes that the fee covers (as many as B is over,
// Half.UpTo at most on half a day, the included time where weighted) the fee, or
// those that are straight at the fee over them (at B where weighted) and those that
// are not at their factor x B, whichever is more; and for all others factor x B;
// and for all at a factor, (factor - 1) x d. Extra is factor x R for all minutes at
// a factor. Counted is all that Take gives, of an hourly rate only minutes worked.
//
// Then the premiums of California (Labor Code 226.7; Ferra v. Loews, 2021): 60
// minutes at R where a meal that was owed did not come, and 60 where it is stated that
// a rest was not given, once a day each; a contract's meal penalty of the day counts.
func (w Workweek) Pay() []Floor {
	if !w.Law.Federal() {
		return nil
	}
	k := week{Workweek: w, x: exact{currency: w.Terms.Rate.Currency}}
	missing := k.open()
	out := []Floor{k.federal()}
	if w.Law == LawNewYork {
		out = append(out, k.spread())
	}
	if w.Law.California() {
		out = append(out, k.california()...)
	}
	for i := range out {
		f := &out[i]
		if f.rounded = int64(len(w.Days)); f.Day >= 0 {
			f.rounded = 1
		}
		f.Caution, f.Missing = CautionFloor, append(f.Missing, missing...)
		if k.x.err != nil && len(missing) == 0 {
			f.Missing = append(f.Missing, k.x.err.Error())
		}
		if !f.Known() {
			f.Least, f.Extra, f.Counted, f.Credit, f.Say = money.Amount{}, money.Amount{}, money.Amount{}, money.Amount{}, ""
		}
	}
	return out
}

// week is a workweek that is being reckoned.
type week struct {
	Workweek
	x      exact
	earned []Earned
	days   []day   // as federal law counts them
	worked []int64 // minutes of each, as California counts them
	all    int64   // minutes of all, as federal law counts them
	local  int64   // and as California does
}

// open reads the days and tells what is missing, each thing once.
func (k *week) open() (missing []string) {
	lacks := func(what string) {
		if !slices.Contains(missing, what) {
			missing = append(missing, what)
		}
	}
	if err := k.Terms.check(); err != nil {
		lacks(err.Error())
	}
	for i, d := range k.Days {
		var e Earned
		h := d.Hours
		free, n, bad := h.atWork(21)
		_, local, _ := h.atWork(30)
		switch {
		case d.Of < 1 || d.Of > 7 || (i > 0 && d.Of <= k.Days[i-1].Of):
			lacks("which days of the workweek these are")
		case bad != nil:
			lacks(fmt.Sprintf("day %d of the workweek: %s", d.Of, bad.Error()))
		case h.Out == 0:
			lacks(fmt.Sprintf("the sign-out of day %d of the workweek", d.Of))
		case h.pausing():
			lacks(fmt.Sprintf("the end of a break of day %d of the workweek", d.Of))
		default:
			var err error
			if e, err = Take(k.Terms, h); err != nil {
				lacks(fmt.Sprintf("day %d of the workweek: %s", d.Of, err.Error()))
			}
		}
		k.earned, k.days, k.worked = append(k.earned, e), append(k.days, free), append(k.worked, local)
		k.all, k.local = k.all+n, k.local+local
	}
	return missing
}

// of is what so many minutes come to at a rate by the minute.
func (k *week) of(rate money.Ratio, minutes int64) money.Ratio {
	return k.x.mul(rate, money.Whole(minutes))
}

// hour reads a rate by the minute as one by the hour.
func (k *week) hour(rate money.Ratio) string { return k.x.round(k.of(rate, 60)).Format() }

// straight is the straight pay of the week that is owed and that was paid, and the
// premium beyond it.
func (k *week) straight() (owed, paid, premium money.Amount) {
	var all, some money.Ratio
	for i, e := range k.earned {
		owed, premium = k.x.sum(owed, e.Fee, e.Differential), k.x.sum(premium, e.Premium)
		if e.Rate.IsZero() {
			owed = k.x.sum(owed, e.Hourly)
			continue
		}
		n := k.days[i].worked(k.days[i].out, false)
		all, some = k.x.add(all, k.of(e.Rate, n)), k.x.add(some, k.of(e.Rate, min(e.Minutes, n)))
	}
	return k.x.sum(owed, k.x.round(all)), k.x.sum(owed, k.x.round(some)), premium
}

// federal is the floor of FLSA 7(a).
func (k *week) federal() Floor {
	f := Floor{Law: "US federal overtime", Day: -1, Source: "29 CFR 778.107 to 778.115 and 778.200 to 778.207 (778.112 for day rates); FLSA 7(e) and 7(h)", Reads: readsFederal, Leaves: leavesFederal}
	owed, paid, premium := k.straight()
	f.Counted, f.Credit = k.x.sum(paid, premium), premium
	over := max(k.all-40*60, 0)
	if over == 0 {
		f.Least, f.Extra = f.Counted, k.x.sum()
		f.Say = when.Elapsed(k.all) + " worked are not over 40 h"
		return f
	}
	rate := k.x.div(money.Whole(owed.Minor), money.Whole(k.all))
	f.Extra = k.x.round(k.x.div(k.of(rate, over), money.Whole(2)))
	f.Least = k.x.sum(owed, f.Extra)
	f.Say = fmt.Sprintf("%s / %s = %s an hour; half of it for %s over 40 h is %s; premiums paid that count: %s",
		owed.Format(), when.Elapsed(k.all), k.hour(rate), when.Elapsed(over), f.Extra.Format(), premium.Format())
	return f
}

// spread is New York's hour at the minimum wage.
func (k *week) spread() Floor {
	f := Floor{Law: "New York spread of hours", Day: -1, Source: "12 NYCRR 142-2.4", Reads: readsNewYork, Leaves: leavesNewYork}
	if k.Wage.Minor <= 0 || k.Wage.Currency != k.x.currency {
		f.Missing = []string{"the minimum wage by the hour"}
		return f
	}
	days := int64(0)
	for _, d := range k.days {
		due := d.out-d.start > 10*60
		for _, m := range d.meals {
			due = due || (m.to-m.from > 60 && m.from > d.start && m.to < d.out)
		}
		if due {
			days++
		}
	}
	_, f.Counted, _ = k.straight()
	hour := k.x.div(money.Whole(k.Wage.Minor), money.Whole(60))
	f.Extra = k.x.round(k.of(hour, 60*days))
	f.Least = k.x.sum()
	if days == 0 {
		f.Say = "no day spreads over more than 10 h or is split"
		return f
	}
	f.Least = k.x.round(k.of(hour, k.all+60*days))
	f.Say = fmt.Sprintf("(%s worked + %d h for days that spread over 10 h or are split) × %s = %s, against straight pay of %s in the week; due only where that is less",
		when.Elapsed(k.all), days, k.Wage.Format(), f.Least.Format(), f.Counted.Format())
	return f
}

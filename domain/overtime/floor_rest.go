package overtime

import (
	"cmp"
	"fmt"

	"fairday/domain/sorting"
	"fairday/domain/when"
)

// What the floors of rest leave out, and how they read the law.
var (
	leavesUK = []string{"night work limits (regulations 6 and 7)", "the 48 h average (regulation 4)", "the longest day and week of the young (regulation 5A)", "two weeks taken together (regulation 11(2))",
		"compensatory rest, special cases and agreements (regulations 18 to 27A)", "work outside of this shoot"}
	readsUK = []string{"each 24 h begin with the start of a day's work (regulation 10), so 16 h of work leave no 11 h in them", "a break in which one is free is no working time (regulation 2), and a rest between days is in one piece",
		"the week of rest begins on Monday (regulation 11(6))", "daily and weekly rest are 35 h in one piece (regulation 11(7)), 48 h for the young"}
	leavesEU = []string{"the 48 h average (article 6)", "night work (articles 8 to 13)", "national law, which sets how long a break is and may ask for more", "compensatory rest, derogations and agreements (articles 17 and 18)", "work outside of this shoot"}
	readsEU  = []string{"each 24 h begin with the start of a day's work (article 3), so 16 h of work leave no 11 h in them", "a working day is from its start to its end, breaks with it (article 4)",
		"the seven days begin on Monday (article 5)"}
)

// Rests gives the floors of rest: for each day daily rest and the break, then for
// the week weekly rest; none where the law has none. The week is the seven days of
// 24 h from a Monday's midnight that a caller gives. Days are all that are known in
// and near it, in any order; Floor.Day is their index. A day without a sign-out, or
// with hours that make no sense, is where a rest ends. No rest is counted after its
// start, and what reaches beyond it is only known where the rest before it is
// enough, or as long as what is left.
// Everything is in whole minutes. Time from the start of a day to its end, breaks and
// all, is no rest; a break at the end of the day is no part of the day.
//
// Daily rest (Working Time Regulations 1998, reg. 10; Directive 2003/88, article 3):
// Had is the longest time in one piece within the 24 h from the start of a day in
// which no day is under way, 11 h are owed, 12 to the young.
//
// Break (reg. 12): Had is the longest break with work before and after it. Working
// time is the day without its breaks; over 6 h of it 20 min are owed, to the
// young 30 min over 4.5 h. Article 4: a break is owed where a day from start to
// end is over 6 h. Its length is national law, so Owed is 1 for "a break".
//
// Weekly rest (reg. 11; article 5): Had is the longest time in one piece within the
// week in which no day is under way; 35 h are owed, 48 h to the young.
func Rests(law Law, week when.Instant, days []Hours) []Floor {
	if law != LawUK && law != LawUKYoung && law != LawEU {
		return nil
	}
	r := rests{law: law, spans: make([]workspan, len(days))}
	begin := minute(week)
	end := begin + 7*24*60
	var out []Floor
	for i, h := range days {
		s := &r.spans[i]
		if s.day, s.worked, s.bad = h.atWork(0); s.bad != nil {
			s.day.start, s.to = minute(h.start()), forever
			continue
		}
		s.known, s.to, s.pausing = h.Out != 0, s.day.out, h.pausing()
		for j := len(s.day.meals) - 1; j >= 0 && s.day.meals[j].to >= s.to && s.known && !s.pausing; j-- {
			s.to = s.day.meals[j].from
		}
		if !s.known {
			s.to = forever
		}
	}
	for i := range r.spans {
		out = append(out, r.daily(i), r.pause(i))
	}
	owed, source := int64(35*60), "Working Time Regulations 1998, reg. 10 and 11"
	switch law {
	case LawUKYoung:
		owed, source = 48*60, "Working Time Regulations 1998, reg. 11(3)"
	case LawEU:
		source = "Directive 2003/88/EC, articles 3 and 5"
	}
	weekly := r.within("weekly rest", owed, begin, end, -1, "at the longest within seven days")
	weekly.Source = source
	out = append(out, weekly)
	for i := range out {
		if !out[i].Known() {
			out[i].Rest, out[i].Say = nil, ""
		}
	}
	return out
}

// workspan is a day as rest sees it.
type workspan struct {
	day    day
	to     int64 // when it ends
	worked int64
	known  bool // it has an end
	bad    *Error

	pausing bool // a break of it has no end
}

type rests struct {
	law   Law
	spans []workspan
}

// longest is the longest time between two minutes in which no day is under way.
func (r *rests) longest(from, to int64) int64 {
	var busy []span
	for _, s := range r.spans {
		if s.to > from && s.day.start < to {
			busy = append(busy, span{s.day.start, s.to})
		}
	}
	sorting.By(busy, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	had, last := int64(0), from
	for _, s := range append(busy, span{to, to}) {
		had = max(had, s.from-last)
		last = max(last, min(s.to, to))
	}
	return had
}

// daily is the rest within the 24 h from the start of a day.
func (r *rests) daily(i int) Floor {
	s, owed := &r.spans[i], int64(11*60)
	if r.law == LawUKYoung {
		owed = 12 * 60
	}
	f := r.within("daily rest", owed, s.day.start, s.day.start+24*60, i, "in one piece within the 24 h from the start of work")
	if f.Source = "Working Time Regulations 1998, reg. 10"; r.law == LawEU {
		f.Source = "Directive 2003/88/EC, article 3"
	}
	if own := s.missing(); own != nil {
		f.Missing = own
	}
	return f
}

// within is the floor of the rest between two minutes, and what it lacks.
func (r *rests) within(name string, owed, from, to int64, day int, where string) Floor {
	had := r.longest(from, to)
	f := r.floor(name, owed, had, day, where)
	for i := range r.spans {
		s := &r.spans[i]
		if left := to - max(s.day.start, from); s.to == forever && had < owed && left > had {
			f.Missing = s.missing()
		}
	}
	return f
}

// missing is what is not known of a day by itself.
func (s *workspan) missing() []string {
	switch {
	case s.bad != nil:
		return []string{s.bad.Error()}
	case !s.known:
		return []string{"the sign-out of a day"}
	case s.pausing:
		return []string{"the end of a break"}
	}
	return nil
}

// pause is the break of a day.
func (r *rests) pause(i int) Floor {
	s := &r.spans[i]
	var had, owed int64
	for _, m := range s.day.meals {
		if m.from > s.day.start && m.to < s.to {
			had = max(had, m.to-m.from)
		}
	}
	where := "in a day of " + when.Elapsed(s.worked) + " of working time"
	switch {
	case r.law == LawUK && s.worked > 6*60:
		owed = 20
	case r.law == LawUKYoung && s.worked > 4*60+30:
		owed = 30
	case r.law == LawEU:
		if where = "in a day of " + when.Elapsed(s.to-s.day.start); s.to-s.day.start > 6*60 {
			owed = 1
		}
	}
	f := r.floor("break", owed, had, i, where)
	switch r.law {
	case LawUK:
		f.Source = "Working Time Regulations 1998, reg. 12"
	case LawUKYoung:
		f.Source = "Working Time Regulations 1998, reg. 12(4)"
	default:
		f.Source = "Directive 2003/88/EC, article 4"
		if f.Say = "a break of " + when.Elapsed(had) + " at the longest " + where; owed > 0 {
			f.Say += "; a break is owed, how long is national law"
		}
	}
	f.Missing = s.missing()
	return f
}

func (r *rests) floor(name string, owed, had int64, day int, where string) Floor {
	f := Floor{Law: name, Day: day, Rest: &Rest{Owed: owed, Had: had}, Caution: CautionRest, Reads: readsUK, Leaves: leavesUK}
	if r.law == LawEU {
		f.Reads, f.Leaves = readsEU, leavesEU
	}
	f.Say = fmt.Sprintf("%s of rest %s; %s are owed", when.Elapsed(had), where, when.Elapsed(owed))
	if f.Rest.Short() {
		f.Say += fmt.Sprintf(", %s too little", when.Elapsed(owed-had))
	}
	return f
}

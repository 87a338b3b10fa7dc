package overtime

import (
	"cmp"
	"fmt"

	"fairday/domain/sorting"
	"fairday/domain/when"
)

// RestLaw says whose rest is looked at.
type RestLaw string

// The laws.
const (
	UnitedKingdom      RestLaw = "uk"       // Working Time Regulations 1998
	UnitedKingdomYoung RestLaw = "uk-young" // the same, of young workers
	EuropeanUnion      RestLaw = "eu"       // Directive 2003/88
)

// sources gives the sources: of daily rest, of breaks and of weekly rest.
func (l RestLaw) sources() (daily, pause, weekly string, err *Error) {
	switch l {
	case UnitedKingdom, UnitedKingdomYoung:
		return "Working Time Regulations 1998, reg. 10", "Working Time Regulations 1998, reg. 12", "Working Time Regulations 1998, reg. 10 and 11", nil
	case EuropeanUnion:
		return "Directive 2003/88/EC, article 3", "Directive 2003/88/EC, article 4", "Directive 2003/88/EC, articles 3 and 5", nil
	}
	return "", "", "", fail(CodeFloor, "%q is not a law of rest that we know; use uk, uk-young or eu", string(l))
}

// DailyRest looks at the rest between a sign-out and the next call: 11 hours, 12
// for young workers in the United Kingdom.
func DailyRest(law RestLaw, out, next when.Instant) (Floor, error) {
	source, _, _, bad := law.sources()
	switch {
	case bad != nil:
		return Floor{}, bad
	case out <= 0 || next < out:
		return Floor{}, fail(CodeFloor, "the next call is before the sign-out; correct one of the two")
	}
	r := Rest{Owed: 11 * 60, Had: minute(next) - minute(out)}
	if law == UnitedKingdomYoung {
		r.Owed = 12 * 60
	}
	return r.floor("daily rest", source, "between the sign-out and the next call"), nil
}

// BreakRest looks at the break of a day: 20 minutes in one piece where work goes
// over 6 hours. The Directive leaves the length to national law; 20 minutes are
// those of the United Kingdom. A break at the end of the day is none.
func BreakRest(law RestLaw, h Hours) (Floor, error) {
	_, source, _, bad := law.sources()
	if bad != nil {
		return Floor{}, bad
	}
	d, bad := h.day(0)
	switch {
	case bad != nil:
		return Floor{}, bad
	case h.Out == 0:
		return Floor{}, fail(CodeFloor, "a day that has not ended has no breaks to look at; sign out first, or look at the planned wrap")
	}
	var r Rest
	for _, m := range d.meals {
		if m.to < d.out {
			r.Had = max(r.Had, m.to-m.from)
		}
	}
	if d.out-d.start > 6*60 {
		r.Owed = 20
	}
	return r.floor("break", source, fmt.Sprintf("in a day of %s", when.Elapsed(d.out-d.start))), nil
}

// WeeklyRest looks at the longest rest within seven days from a start: 24 hours
// and the 11 of the day. Days may stand in any order and reach over the ends.
func WeeklyRest(law RestLaw, from when.Instant, days []Hours) (Floor, error) {
	_, _, source, bad := law.sources()
	if bad != nil {
		return Floor{}, bad
	}
	begin := minute(from)
	end := begin + 7*24*60
	var spans []span
	for _, h := range days {
		d, bad := h.day(0)
		switch {
		case bad != nil:
			return Floor{}, bad
		case h.Out == 0:
			return Floor{}, fail(CodeFloor, "a day of the week has not ended; sign out first, or look at the planned wrap")
		}
		spans = append(spans, span{d.start, d.out})
	}
	sorting.By(spans, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	r, last := Rest{Owed: (24 + 11) * 60}, begin
	for _, s := range append(spans, span{end, end}) {
		r.Had = max(r.Had, min(s.from, end)-last)
		last = max(last, min(s.to, end))
	}
	return r.floor("weekly rest", source, "at the longest within seven days"), nil
}

func (r Rest) floor(name, source, where string) Floor {
	say := fmt.Sprintf("%s of rest %s; %s are owed", when.Elapsed(r.Had), where, when.Elapsed(r.Owed))
	if r.Short() {
		say += fmt.Sprintf(", %s too little", when.Elapsed(r.Owed-r.Had))
	}
	return Floor{Law: name, Rest: &r, Say: say, Source: source, Caution: CautionRest}
}

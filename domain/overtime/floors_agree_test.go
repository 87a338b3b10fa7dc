package overtime_test

import (
	"encoding/json"
	"flag"
	"fmt"
	"math/big"
	"math/rand/v2"
	"strings"
	"testing"

	"fairday/domain/money"
	"fairday/domain/overtime"
)

var weeks = flag.Int("weeks", 300, "how many generated weeks of each law the floors are reckoned for a second time")

// TestFloorsAgreeWithTheSecondReckoning holds every floor of pay against the
// reckoning by the minute.
func TestFloorsAgreeWithTheSecondReckoning(t *testing.T) {
	for n, law := range []overtime.Law{overtime.LawFederal, overtime.LawCalifornia, overtime.LawCaliforniaPictures, overtime.LawNewYork} {
		t.Run(string(law), func(t *testing.T) {
			t.Parallel()
			r := rand.New(rand.NewPCG(20, uint64(n)))
			due, drawn := 0, 0
			for i := 0; i < *weeks && !t.Failed(); drawn++ {
				s, ok := anySpan(r, law)
				if !ok {
					continue
				}
				i++
				due += agree(t, s)
			}
			t.Logf("%d weeks (of %d drawn), %d floors due", *weeks, drawn, due)
			if due == 0 || drawn > 2**weeks {
				t.Errorf("the weeks ask for nothing: %d floors due, %d drawn", due, drawn)
			}
		})
	}
}

// agree compares the floors of a week and counts those that are due.
func agree(t *testing.T, s span) (due int) {
	want := secondly(t, s)
	said := ""
	wrong := func(format string, args ...any) { said += fmt.Sprintf(format, args...) + "\n" }
	got := s.Pay()
	seen, slack := map[string]bool{}, s.slack()
	for _, f := range got {
		name, _, _ := strings.Cut(f.Law, ",") // the seventh day says so
		key := fmt.Sprintf("%s %d", name, f.Day)
		w, ok := want[key]
		if seen[key] || !f.Known() {
			wrong("%s: twice, or not known: %v", key, f.Missing)
		}
		seen[key] = true
		short := f.Least.Minor - f.Counted.Minor
		if rounded := int64(len(s.Days)); f.Day >= 0 && short <= 1 || f.Day < 0 && short <= rounded {
			short = 0 // from the rounding of lines
		}
		if f.Due().Minor != short {
			wrong("%s: due %d, want %d", key, f.Due().Minor, short)
		}
		if short > 0 {
			due++
		}
		if !ok {
			if !f.Least.IsZero() {
				wrong("%s: %v, where nothing is asked: %s", key, f.Least, f.Say)
			}
			continue
		}
		for _, c := range []struct {
			name string
			got  money.Amount
			want *big.Rat
		}{{"least", f.Least, w.least}, {"extra", f.Extra, w.extra}, {"counted", f.Counted, w.counted}, {"credit", f.Credit, w.credit}} {
			if off := apart(c.got.Minor, c.want); off.Cmp(slack) > 0 {
				wrong("%s: %s %d, by the minute %s: %s", key, c.name, c.got.Minor, c.want.FloatString(3), f.Say)
			}
		}
	}
	for key := range want {
		if !seen[key] {
			wrong("%s: no floor", key)
		}
	}
	if said != "" {
		t.Errorf("exact %v\n%s%s", s.exact, said, s.tell())
	}
	return due
}

// slack is by how much an amount may lie off the exact one: half a unit for the
// one rounding, and where a minute costs no whole units one for each line.
func (s span) slack() *big.Rat {
	out := big.NewRat(1, 2)
	if s.exact {
		return out
	}
	for _, d := range s.Days {
		slip, _ := overtime.Pay(s.Terms, d.Hours)
		out.Add(out, big.NewRat(int64(len(slip.Lines)), 1))
	}
	return out
}

func apart(got int64, want *big.Rat) *big.Rat {
	out := new(big.Rat).Sub(big.NewRat(got, 1), want)
	return out.Abs(out)
}

// tell writes a week so that it can be made into a test of its own.
func (s span) tell() string {
	terms, _ := json.Marshal(s.Terms)
	out := fmt.Sprintf("%s\n", terms)
	for i, d := range s.Days {
		slip, _ := overtime.Pay(s.Terms, d.Hours)
		out += fmt.Sprintf("day %d of %d, no rest %v, %+v: in +%d", i, d.Of, d.NoRest, d.Waived, began(d.Hours)-minuteAt(s.start))
		out += fmt.Sprintf(" out +%d kind %q before %+v;", minuteAt(d.Hours.Out)-began(d.Hours), d.Hours.Kind, d.Hours.Before)
		for _, b := range d.Hours.Meals {
			out += fmt.Sprintf(" %d-%d", minuteAt(b.From)-began(d.Hours), minuteAt(b.To)-began(d.Hours))
		}
		for _, l := range slip.Lines {
			out += fmt.Sprintf("\n    %s %d min x%v %v: %s", l.Kind, l.Minutes, l.Times, l.Amount, l.Why)
		}
		e, _ := overtime.Take(s.Terms, d.Hours)
		out += fmt.Sprintf("\n    %+v\n", e)
	}
	return out
}

// secondly reckons a week by the minute.
func secondly(t *testing.T, s span) map[string]ruled {
	days := make([]lawDay, len(s.Days))
	for i, w := range s.Days {
		slip, err := overtime.Pay(s.Terms, w.Hours)
		if err != nil {
			t.Fatal(err)
		}
		d := &days[i]
		d.of, d.noRest = w.Of, w.NoRest
		terms := ownTerms(s.Terms, w.Hours.Kind)
		d.attend(w.Hours)
		d.byHour, d.rate = terms.Basis == overtime.Hourly, new(big.Rat)
		if d.byHour {
			d.rate = over(of(terms.Rate.Minor), of(60))
		}
		d.earn(terms, w.Hours, slip)
		d.cover(terms, slip)
	}
	out := map[string]ruled{"US federal overtime -1": federalWeek(days)}
	if s.Law == overtime.LawNewYork {
		out["New York spread of hours -1"] = newYorkWeek(days, s.Wage.Minor)
	}
	if !s.Law.California() {
		return out
	}
	base, differential := californiaRate(days)
	factors := californiaFactors(days)
	hour := mul(of(60), sum(base, differential))
	for i, d := range days {
		out[fmt.Sprintf("California overtime %d", i)] = californiaDay(d, factors[i], base, differential)
		if mealMissed(s.Days[i].Hours, s.Days[i].Waived, s.Law == overtime.LawCaliforniaPictures) {
			out[fmt.Sprintf("California meal premium %d", i)] = ruled{hour, hour, d.penalty, of(0)}
		}
		if d.noRest {
			out[fmt.Sprintf("California rest premium %d", i)] = ruled{hour, hour, of(0), of(0)}
		}
	}
	return out
}

// ownTerms are the terms of a day at another rate, a whole amount; where the day
// does not count as worked it is paid a fee and nothing by time.
func ownTerms(t overtime.Terms, kind string) overtime.Terms {
	for _, o := range t.Other {
		if o.Kind != kind {
			continue
		}
		share := big.NewRat(o.Share.Num, o.Share.Den)
		t.Rate.Minor, t.Base.Minor = nearest(mul(of(t.Rate.Minor), share)), nearest(mul(of(t.Base.Minor), share))
		if !o.Worked {
			return overtime.Terms{Basis: overtime.AllIn, Rate: t.Rate, Days: t.Days}
		}
	}
	return t
}

// nearest is the whole number next to one that is not negative, half upwards.
func nearest(x *big.Rat) int64 {
	twice := new(big.Int).Mul(x.Num(), big.NewInt(2))
	twice.Add(twice, x.Denom())
	return twice.Quo(twice, new(big.Int).Mul(x.Denom(), big.NewInt(2))).Int64()
}

// cover says how many minutes the fee of a day pays for in California, and what
// the base of its regular rate is: a rate for the day pays for no more than
// eight hours (section 510 with DLSE Manual 49.2.1, from memory).
func (d *lawDay) cover(t overtime.Terms, slip overtime.Slip) {
	rate := of(t.Rate.Minor)
	switch {
	case t.Basis == overtime.Hourly:
		d.base = over(rate, of(60))
		return
	case t.Divisor == overtime.ByWeighted:
		d.base, d.covers, d.weighted = straightMinute(t), t.Included, true
	default:
		d.covers = 8 * 60
		if t.Included > 0 {
			d.covers = min(d.covers, t.Included)
		}
		d.base = over(rate, of(d.covers*max(t.Days, 1)))
		if agreed := over(of(t.Base.Minor), of(60)); agreed.Cmp(d.base) > 0 {
			d.base = agreed
		}
	}
	for _, l := range slip.Lines {
		if l.Kind == overtime.KindFee && strings.HasPrefix(l.Why, "half a day") {
			d.covers = min(d.covers, t.Half.UpTo)
		}
	}
}

package overtime

import (
	"cmp"
	"errors"
	"slices"

	"fairday/domain/money"
	"fairday/domain/sorting"
	"fairday/domain/when"
)

// Share is what one engagement comes to for a wrap.
type Share struct {
	Key, Label string
	Group      string       // of the engagement, such as its department
	Rate       money.Amount // what is owed however short the day, with the costs on it
	Exposed    money.Amount // what a Curve shows of it, but for a short rest, which is a cost of the day after
	Cost       money.Amount // both
}

// Shares reckons every engagement for a wrap, in their order; who has signed out
// is fixed. Engagements that make no sense are left out and named in the error,
// as Expose does.
func Shares(engagements []Engagement, wrap when.Instant) ([]Share, error) {
	var out []Share
	var errs []error
	known := newClockCache()
	for _, e := range engagements {
		share, err := e.share(wrap, known)
		if err != nil {
			errs = append(errs, &EngagementError{Key: e.Key, Label: e.Label, Err: err})
			continue
		}
		out = append(out, share)
	}
	return out, errors.Join(errs...)
}

func (e Engagement) share(wrap when.Instant, known *clockCache) (Share, error) {
	out := Share{Key: e.Key, Label: e.Label, Group: e.Group}
	s, err := newSheet(e.Terms, e.Hours.Wrapped(wrap), known)
	if err != nil {
		return out, err
	}
	slip, err := s.slip(s.day.out)
	if err != nil {
		return out, err
	}
	m, err := s.meter(s.day.out, s.day.out, 0)
	if err != nil {
		return out, err
	}
	exposed, err := m.at(s.day.out, s.day.out)
	if err != nil {
		return out, err
	}
	out.Exposed = money.Of(exposed, e.Terms.Rate.Currency)
	if out.Rate, err = slip.Cost.Sub(slip.Exposed); err == nil {
		out.Rate, err = out.Rate.Sub(money.Of(m.sums.running, e.Terms.Rate.Currency))
	}
	if err != nil {
		return out, err
	}
	out.Cost, err = out.Rate.Add(out.Exposed)
	return out, err
}

// Beyond is the part of the exposure for a wrap that is overtime and penalties of
// that day, with the costs on them. A Curve shows more: straight time, the rest of a
// half day, and what a short rest costs tomorrow.
func (e Engagement) Beyond(wrap when.Instant) (money.Amount, error) {
	exposed, running, err := e.exposed(wrap, 0)
	return money.Of(exposed-running, e.Terms.Rate.Currency), err
}

// Tomorrow is the part of the exposure for a wrap that a short rest costs with the
// next call, with the costs on it. It is paid with that day, and belongs to it.
func (e Engagement) Tomorrow(wrap when.Instant) (money.Amount, error) {
	whole, _, err := e.exposed(wrap, minute(e.Next))
	if err != nil {
		return money.Amount{}, err
	}
	today, _, err := e.exposed(wrap, 0)
	return money.Of(whole-today, e.Terms.Rate.Currency), err
}

func (e Engagement) exposed(wrap when.Instant, next int64) (exposed, running int64, err error) {
	s, err := newSheet(e.Terms, e.Hours.Wrapped(wrap), newClockCache())
	if err != nil {
		return 0, 0, err
	}
	m, err := s.meter(s.day.out, s.day.out, next)
	if err != nil {
		return 0, 0, err
	}
	exposed, err = m.at(s.day.out, s.day.out)
	return exposed, m.sums.running, err
}

// RunsOn tells whether terms pay more of the plain rate as the day goes on.
func (t Terms) RunsOn() bool { return t.Basis == Hourly || t.Half.UpTo > 0 }

// Sum is what the shares of one group come to in one currency.
type Sum struct {
	Group               string
	People              int
	Rate, Exposed, Cost money.Amount
}

// SumBy adds shares up by a label, such as their group or the day they are on,
// and by currency, which never mixes. Sums stand in the order of their labels,
// then of their currencies.
func SumBy(shares []Share, label func(Share) string) ([]Sum, error) {
	type key struct {
		group    string
		currency money.Currency
	}
	at := map[key]int{}
	var out []Sum
	for _, s := range shares {
		k := key{label(s), s.Cost.Currency}
		i, ok := at[k]
		if !ok {
			i = len(out)
			at[k] = i
			out = append(out, Sum{Group: k.group})
		}
		sum := &out[i]
		sum.People++
		for _, add := range []struct {
			to *money.Amount
			a  money.Amount
		}{{&sum.Rate, s.Rate}, {&sum.Exposed, s.Exposed}, {&sum.Cost, s.Cost}} {
			var err error
			if *add.to, err = add.to.Add(add.a); err != nil {
				return nil, err
			}
		}
	}
	sorting.By(out, func(a, b Sum) int {
		return cmp.Or(cmp.Compare(a.Group, b.Group), cmp.Compare(a.Cost.Currency, b.Cost.Currency))
	})
	return out, nil
}

// ByGroup labels a share with its group.
func ByGroup(s Share) string { return s.Group }

// Report puts curves of several currencies into one, at stated rates: at every
// minute it is the sum of what each curve comes to, each exchanged on its own.
// The curves have to reach over the same time. It returns CodeRange where they
// do not, and the errors of money.Exchange.
func Report(curves []Curve, x money.Exchange) (Curve, error) {
	out := Curve{Currency: x.To, Base: money.Of(0, x.To)}
	if err := x.Check(); err != nil {
		return out, err
	}
	var minutes []when.Instant
	for i, c := range curves {
		if i > 0 && (c.From != out.From || c.To != out.To) {
			return out, fail(CodeRange, "curves over different times cannot be put into one; ask for all of them over the same")
		}
		out.From, out.To = c.From, c.To
		for _, s := range c.Steps {
			minutes = append(minutes, s.At)
		}
	}
	sorting.Up(minutes)
	var err error
	if out.Base, _, err = reported(curves, x, out.From); err != nil {
		return out, err
	}
	before := out.Base
	for _, at := range slices.Compact(minutes) {
		total, keys, err := reported(curves, x, at)
		if err != nil {
			return out, err
		}
		by, err := total.Sub(before)
		if err != nil {
			return out, err
		}
		if by.IsZero() {
			continue // less than the smallest unit of the currency reported in
		}
		out.Steps, before = append(out.Steps, Step{At: at, Amount: by, Total: total, Keys: keys}), total
	}
	return out, nil
}

// reported is what all curves come to for a wrap, and who steps then.
func reported(curves []Curve, x money.Exchange, at when.Instant) (sum money.Amount, keys []string, err error) {
	sum = money.Of(0, x.To)
	for _, c := range curves {
		a, err := x.Convert(c.At(at))
		if err == nil {
			sum, err = sum.Add(a)
		}
		if err != nil {
			return sum, nil, err
		}
		if i, on := slices.BinarySearchFunc(c.Steps, at, func(s Step, at when.Instant) int { return cmp.Compare(s.At, at) }); on {
			keys = append(keys, c.Steps[i].Keys...)
		}
	}
	return sum, keys, nil
}

package overtime

import (
	"math/bits"
	"slices"

	"fairday/domain/money"
)

// draft gathers the exposure of one currency.
type draft struct {
	currency money.Currency
	base     int64    // minor units
	by       []int64  // how much it rises at each minute
	words    int      // of who, for each minute
	who      []uint64 // a bit for each engagement that rises at a minute
}

func newDraft(c money.Currency, engagements, minutes int) *draft {
	words := (engagements + 63) / 64
	return &draft{currency: c, by: make([]int64, minutes), words: words, who: make([]uint64, minutes*words)}
}

// add puts in what one engagement comes to at first and how it rises.
func (d *draft) add(who int, base int64, by []int64) (err error) {
	if d.base, err = plus(d.base, base); err != nil {
		return err
	}
	word, bit := who/64, uint64(1)<<(who%64)
	for m, minor := range by {
		if minor == 0 {
			continue
		}
		if sum := d.by[m] + minor; minor > 0 && sum >= minor {
			d.by[m] = sum
		} else if d.by[m], err = plus(d.by[m], minor); err != nil {
			return err
		}
		d.who[m*d.words+word] |= bit
	}
	return nil
}

// curve makes the steps. One that names the same people as the step before
// shares its list of keys.
func (d *draft) curve(engagements []Engagement, first, last int64) (Curve, error) {
	c := Curve{Currency: d.currency, From: instant(first), To: instant(last), Base: money.Of(d.base, d.currency)}
	steps := 0
	for _, by := range d.by {
		if by != 0 {
			steps++
		}
	}
	c.Steps = make([]Step, 0, steps)
	total := d.base
	var before []uint64
	var keys []string
	for m, by := range d.by {
		if by == 0 {
			continue
		}
		var err error
		if total, err = plus(total, by); err != nil {
			return Curve{}, err
		}
		if who := d.who[m*d.words : (m+1)*d.words]; !slices.Equal(who, before) {
			before, keys = who, names(engagements, who)
		}
		c.Steps = append(c.Steps, Step{At: instant(first + int64(m)), Amount: money.Of(by, d.currency), Total: money.Of(total, d.currency), Keys: keys})
	}
	return c, nil
}

// curve makes the curve of one engagement alone.
func (e Engagement) curve(base int64, by []int64, first, last int64) (Curve, error) {
	currency, keys := e.Terms.Rate.Currency, []string{e.Key}
	c := Curve{Currency: currency, From: instant(first), To: instant(last), Base: money.Of(base, currency)}
	for m, rise := range by {
		if rise == 0 {
			continue
		}
		var err error
		if base, err = plus(base, rise); err != nil {
			return Curve{}, err
		}
		c.Steps = append(c.Steps, Step{At: instant(first + int64(m)), Amount: money.Of(rise, currency), Total: money.Of(base, currency), Keys: keys})
	}
	return c, nil
}

// names gives the keys of those whose bits are set, in the order of the
// engagements.
func names(engagements []Engagement, who []uint64) []string {
	n := 0
	for _, w := range who {
		n += bits.OnesCount64(w)
	}
	keys := make([]string, 0, n)
	for i, w := range who {
		for ; w != 0; w &= w - 1 {
			keys = append(keys, engagements[i*64+bits.TrailingZeros64(w)].Key)
		}
	}
	return keys
}

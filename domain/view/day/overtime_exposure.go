package day

import (
	"reflect"

	"fairday/domain/overtime"
	"fairday/domain/when"
)

// exposure is what ExposeEach answered, and what it was asked.
type exposure struct {
	asked        []overtime.Engagement
	from, to     when.Instant
	curves, each []overtime.Curve
	err          error
}

// expose is ExposeEach for what was asked last, or anew for anything else. It
// goes by what is asked, not by when, so that it is never behind.
func (k *Memo) expose(asked []overtime.Engagement, from, to when.Instant) (curves, each []overtime.Curve, err error) {
	if k == nil {
		return overtime.ExposeEach(asked, from, to)
	}
	x := k.exposed
	if x == nil || x.from != from || x.to != to || !reflect.DeepEqual(x.asked, asked) {
		x = &exposure{asked: asked, from: from, to: to}
		x.curves, x.each, x.err = overtime.ExposeEach(asked, from, to)
		k.exposed = x
	}
	return x.curves, x.each, x.err
}

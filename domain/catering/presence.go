package catering

import "fairday/domain/when"

// Stretch is a time somebody is on the clock or called for, from From up to but
// not including To. To zero is "no end yet".
type Stretch struct {
	From, To when.Instant
}

// Present tells whether any of the stretches overlaps the meal from from up to
// but not including to: who signs out at the minute the meal starts is not
// there, who signs in at the minute it ends is not either. A meal without a
// length is the moment it starts. A stretch without a start is nobody's.
func Present(stretches []Stretch, from, to when.Instant) bool {
	to = max(to, from+1)
	for _, s := range stretches {
		if s.From != 0 && s.From < to && (s.To == 0 || (s.To > from && s.To > s.From)) {
			return true
		}
	}
	return false
}

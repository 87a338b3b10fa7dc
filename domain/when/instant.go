package when

import (
	"fmt"
	"time"
)

// Instant is a moment in milliseconds since 1970-01-01T00:00:00Z. Zero means
// "not set".
type Instant int64

// Lengths of time, to add to and subtract from an Instant.
const (
	Second Instant = 1000
	Minute         = 60 * Second
	Hour           = 60 * Minute
)

// FromTime turns a time.Time into an Instant, dropping what is finer than a
// millisecond.
func FromTime(t time.Time) Instant { return Instant(t.UnixMilli()) }

// Time gives the instant as a time.Time in UTC.
func (i Instant) Time() time.Time { return time.UnixMilli(int64(i)).UTC() }

// Minutes is how many whole minutes lie between two instants, rounded towards
// zero.
func Minutes(from, to Instant) int64 { return int64((to - from) / Minute) }

// Elapsed writes a number of minutes as people say it: "45 min", "3 h",
// "3 h 05 min"; a negative length has a minus sign in front.
func Elapsed(mins int64) string {
	sign := ""
	if mins < 0 {
		sign, mins = "−", -mins
	}
	h, m := mins/60, mins%60
	switch {
	case h == 0:
		return fmt.Sprintf("%s%d min", sign, m)
	case m == 0:
		return fmt.Sprintf("%s%d h", sign, h)
	}
	return fmt.Sprintf("%s%d h %02d min", sign, h, m)
}

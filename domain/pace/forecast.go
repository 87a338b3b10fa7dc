package pace

// Whole is what the parts of a Forecast sum to: they are billionths.
const Whole = 1_000_000_000

// Forecast is when the day may wrap. Minutes count from where the caller's do.
type Forecast struct {
	Pace     Pace
	From     int64    // the first minute with a chance
	Parts    []int64  // the chance of each minute from From on, in billionths; they sum to Whole
	Wrap50   int64    // as likely by this minute as not
	Wrap80   int64    // four times out of five by this minute
	Starts   []Likely // of each remaining shot, in order
	Doubtful []string // shots that are up for too long to be believed; reckoned as if they had just been opened
}

// Likely is when a shot is up.
type Likely struct {
	Key      string
	P50, P80 int64 // by this minute as likely as not, and four times out of five
}

// ChanceBy is the chance of having wrapped by a minute, in billionths.
func (f Forecast) ChanceBy(minute int64) int64 {
	n := min(max(minute-f.From+1, 0), int64(len(f.Parts)))
	sum := int64(0)
	for _, p := range f.Parts[:n] {
		sum += p
	}
	return sum
}

// By is the first minute by which the day has wrapped with at least a chance in
// billionths.
func (f Forecast) By(chance int64) int64 { return f.From + index(f.Parts, chance) }

// Expected is what something costs on average that depends on the minute of the
// wrap.
func (f Forecast) Expected(cost func(minute int64) int64) Mean {
	var sum tally
	for i, p := range f.Parts {
		if p > 0 {
			sum.add(p, cost(f.From+int64(i)))
		}
	}
	return sum.mean()
}

// index is where the parts first sum to a chance.
func index(parts []int64, chance int64) int64 {
	sum := int64(0)
	for i, p := range parts {
		if sum += p; sum >= chance && sum > 0 {
			return int64(i)
		}
	}
	return int64(len(parts) - 1)
}

package overtime

import "fairday/domain/when"

// walls remembers what clocks on the wall were found to mean, so that many
// people on one day look it up once.
type walls map[wall]int64

// wall is a clock on a date in a zone.
type wall struct {
	zone  when.Zone
	date  when.Date
	clock when.Clock
}

// at is the minute at which the wall reads the clock.
func (k walls) at(z when.Zone, d when.Date, c when.Clock) (int64, error) {
	key := wall{z, d, c}
	if m, ok := k[key]; ok {
		return m, nil
	}
	i, err := z.At(d, c)
	if err != nil {
		return 0, err
	}
	k[key] = minute(i)
	return minute(i), nil
}

// date is the local date of a minute.
func (k walls) date(z when.Zone, m int64) (when.Date, error) {
	d, _, err := when.Zone("UTC").Local(instant(m))
	if err != nil {
		return "", err
	}
	for _, d := range []when.Date{d.Add(1), d} {
		midnight, err := k.at(z, d, 0)
		if err != nil {
			return "", err
		}
		if midnight <= m {
			return d, nil
		}
	}
	return d.Add(-1), nil
}

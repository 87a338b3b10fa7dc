package day

import (
	"slices"

	"fairday/domain/pace"
	"fairday/domain/shoot"
	"fairday/domain/sun"
	"fairday/domain/view"
	"fairday/domain/when"
)

// sky is the day's light as far as the plan says where it is shot, for as long as the
// day may last: what is past midnight is of the next of the sun's days.
type sky struct {
	known   bool
	say     string // what is wrong with the place or a window
	days    []sun.Day
	bands   []sun.Band
	windows []lit
	dayTime []pace.Stretch
	horizon bool           // the plan says what stands round the place
	clear   []pace.Stretch // the sun stands over it
}

// lit is when the sun comes in by a window.
type lit struct {
	name    string
	outside string // what stands before it, as it was reckoned with
	sun     []pace.Stretch
}

// look reckons the day's light.
func (m *maker) look(o *outlook) sky {
	light, ok := m.State.Floor.Lights[m.Day.ID]
	if !ok {
		return sky{}
	}
	kept := m.c.Memo
	if kept == nil {
		return m.reckonSky(o, light)
	}
	if kept.day.ID != m.Day.ID || kept.day.Version != m.Day.Version || kept.light.Version != light.Version || kept.by != o.by {
		kept.sky, kept.day, kept.light, kept.by = m.reckonSky(o, light), m.Day, light, o.by
	}
	return kept.sky
}

// lasts is until when the day may last, for its light: what counts as over is.
func (o *outlook) lasts() when.Instant {
	return min(max(o.by+12*when.Hour, o.zero+36*when.Hour), o.instant(farMinutes))
}

func (m *maker) reckonSky(o *outlook, light shoot.Light) (k sky) {
	where := light.Sky()
	var openings []sun.Window
	for _, w := range light.Windows {
		openings = append(openings, w.Opening())
	}
	clear, in, err := where.Shines(o.zero, o.lasts(), openings)
	if err == nil {
		k.days, err = sun.Between(o.zero, o.lasts(), where.Place)
	}
	if err == nil {
		k.bands, err = sun.LightBetween(o.zero, o.lasts(), where.Place)
	}
	if err != nil {
		return sky{say: view.Sentence(err.Error())}
	}
	k.known, k.horizon, k.clear, k.dayTime = true, len(light.Horizon) > 0, o.minutes(clear), o.usable(daytime(o, k.days))
	for i, w := range light.Windows {
		k.windows = append(k.windows, lit{w.Name, view.Outside(w), o.minutes(in[i])})
	}
	return k
}

// minutes counts stretches from midnight at the start of the day.
func (o *outlook) minutes(all []sun.Stretch) (out []pace.Stretch) {
	for _, s := range all {
		out = append(out, pace.Stretch{From: o.minute(s.From + when.Minute - 1), To: o.minute(s.To)})
	}
	return o.usable(out)
}

// stayedFor is how long after the planned wrap people would stay for the light to come:
// nobody waits the night out for what they missed in the evening.
const stayedFor = 120 // minutes

// usable leaves out the light that comes once everybody is gone.
func (o *outlook) usable(all []pace.Stretch) []pace.Stretch {
	return slices.DeleteFunc(all, func(s pace.Stretch) bool { return s.From > o.minute(o.by)+stayedFor })
}

// daytime is from each sunrise to the sunset after it.
func daytime(o *outlook, days []sun.Day) (out []pace.Stretch) {
	for i, d := range days {
		s := pace.Stretch{From: o.minute(d.From), To: o.minute(d.To)}
		switch {
		case d.Rise.Standing == sun.NeverRises:
			continue
		case d.Rise.Standing == sun.Crosses:
			s.From = o.minute(d.Rise.At + when.Minute - 1)
		}
		switch {
		case d.Set.Standing == sun.Crosses:
			s.To = o.minute(d.Set.At)
		case i == len(days)-1:
			s.To = farMinutes
		}
		if s.From = max(s.From, 0); s.To <= s.From {
			continue // the evening before
		}
		if n := len(out); n > 0 && s.From-out[n-1].To <= 1 { // the sun does not set between the two
			out[n-1].To = s.To
		} else {
			out = append(out, s)
		}
	}
	return out
}

// limit is when the light is as a shot wants it. Where it never is, Closes says why.
func (k sky) limit(w shoot.Wishes) (pace.Limit, bool) {
	if !k.known || w.Light == shoot.AnyLight {
		return pace.Limit{}, false
	}
	if w.Light == shoot.Daylight {
		if len(k.dayTime) == 0 {
			return pace.Limit{Closes: "the sun does not rise"}, true
		}
		return pace.Limit{Opens: "the sun rises", Closes: "the sun sets", During: k.dayTime}, true
	}
	for _, l := range k.windows {
		switch {
		case l.name != w.Window:
		case w.Light == shoot.WantSun && len(l.sun) == 0:
			return pace.Limit{Closes: "the sun does not come in by the " + l.name}, true
		case w.Light == shoot.WantSun:
			return pace.Limit{Opens: "the sun comes in by the " + l.name, Closes: "the sun leaves the " + l.name, During: l.sun}, true
		default:
			return pace.Limit{Opens: "the sun leaves the " + l.name, Closes: "the sun comes in by the " + l.name, During: between(l.sun)}, true
		}
	}
	return pace.Limit{Closes: "the plan has no window " + w.Window}, true
}

// between is what stretches leave over.
func between(in []pace.Stretch) (out []pace.Stretch) {
	from := int64(0)
	for _, s := range in {
		if s.From > from {
			out = append(out, pace.Stretch{From: from, To: s.From})
		}
		from = max(from, s.To)
	}
	if from < farMinutes {
		out = append(out, pace.Stretch{From: from, To: farMinutes})
	}
	return out
}

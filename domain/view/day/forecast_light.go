package day

import (
	"fairday/domain/pace"
	"fairday/domain/shoot"
	"fairday/domain/sun"
	"fairday/domain/view"
	"fairday/domain/when"
)

// sky is the day's light as far as the plan says where it is shot.
type sky struct {
	known   bool
	say     string // what is wrong with the place or a window
	day     sun.Day
	bands   []sun.Band
	windows []lit
	dayTime []pace.Stretch
}

// lit is when the sun comes in by a window.
type lit struct {
	name string
	sun  []pace.Stretch
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
	if kept.day.ID != m.Day.ID || kept.day.Version != m.Day.Version || kept.light.Version != light.Version {
		kept.sky, kept.day, kept.light = m.reckonSky(o, light), m.Day, light
	}
	return kept.sky
}

func (m *maker) reckonSky(o *outlook, light shoot.Light) sky {
	day, err := sun.On(m.Day.Date, m.Day.Zone, light.Place())
	if err != nil {
		return sky{say: view.Sentence(err.Error())}
	}
	k := sky{known: true, day: day}
	if k.bands, err = sun.LightBetween(o.zero, o.zero+36*when.Hour, light.Place()); err != nil {
		k.say = view.Sentence(err.Error())
	}
	for _, w := range light.Windows {
		in, err := day.Through(w.Opening())
		if err != nil {
			k.say = view.Sentence(w.Name + ": " + err.Error())
			continue
		}
		l := lit{name: w.Name}
		for _, s := range in {
			l.sun = append(l.sun, pace.Stretch{From: o.minute(s.From + when.Minute - 1), To: o.minute(s.To)})
		}
		k.windows = append(k.windows, l)
	}
	k.dayTime = daytime(o, day)
	return k
}

// daytime is from sunrise to sunset.
func daytime(o *outlook, d sun.Day) []pace.Stretch {
	if d.Rise.Standing == sun.NeverRises {
		return nil
	}
	s := pace.Stretch{From: 0, To: farMinutes}
	if d.Rise.Standing == sun.Crosses {
		s.From = o.minute(d.Rise.At + when.Minute - 1)
	}
	if d.Set.Standing == sun.Crosses {
		s.To = o.minute(d.Set.At)
	}
	return []pace.Stretch{s}
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
	return pace.Limit{}, false
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

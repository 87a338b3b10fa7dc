package view

import (
	"reflect"

	"fairday/domain/pace"
	"fairday/domain/shoot"
	"fairday/domain/when"
)

// Memo keeps the last forecast and the last light, so that screens that show the
// same day reckon it once. A Context may go without; a Memo serves one phone.
type Memo struct {
	plan  pace.Plan
	f     pace.Forecast
	err   error
	made  bool
	sky   sky
	day   shoot.Day
	light shoot.Light

	thought *thought
}

// forecast gives what is left of the day and when it may wrap.
func (m *maker) forecast() *outlook {
	if m.seen != nil {
		return m.seen
	}
	o := m.gather()
	m.seen = o
	if !o.known() {
		return o
	}
	var err error
	if k := m.c.Memo; k == nil {
		o.f, err = o.plan.Forecast()
	} else {
		if !k.made || !reflect.DeepEqual(k.plan, o.plan) {
			k.f, k.err = o.plan.Forecast()
			k.plan, k.made = o.plan, true
		}
		o.f, err = k.f, k.err
	}
	if err != nil {
		o.wrong = sentence("there is no forecast: " + err.Error())
	}
	return o
}

// wrapLine says in words that are fit for a role when the day may wrap.
func (m *maker) wrapLine() string {
	o := m.forecast()
	switch {
	case o.wrong != "":
		if m.lead() {
			return o.wrong
		}
		return ""
	case len(o.run) == 0:
		return ""
	case o.over != "":
		return o.over
	}
	likely, late := m.round(o, o.f.Wrap50), m.round(o, o.f.Wrap80)
	switch m.me.Role {
	case shoot.Client:
		if likely == late {
			return "We expect to be done at about " + likely + "."
		}
		return "We expect to be done at about " + likely + "; it may take until " + late + "."
	case shoot.Caterer:
		if likely == late {
			return "People are likely on set until about " + likely + "."
		}
		return "People are likely on set until about " + likely + ", and perhaps until " + late + "."
	}
	if likely == late {
		return "Likely wrap " + likely + "."
	}
	return "Likely wrap " + likely + ", by " + late + " four times in five."
}

// round writes a minute, on to the next five: what is not known to the minute
// should not look so.
func (m *maker) round(o *outlook, minute int64) string {
	return m.clock(o.instant((minute + 4) / 5 * 5))
}

// chance says in words how likely something is, of billionths.
func chance(parts int64) string {
	switch tenths := (parts + pace.Whole/20) / (pace.Whole / 10); {
	case parts < pace.Whole/50:
		return "hardly ever"
	case parts > pace.Whole-pace.Whole/50:
		return "almost surely"
	case tenths == 0:
		return "less than 1 time in 10"
	case tenths == 10:
		return "more than 9 times in 10"
	case tenths == 5:
		return "as likely as not"
	case tenths == 1:
		return "1 time in 10"
	default:
		return itoa(int(tenths)) + " times in 10"
	}
}

// doubts says what a forecast could not believe.
func (m *maker) doubts(o *outlook) (out []string) {
	for _, key := range o.f.Doubtful {
		out = append(out, sentence("shot "+m.number(key)+" is up for too long to be believed and is reckoned as if it had just been opened; put it back to planned or report its capture"))
	}
	return out
}

// number is what people call the shot of a key.
func (m *maker) number(key string) string { return m.s.Floor.Shots[shoot.ShotID(key)].Number }

// unmet are the shots that are likely not made while what they need is there.
func (m *maker) unmet(o *outlook) (out []string) {
	percent := o.f.Pace.Percent()
	for i, t := range o.plan.Tasks {
		for _, l := range t.Limits {
			at, ends := o.f.Starts[i].P50, o.f.Starts[i].P50+(t.Planned*percent+50)/100
			met := false
			var longest, last int64
			for _, s := range l.During {
				met = met || at >= s.From && ends <= s.To
				longest, last = max(longest, s.To-s.From), s.To
			}
			n := "shot " + m.number(t.Key)
			switch {
			case t.Open || met:
			case len(l.During) == 0:
				out = append(out, sentence(n+" cannot have what it needs on this day: there is no time between when "+l.Opens+" and when "+l.Closes))
			case longest < ends-at:
				out = append(out, sentence(n+" takes "+when.Elapsed(ends-at)+" and has "+when.Elapsed(longest)+" at most before "+l.Closes))
			default:
				out = append(out, sentence(n+" is likely up at "+m.clock(o.instant(at))+", and "+l.Closes+" at "+m.clock(o.instant(last))))
			}
		}
	}
	return out
}

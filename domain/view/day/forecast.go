package day

import (
	"reflect"

	"fairday/domain/pace"
	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/when"
)

// Memo keeps the last forecast, light and exposure with what they were made of, so
// that screens that show the same day reckon it once. A Context may go without; a
// Memo serves one phone.
type Memo struct {
	plan  pace.Plan
	f     pace.Forecast
	err   error
	made  bool
	sky   sky
	day   shoot.Day
	light shoot.Light
	by    when.Instant // the planned wrap of that light

	thought *thought
	days    map[shoot.DayID]*Memo // light of other days
	others  map[string]elsewhere  // forecasts of other days, by the day and the shot that would move there
	exposed *exposure
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
		o.wrong = view.Sentence("there is no forecast: " + err.Error())
	}
	return o
}

// wrapLine says in words that are fit for a role when the day may wrap.
func (m *maker) wrapLine() string {
	o := m.forecast()
	switch {
	case o.wrong != "":
		if m.Lead() {
			return o.wrong
		}
		return ""
	case len(o.run) == 0:
		return ""
	case o.over != "":
		return o.over
	}
	likely, late := m.round(o, o.f.Wrap50), m.round(o, o.f.Wrap80)
	switch m.Me.Role {
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
	return m.Clock(o.instant((minute + 4) / 5 * 5))
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
		return view.Itoa(int(tenths)) + " times in 10"
	}
}

// doubts says what a forecast could not believe.
func (m *maker) doubts(o *outlook) (out []string) {
	for _, key := range o.f.Doubtful {
		out = append(out, view.Sentence("shot "+m.number(key)+" is up for too long to be believed and is reckoned as if it had just been opened; put it back to planned or report its capture"))
	}
	for _, key := range o.assumed {
		out = append(out, view.Sentence("nobody has told of "+m.State.Floor.Meals[shoot.MealID(key)].Name+"; the day has a gap for it, so it is reckoned as over. Start it where it is still to come"))
	}
	return out
}

// number is what people call the shot of a key.
func (m *maker) number(key string) string { return m.State.Floor.Shots[shoot.ShotID(key)].Number }

// unmet are the shots that are likely not made while what they need is there.
func (m *maker) unmet(o *outlook) (out []string) {
	for i, t := range o.plan.Tasks {
		at := o.f.Starts[i].P50
		for _, l := range t.Limits {
			if why := m.missed(o, l, at, at+(t.Planned*o.f.Pace.Percent()+50)/100); why != "" && !t.Open {
				out = append(out, view.Sentence("shot "+m.number(t.Key)+why))
			}
		}
	}
	return out
}

// missed says why a shot that is up from one minute to another is up outside of a
// limit, or nothing where it is within.
func (m *maker) missed(o *outlook, l pace.Limit, from, to int64) string {
	if len(l.During) == 0 {
		return " cannot have what it needs on this day: " + l.Closes
	}
	longest, turns, at := int64(0), l.Closes, l.During[len(l.During)-1].To
	for _, s := range l.During {
		if from >= s.From && to <= s.To {
			return ""
		}
		longest = max(longest, s.To-s.From)
		if s.From > from && turns == l.Closes {
			turns, at = l.Opens, s.From
		}
	}
	if longest < to-from {
		return " takes " + view.Lasts(to-from) + " and has " + view.Lasts(longest) + " at most before " + l.Closes
	}
	return " is likely up at " + m.Clock(o.instant(from)) + ", and " + turns + " at " + m.Clock(o.instant(at))
}

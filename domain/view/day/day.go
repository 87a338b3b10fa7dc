package day

import (
	"strings"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/pace"
	"fairday/domain/shoot"
	"fairday/domain/sun"
	"fairday/domain/view"
	"fairday/domain/when"
)

func (m *maker) runOfDay() *RunOfDay {
	out := &RunOfDay{Day: m.Head(), Line: m.wrapLine()}
	o := m.forecast()
	if out.Line == "" {
		out.Line = view.Sentence(o.over + o.wrong)
	}
	if m.pauses(out); m.Lead() && m.Day.ID != "" {
		out.Report = "/wrap?day=" + string(m.Day.ID)
	}
	var r *reckoning
	if m.State.Money != nil && o.zero != 0 {
		if got, err := m.reckon(); err == nil {
			r = got
		} else {
			out.Doubts = append(out.Doubts, view.Sentence("what overtime costs could not be reckoned: "+err.Error()))
		}
	}
	if len(o.run) > 0 && o.zero != 0 {
		out.Picture = m.picture(o, r)
		out.Light = m.lightSay(o)
	}
	if !o.known() {
		return out
	}
	out.Pace = view.Sentence(o.f.Pace.Reason())
	out.Plan = "Done by " + m.byWord(o) + ": " + chance(o.f.ChanceBy(o.plan.By)) + "."
	out.Doubts = append(out.Doubts, m.doubts(o)...)
	out.Unmet = m.unmet(o)
	out.Starts = m.starts(o)
	if r != nil {
		out.Money = r.expectedSay(o)
		out.Release = m.release(o, r)
	}
	if m.Lead() {
		out.Levers, out.Back = m.levers(o, r), m.back(o)
		if len(out.Levers) == 0 {
			out.LeversSay = "Nothing that this phone can think of would bring the wrap forward."
		}
	}
	return out
}

func (m *maker) byWord(o *outlook) string {
	if o.bySaid {
		return "the planned wrap at " + m.Clock(o.by)
	}
	return m.Clock(o.by) + ", as no call sheet says when"
}

// pauses says whether the shoot waits, and lets it go on or wait.
func (m *maker) pauses(out *RunOfDay) {
	if m.Day.ID == "" {
		return
	}
	day := view.Fields{"day": m.Day.ID}
	if p, on := m.State.Paused(m.Day.ID); on {
		out.Waits = "Waiting since " + m.Clock(p.From)
		if p.Why != "" {
			out.Waits += ": " + p.Why
		}
		out.Waits = view.Sentence(out.Waits)
		m.Offer(&out.Actions, m.Action("We go on", "pause.end", day))
		return
	}
	m.Offer(&out.Actions, m.Entry("We have to wait", "pause.start", day, view.Form{Title: "The shoot waits", Submit: "Start waiting",
		Say:    "Shots that are up do not count this time.",
		Fields: []view.Field{{Key: "why", Label: "What for", Kind: view.KindText, As: view.AsText, Hint: "The courier, the rain, a lamp."}}}))
}

func (m *maker) starts(o *outlook) (out []RunStart) {
	plan := m.plannedRun(o)
	for _, l := range o.f.Starts {
		shot := m.State.Floor.Shots[shoot.ShotID(l.Key)]
		if isUp(shot) {
			continue
		}
		likely, late := m.round(o, l.P50), m.round(o, l.P80)
		say := "about " + likely
		if late != likely {
			say += ", by " + late + " four times in five"
		}
		if p, ok := plan[shot.ID]; ok {
			say += "; planned " + m.Clock(o.instant(p.From))
		}
		out = append(out, RunStart{string(shot.ID), shot.Number, shot.Title, say})
	}
	return out
}

// lightSay tells the day's light and the sun in each window.
func (m *maker) lightSay(o *outlook) (out []string) {
	k := o.sky
	if k.say != "" {
		out = append(out, k.say)
	}
	if !k.known {
		return out
	}
	out = append(out, m.risesSay(o))
	if k.horizon {
		out = append(out, m.sunSay(o, "over what stands round the place", k.clear))
	}
	for _, l := range k.windows {
		say := m.sunSay(o, "by the "+l.name, l.sun)
		switch {
		case l.outside != "":
			say += " Reckoned with " + l.outside + "."
		case !k.horizon:
			say += " What stands outside is not known."
		}
		out = append(out, say)
	}
	return out
}

// risesSay tells when the sun rises and sets on the sun's days that the work touches.
// Where that is more than one, what is over at the call is left out, and what comes
// after the first past the wrap, or many hours past it.
func (m *maker) risesSay(o *outlook) string {
	var days []sun.Day
	for _, d := range o.sky.days {
		if d.To > o.call && d.From < o.by {
			days = append(days, d)
		}
	}
	var words []string
	before := o.call
	say := func(word string, c sun.Crossing) {
		switch {
		case c.Standing != sun.Crosses && len(days) == 1:
			words = append(words, "no "+word)
		case c.Standing == sun.Crosses && (len(days) == 1 || c.At >= o.call && before < o.by && c.At <= o.by+8*when.Hour):
			before, words = c.At, append(words, word+" "+m.Clock(c.At))
		}
	}
	never := map[sun.Standing]int{}
	for _, d := range days {
		never[d.Rise.Standing]++
		never[d.Set.Standing]++
		say("sunrise", d.Rise)
		say("sunset", d.Set)
	}
	switch {
	case never[sun.NeverRises] == 2*len(days):
		return "The sun does not rise on this day."
	case never[sun.NeverSets] == 2*len(days):
		return "The sun does not set on this day."
	case len(words) == 0: // it crosses the horizon before the call alone
		return "The sun neither rises nor sets from the call to the wrap."
	}
	return view.Sentence(strings.Join(words, ", "))
}

func (m *maker) sunSay(o *outlook, where string, sun []pace.Stretch) string {
	var words []string
	total := int64(0)
	for _, s := range sun {
		words = append(words, m.Clock(o.instant(s.From))+" to "+m.Clock(o.instant(s.To)))
		total += s.To - s.From
	}
	if total == 0 {
		return view.Sentence("no direct sun " + where)
	}
	return view.Sentence("sun " + where + " " + view.List(words) + ", " + view.Lasts(total) + ", where the sky is clear")
}

// expected is what the day costs on average beyond what was agreed.
func (r *reckoning) expected(o *outlook, f pace.Forecast) purse {
	out := purse{}
	for _, c := range r.curves {
		out.add(o.average(f, c))
	}
	return out
}

// average weighs a curve by the chance of each minute; rounded once, at the end.
func (o *outlook) average(f pace.Forecast, c overtime.Curve) money.Amount {
	return average(f.Expected(func(minute int64) int64 { return c.At(o.instant(minute)).Minor }), c.Currency)
}

func (r *reckoning) expectedSay(o *outlook) string {
	if sum := r.expected(o, o.f); !sum.zero() {
		what := "Overtime"
		if r.runsOn() {
			what = "Overtime and straight time by the hour"
		}
		return what + " comes to about " + sum.text() + " on average."
	}
	return "No overtime is expected."
}

const nearWrap = 15 // minutes before the wrap in which nobody is sent home to save money

// release says who of those in front of the camera could go before the wrap, and
// what that saves on average. It is advice: they go when they go.
func (m *maker) release(o *outlook, r *reckoning) (out []string) {
	last := map[shoot.PersonID]int64{} // the minute the last shot of each is likely over
	percent := o.f.Pace.Percent()
	for i, shot := range o.left {
		for _, p := range shot.Talent {
			last[p] = max(last[p], o.plan.Now, o.f.Starts[m.place(o, shot.ID)].P50+(o.plan.Tasks[i].Planned*percent+50)/100)
		}
	}
	for _, e := range r.all {
		at, ok := last[shoot.PersonID(e.id)]
		if !ok || e.Hours.Out != 0 || at > o.f.Wrap50-nearWrap {
			continue
		}
		whole := o.average(o.f, e.curve)
		if saved, err := whole.Sub(e.curve.At(o.instant(at))); err == nil && saved.Minor > 0 {
			out = append(out, e.Label+" is done at about "+m.round(o, at)+". Letting them go then saves about "+saved.Format()+".")
		}
	}
	return out
}

// place is where a shot stands in the forecast, which takes what is up first.
func (m *maker) place(o *outlook, id shoot.ShotID) int {
	for i, l := range o.f.Starts {
		if l.Key == string(id) {
			return i
		}
	}
	return 0
}

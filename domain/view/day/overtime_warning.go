package day

import (
	"fairday/domain/overtime"
	"fairday/domain/view"
	"fairday/domain/when"
)

// How long before a step it is warned of, first and again.
const (
	warnFirst = 30 * when.Minute
	warnAgain = 10 * when.Minute
)

// coming is the next step that is worth a warning.
type coming struct {
	at    when.Instant
	cost  purse
	whose []string
}

// coming finds the next step to warn of, if one is near enough. Who gets dearer
// more often than every half hour is warned of as it starts and where the steps
// grow, not at each of them.
func (r *reckoning) coming(now when.Instant) (out coming, ok bool) {
	if now != r.now {
		return out, false // the day is over, or has not begun
	}
	for _, e := range r.all {
		step, ok := e.warned(now)
		switch {
		case !ok || (out.at != 0 && step.At > out.at):
			continue
		case out.at != step.At:
			out = coming{at: step.At, cost: purse{}}
		}
		out.cost.add(step.Amount)
		out.whose = append(out.whose, e.Label)
	}
	return out, out.at != 0
}

// warned finds one engagement's next step to warn of.
func (e engaged) warned(now when.Instant) (overtime.Step, bool) {
	var before overtime.Step
	for _, s := range e.curve.Steps {
		if until := s.At - now; until > warnFirst {
			break
		} else if until > 0 && (before.At == 0 || s.At-before.At >= warnFirst || s.Amount.Minor > before.Amount.Minor+before.Amount.Minor/4) {
			return s, true
		}
		before = s
	}
	return overtime.Step{}, false
}

// warning puts the next step to warn of into words; nil for none.
func (m *maker) warning(r *reckoning) *Warning {
	c, ok := r.coming(m.c.Now)
	if !ok {
		return nil
	}
	left := view.Lasts(when.Minutes(m.c.Now, c.at+when.Minute-1)) // as the clocks read
	out := &Warning{Mark: view.Mark{Word: "Dearer within 30 min", Shape: view.ShapeStepLine, Tone: view.ToneWarn}, In: "In " + left, Count: left,
		Say: m.Clock(c.at) + ": +" + c.cost.text() + " (" + view.List(c.whose) + ")"}
	if c.at-m.c.Now <= warnAgain {
		out.Mark = view.Mark{Word: "Dearer within 10 min", Shape: view.ShapeStep, Tone: view.ToneStop}
	}
	return out
}

// tabWarning puts the warning on the way to the overtime screen.
func (m *maker) tabWarning(t Tab) Tab {
	if m.State.Money == nil || m.Day.ID == "" {
		return t
	}
	r, err := m.reckon()
	if err != nil {
		return t // the screen says why
	}
	if w := m.warning(r); w != nil {
		t.Count, t.Say = w.Count, view.Lower(w.In)+", "+w.Say
	}
	return t
}

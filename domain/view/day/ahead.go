package day

import (
	"fairday/domain/pace"
	"fairday/domain/shoot"
	"fairday/domain/view"
)

// AheadOf is the forecast of a day that has not begun, on its plan alone; nil where
// there is no day, or where it has begun and the screen of the day has the forecast. The
// error is always an *Error.
func AheadOf(s *shoot.State, c view.Context) (*Ahead, error) {
	m, err := newMaker(s, Context{Context: c, Memo: &Memo{}})
	if err != nil || m.Day.ID == "" || m.begun() {
		return nil, err
	}
	return m.ahead(), nil
}

// begun tells whether anything of the day has happened.
func (m *maker) begun() bool {
	for _, shot := range m.Run(m.Day) {
		if len(shot.Spans) > 0 || len(shot.Before) > 0 || shot.Captured != 0 {
			return true
		}
	}
	return false
}

func (m *maker) ahead() *Ahead {
	o := m.forecast()
	if !o.known() {
		return &Ahead{Say: view.Sentence("whether the day fits is not known. " + o.over + o.wrong)}
	}
	out := &Ahead{Known: true, Plan: "Done by " + m.byWord(o) + ": " + chance(o.f.ChanceBy(o.plan.By)) + ".",
		Say: m.wrapLine() + " This is the plan alone, with what days differ by.", Unmet: m.unmet(o)}
	var r *reckoning
	if m.State.Money != nil {
		out.Money, out.Notice, r = m.aheadMoney()
	}
	out.Heaviest = m.heaviestSay(o)
	out.Order, out.OrderSay = m.proposed(o, r)
	return out
}

// aheadMoney says what overtime the plan leads to, and what of it is not approved.
func (m *maker) aheadMoney() (say, notice string, r *reckoning) {
	r, err := m.reckon()
	if err != nil {
		return view.Sentence("the expected overtime is not known: " + err.Error()), "", nil
	}
	e := m.expected(r)
	switch {
	case !e.Known:
		return e.Say, "", r
	case e.Notice != "":
		return e.Average.Say, e.Notice, r // which says how much
	}
	return view.Sentence("expected overtime "+e.Average.Amount+" on average") + spaced(e.Average.Say), e.Notice, r
}

func spaced(s string) string {
	if s == "" {
		return ""
	}
	return " " + s
}

// surely is a chance that nobody need look further for, and little one that does not
// tell two plans apart, in billionths.
const (
	surely = pace.Whole / 100 * 95
	little = pace.Whole / 50
)

// heaviestSay names the shot that makes the plan fail most often.
func (m *maker) heaviestSay(o *outlook) string {
	w, err := pace.Heaviest(o.plan)
	switch {
	case err != nil:
		return view.Sentence(err.Error())
	case w.With >= surely:
		return "No shot puts the wrap in doubt."
	case w.Without-w.With < little:
		return "No single shot makes it fail: without any one of them the chance stays as it is."
	}
	return view.Sentence("most of the doubt comes from shot " + m.number(w.Key) + ", " + m.State.Floor.Shots[shoot.ShotID(w.Key)].Title +
		". Without it the day is done by then " + chance(w.Without) + ", at about " + m.round(o, w.Leaving))
}

// proposed is the order that would do better than the planned one, with its reasons, or
// what is known of the planned one.
func (m *maker) proposed(o *outlook, r *reckoning) (*Lever, string) {
	for _, kind := range []pace.LeverKind{pace.LeverOrder, pace.LeverTogether} {
		for _, t := range m.pulled(o, r) {
			if t.Kind == kind && len(t.Price) == 0 {
				l := m.lever(o, t, r)
				return &l, ""
			}
		}
	}
	if best, err := pace.Order(o.plan, pace.Quick); err == nil && best.Proven && len(best.Moves) == 0 {
		return nil, "No order of these shots is better: every one was looked at."
	}
	return nil, "No better order of these shots was found."
}

package shoot

import (
	"cmp"
	"slices"

	"fairday/domain/sorting"
	"fairday/domain/when"
)

var pauseRows = rows{
	intents: []intentRow{
		{name: "pause.start", fact: true, who: lead, say: "The shoot waits, {day}", args: pauseStart{}},
		{name: "pause.end", fact: true, who: lead, say: "The shoot goes on, {day}", args: pauseEnd{}},
	},
	events: []eventRow{
		{body: PauseStarted{}},
		{body: PauseEnded{}},
	},
}

// Pause is a stretch in which the shoot waited for something; shots that were up
// meanwhile do not count it.
type Pause struct {
	Span
	Why string   `json:"why"`
	By  PersonID `json:"by"`
}

type pauseStart struct {
	Day DayID  `json:"day"`
	Why string `json:"why"`
}

// PauseStarted says that the shoot waits.
type PauseStarted struct {
	Day DayID  `json:"day"`
	Why string `json:"why"`
}

func (a pauseStart) decide(d *deciding) *Refusal {
	if _, ok := d.s.Floor.Days[a.Day]; !ok {
		return unknown("day")
	}
	if r := text("reason", a.Why, 120); r != nil {
		return r
	}
	if p := d.s.Floor.Pauses[a.Day]; len(p) == 0 || p[len(p)-1].To != 0 {
		d.emit(PauseStarted(a))
	}
	return nil
}

func (PauseStarted) kind() string { return "pause.started" }
func (PauseStarted) topic() Topic { return TopicFloor }
func (e PauseStarted) apply(s *State, ev Event) {
	all := append(slices.Clone(s.Floor.Pauses[e.Day]), Pause{Span{From: ev.At}, e.Why, ev.By})
	s.Floor.Pauses = with(s.Floor.Pauses, e.Day, all)
}

type pauseEnd struct {
	Day DayID `json:"day"`
}

// PauseEnded says that the shoot goes on.
type PauseEnded struct {
	Day DayID `json:"day"`
}

func (a pauseEnd) decide(d *deciding) *Refusal {
	if _, ok := d.s.Floor.Days[a.Day]; !ok {
		return unknown("day")
	}
	if p := d.s.Floor.Pauses[a.Day]; len(p) > 0 && p[len(p)-1].To == 0 {
		d.emit(PauseEnded(a))
	}
	return nil
}

func (PauseEnded) kind() string { return "pause.ended" }
func (PauseEnded) topic() Topic { return TopicFloor }
func (e PauseEnded) apply(s *State, ev Event) {
	all := slices.Clone(s.Floor.Pauses[e.Day])
	if n := len(all); n > 0 && all[n-1].To == 0 {
		all[n-1].To = max(ev.At, all[n-1].From)
		s.Floor.Pauses = with(s.Floor.Pauses, e.Day, all)
	}
}

// Paused gives the pause that is on, if one is.
func (s *State) Paused(day DayID) (Pause, bool) {
	if p := s.Floor.Pauses[day]; len(p) > 0 && p[len(p)-1].To == 0 {
		return p[len(p)-1], true
	}
	return Pause{}, false
}

// Worked is how long a shot has been up by an instant, interruptions taken out:
// meals that were served, pauses, and stretches in which a hero of the shot did
// not hold. In milliseconds.
func (s *State) Worked(shot Shot, now when.Instant) when.Instant {
	var out when.Instant
	for _, up := range shot.Spans {
		to := up.To
		if to == 0 {
			to = max(now, up.From)
		}
		out += to - up.From - covered(s.interruptions(shot, Span{up.From, to}))
	}
	return out
}

// interruptions are the stretches within a span in which a shot could not be
// worked on.
func (s *State) interruptions(shot Shot, within Span) []Span {
	var out []Span
	add := func(from, to when.Instant) {
		if to == 0 || to > within.To {
			to = within.To
		}
		if from = max(from, within.From); from < to {
			out = append(out, Span{from, to})
		}
	}
	for _, p := range s.Floor.Pauses[shot.Day] {
		add(p.From, p.To)
	}
	for _, m := range s.Floor.Meals {
		if m.Day == shot.Day {
			up := m.Stopped()
			add(up.From, up.To)
		}
	}
	for _, id := range shot.Heroes {
		s.unconfirmed(s.Floor.Heroes[id], within, add)
	}
	return out
}

// Waits are the stretches in which a shot was up and a hero of it did not hold.
func (s *State) Waits(shot Shot, now when.Instant) (out []Span) {
	for _, up := range shot.Spans {
		if up.To == 0 {
			up.To = max(now, up.From)
		}
		for _, id := range shot.Heroes {
			s.unconfirmed(s.Floor.Heroes[id], up, func(from, to when.Instant) {
				out = append(out, Span{from, min(to, up.To)})
			})
		}
	}
	return out
}

// unconfirmed adds the stretches within a span in which a hero did not hold,
// once it had held at the start.
func (s *State) unconfirmed(h Hero, within Span, add func(from, to when.Instant)) {
	turns := []when.Instant{within.From}
	for _, n := range h.History {
		turns = append(turns, n.At, n.Until)
	}
	turns = slices.DeleteFunc(turns, func(t when.Instant) bool { return t < within.From || t >= within.To })
	sorting.Up(turns)
	turns = slices.Compact(turns)
	if len(turns) == 0 || !h.StandingAt(within.From).Confirmed {
		return
	}
	for i, t := range turns {
		to := within.To
		if i+1 < len(turns) {
			to = turns[i+1]
		}
		if !h.StandingAt(t).Confirmed {
			add(t, to)
		}
	}
}

// covered is how much time spans cover together.
func covered(spans []Span) (out when.Instant) {
	sorting.By(spans, func(a, b Span) int { return cmp.Compare(a.From, b.From) })
	var end when.Instant
	for _, s := range spans {
		if from := max(s.From, end); s.To > from {
			out += s.To - from
			end = s.To
		}
	}
	return out
}

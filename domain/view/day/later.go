package day

import (
	"encoding/json"
	"slices"

	"fairday/domain/shoot"
	"fairday/domain/view"
)

// later is what an action that is left for later says of itself.
type later struct {
	Shot shoot.ShotID `json:"shot,omitempty"`
	Up   bool         `json:"up,omitempty"` // of a move
}

// leave gives a button whose arguments and form are made when it is pressed.
func (m *maker) leave(label, name string, l later) view.Action {
	args, err := json.Marshal(l)
	if err != nil { // texts and truths always have a JSON form
		panic(err)
	}
	return view.Action{Label: label, Name: name, Args: args, Enabled: true, Later: true}
}

// Open gives an action that was left for later as it is now, with all that it
// takes. Where there is nothing to go on with, it is off and says why.
func Open(a view.Action, s *shoot.State, c Context) view.Action {
	var l later
	gone := a.Off("That is not on this phone any more. Look again.")
	if !a.Later || json.Unmarshal(a.Args, &l) != nil {
		return gone
	}
	shot, ok := s.Floor.Shots[l.Shot]
	c.Day = shot.Day
	m, err := newMaker(s, c)
	if err != nil || !ok {
		return gone
	}
	switch a.Name {
	case "shot.wishes":
		a = m.wishes(shot)
	case "shot.order":
		run := m.Run(m.Day)
		a = m.move(a.Label, run, slices.IndexFunc(run, func(s shoot.Shot) bool { return s.ID == shot.ID }), l.Up)
	default:
		return gone
	}
	view.Complete(&a)
	return a
}

// move moves a shot one place in the order.
func (m *maker) move(label string, run []shoot.Shot, i int, up bool) view.Action {
	to, why := i+1, "It is the last already."
	if up {
		to, why = i-1, "It is the first already."
	}
	if to < 0 || to >= len(run) {
		return view.Action{Label: label, Name: "shot.order"}.Off(why)
	}
	order := make([]shoot.ShotID, len(run))
	for j, shot := range run {
		order[j] = shot.ID
	}
	order[i], order[to] = order[to], order[i]
	return m.Action(label, "shot.order", view.Fields{"day": m.Day.ID, "order": order, "base": m.Day.OrderVersion})
}

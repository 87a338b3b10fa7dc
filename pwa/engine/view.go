package main

import (
	"encoding/json"
	"errors"

	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/view/day"
	"fairday/domain/when"
	"fairday/sync/replica"
	"fairday/sync/wire"
)

// Ask says which part of a screen is wanted.
type Ask struct {
	Day shoot.DayID  `json:"day"` // "" for today's
	At  when.Instant `json:"at"`  // the wrap that is asked about on the overtime screen, 0 for the planned one
}

// Answer is a finished near screen, or why there is none; neither while the shoot is
// not known.
type Answer struct {
	View any    `json:"view"`
	Say  string `json:"say"`
}

// Filled is what a form's entries come to: the arguments of its action, or what
// is wrong with them.
type Filled struct {
	Args    json.RawMessage `json:"args,omitempty"`
	Problem *view.Problem   `json:"problem,omitempty"`
}

// view makes a screen at an instant of this phone's clock; the screen tells the
// server's time.
func (b *Bridge) view(a []string) any {
	s := b.replica.State()
	if s == nil {
		return Answer{}
	}
	var ask Ask
	decode(a[1], &ask)
	c := b.context(a[2])
	c.Day, c.At = ask.Day, ask.At
	c.Waiting, c.Stuck, c.Memo, c.Present = len(b.replica.Pending()), stuck(b.replica.Stuck()), &b.memo, b.replica.Present()
	model, err := day.Make(a[0], s, c)
	if err != nil {
		return Answer{Say: err.Error()}
	}
	return Answer{View: model}
}

// context is who looks, at an instant of this phone's clock.
func (b *Bridge) context(now string) day.Context {
	return day.Context{Context: view.Context{Me: b.replica.Audience().Person, Now: instant(now) - b.replica.Offset()}}
}

// open gives an action that a screen left for later.
func (b *Bridge) open(a []string) any {
	var action view.Action
	decode(a[0], &action)
	return day.Open(action, b.replica.State(), b.context(a[1]))
}

func stuck(from []replica.Item) []day.Stuck {
	out := make([]day.Stuck, len(from))
	for i, it := range items(from) {
		out[i] = day.Stuck{Seq: it.Seq, Name: it.Name, Args: it.Args, Made: it.Made, Code: it.Code,
			Say: it.Say, Yours: it.Yours, Theirs: it.Theirs, Flag: it.Result == wire.Flagged}
	}
	return out
}

// fill turns what was entered into a form into its action's arguments.
func (b *Bridge) fill(a []string) any {
	var action view.Action
	decode(a[0], &action)
	var entered map[string][]string
	decode(a[1], &entered)
	args, err := view.Fill(action, entered, shoot.NewID(instant(a[3]), random(a[2])))
	if err == nil {
		return Filled{Args: args}
	}
	var p *view.Problem
	if !errors.As(err, &p) {
		p = &view.Problem{Say: err.Error()}
	}
	return Filled{Problem: p}
}

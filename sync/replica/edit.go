package replica

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/wire"
)

// Edit makes an edit of what a person entered. A request that the rules refuse,
// as far as this phone knows, is answered with Refused and leaves nothing
// behind; one of a far kind is the desk's to judge. Anything else gives one row to keep. A fact is always kept, unless it
// is not even well-formed.
func (r *Replica) Edit(id shoot.IntentID, name string, args json.RawMessage, now when.Instant) Step {
	if refusal := r.judge(r.row(id, name, args, now)); refusal != nil {
		return Step{Refused: refusal}
	}
	return r.draft(id, name, args, now)
}

// Entered is Edit for what was entered while this replica was not there to judge it,
// on a screen that was finished before: whether it goes is for the desk to say, and a
// refusal comes as a verdict. What nobody could read is refused as by Edit.
func (r *Replica) Entered(id shoot.IntentID, name string, args json.RawMessage, then when.Instant) Step {
	if refusal := readable(args); refusal != nil {
		return Step{Refused: refusal}
	}
	return r.draft(id, name, args, then)
}

func (r *Replica) draft(id shoot.IntentID, name string, args json.RawMessage, now when.Instant) Step {
	row := r.row(id, name, args, now)
	r.drafts = append(r.drafts, row)
	return Step{Keep: []Row{row}}
}

func (r *Replica) row(id shoot.IntentID, name string, args json.RawMessage, now when.Instant) Row {
	return Row{Made: now, Edit: wire.Edit{ID: id, Name: name, Version: shoot.Version(name), Args: args,
		Happened: now, Offset: r.offset, DependsOn: r.root(name, args)}}
}

func readable(args json.RawMessage) *shoot.Refusal {
	if len(args) <= shoot.MaxArgs && json.Valid(args) {
		return nil
	}
	return &shoot.Refusal{Code: shoot.CodeBadArgs, Say: "That is too much for one edit, or it is not readable. Shorten it and enter it again."}
}

// judge tries an edit on what is shown and gives why it cannot be taken, or nil.
func (r *Replica) judge(row Row) *shoot.Refusal {
	fact := shoot.IsFact(row.Edit.Name)
	if refusal := readable(row.Edit.Args); refusal != nil {
		return refusal
	}
	switch {
	case r.shown == nil && (fact || shoot.IsFar(row.Edit.Name)):
		return nil
	case r.shown == nil:
		return &shoot.Refusal{Code: shoot.CodeNotKnownHere, Say: "This phone does not know the shoot yet. Wait for a connection, then try again."}
	}
	_, refusal := r.decide(r.shown, row)
	if refusal == nil {
		return nil
	}
	switch refusal.Code {
	case shoot.CodeNotKnownHere, shoot.CodeFault: // the desk can tell
		return nil
	case shoot.CodeBadArgs, shoot.CodeUnknownIntent: // nobody could tell
		return refusal
	}
	if fact {
		return nil
	}
	return refusal
}

// root finds the newest waiting edit of the same row.
func (r *Replica) root(name string, args json.RawMessage) shoot.IntentID {
	target := shoot.Target(name, args)
	if target == "" {
		return ""
	}
	same := func(row Row) bool {
		return row.Verdict == nil && shoot.Target(row.Edit.Name, row.Edit.Args) == target
	}
	for _, row := range slices.Backward(r.drafts) {
		if same(row) {
			return row.Edit.ID
		}
	}
	for _, row := range slices.Backward(r.rows) {
		if same(row) {
			return row.Edit.ID
		}
	}
	return ""
}

// Kept takes rows that are stored, with the numbers that the database gave
// them, whichever tab they come from. They are shown now and sent as soon as
// they can be. Rows that are here already are passed over.
func (r *Replica) Kept(rows []Row, now when.Instant) Step {
	var step Step
	for _, row := range rows {
		r.drafts = slices.DeleteFunc(r.drafts, func(d Row) bool { return d.Edit.ID == row.Edit.ID })
		if row.Seq == 0 || r.find(row.Edit.ID) != nil {
			continue
		}
		at, _ := slices.BinarySearchFunc(r.rows, row.Seq, func(have Row, seq uint64) int { return cmp.Compare(have.Seq, seq) })
		r.rows = slices.Insert(r.rows, at, row)
		step.Changed = true
		if at == len(r.rows)-1 && row.Verdict == nil {
			r.run(row)
		} else {
			r.rebase()
		}
	}
	for _, row := range r.rows {
		if row.Seq == r.known+1 {
			r.known++
		}
	}
	step.Reread = r.known < r.highest()
	r.send(&step, now)
	return step
}

// Reread takes all rows of the queue and the highest number it has ever given
// out, so that a number that never comes is not waited for. Where the desk has
// seen higher numbers than that, the queue has lost its memory.
func (r *Replica) Reread(rows []Row, sent uint64, now when.Instant) Step {
	lost := r.suspect && sent <= r.claimed // otherwise it was another tab that gave out the numbers
	r.known, r.suspect = max(r.known, sent), false
	step := r.Kept(rows, now)
	step.NewDevice = lost
	return step
}

// Discard takes a row off the list of what to look at. A refused or waiting one
// leaves the queue; a flagged one stays for as long as it could be needed.
func (r *Replica) Discard(seq uint64) Step {
	i, ok := slices.BinarySearchFunc(r.rows, seq, func(have Row, seq uint64) int { return cmp.Compare(have.Seq, seq) })
	if !ok {
		return Step{}
	}
	if v := r.rows[i].Verdict; v != nil && v.Result != wire.Refused {
		r.rows[i].Seen = true
		return Step{Keep: []Row{r.rows[i]}, Changed: true}
	}
	r.rows = slices.Delete(r.rows, i, i+1)
	r.rebase()
	return Step{Drop: []uint64{seq}, Changed: true}
}

// rebase makes what is shown afresh: what is confirmed and the waiting edits on
// top, each decided again.
func (r *Replica) rebase() {
	clear(r.doubts)
	r.shown = r.confirmed
	for _, row := range r.rows {
		if row.Verdict == nil {
			r.run(row)
		}
	}
}

// run puts one waiting edit on top of what is shown. One that the rules would
// refuse now stays in the queue, since the desk decides, and is not shown.
func (r *Replica) run(row Row) {
	if r.shown == nil {
		return
	}
	if r.shown == r.confirmed {
		r.shown = r.confirmed.Clone()
	}
	events, refusal := r.decide(r.shown, row)
	if refusal == nil {
		refusal = r.apply(events)
	}
	if refusal != nil {
		r.doubts[row.Seq] = refusal
	}
}

// decide runs the rules for an edit of this person; one of a far kind is only
// checked, and leads to nothing here. A panic in them is a
// refusal with CodeFault.
func (r *Replica) decide(s *shoot.State, row Row) (events []shoot.Event, refusal *shoot.Refusal) {
	defer func() {
		if p := recover(); p != nil {
			events, refusal = nil, fault(p)
		}
	}()
	e := row.Edit
	in := shoot.Intent{ID: e.ID, Name: e.Name, Version: e.Version, Args: e.Args,
		Actor: r.person, Happened: e.Happened - e.Offset, Received: row.Made - e.Offset}
	var decision shoot.Decision
	var err error
	if shoot.IsFar(e.Name) {
		err = shoot.Check(s, in)
	} else {
		decision, err = shoot.DecideNear(s, in)
	}
	if err != nil && !errors.As(err, &refusal) {
		return nil, fault(err)
	}
	return decision.Events, refusal
}

func (r *Replica) apply(events []shoot.Event) (refusal *shoot.Refusal) {
	defer func() {
		if p := recover(); p != nil {
			refusal = fault(p)
		}
	}()
	for _, e := range events {
		shoot.Apply(r.shown, e)
	}
	return nil
}

func fault(p any) *shoot.Refusal {
	return &shoot.Refusal{Code: shoot.CodeFault, Say: fmt.Sprintf("This phone could not work that out (%v). The server will.", p)}
}

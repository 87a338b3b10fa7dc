package sim

import (
	"bytes"
	"encoding/json"
	"errors"

	"fairday/domain/shoot"
	"fairday/sync/desk"
	"fairday/sync/replica"
	"fairday/sync/wire"
)

// check holds the end of a run against what the rules promise, with a replay so
// plain that it cannot be wrong in the same way.
func (w *world) check() {
	all, err := w.log.Range(ShootID, 0, 1<<30, true)
	w.must(err)
	w.report.Entries = len(all)
	truth := w.replay(all)
	if !bytes.Equal(Args(truth), Args(w.d.State())) {
		w.wrong("the desk's state is not what its log says")
	}
	again, err := desk.Open(w.deskCfg)
	if err != nil {
		w.wrong("the desk does not open again: %v", err)
	} else if !bytes.Equal(Args(truth), Args(again.State())) {
		w.wrong("opened again, the desk's state is not what its log says")
	}
	for _, p := range w.phones {
		w.converged(p, truth)
	}
	w.accounted(all)
}

// replay applies the log in order and decides every intent once more on the way.
func (w *world) replay(all []desk.Entry) *shoot.State {
	s := shoot.New()
	seen := map[shoot.IntentID]bool{}
	for i, e := range all {
		if e.Seq != uint64(i+1) {
			w.wrong("entry %d stands at %d", e.Seq, i+1)
		}
		if seen[e.Intent.ID] {
			w.wrong("intent %s is in the log twice", e.Intent.ID)
		}
		seen[e.Intent.ID] = true
		w.decidedAgain(s, e)
		for _, ev := range e.Events {
			if o, ok := ev.Body.(shoot.ShotOpened); ok {
				if holds := s.Gate(s.Floor.Shots[o.Shot], ev.At); len(holds) > 0 {
					w.wrong("entry %d opened a shot that was held: %q", e.Seq, holds)
				}
			}
			shoot.Apply(s, ev)
		}
	}
	return s
}

// decidedAgain checks that an entry's verdict is what the rules say.
func (w *world) decidedAgain(s *shoot.State, e desk.Entry) {
	if r := e.Verdict.Refusal; r != nil && (r.Code == shoot.CodeRoot || r.Code == shoot.CodeFault) {
		if r.Code == shoot.CodeFault {
			w.wrong("a rule failed on %s %s", e.Intent.Name, e.Intent.Args)
		}
		return
	}
	decision, err := shoot.Decide(s, e.Intent)
	var r *shoot.Refusal
	errors.As(err, &r)
	if !bytes.Equal(Args(r), Args(e.Verdict.Refusal)) || !bytes.Equal(Args(decision.Flag), Args(e.Verdict.Flag)) {
		w.wrong("entry %d (%s) has the verdict %s, and the rules say %s %s", e.Seq, e.Intent.Name, Args(e.Verdict), Args(r), Args(decision.Flag))
	}
	if len(decision.Events) != len(e.Events) || len(e.Events) > 0 && !bytes.Equal(Args(decision.Events), Args(e.Events)) {
		w.wrong("entry %d (%s) decided again leads to other events", e.Seq, e.Intent.Name)
	}
}

// converged checks that a phone has exactly what its audience is to have.
func (w *world) converged(p *phone, truth *shoot.State) {
	a, ok := truth.AudienceOf(p.person)
	if !ok {
		w.wrong("%s has no access at the end", p.person)
		return
	}
	want := Args(truth.For(a))
	if !bytes.Equal(want, Args(p.r.Confirmed())) {
		w.wrong("%s (%s) has another state than the desk", p.person, a.Role)
	}
	if !bytes.Equal(want, Args(p.r.State())) {
		w.wrong("%s (%s) shows something else although nothing waits", p.person, a.Role)
	}
	if s := p.r.Status(); s.Mismatches > 0 || s.Outdated {
		w.wrong("%s met %d other hashes, outdated %v", p.person, s.Mismatches, s.Outdated)
	}
}

// accounted checks that every edit that was kept on a phone is in the log, or
// visible there as refused by an earlier history, or was thrown away by a person;
// and that each phone was told what the log says.
func (w *world) accounted(all []desk.Entry) {
	verdicts := map[shoot.IntentID]wire.Verdict{}
	for _, e := range all {
		verdicts[e.Intent.ID] = e.Verdict
	}
	for id, p := range w.made {
		_, logged := verdicts[id]
		if logged || w.thrown[id] {
			continue
		}
		if row := p.row(id); row == nil || row.Verdict == nil || row.Verdict.Result != wire.Refused {
			w.wrong("edit %s of %s is lost: %s", id, p.person, Args(row))
		}
	}
	for _, p := range w.phones {
		for seq := range p.rows {
			row := p.decode(seq)
			v, logged := verdicts[row.Edit.ID]
			if row.Verdict == nil {
				w.wrong("%s still has edit %d waiting", p.person, seq)
			} else if logged && row.Generation == w.d.Generation() && !bytes.Equal(Args(v), Args(row.Verdict)) {
				w.wrong("%s was told %s, the log says %s", p.person, Args(row.Verdict), Args(v))
			} else if !logged && row.Verdict.Result != wire.Refused {
				w.wrong("%s was told that edit %d is in, and it is not in the log", p.person, seq)
			}
		}
	}
}

func (p *phone) decode(seq uint64) replica.Row {
	var row replica.Row
	p.w.must(json.Unmarshal(p.rows[seq], &row))
	return row
}

func (p *phone) row(id shoot.IntentID) *replica.Row {
	for seq := range p.rows {
		if row := p.decode(seq); row.Edit.ID == id {
			return &row
		}
	}
	return nil
}

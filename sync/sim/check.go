package sim

import (
	"bytes"
	"encoding/json"
	"errors"
	"maps"
	"strings"

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
	for i, e := range all {
		if e.Args != "" { // refused: the log has forgotten what it asked for
			all[i].Intent.Args = w.asked[e.Intent.ID]
		}
	}
	w.report.Entries, w.report.Log = len(all), all
	truth := w.replay(all)
	if !bytes.Equal(Args(truth), Args(w.d.State())) {
		w.wrong("the desk's state is not what its log says")
	}
	again, err := desk.Open(w.deskCfg)
	if err != nil {
		w.wrong("the desk does not open again: %v", err)
		return
	}
	if !bytes.Equal(Args(truth), Args(again.State())) {
		w.wrong("opened again, the desk's state is not what its log says")
	}
	want := map[shoot.PersonID][]byte{}
	for _, p := range w.phones {
		if want[p.person] == nil {
			want[p.person] = Args(projection(all, p.person, truth.Floor.People[p.person].Role))
		}
		w.converged(p, again, want[p.person])
		w.present(p)
	}
	w.accounted(all)
}

// replay applies the log in order and decides every intent once more on the way.
func (w *world) replay(all []desk.Entry) *shoot.State {
	s := shoot.New()
	seen := map[shoot.IntentID]bool{}
	read := map[shoot.HeroID]map[shoot.PersonID]bool{} // who has ever confirmed a hero
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
			if c, ok := ev.Body.(shoot.HeroConfirmed); ok {
				if read[c.Hero] == nil {
					read[c.Hero] = map[shoot.PersonID]bool{}
				}
				read[c.Hero][ev.By] = true
			}
			if o, ok := ev.Body.(shoot.ShotOpened); ok {
				for _, h := range s.Floor.Shots[o.Shot].Heroes {
					if n := s.Floor.Heroes[h].Needs; len(read[h]) < n {
						w.wrong("entry %d opened a shot, and %d of %d people have ever read its hero", e.Seq, len(read[h]), n)
					}
				}
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
	result := wire.Accepted
	switch {
	case r != nil:
		result = wire.Refused
	case decision.Flag != nil:
		result = wire.Flagged
	}
	if result != e.Verdict.Result || !bytes.Equal(Args(r), Args(e.Verdict.Refusal)) || !bytes.Equal(Args(decision.Flag), Args(e.Verdict.Flag)) {
		w.wrong("entry %d (%s) has the verdict %s, and the rules say %s %s", e.Seq, e.Intent.Name, Args(e.Verdict), Args(r), Args(decision.Flag))
	}
	if len(decision.Events) != len(e.Events) || len(e.Events) > 0 && !bytes.Equal(Args(decision.Events), Args(e.Events)) {
		w.wrong("entry %d (%s) decided again leads to other events", e.Seq, e.Intent.Name)
	}
}

// sees is who may see a plane, written down a second time.
func sees(topic shoot.Topic, who shoot.PersonID, role shoot.Role) bool {
	switch {
	case topic == "floor":
		return true
	case topic == "office":
		return role == "producer" || role == "art-director"
	case topic == "money":
		return role == "producer"
	case topic == "kitchen":
		return role == "producer" || role == "caterer"
	case topic == "ask":
		return role == "producer" || role == "art-director" || role == "client"
	}
	own := topic == "diet:"+shoot.Topic(who) || topic == "pay:"+shoot.Topic(who)
	return own || role == "producer" && (strings.HasPrefix(string(topic), "diet:") || strings.HasPrefix(string(topic), "pay:"))
}

// projection makes what an audience has from the events that it sees, and from
// nothing else.
func projection(all []desk.Entry, who shoot.PersonID, role shoot.Role) *shoot.State {
	s := shoot.New()
	if !sees("office", who, role) {
		s.Office = nil
	}
	if !sees("money", who, role) {
		s.Money = nil
	}
	if !sees("kitchen", who, role) {
		s.Kitchen = nil
	}
	s.AllDiets = sees("diet:somebody", who, role)
	for _, e := range all {
		for _, ev := range e.Events {
			if sees(ev.Topic(), who, role) {
				shoot.Apply(s, ev)
			}
		}
	}
	return s
}

// held checks that a phone holds no plane that its role does not see.
func (w *world) held(p *phone, s *shoot.State, role shoot.Role) {
	if s == nil {
		return
	}
	bad := s.Money != nil && !sees("money", p.person, role) || s.Office != nil && !sees("office", p.person, role) ||
		s.Kitchen != nil && !sees("kitchen", p.person, role) || len(s.Asks) > 0 && !sees("ask", p.person, role) || s.AllDiets && role != shoot.Producer
	for who := range s.Diets {
		bad = bad || !sees("diet:"+shoot.Topic(who), p.person, role)
	}
	for _, pay := range s.Pay {
		bad = bad || !sees("pay:"+shoot.Topic(pay.Person), p.person, role)
	}
	if bad {
		w.wrong("%s (%s) holds what it may not see", p.person, role)
	}
}

// converged checks that a phone has exactly what its audience is to have: kept up
// by events, as a snapshot gives it, and as the log says.
func (w *world) converged(p *phone, again *desk.Desk, want []byte) {
	if !bytes.Equal(want, Args(p.r.Confirmed())) {
		w.wrong("%s has another state than the log gives", p.person)
	}
	if !bytes.Equal(want, Args(p.r.State())) {
		w.wrong("%s shows something else although nothing waits", p.person)
	}
	if s := p.r.Status(); s.Mismatches > 0 || s.Outdated {
		w.wrong("%s met %d other hashes, outdated %v", p.person, s.Mismatches, s.Outdated)
	}
	if !bytes.Equal(want, snapshot(again, p)) {
		w.wrong("%s is given another state by a snapshot than by events", p.person)
	}
}

// present checks that a phone knows who is on line: everybody who has a phone. A page
// that found an older server once stays with the older protocol, and knows nothing.
func (w *world) present(p *phone) {
	if p.link == nil { // it was told to come to rest, and has not
		return
	}
	if p.link.protocol < wire.Presents {
		if p.r.Present() != nil {
			w.wrong("%s speaks protocol %d and is told who is on line", p.person, p.link.protocol)
		}
		return
	}
	want := map[shoot.PersonID]bool{}
	for _, o := range w.phones {
		want[o.person] = true
	}
	if got := p.r.Present(); !maps.Equal(got, want) {
		w.wrong("%s takes %d people for on line where %d are", p.person, len(got), len(want))
	}
}

// snapshot is what a phone is given that knows nothing.
func snapshot(d *desk.Desk, p *phone) []byte {
	fresh := replica.New(p.device, p.person, "sim")
	fresh.Load(nil, nil, p.last)
	fresh.Connected(0)
	d.Attach(1, p.person)
	for _, o := range d.Receive(1, wire.Hello{Protocol: wire.Protocol, Device: p.device, Sent: p.last}, 0) {
		fresh.Receive(o.Whole(), 0)
	}
	d.Leave(1)
	return Args(fresh.Confirmed())
}

// accounted checks that every edit that was kept on a phone is in the log, or
// visible there as refused by an earlier history, or was thrown away by a person;
// and that each phone was told what the log says.
func (w *world) accounted(all []desk.Entry) {
	verdicts := map[shoot.IntentID]wire.Verdict{}
	for _, e := range all {
		verdicts[e.Intent.ID] = e.Verdict
	}
	for id, p := range w.entered {
		_, logged := verdicts[id]
		if logged || w.thrown[id] {
			continue
		}
		if row := p.row(id); row == nil || row.Verdict == nil || row.Verdict.Result != wire.Refused {
			w.wrong("edit %s of %s is lost: %s", id, p.person, Args(row))
		}
	}
	for id, told := range w.told {
		v, logged := verdicts[id]
		if told.generation == w.d.Generation() && !logged && told.code != desk.CodeIDTaken {
			w.wrong("%s was told %s, and the log has no such edit", told.person, told.verdict)
		}
		if told.generation == w.d.Generation() && logged && told.verdict != string(Args(v)) {
			w.wrong("%s was told %s, and the log says %s", told.person, told.verdict, Args(v))
		}
	}
	for _, p := range w.phones {
		for seq := range p.rows {
			row := p.decode(seq)
			v, logged := verdicts[row.Edit.ID]
			if row.Verdict == nil {
				w.wrong("%s still has edit %d waiting", p.person, seq)
			} else if logged && row.Generation == w.d.Generation() && !bytes.Equal(Args(v), Args(row.Verdict)) {
				w.wrong("%s keeps %s, the log says %s", p.person, Args(row.Verdict), Args(v))
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

package sim

import (
	"bytes"
	"encoding/json"
	"slices"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/desk"
	"fairday/sync/wire"
)

// link is a connection as it is in the world: either end may have gone without
// the other knowing, and messages may still be on their way.
type link struct {
	id       desk.ConnID
	p        *phone
	up, down []packet
	held     bool // the phone's end
	mute     bool // it is dead, and nobody has been told
	gone     int  // steps since the phone let go, which the server does not know
	served   bool // the server's end
	role     shoot.Role
	protocol int // of its hello
}

type packet struct {
	at   when.Instant // of arrival
	text []byte
}

// dial makes a connection; the desk learns of it when hello comes.
func (w *world) dial(p *phone) *link {
	w.nextID++
	l := &link{id: w.nextID, p: p, held: true, served: true}
	w.links[l.id] = l
	w.order = append(w.order, l.id)
	w.d.Attach(l.id, p.person)
	return l
}

// put lays a message onto a wire, unless it is lost there.
func (w *world) put(p *phone, queue *[]packet, text []byte) {
	if p.link != nil && p.link.mute || w.fault(p.chance, w.cfg.Drop, "drop") {
		return
	}
	at := w.now + when.Instant(p.chance.Below(1500))
	if !w.faulty {
		at = w.now + 50
	}
	if n := len(*queue); n > 0 {
		at = max(at, (*queue)[n-1].at)
	}
	*queue = append(*queue, packet{at, text})
	if w.fault(p.chance, w.cfg.Double, "double") {
		*queue = append(*queue, packet{at, text})
	}
	if n := len(*queue); n > 1 && w.fault(p.chance, w.cfg.Swap, "swap") {
		(*queue)[n-1].text, (*queue)[n-2].text = (*queue)[n-2].text, (*queue)[n-1].text
	}
}

// post sends what the desk has to say.
func (w *world) post(outs []desk.Out) {
	for _, o := range outs {
		l := w.links[o.To]
		if l == nil || !l.served {
			continue
		}
		o.Text = w.garbled(l, o.Whole())
		if l.p.person != Person(0) {
			w.report.Heard[l.p.person] = append(w.report.Heard[l.p.person], blank(o.Text))
		}
		w.secret(l, o.Text)
		if l.held {
			w.put(l.p, &l.down, o.Text)
		}
		if o.Close {
			l.served = false
		}
	}
}

// carry delivers everything that has arrived by now.
func (w *world) carry() {
	for _, id := range slices.Clone(w.order) {
		l := w.links[id]
		for len(l.up) > 0 && l.up[0].at <= w.now {
			text := l.up[0].text
			l.up = l.up[1:]
			if !l.served {
				continue
			}
			m, err := wire.DecodeUp(text)
			if err != nil {
				w.wrong("%s sent what cannot be read: %v", l.p.person, err)
				continue
			}
			if h, ok := m.(wire.Hello); ok {
				if l.protocol = h.Protocol; w.back && h.Protocol == wire.Protocol {
					w.post(w.d.Bye(l.id, wire.CodeProtocol))
					continue
				}
			}
			if m, ok := m.(wire.Edits); ok {
				w.ask(m.Edits)
			}
			w.post(w.d.Receive(l.id, m, w.clock()))
		}
		for len(l.down) > 0 && l.down[0].at <= w.now && l.held {
			text := l.down[0].text
			l.down = l.down[1:]
			l.p.do(l.p.r.Receive(l.p.puzzling(text), l.p.clock()))
		}
		if !l.held {
			l.down = nil
		}
		if l.held && !l.served && len(l.down) == 0 && !l.mute {
			l.p.hangUp()
		}
		if l.gone++; l.held {
			l.gone = 0
		}
		if !l.held && len(l.up) == 0 && (l.gone > l.p.n%7*8 || !w.faulty) { // the server notices in the end
			w.d.Leave(l.id)
			delete(w.links, l.id)
			w.order = slices.DeleteFunc(w.order, func(o desk.ConnID) bool { return o == l.id })
		}
	}
}

// secret checks that a message holds nothing that its person may not see. What
// several are sent is looked at once for each person.
func (w *world) secret(l *link, text []byte) {
	if i := bytes.Index(text, []byte(`"events":`)); i > 0 && bytes.HasPrefix(text, []byte(`{"type":"frame"`)) && !bytes.Contains(text[i:], []byte(`"verdicts":`)) {
		key := string(l.p.person) + string(l.role) + string(text[i:])
		if w.looked[key] {
			return
		}
		w.looked[key] = true
	}
	m, err := wire.DecodeDown(text)
	if err != nil {
		w.wrong("the desk said what cannot be read: %v", err)
		return
	}
	switch m := m.(type) {
	case wire.Welcome:
		l.role = m.Role
		a, _ := w.d.State().AudienceOf(l.p.person)
		if a.Role != l.role {
			w.wrong("%s is welcomed as %s and is %s", l.p.person, l.role, a.Role)
		}
	case wire.Frame:
		for _, v := range m.Verdicts {
			told := receipt{verdict: string(Args(v)), generation: w.d.Generation(), person: l.p.person}
			if v.Refusal != nil {
				told.code = v.Refusal.Code
			}
			w.told[v.ID] = told
		}
		a := shoot.Audience{Person: l.p.person, Role: l.role}
		for _, raw := range m.Events {
			var e shoot.Event
			if err := json.Unmarshal(raw, &e); err != nil || !a.Sees(e.Topic()) {
				w.wrong("%s (%s) was sent %s (%v)", l.p.person, l.role, raw, err)
			}
		}
	case wire.Presence:
		for _, who := range m.People {
			if p, ok := w.d.State().Floor.People[who]; !ok || p.Revoked || l.role == "" {
				w.wrong("%s (%s) hears whether %s is on line", l.p.person, l.role, who)
			}
		}
	case wire.Snapshot:
		var s shoot.State
		if err := json.Unmarshal(m.State, &s); err != nil {
			w.wrong("a snapshot: %v", err)
		}
		a := shoot.Audience{Person: l.p.person, Role: l.role}
		if (s.Money != nil) != a.Sees(shoot.TopicMoney) || (s.Office != nil) != a.Sees(shoot.TopicOffice) || (s.Kitchen != nil) != a.Sees(shoot.TopicKitchen) {
			w.wrong("%s (%s) was sent another audience's snapshot", l.p.person, l.role)
		}
	}
}

package shoot

import (
	"maps"
	"slices"
	"strings"

	"fairday/domain/overtime"
	"fairday/domain/sorting"
	"fairday/domain/when"
)

// What a day is paid as: its kind, where it is no shoot day, and who was called off
// and how long before their call. Both belong to the money plane; who is called is
// the call sheet's, which is changed and published apart from this.

var payDayRows = rows{
	intents: []intentRow{
		{name: "day.kind", far: true, plane: TopicMoney, who: office, target: "day", say: "What {day} is paid as"},
		{name: "day.off", far: true, plane: TopicMoney, who: office, target: "day", say: "Called off, {day}"},
	},
	events: []eventRow{
		{body: DayKindSet{}, pay: func(_ *State, b Body) PersonID {
			if p := b.(DayKindSet).Person; p != "" {
				return p
			}
			return everybody
		}},
		{body: CalledOff{}, pay: func(_ *State, b Body) PersonID { return PersonID(b.(CalledOff).Who) }},
	},
}

var payDayFar = farRules{
	{"day.kind", dayKind{}},
	{"day.off", dayOff{}},
}

// ShootDay is the kind of a day that is one, for a person on a day that is not.
const ShootDay = "shoot"

// DayKinds are the kinds of days that people are asked for; terms may name others.
func DayKinds() []string { return []string{ShootDay, "prep", "travel", "rehearsal", "return"} }

type dayKind struct {
	Day    DayID    `json:"day"`
	Person PersonID `json:"person,omitempty"` // "" for everybody whose own kind is not said
	Kind   string   `json:"kind"`             // "" for nothing of their own, and for a shoot day
}

// DayKindSet says what kind of day it is for everybody, or for a person.
type DayKindSet struct {
	Day    DayID    `json:"day"`
	Person PersonID `json:"person,omitempty"`
	Kind   string   `json:"kind"`
}

func (a dayKind) decide(d *deciding) *Refusal {
	if _, ok := d.s.Floor.Days[a.Day]; !ok {
		return unknown("day")
	}
	if _, ok := d.s.Floor.People[a.Person]; !ok && a.Person != "" {
		return unknown("person")
	}
	if d.s.Money == nil {
		return notHere()
	}
	if r := text("kind of day", a.Kind, 40); r != nil {
		return r
	}
	if a.Kind = strings.TrimSpace(a.Kind); a.Person == "" && a.Kind == ShootDay {
		a.Kind = ""
	}
	if d.s.Money.Kinds[KeyOf(a.Day, a.Person)] != a.Kind {
		d.emit(DayKindSet(a))
	}
	return nil
}

func (DayKindSet) kind() string { return "day.kind" }
func (DayKindSet) topic() Topic { return TopicMoney }
func (e DayKindSet) apply(s *State, _ Event) {
	key := KeyOf(e.Day, e.Person)
	if e.Kind == "" {
		s.Money.Kinds = maps.Clone(s.Money.Kinds)
		delete(s.Money.Kinds, key)
		return
	}
	s.Money.Kinds = with(s.Money.Kinds, key, e.Kind)
}

// KindOf is what kind of day it is for a person, "" for a shoot day.
func (s *State) KindOf(day DayID, p PersonID) string {
	if s.Money == nil {
		return ""
	}
	kind, own := s.Money.Kinds[KeyOf(day, p)]
	if !own {
		kind = s.Money.Kinds[KeyOf(day, "")]
	}
	if kind == ShootDay {
		return ""
	}
	return kind
}

// How a day came to be called off.
const (
	Cancelled = "cancelled"
	Postponed = "postponed"
	StandsNow = "" // it is not called off, or no longer
)

type dayOff struct {
	Day  DayID        `json:"day"`
	Who  []string     `json:"who"` // people and hires
	How  string       `json:"how"`
	Told when.Instant `json:"told,omitempty"`
}

// Off is that a person, or a hire, was called off, and what they were told when.
type Off struct {
	How  string       `json:"how"`
	Call when.Instant `json:"call"` // as it stood
	Told when.Instant `json:"told"`
	By   PersonID     `json:"by"`
	At   when.Instant `json:"at"`
}

// CalledOff calls one person or hire off, or takes that back where Off is zero.
type CalledOff struct {
	Day DayID  `json:"day"`
	Who string `json:"who"`
	Off Off    `json:"off,omitzero"`
}

func (a dayOff) decide(d *deciding) *Refusal {
	if _, ok := d.s.Floor.Days[a.Day]; !ok {
		return unknown("day")
	}
	if d.s.Money == nil {
		return notHere()
	}
	switch a.How {
	case Cancelled, Postponed:
		if a.Told <= 0 || a.Told > d.in.Received+Skew {
			return refuse(CodeBadArgs, "When they were told is missing, or has not come yet. Enter when they heard that the day is off.")
		}
	case StandsNow:
		a.Told = 0
	default:
		return refuse(CodeBadArgs, "%q is no way to be called off. Use cancelled or postponed.", clip(a.How))
	}
	if len(a.Who) == 0 || len(a.Who) > 400 {
		return refuse(CodeBadArgs, "Say who is called off.")
	}
	all := slices.Clone(a.Who)
	sorting.Up(all)
	for _, who := range slices.Compact(all) {
		if r := d.callOff(a, who); r != nil {
			return r
		}
	}
	return nil
}

// callOff calls off one of them, or takes it back.
func (d *deciding) callOff(a dayOff, who string) *Refusal {
	key := KeyOf(a.Day, PersonID(who))
	was, off := d.s.Money.Off[key]
	if a.How == StandsNow {
		if off {
			d.emit(CalledOff{Day: a.Day, Who: who})
		}
		return nil
	}
	if was.How == a.How && was.Told == a.Told {
		return nil
	}
	call, name, r := d.s.callOf(a.Day, who)
	switch {
	case r != nil:
		return r
	case len(d.s.Floor.Hours[key].Marks) > 0:
		return refuse(CodeWrongProgress, "%s signed in that day, so their hours are paid. Sign them out, or take the punches back first.", name)
	case call == 0 && !off:
		return refuse(CodeWrongProgress, "%s is not called that day, so there is no call to be short of. Call them off before you take them off the call sheet.", name)
	case call == 0:
		call = was.Call // off the sheet since
	}
	d.emit(CalledOff{a.Day, who, Off{How: a.How, Call: call, Told: a.Told, By: d.in.Actor, At: d.at}})
	return nil
}

// callOf is when a person is called that day, on the newest sheet or else on the
// draft, or when a hire begins; 0 for who is not called.
func (s *State) callOf(id DayID, who string) (call when.Instant, name string, r *Refusal) {
	day := s.Floor.Days[id]
	if p, ok := s.Floor.People[PersonID(who)]; ok {
		if sheet, published := s.SheetNow(id); published {
			return sheet.Calls[p.ID].At, p.Name, nil
		}
		if s.Office == nil {
			return 0, p.Name, notHere()
		}
		clock, called := s.Office.Drafts[id].Calls[p.ID]
		if !called {
			return 0, p.Name, nil
		}
		at, err := day.Zone.At(day.Date, clock)
		if err != nil {
			return 0, p.Name, wrong(err)
		}
		return at, p.Name, nil
	}
	h, ok := s.Money.Hires[HireID(who)]
	if !ok || h.Day != id {
		return 0, "", unknown("person or hire")
	}
	at, err := day.Zone.At(day.Date, h.From)
	if err != nil {
		return 0, h.Name, wrong(err)
	}
	return at, h.Name, nil
}

func (CalledOff) kind() string { return "called.off" }
func (CalledOff) topic() Topic { return TopicMoney }
func (e CalledOff) apply(s *State, _ Event) {
	key := KeyOf(e.Day, PersonID(e.Who))
	if e.Off == (Off{}) {
		s.Money.Off = maps.Clone(s.Money.Off)
		delete(s.Money.Off, key)
		return
	}
	s.Money.Off = with(s.Money.Off, key, e.Off)
}

// OffOn tells whether a person or a hire was called off on a day. Who signed in all
// the same is paid by their hours, and was not.
func (s *State) OffOn(day DayID, who string) (Off, bool) {
	if s.Money == nil {
		return Off{}, false
	}
	key := KeyOf(day, PersonID(who))
	off, ok := s.Money.Off[key]
	return off, ok && len(s.Floor.Hours[key].Marks) == 0
}

// OffSaid tells whether terms say at all what a day costs that is called off so.
func OffSaid(t overtime.Terms, off Off) bool {
	if off.How == Postponed {
		return len(t.Postpone) > 0
	}
	return len(t.Cancel) > 0
}

// OffPay is what somebody who was called off is paid on their terms.
func (s *State) OffPay(day DayID, who string, t overtime.Terms, off Off) (overtime.Slip, error) {
	return overtime.CalledOff(t, s.KindOf(day, PersonID(who)), off.Call, off.Told, off.How == Postponed)
}

package shoot

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fairday/domain/sorting"
	"fairday/domain/when"
)

var heroRows = rows{
	intents: []intentRow{
		{name: "hero.read", fact: true, who: readers, say: "Reading of {hero}", args: heroRead{}},
		{name: "hero.swap", fact: true, who: movers, say: "{hero} swapped", args: heroSwap{}},
		{name: "hero.away", fact: true, who: movers, say: "{hero} off set", args: heroAway{}},
		{name: "hero.refuse", fact: true, who: []Role{Client, Producer}, say: "Refusal of {hero}", args: heroRefuse{}},
		{name: "hero.back", fact: true, who: movers, say: "{hero} back on set", args: heroBack{}},
	},
	events: []eventRow{
		{body: HeroConfirmed{}},
		{body: HeroMisread{}},
		{body: HeroLapsed{}},
		{body: HeroBack{}},
	},
}

// Lapse is why confirmations no longer hold.
type Lapse string

// The reasons for a lapse. A hold time that has run out is worked out from the
// clock and never recorded.
const (
	LapseSwapped Lapse = "swapped"
	LapseAway    Lapse = "away"
	LapseRefused Lapse = "refused"
	LapseBrief   Lapse = "brief" // the brief itself was changed
	LapseHold    Lapse = "hold"  // the hold time has run out
)

// Hero is the object or plate that is photographed. History is in order of
// time, and how the hero stands at a moment is read from it (StandingAt), so
// that news which arrives late finds its place.
type Hero struct {
	HeroPlan
	History []HeroNote `json:"history"`
	Version int        `json:"version"`
}

// Confirmation is one person's word that the plate reads as the brief says.
type Confirmation struct {
	By    PersonID     `json:"by"`
	At    when.Instant `json:"at"`
	Until when.Instant `json:"until"` // for food; zero when it does not run out
}

// Misread is a reading that differs from the brief.
type Misread struct {
	By    PersonID     `json:"by"`
	At    when.Instant `json:"at"`
	Field string       `json:"field"`
	Read  string       `json:"read"`
	Brief string       `json:"brief"`
}

// HeroNote is one thing that happened to a hero.
type HeroNote struct {
	At      when.Instant `json:"at"`
	By      PersonID     `json:"by"`
	What    NoteKind     `json:"what"`
	Lapse   Lapse        `json:"lapse,omitempty"`
	Until   when.Instant `json:"until,omitempty"` // of a confirmation
	Misread *Misread     `json:"misread,omitempty"`
	Note    string       `json:"note,omitempty"`
}

// NoteKind is what a line of a hero's history says.
type NoteKind string

// The kinds of line in a hero's history.
const (
	NoteConfirmed NoteKind = "confirmed"
	NoteMisread   NoteKind = "misread"
	NoteLapsed    NoteKind = "lapsed"
	NoteBack      NoteKind = "back"
)

// Standing is how a hero stands at a moment.
type Standing struct {
	Present       bool
	Confirmations []Confirmation // those that count
	Count         int            // how many count
	Lapsed        Lapse          // why the last ones fell; "" when none did
	LapsedAt      when.Instant
	LapsedBy      PersonID
	Note          string
	Misread       *Misread // newest reading that did not match, until one does
	Confirmed     bool     // present, and by as many people as the brief asks
	Until         when.Instant
}

// StandingAt reads from the history how the hero stands at an instant.
func (h Hero) StandingAt(at when.Instant) Standing {
	var st Standing
	for _, n := range h.History {
		if n.At > at {
			break
		}
		st.expire(n.At)
		switch n.What {
		case NoteConfirmed:
			st.confirm(n)
		case NoteMisread:
			st.Misread = n.Misread
		case NoteLapsed:
			st.fall(n.Lapse, n.At, n.By, n.Note)
			switch n.Lapse {
			case LapseAway:
				st.Present = false
			case LapseSwapped: // another one stands in its place
				st.Present = true
			}
		case NoteBack:
			st.Present = true
		}
	}
	st.expire(at)
	st.Count = len(st.Confirmations)
	st.Confirmed = st.Present && st.Count >= h.Needs && h.Needs > 0
	if st.Count > 0 {
		st.Until = st.Confirmations[0].Until
	}
	return st
}

func (st *Standing) confirm(n HeroNote) {
	st.Present, st.Misread = true, nil
	if slices.ContainsFunc(st.Confirmations, func(c Confirmation) bool { return c.By == n.By }) {
		return
	}
	if len(st.Confirmations) == 0 {
		st.Lapsed, st.LapsedAt, st.LapsedBy, st.Note = "", 0, "", ""
	}
	// The hold counts from the first confirmation: the food is the same food.
	until := n.Until
	if len(st.Confirmations) > 0 {
		until = st.Confirmations[0].Until
	}
	st.Confirmations = append(st.Confirmations, Confirmation{By: n.By, At: n.At, Until: until})
}

func (st *Standing) expire(at when.Instant) {
	if len(st.Confirmations) > 0 {
		if until := st.Confirmations[0].Until; until != 0 && at >= until {
			st.fall(LapseHold, until, "", "")
		}
	}
}

func (st *Standing) fall(why Lapse, at when.Instant, by PersonID, note string) {
	st.Confirmations = nil
	st.Lapsed, st.LapsedAt, st.LapsedBy, st.Note = why, at, by, note
}

// lapseAfter finds the first recorded lapse later than an instant.
func (h Hero) lapseAfter(at when.Instant) (HeroNote, bool) {
	for _, n := range h.History {
		if n.What == NoteLapsed && n.At > at {
			return n, true
		}
	}
	return HeroNote{}, false
}

// Doubt says in words why a hero does not let a shot open, or "" when it does.
func (h Hero) Doubt(st Standing) string {
	switch {
	case st.Confirmed:
		return ""
	case st.Lapsed == LapseRefused:
		return h.Name + " was refused by the client"
	case st.Lapsed == LapseAway && st.Present:
		return h.Name + " is back on set and has to be read again"
	case st.Lapsed == LapseAway, st.Lapsed != "" && !st.Present:
		return h.Name + " is off set"
	case st.Lapsed == LapseSwapped:
		return h.Name + " was swapped and has to be read again"
	case st.Lapsed == LapseHold:
		return h.Name + " has stood past its hold time"
	case st.Lapsed == LapseBrief:
		return "the brief for " + h.Name + " changed and its plate has to be read again"
	case st.Count > 0:
		return fmt.Sprintf("%s needs one more person to read its plate", h.Name)
	}
	return h.Name + " is not confirmed"
}

// Gate lists what keeps a shot from opening at an instant; nothing means that it
// may open.
func (s *State) Gate(shot Shot, at when.Instant) []string {
	var out []string
	for _, id := range shot.Heroes {
		h := s.Floor.Heroes[id]
		if doubt := h.Doubt(h.StandingAt(at)); doubt != "" {
			out = append(out, doubt)
		}
	}
	return out
}

type heroRead struct {
	Hero    HeroID   `json:"hero"`
	Plate   Plate    `json:"plate"`   // as read
	Checked []string `json:"checked"` // lines of the checklist that were ticked
}

// HeroConfirmed says that somebody read the plate and it is the brief's object.
type HeroConfirmed struct {
	Hero  HeroID       `json:"hero"`
	Until when.Instant `json:"until"` // for food
}

// HeroMisread says that somebody read the plate and it is another object's.
type HeroMisread struct {
	Hero  HeroID `json:"hero"`
	Field string `json:"field"`
	Read  string `json:"read"`
	Brief string `json:"brief"`
}

func (a heroRead) decide(d *deciding) *Refusal {
	h, ok := d.s.Floor.Heroes[a.Hero]
	if !ok {
		return unknown("hero")
	}
	for _, f := range a.Plate.fields() {
		if r := text(f.name, f.value, 120); r != nil {
			return r
		}
	}
	var fields, read, brief []string
	for _, f := range h.Plate.fields() {
		if got := a.Plate.field(f.name); tidy(got) != tidy(f.value) {
			if tidy(got) == "" {
				got = "(nothing)"
			}
			fields, read, brief = append(fields, f.name), append(read, got), append(brief, f.value)
		}
	}
	if len(fields) > 0 {
		m := HeroMisread{a.Hero, strings.Join(fields, ", "), strings.Join(read, "; "), strings.Join(brief, "; ")}
		d.emit(m)
		d.note(FlagMismatch, fmt.Sprintf("This is not %s: the %s does not match the brief. Nothing is confirmed. Find the right object and read it again.", h.Name, m.Field), m.Read, m.Brief)
		return nil
	}
	for _, item := range h.Checklist {
		if !slices.Contains(a.Checked, item) {
			return refuse(CodeChecklist, "Tick %q first: every line of the checklist counts.", item)
		}
	}
	e := HeroConfirmed{Hero: a.Hero}
	if h.Food {
		e.Until = d.at + when.Instant(h.HoldMinutes)*when.Minute
	}
	d.emit(e)
	if later, ok := h.lapseAfter(d.at); ok {
		d.note(FlagLate, fmt.Sprintf("%s lapsed (%s) after you read it. Read it again.", h.Name, later.Lapse), "", "")
	} else if h.Needs > 1 && slices.ContainsFunc(h.StandingAt(d.at).Confirmations, func(c Confirmation) bool { return c.By == d.in.Actor }) {
		d.note(FlagSamePerson, fmt.Sprintf("You have confirmed %s already. A second person has to read it.", h.Name), "", "")
	}
	return nil
}

func (HeroConfirmed) kind() string { return "hero.confirmed" }
func (HeroConfirmed) topic() Topic { return TopicFloor }
func (e HeroConfirmed) apply(s *State, ev Event) {
	s.heroNote(e.Hero, HeroNote{At: ev.At, By: ev.By, What: NoteConfirmed, Until: e.Until})
}

func (HeroMisread) kind() string { return "hero.misread" }
func (HeroMisread) topic() Topic { return TopicFloor }
func (e HeroMisread) apply(s *State, ev Event) {
	s.heroNote(e.Hero, HeroNote{At: ev.At, By: ev.By, What: NoteMisread,
		Misread: &Misread{By: ev.By, At: ev.At, Field: e.Field, Read: e.Read, Brief: e.Brief}})
}

// heroNote puts a line into a hero's history at its place in time.
func (s *State) heroNote(id HeroID, n HeroNote) {
	h, ok := s.Floor.Heroes[id]
	if !ok {
		return
	}
	h.History = append(slices.Clone(h.History), n)
	sorting.By(h.History, func(a, b HeroNote) int { return cmp.Compare(a.At, b.At) })
	s.Floor.Heroes = with(s.Floor.Heroes, id, h)
}

type heroSwap struct {
	Hero HeroID `json:"hero"`
	Note string `json:"note"`
}

type heroAway struct {
	Hero HeroID `json:"hero"`
	Note string `json:"note"`
}

type heroRefuse struct {
	Hero HeroID `json:"hero"`
	Note string `json:"note"`
}

type heroBack struct {
	Hero HeroID `json:"hero"`
}

// HeroLapsed says that confirmations made up to now no longer hold.
type HeroLapsed struct {
	Hero HeroID `json:"hero"`
	Why  Lapse  `json:"why"`
	Note string `json:"note,omitempty"`
}

// HeroBack says that a hero is on set again; it still has to be read.
type HeroBack struct {
	Hero HeroID `json:"hero"`
}

func (a heroSwap) decide(d *deciding) *Refusal { return d.lapse(a.Hero, LapseSwapped, a.Note) }
func (a heroAway) decide(d *deciding) *Refusal { return d.lapse(a.Hero, LapseAway, a.Note) }

func (d *deciding) lapse(id HeroID, why Lapse, note string) *Refusal {
	if _, ok := d.s.Floor.Heroes[id]; !ok {
		return unknown("hero")
	}
	if r := text("note", note, 300); r != nil {
		return r
	}
	d.emit(HeroLapsed{id, why, note})
	return nil
}

// A refusal casts doubt on every capture made under the confirmation that it
// ends, in whatever order the two become known.
func (a heroRefuse) decide(d *deciding) *Refusal {
	if r := d.lapse(a.Hero, LapseRefused, a.Note); r != nil {
		return r
	}
	h := d.s.Floor.Heroes[a.Hero]
	for _, shot := range d.s.shotsOf(a.Hero) {
		if shot.Progress != Captured || shot.Captured > d.at {
			continue
		}
		if n, ok := h.lapseAfter(shot.Captured); ok && n.At <= d.at {
			continue // another confirmation, ended before this one began
		}
		d.queryCapture(shot, Side{By: shot.CapturedBy, At: shot.Captured, Text: "Shot " + shot.Number + " was captured"},
			Side{By: d.in.Actor, At: d.at, Text: h.Name + " was refused by the client" + because(a.Note)})
	}
	return nil
}

func because(note string) string {
	if strings.TrimSpace(note) == "" {
		return ""
	}
	return ": " + note
}

// shotsOf lists the shots that need a hero, in order of id.
func (s *State) shotsOf(id HeroID) []Shot {
	var out []Shot
	for _, shot := range s.Floor.Shots {
		if slices.Contains(shot.Heroes, id) {
			out = append(out, shot)
		}
	}
	sorting.By(out, func(a, b Shot) int { return cmp.Compare(a.ID, b.ID) })
	return out
}

func (a heroBack) decide(d *deciding) *Refusal {
	h, ok := d.s.Floor.Heroes[a.Hero]
	if !ok {
		return unknown("hero")
	}
	if !h.StandingAt(d.at).Present {
		d.emit(HeroBack(a))
	}
	return nil
}

func (HeroLapsed) kind() string { return "hero.lapsed" }
func (HeroLapsed) topic() Topic { return TopicFloor }
func (e HeroLapsed) apply(s *State, ev Event) {
	s.heroNote(e.Hero, HeroNote{At: ev.At, By: ev.By, What: NoteLapsed, Lapse: e.Why, Note: e.Note})
}

func (HeroBack) kind() string { return "hero.back" }
func (HeroBack) topic() Topic { return TopicFloor }
func (e HeroBack) apply(s *State, ev Event) {
	s.heroNote(e.Hero, HeroNote{At: ev.At, By: ev.By, What: NoteBack})
}

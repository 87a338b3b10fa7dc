package shoot

import (
	"slices"

	"fairday/domain/when"
)

var undoRows = rows{
	intents: []intentRow{
		{name: "punch.undo", fact: true, who: lead, own: true, say: "{person} not meant: {punched}", args: punchUndo{}},
	},
	events: []eventRow{
		{body: PunchUndone{}, covers: true, pay: func(_ *State, b Body) PersonID { return b.(PunchUndone).Person }},
	},
}

// UndoWithin is how long a punch counts as a slip of the finger that whoever it
// concerns may take back alone; later somebody has to settle it.
const UndoWithin = 15 * when.Minute

// Undo is a punch that was taken back.
type Undo struct {
	Mark Mark         `json:"mark"`
	At   when.Instant `json:"at"`
	By   PersonID     `json:"by"`
}

type punchUndo struct {
	Day    DayID    `json:"day"`
	Person PersonID `json:"person"`
	Stamp
}

// PunchUndone takes a punch out of a person's hours; it stays in their history.
type PunchUndone struct {
	Day    DayID    `json:"day"`
	Person PersonID `json:"person"`
	Mark   Mark     `json:"mark"`
}

func (a punchUndo) decide(d *deciding) *Refusal {
	if _, ok := d.s.Floor.Days[a.Day]; !ok {
		return unknown("day")
	}
	who, ok := d.s.Floor.People[a.Person]
	if !ok {
		return unknown("person")
	}
	if !d.mayAll && a.Person != d.in.Actor {
		return refuse(CodeNotAllowed, "You can take back only your own punches. The producer or the art director can do it for others.")
	}
	words, ok := marksWords[a.Kind]
	if !ok || a.At <= 0 {
		return refuse(CodeBadArgs, "That is not a punch. Reload the page and try again.")
	}
	marks := d.s.Floor.Hours[KeyOf(a.Day, a.Person)].Marks
	i := slices.IndexFunc(marks, func(m Mark) bool { return m.Kind == a.Kind && m.At == a.At })
	if i < 0 {
		return nil // taken back already
	}
	m := marks[i]
	if d.at <= max(m.At, m.Received)+UndoWithin && sequence(slices.Delete(slices.Clone(marks), i, i+1)) {
		d.emit(PunchUndone{a.Day, a.Person, m})
		return nil
	}
	d.emit(PunchQueried{d.query(Query{Kind: QueryUndo, Day: a.Day, Person: a.Person, Standing: &m,
		Said:    Side{By: d.in.Actor, At: d.at, Text: who.Name + " did not mean it: " + words + " by a slip"},
		Against: Side{By: m.By, At: m.At, Text: who.Name + " " + words}})})
	return nil
}

func (PunchUndone) kind() string { return "punch.undone" }
func (PunchUndone) topic() Topic { return TopicFloor }
func (e PunchUndone) apply(s *State, ev Event) {
	s.rub(KeyOf(e.Day, e.Person), e.Mark, ev)
}

// rub takes a mark out of somebody's hours and keeps it as undone.
func (s *State) rub(key HoursKey, m Mark, ev Event) {
	h := s.Floor.Hours[key]
	h.Marks = slices.DeleteFunc(slices.Clone(h.Marks), func(o Mark) bool { return o == m })
	h.Undone = append(slices.Clone(h.Undone), Undo{m, ev.At, ev.By})
	s.Floor.Hours = with(s.Floor.Hours, key, h)
}

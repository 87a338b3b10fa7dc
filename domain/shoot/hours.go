package shoot

import (
	"cmp"
	"slices"

	"fairday/domain/when"
)

var hoursRows = rows{
	intents: []intentRow{
		{name: "punch", fact: true, who: lead, own: true, say: "{people} {punched}", args: punch{}},
	},
	events: []eventRow{
		{body: Punched{}, covers: true, pay: func(_ *State, b Body) PersonID { return b.(Punched).Person }},
		{body: PunchQueried{}, query: func(b Body) QueryID { return b.(PunchQueried).ID }},
	},
}

// HoursKey is a day and a person, joined by a stroke.
type HoursKey string

// KeyOf makes the key of one person's hours on one day.
func KeyOf(d DayID, p PersonID) HoursKey { return HoursKey(string(d) + "/" + string(p)) }

// MarkKind is what a punch says.
type MarkKind string

// The punches.
const (
	MarkIn      MarkKind = "in"
	MarkOut     MarkKind = "out"
	MarkMealOut MarkKind = "meal-out"
	MarkMealIn  MarkKind = "meal-in"
)

// Mark is one punch, as claimed and as received.
type Mark struct {
	Kind     MarkKind     `json:"kind"`
	At       when.Instant `json:"at"`
	Received when.Instant `json:"received"`
	By       PersonID     `json:"by"`
}

// Hours is a person's punches on one day, in order of At.
type Hours struct {
	Marks  []Mark `json:"marks"`
	Undone []Undo `json:"undone,omitempty"` // in the order they were taken back
}

type punch struct {
	Day    DayID        `json:"day"`
	People []PersonID   `json:"people"`
	Kind   MarkKind     `json:"kind"`
	At     when.Instant `json:"at,omitempty"` // where it was not now
}

// Punched puts a mark into a person's hours.
type Punched struct {
	Day    DayID    `json:"day"`
	Person PersonID `json:"person"`
	Mark   Mark     `json:"mark"`
}

// PunchQueried raises a query about a mark that does not fit the others; the
// hours stay as they are until it is settled.
type PunchQueried struct{ Query }

func (a punch) decide(d *deciding) *Refusal {
	if _, ok := d.s.Floor.Days[a.Day]; !ok {
		return unknown("day")
	}
	if _, ok := marksWords[a.Kind]; !ok {
		return refuse(CodeBadArgs, "%q is not a punch. Use in, out, meal-out or meal-in.", clip(string(a.Kind)))
	}
	if len(a.People) == 0 || !known(a.People, d.s.Floor.People) {
		return unknown("person")
	}
	if !d.mayAll && (len(a.People) > 1 || a.People[0] != d.in.Actor) {
		return refuse(CodeNotAllowed, "You can sign in and out only yourself. The producer or the art director can do it for others.")
	}
	at := d.at
	if a.At != 0 {
		if a.At > d.in.Received+Skew || a.At < d.in.Received-longestAway {
			return refuse(CodeBadArgs, "That time has not come yet, or is too long ago. Enter when it happened.")
		}
		at = a.At
	}
	for _, p := range a.People {
		d.punch(a.Day, p, Mark{Kind: a.Kind, At: at, Received: d.in.Received, By: d.in.Actor}, len(a.People) > 1)
	}
	return nil
}

// punch places one mark: into the hours where it fits, into a query where it
// does not. In a group, a person who is in that state already is passed over.
func (d *deciding) punch(day DayID, p PersonID, m Mark, group bool) {
	marks := d.s.Floor.Hours[KeyOf(day, p)].Marks
	next, i := placed(marks, m)
	if sequence(next) {
		d.emit(Punched{day, p, m})
		return
	}
	var standing *Mark
	for _, j := range []int{i - 1, i + 1} { // the neighbour that says the same already
		if j >= 0 && j < len(next) && next[j].Kind == m.Kind {
			near := next[j].At/when.Minute == m.At/when.Minute
			if near || (group && j == i-1) {
				return
			}
			s := next[j]
			standing = &s
			break
		}
	}
	name := d.s.Floor.People[p].Name
	against := Side{At: m.At, Text: name + " " + stateBefore(next, i)}
	if standing != nil {
		against = Side{By: standing.By, At: standing.At, Text: name + " " + marksWords[m.Kind] + " at another time"}
	}
	said := Side{By: d.in.Actor, At: m.At, Text: name + " " + marksWords[m.Kind]}
	d.emit(PunchQueried{d.query(Query{Kind: QueryPunch, Day: day, Person: p, Claim: &m, Standing: standing, Said: said, Against: against})})
}

var marksWords = map[MarkKind]string{
	MarkIn: "signed in", MarkOut: "signed out", MarkMealOut: "went to the meal", MarkMealIn: "came back from the meal",
}

// placed gives the marks with one more, in order of time, and its index.
func placed(marks []Mark, m Mark) ([]Mark, int) {
	i, _ := slices.BinarySearchFunc(marks, m.At, func(a Mark, at when.Instant) int {
		return cmp.Or(cmp.Compare(a.At, at), -1) // after those of the same moment
	})
	return slices.Insert(slices.Clone(marks), i, m), i
}

// Presence is where a person is, as their marks tell.
type Presence string

// The presences.
const (
	Away    Presence = "away"    // not signed in yet, or signed out
	OnClock Presence = "working" // signed in
	AtMeal  Presence = "at the meal"
)

// step is where a mark leads from a presence; false where it cannot come.
func (p Presence) step(k MarkKind) (Presence, bool) {
	switch {
	case k == MarkIn && p == Away:
		return OnClock, true
	case k == MarkOut && p == OnClock:
		return Away, true
	case k == MarkMealOut && p == OnClock:
		return AtMeal, true
	case k == MarkMealIn && p == AtMeal:
		return OnClock, true
	}
	return p, false
}

// sequence tells whether marks follow each other as they can in life.
func sequence(marks []Mark) bool {
	at, ok := Away, true
	for _, m := range marks {
		if at, ok = at.step(m.Kind); !ok {
			return false
		}
	}
	return true
}

func stateBefore(marks []Mark, i int) string {
	at := Away
	for _, m := range marks[:i] {
		at, _ = at.step(m.Kind)
	}
	switch {
	case at == OnClock:
		return "was on the clock"
	case at == AtMeal:
		return "was at the meal"
	case i > 0:
		return "had signed out"
	}
	return "had not signed in"
}

// Presence tells where the person is at the end of their marks.
func (h Hours) Presence() Presence {
	at := Away
	for _, m := range h.Marks {
		at, _ = at.step(m.Kind)
	}
	return at
}

// First is when the person first signed in; zero when they did not.
func (h Hours) First() when.Instant {
	if len(h.Marks) == 0 {
		return 0
	}
	return h.Marks[0].At
}

// Stretches gives the times from each signing in to the next signing out; the
// last one has To zero while the person is in.
func (h Hours) Stretches() []Span { return h.between(MarkIn, MarkOut) }

// Meals gives the times at meals; To is zero while one lasts.
func (h Hours) Meals() []Span { return h.between(MarkMealOut, MarkMealIn) }

// between gives the times from each mark of one kind to the next of another.
func (h Hours) between(from, to MarkKind) []Span {
	var out []Span
	for _, m := range h.Marks {
		switch m.Kind {
		case from:
			out = append(out, Span{From: m.At})
		case to:
			if n := len(out); n > 0 {
				out[n-1].To = m.At
			}
		}
	}
	return out
}

func (Punched) kind() string { return "punched" }
func (Punched) topic() Topic { return TopicFloor }
func (e Punched) apply(s *State, _ Event) {
	key := KeyOf(e.Day, e.Person)
	marks, _ := placed(s.Floor.Hours[key].Marks, e.Mark)
	s.Floor.Hours = with(s.Floor.Hours, key, Hours{marks, s.Floor.Hours[key].Undone})
}

func (PunchQueried) kind() string { return "punch.queried" }
func (PunchQueried) topic() Topic { return TopicFloor }
func (e PunchQueried) apply(s *State, _ Event) {
	s.Floor.Queries = with(s.Floor.Queries, e.ID, e.Query)
}

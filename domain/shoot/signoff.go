package shoot

import (
	"slices"
	"strings"

	"fairday/domain/when"
)

// Each person's word on their own hours. A signature names the punches that were
// seen: it holds for as long as those are the hours, and lapses when they change.

var signoffRows = rows{
	intents: []intentRow{
		{name: "hours.sign", fact: true, say: "Hours signed, {day}", args: hoursSign{}},
		{name: "hours.dispute", fact: true, say: "Hours disputed, {day}", args: hoursDispute{}},
	},
	events: []eventRow{
		{body: HoursSigned{}},
		{body: HoursDisputed{}},
	},
}

// Stamp is a punch as somebody saw it.
type Stamp struct {
	Kind MarkKind     `json:"kind"`
	At   when.Instant `json:"at"`
}

// Stamps are the punches as somebody sees them.
func (h Hours) Stamps() []Stamp {
	out := make([]Stamp, len(h.Marks))
	for i, m := range h.Marks {
		out[i] = Stamp{m.Kind, m.At}
	}
	return out
}

// InOut says what punches say on the day's clock: "in 07:28, meal 13:00 to 13:45,
// out 18:10".
func (day Day) InOut(seen []Stamp) string {
	at := day.Zone.Reader()
	var words []string
	for _, st := range seen {
		clock := at.ClockOn(day.Date, st.At)
		switch n := len(words); {
		case st.Kind == MarkMealOut:
			words = append(words, "meal from "+clock)
		case st.Kind == MarkMealIn && n > 0:
			words[n-1] = strings.Replace(words[n-1], "meal from ", "meal ", 1) + " to " + clock
		default:
			words = append(words, string(st.Kind)+" "+clock)
		}
	}
	return strings.Join(words, ", ")
}

// Signature is a person's word that the hours they saw are right.
type Signature struct {
	At   when.Instant `json:"at"`
	Seen []Stamp      `json:"seen"`
}

// SignOff is how a person stands to their own hours.
type SignOff string

// The ways to stand to one's hours.
const (
	Unsigned SignOff = ""
	Signed   SignOff = "signed"
	Lapsed   SignOff = "lapsed"   // the hours have changed since
	Disputed SignOff = "disputed" // and nobody has settled it yet
)

// SignOff tells how a person stands to their hours of a day.
func (s *State) SignOff(day DayID, p PersonID) SignOff {
	for _, q := range s.Floor.Queries {
		if q.Kind == QueryHours && q.Ruling == "" && q.Day == day && q.Person == p {
			return Disputed
		}
	}
	key := KeyOf(day, p)
	sign, ok := s.Floor.Signs[key]
	switch {
	case !ok:
		return Unsigned
	case !slices.Equal(sign.Seen, s.Floor.Hours[key].Stamps()):
		return Lapsed
	}
	return Signed
}

type hoursSign struct {
	Day  DayID   `json:"day"`
	Seen []Stamp `json:"seen"`
}

// HoursSigned puts a person's name to the hours they saw.
type HoursSigned struct {
	Day    DayID    `json:"day"`
	Person PersonID `json:"person"`
	Seen   []Stamp  `json:"seen"`
}

func (a hoursSign) decide(d *deciding) *Refusal {
	if r := d.ownHours(a.Day, a.Seen); r != nil {
		return r
	}
	key := KeyOf(a.Day, d.in.Actor)
	fits := slices.Equal(a.Seen, d.s.Floor.Hours[key].Stamps())
	if !fits {
		d.note(FlagChanged, "Kept, but your hours have changed since you looked at them. Look again, and sign them as they stand.", "", "")
	}
	if sign, ok := d.s.Floor.Signs[key]; ok && (slices.Equal(sign.Seen, a.Seen) || !fits && d.s.SignOff(a.Day, d.in.Actor) == Signed) {
		return nil // so already, or signed anew meanwhile
	}
	d.emit(HoursSigned{a.Day, d.in.Actor, a.Seen})
	return nil
}

// ownHours checks what somebody says of their own hours.
func (d *deciding) ownHours(day DayID, seen []Stamp) *Refusal {
	if _, ok := d.s.Floor.Days[day]; !ok {
		return unknown("day")
	}
	if d.in.Actor == Desk {
		return refuse(CodeNotAllowed, "Only a person can speak for their own hours. Ask them.")
	}
	if len(seen) == 0 || len(seen) > mostPunches {
		return refuse(CodeBadArgs, "There are no hours to speak of yet. Sign in and out first.")
	}
	for _, st := range seen {
		if _, ok := marksWords[st.Kind]; !ok || st.At <= 0 {
			return refuse(CodeBadArgs, "Those hours could not be read. Reload the page and try again.")
		}
	}
	return nil
}

// mostPunches is more than anybody punches on a day.
const mostPunches = 100

func (HoursSigned) kind() string { return "hours.signed" }
func (HoursSigned) topic() Topic { return TopicFloor }
func (e HoursSigned) apply(s *State, ev Event) {
	s.Floor.Signs = with(s.Floor.Signs, KeyOf(e.Day, e.Person), Signature{ev.At, e.Seen})
}

type hoursDispute struct {
	Day  DayID   `json:"day"`
	Seen []Stamp `json:"seen"`
	Say  string  `json:"say"`
}

// HoursDisputed raises a query about what a person's hours say. Whoever disputes
// takes their signature back.
type HoursDisputed struct{ Query }

func (a hoursDispute) decide(d *deciding) *Refusal {
	if r := first(d.ownHours(a.Day, a.Seen), needed("sentence that says what is wrong", a.Say, 300)); r != nil {
		return r
	}
	d.emit(HoursDisputed{d.raise(Query{Kind: QueryHours, Day: a.Day, Person: d.in.Actor, Said: Side{By: d.in.Actor, At: d.at, Text: a.Say},
		Against: Side{Text: "The hours they looked at: " + d.s.Floor.Days[a.Day].InOut(a.Seen)}})})
	return nil
}

func (HoursDisputed) kind() string { return "hours.disputed" }
func (HoursDisputed) topic() Topic { return TopicFloor }
func (e HoursDisputed) apply(s *State, _ Event) {
	s.Floor.Queries = with(s.Floor.Queries, e.ID, e.Query)
	delete(s.Floor.Signs, KeyOf(e.Day, e.Person))
}

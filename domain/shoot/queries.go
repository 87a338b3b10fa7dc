package shoot

import (
	"slices"
	"strings"

	"fairday/domain/when"
)

// Queries: two things that were said and do not go together.

var queryRows = rows{
	intents: []intentRow{
		{name: "query.settle", who: lead, target: "query", say: "Settled: keep|Settled: drop", args: querySettle{}},
	},
	events: []eventRow{
		{body: QuerySettled{}, covers: true, pay: func(s *State, b Body) PersonID { return s.Floor.Queries[b.(QuerySettled).Query].Person }},
	},
}

// QueryKind is what a query is about.
type QueryKind string

// The kinds of query.
const (
	QueryCapture QueryKind = "capture"
	QueryPunch   QueryKind = "punch"
	QueryUndo    QueryKind = "undo"  // a punch that was a slip, somebody says later
	QueryHours   QueryKind = "hours" // a person disputes their own
)

// Side is one of the two things that do not go together.
type Side struct {
	By   PersonID     `json:"by"` // "" where nobody said it
	At   when.Instant `json:"at"`
	Text string       `json:"text"`
}

// Query is a contradiction waiting to be settled, or settled.
type Query struct {
	ID       QueryID      `json:"id"`
	Kind     QueryKind    `json:"kind"`
	Shot     ShotID       `json:"shot,omitempty"`
	Day      DayID        `json:"day,omitempty"`
	Person   PersonID     `json:"person,omitempty"`
	Claim    *Mark        `json:"claim,omitempty"`    // a queried punch
	Standing *Mark        `json:"standing,omitempty"` // the punch it contradicts, where there is one
	Said     Side         `json:"said"`
	Against  Side         `json:"against"`
	Raised   when.Instant `json:"raised"`
	Ruling   Ruling       `json:"ruling"` // "" while it is open
	Settled  when.Instant `json:"settled"`
	By       PersonID     `json:"by"`
	Note     string       `json:"note"`
}

// Ruling is how a query was settled.
type Ruling string

// The rulings.
const (
	Keep Ruling = "keep" // what was reported stands
	Drop Ruling = "drop" // it does not
)

type querySettle struct {
	Query  QueryID `json:"query"`
	Ruling Ruling  `json:"ruling"`
	Note   string  `json:"note"`
}

// QuerySettled decides a query.
type QuerySettled struct {
	Query  QueryID `json:"query"`
	Ruling Ruling  `json:"ruling"`
	Note   string  `json:"note"`
}

func (a querySettle) decide(d *deciding) *Refusal {
	q, ok := d.s.Floor.Queries[a.Query]
	switch {
	case !ok:
		return unknown("query")
	case a.Ruling != Keep && a.Ruling != Drop:
		return refuse(CodeBadArgs, "Settle a query with keep or drop.")
	case q.Ruling == a.Ruling:
		return nil
	case q.Ruling != "":
		r := refuse(CodeSettled, "%s has settled this already. Speak with them if it should be otherwise.", d.s.nameOf(q.By))
		r.Yours, r.Theirs = string(a.Ruling), string(q.Ruling)
		return r
	}
	if r := text("note", a.Note, 300); r != nil {
		return r
	}
	if (q.Kind == QueryPunch || q.Kind == QueryUndo) && a.Ruling == Keep && !sequence(d.s.ruled(q)) {
		return refuse(CodeWrongProgress, "With that punch the hours still do not add up: %s. Enter the missing punch first, or drop this one.", strings.ToLower(q.Against.Text))
	}
	d.emit(QuerySettled(a))
	return nil
}

// nameOf names a person for a sentence.
func (s *State) nameOf(p PersonID) string {
	if who, ok := s.Floor.People[p]; ok {
		return who.Name
	}
	return "Somebody"
}

// ruled gives a person's marks with a queried punch in the place of the one it
// contradicts.
func (s *State) ruled(q Query) []Mark {
	marks := slices.Clone(s.Floor.Hours[KeyOf(q.Day, q.Person)].Marks)
	if q.Standing != nil {
		marks = slices.DeleteFunc(marks, func(m Mark) bool { return m == *q.Standing })
	}
	if q.Claim != nil {
		marks, _ = placed(marks, *q.Claim)
	}
	return marks
}

func (QuerySettled) kind() string { return "query.settled" }
func (QuerySettled) topic() Topic { return TopicFloor }
func (e QuerySettled) apply(s *State, ev Event) {
	q, ok := s.Floor.Queries[e.Query]
	if !ok {
		return
	}
	q.Ruling, q.Note, q.Settled, q.By = e.Ruling, e.Note, ev.At, ev.By
	s.Floor.Queries = with(s.Floor.Queries, e.Query, q)
	switch {
	case q.Kind == QueryCapture:
		s.shot(q.Shot, func(sh *Shot) {
			switch {
			case sh.Progress != Queried:
			case e.Ruling == Keep:
				sh.Progress = Captured
			default:
				sh.reset(ev.At)
			}
		})
	case e.Ruling == Keep && q.Kind == QueryUndo:
		s.rub(KeyOf(q.Day, q.Person), *q.Standing, ev)
	case e.Ruling == Keep && q.Claim != nil:
		key := KeyOf(q.Day, q.Person)
		s.Floor.Hours = with(s.Floor.Hours, key, Hours{s.ruled(q), s.Floor.Hours[key].Undone})
	}
}

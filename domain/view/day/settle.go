package day

import (
	"cmp"
	"encoding/json"
	"slices"
	"strings"

	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/view"
)

func (m *maker) settle() *Settle {
	out := &Settle{}
	for _, q := range m.openQueries() {
		out.Open = append(out.Open, m.queryCard(q))
	}
	for _, r := range m.reports(true) {
		out.Open = append(out.Open, m.reportCard(r))
	}
	for _, row := range m.payDisputes(true) {
		out.Open = append(out.Open, m.payCard(row))
	}
	for _, q := range m.closedQueries() {
		out.Settled = append(out.Settled, m.closed(q))
	}
	for _, r := range m.reports(false) {
		out.Settled = append(out.Settled, m.reportClosed(r))
	}
	for _, row := range m.payDisputes(false) {
		out.Settled = append(out.Settled, Closed{Title: "Pay of " + m.Who(row.Person), Say: m.on(row.Day).payWords(row)[0]})
	}
	for _, s := range m.stuck() {
		out.Stuck = append(out.Stuck, m.stuckCard(s))
	}
	out.Say = "Nothing is waiting to be settled."
	if n := len(out.Open) + len(out.Stuck); n > 0 {
		out.Say = view.Count(n, "thing waits", "things wait") + " to be settled."
	}
	return out
}

// openQueries lists what is not settled, oldest first.
func (m *maker) openQueries() []shoot.Query {
	return m.queries(func(q shoot.Query) bool { return q.Ruling == "" },
		func(a, b shoot.Query) int { return cmp.Compare(a.Raised, b.Raised) })
}

// closedQueries lists what was settled, newest first, twenty at most.
func (m *maker) closedQueries() []shoot.Query {
	all := m.queries(func(q shoot.Query) bool { return q.Ruling != "" },
		func(a, b shoot.Query) int { return cmp.Compare(b.Settled, a.Settled) })
	return all[:min(len(all), 20)]
}

func (m *maker) queries(keep func(shoot.Query) bool, by func(a, b shoot.Query) int) []shoot.Query {
	var out []shoot.Query
	for _, q := range m.State.Floor.Queries {
		if keep(q) {
			out = append(out, q)
		}
	}
	sorting.By(out, func(a, b shoot.Query) int { return cmp.Or(by(a, b), cmp.Compare(a.ID, b.ID)) })
	return out
}

// on is a maker for the day that something happened on, so that its clocks are
// that day's.
func (m *maker) on(id shoot.DayID) *maker {
	out := *m
	out.Maker = m.On(id)
	return &out
}

func (m *maker) queryTitle(q shoot.Query) string {
	if q.Person != "" {
		return "Hours of " + m.Who(q.Person)
	}
	shot := m.State.Floor.Shots[q.Shot]
	return "Shot " + shot.Number + ", " + shot.Title
}

func (m *maker) queryCard(q shoot.Query) QueryCard {
	on := m.on(q.Day)
	out := QueryCard{ID: string(q.ID), Title: m.queryTitle(q), Mark: view.Mark{Word: "Queried", Shape: view.ShapeDiamond, Tone: view.ToneStop},
		Raised:  "raised " + on.Moment(q.Raised),
		Said:    QuerySide{"Reported", view.Sentence(q.Said.Text), on.Made(q.Said.At, 0, q.Said.By)},
		Against: QuerySide{"Against it", view.Sentence(q.Against.Text), on.Made(q.Against.At, 0, q.Against.By)}}
	if q.Kind == shoot.QueryHours {
		if now := on.Day.InOut(on.Hours(q.Person).Stamps()); !strings.HasSuffix(q.Against.Text, ": "+now) {
			out.Against.Text += " " + view.Sentence("now they are: "+cmp.Or(now, "nothing"))
		}
	}
	if q.Claim != nil {
		out.Said.Made = on.Made(q.Claim.At, q.Claim.Received, q.Claim.By)
	}
	if q.Standing != nil {
		out.Against.Made = on.Made(q.Standing.At, q.Standing.Received, q.Standing.By)
	}
	if !m.Lead() {
		out.Say = "The art director or the producer settles this."
		return out
	}
	keep, drop := rulings(q.Kind)
	ruling := func(label string, r shoot.Ruling) view.Action {
		return m.Form(m.Action(label, "query.settle", view.Fields{"query": q.ID, "ruling": r, "note": ""}),
			view.Form{Title: out.Title, Submit: label, Fields: []view.Field{view.Note("Why, for whoever asks later.")}})
	}
	m.Offer(&out.Actions, ruling(keep, shoot.Keep), ruling(drop, shoot.Drop).Dangerous())
	return out
}

// rulings are the two ways to settle a query of a kind, on buttons.
func rulings(k shoot.QueryKind) (keep, drop string) {
	switch k {
	case shoot.QueryPunch:
		return "Take what was reported", "Leave the hours as they are"
	case shoot.QueryUndo:
		return "Take the punch out", "Leave the hours as they are"
	case shoot.QueryHours:
		return "The hours are wrong; I put them right", "The hours stand"
	}
	return "Keep the capture", "Drop it: back to planned"
}

func (m *maker) closed(q shoot.Query) Closed {
	what := map[shoot.QueryKind]map[shoot.Ruling]string{
		shoot.QueryCapture: {shoot.Keep: "The capture was kept", shoot.Drop: "The capture was dropped and the shot put back"},
		shoot.QueryPunch:   {shoot.Keep: "What was reported was taken", shoot.Drop: "The hours were left as they were"},
		shoot.QueryUndo:    {shoot.Keep: "The punch was taken out", shoot.Drop: "The hours were left as they were"},
		shoot.QueryHours:   {shoot.Keep: "The hours were found wrong", shoot.Drop: "The hours were found right"},
	}[q.Kind][q.Ruling]
	say := what + " by " + m.Who(q.By) + ", " + m.on(q.Day).Moment(q.Settled) + "."
	if q.Note != "" {
		say += " " + view.Sentence(q.Note)
	}
	about := q.Against.Text
	if q.Kind == shoot.QueryHours {
		about = q.Said.Text
	}
	return Closed{Title: m.queryTitle(q) + ": " + about, Say: say}
}

// stuck lists the edits of this phone to look at. The remark that something
// became a query says nothing to whoever settles that query.
func (m *maker) stuck() []Stuck {
	return slices.DeleteFunc(slices.Clone(m.c.Stuck), func(s Stuck) bool { return m.Lead() && s.Code == shoot.FlagQueried && m.asQuery(s) })
}

// asQuery tells whether an edit of this phone stands as a query, open or settled.
func (m *maker) asQuery(s Stuck) bool {
	var args struct {
		Shot   shoot.ShotID     `json:"shot"`
		People []shoot.PersonID `json:"people"`
		Person shoot.PersonID   `json:"person"`
	}
	if s.Name != "shot.capture" && s.Name != "punch" && s.Name != "punch.undo" || json.Unmarshal(s.Args, &args) != nil {
		return false
	}
	for _, q := range m.State.Floor.Queries {
		about := q.Shot != "" && q.Shot == args.Shot || q.Person != "" && (q.Person == args.Person || slices.Contains(args.People, q.Person))
		if about && q.Said.By == m.c.Me {
			return true
		}
	}
	return false
}

func (m *maker) stuckCard(s Stuck) StuckCard {
	out := StuckCard{Seq: s.Seq, Title: view.Describe(m.State, s.Name, s.Args), Word: "Refused", Tone: view.ToneStop, Made: m.Moment(s.Made),
		Say: view.Sentence(s.Say), Yours: s.Yours, Theirs: s.Theirs, Next: next(s.Code), Discard: "Discard it",
		Confirm: "Discard this from the phone? It did not happen as far as the others know."}
	if s.Flag {
		out.Word, out.Tone, out.Discard, out.Confirm = "Kept, with a remark", view.ToneWarn, "Put it away", ""
	}
	return out
}

// next says what to do about a refusal or a flag.
func next(code shoot.Code) string {
	switch code {
	case shoot.CodeStale:
		return "Look at how it stands now. If yours should stand, enter it again, then discard this."
	case shoot.CodeOwnWord:
		return "Look at how it stands now. Enter it again if you still want it, then discard this."
	case shoot.CodeHeld:
		return "Get the heroes read on the Heroes screen, open the shot again, then discard this."
	case shoot.CodeNotAllowed:
		return "Ask whoever may do it, then discard this."
	case shoot.CodeChecklist:
		return "Go through the checklist, read the plate again, then discard this."
	case shoot.CodeRoot:
		return "What it was built on was refused. Settle that first, enter this again if it is still needed, then discard this."
	case shoot.CodeUnknownIntent, shoot.CodeFault:
		return "Tell the producer what you meant to enter. Reload the page before you discard this."
	case shoot.FlagMismatch:
		return "Find the right object and read its plate."
	case shoot.FlagSamePerson:
		return "Ask a second person to read the plate."
	case shoot.FlagQueried:
		return "Nothing to do: the art director or the producer settles it."
	case shoot.FlagReview:
		return "Nothing to do: the producer decides whether it counts."
	case shoot.FlagLate:
		return "It counts, but came late. Speak with whoever it concerns."
	case shoot.FlagChanged:
		return "Look again on My hours, and sign what stands there now."
	case shoot.FlagClock:
		return "Set this phone's clock to the network's time."
	}
	return "See how it stands now and enter it again if it is still needed, then discard this."
}

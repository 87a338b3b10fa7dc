package shoot

import (
	"fairday/domain/when"
)

// Call sheets: edits gather in a draft, publishing makes a numbered version.

var sheetRows = rows{
	intents: []intentRow{
		{name: "sheet.set", plane: TopicOffice, who: lead, target: "day", say: "Call sheet draft, {day}", args: sheetSet{}},
		{name: "call.set", plane: TopicOffice, who: lead, target: "day,person", say: "Call for {person}: {call}, {day}|{person} not called, {day}", args: callSet{}},
		{name: "sheet.publish", who: lead, target: "day", say: "Publish call sheet {number}, {day}", args: sheetPublish{}},
		{name: "sheet.seen", fact: true, say: "Call sheet {number} seen, {day}", args: sheetSeen{}},
	},
	events: []eventRow{
		{body: DraftSet{}},
		{body: CallSet{}},
		{body: DraftPublished{}},
		{body: SheetPublished{}, covers: true, pay: paysAll},
		{body: SheetSeen{}},
	},
}

// Place is where a day is shot.
type Place struct {
	Name    string `json:"name"`
	Address string `json:"address"`
}

// SheetText is what a call sheet says besides the calls.
type SheetText struct {
	Place       Place      `json:"place"`
	GeneralCall when.Clock `json:"generalCall"`
	PlannedWrap when.Clock `json:"plannedWrap"`
	Emergency   string     `json:"emergency"` // the nearest emergency department
	Safety      string     `json:"safety"`
	Notes       string     `json:"notes"`
}

// Draft is the call sheet being prepared.
type Draft struct {
	SheetText
	Calls   map[PersonID]when.Clock `json:"calls"`
	Version int                     `json:"version"` // of the text; a call carries its former value instead
	Changed bool                    `json:"changed"` // since the last publishing
}

// SheetKey is a day and the number of a published sheet.
type SheetKey string

// SheetOf makes the key of a day's call sheet with that number.
func SheetOf(d DayID, number int) SheetKey { return SheetKey(string(d) + "/" + itoa(number)) }

// AckKey is a sheet and a person.
type AckKey string

// AckOf makes the key of one person's acknowledgement of one sheet.
func AckOf(s SheetKey, p PersonID) AckKey { return AckKey(string(s) + "/" + string(p)) }

// Sheet is one published version of a call sheet.
type Sheet struct {
	SheetText
	Day     DayID                 `json:"day"`
	Number  int                   `json:"number"`
	At      when.Instant          `json:"at"`
	By      PersonID              `json:"by"`
	General when.Instant          `json:"general"`
	Wrap    when.Instant          `json:"wrap"`
	Calls   map[PersonID]Call     `json:"calls"`
	Changes map[PersonID][]Change `json:"changes"` // against the version before, for each person it concerns
}

// Call is when a person is called, as the wall clock reads and resolved.
type Call struct {
	Clock when.Clock   `json:"clock"`
	At    when.Instant `json:"at"`
}

// Change is one thing that changed for a person; an empty From is new, an empty
// To is gone.
type Change struct {
	What string `json:"what"`
	From string `json:"from"`
	To   string `json:"to"`
}

type sheetSet struct {
	Day DayID `json:"day"`
	SheetText
	Base int `json:"base"`
}

// DraftSet changes the text of a day's draft.
type DraftSet struct {
	Day DayID `json:"day"`
	SheetText
	Version int `json:"version"`
}

func (a sheetSet) decide(d *deciding) *Refusal {
	if _, ok := d.s.Floor.Days[a.Day]; !ok {
		return unknown("day")
	}
	if d.s.Office == nil {
		return notHere()
	}
	was := d.s.Office.Drafts[a.Day]
	if r := first(needed("name of the place", a.Place.Name, 120), text("address", a.Place.Address, 300), text("emergency line", a.Emergency, 300),
		text("safety note", a.Safety, 1000), text("notes", a.Notes, 2000), fresh("the call sheet", a.Base, was.Version, a.SheetText, was.SheetText)); r != nil {
		return r
	}
	if !a.GeneralCall.Valid() || !a.PlannedWrap.Valid() || a.PlannedWrap <= a.GeneralCall {
		return refuse(CodeBadArgs, "The planned wrap must be later than the general call.")
	}
	if was.SheetText == a.SheetText {
		return nil
	}
	d.emit(DraftSet{a.Day, a.SheetText, was.Version + 1})
	return nil
}

func notHere() *Refusal {
	return refuse(CodeNotKnownHere, "This phone does not hold what is needed to answer that. It goes to the server.")
}

func (DraftSet) kind() string { return "draft.set" }
func (DraftSet) topic() Topic { return TopicOffice }
func (e DraftSet) apply(s *State, _ Event) {
	s.draft(e.Day, func(d *Draft) { d.SheetText, d.Version, d.Changed = e.SheetText, e.Version, true })
}

func (s *State) draft(day DayID, change func(*Draft)) {
	d := s.Office.Drafts[day]
	change(&d)
	s.Office.Drafts = with(s.Office.Drafts, day, d)
}

type callSet struct {
	Day    DayID       `json:"day"`
	Person PersonID    `json:"person"`
	Call   *when.Clock `json:"call"` // null: not called
	Was    *when.Clock `json:"was"`  // what the person who edits saw
}

// CallSet calls a person at a time, or no longer, in a day's draft.
type CallSet struct {
	Day    DayID       `json:"day"`
	Person PersonID    `json:"person"`
	Call   *when.Clock `json:"call"`
}

func (a callSet) decide(d *deciding) *Refusal {
	if _, ok := d.s.Floor.Days[a.Day]; !ok {
		return unknown("day")
	}
	who, ok := d.s.Floor.People[a.Person]
	if !ok {
		return unknown("person")
	}
	if d.s.Office == nil {
		return notHere()
	}
	var now *when.Clock
	if c, ok := d.s.Office.Drafts[a.Day].Calls[a.Person]; ok {
		now = &c
	}
	switch {
	case sameCall(now, a.Call):
		return nil
	case !sameCall(now, a.Was):
		r := refuse(CodeStale, "Somebody changed the call of %s meanwhile. Choose which one stands.", who.Name)
		r.Yours, r.Theirs = callText(a.Call), callText(now)
		return r
	}
	d.emit(CallSet{a.Day, a.Person, a.Call})
	return nil
}

func sameCall(a, b *when.Clock) bool {
	return a == b || (a != nil && b != nil && *a == *b)
}

func callText(c *when.Clock) string {
	if c == nil {
		return "not called"
	}
	return c.String()
}

func (CallSet) kind() string { return "call.set" }
func (CallSet) topic() Topic { return TopicOffice }
func (e CallSet) apply(s *State, _ Event) {
	s.draft(e.Day, func(d *Draft) {
		calls := map[PersonID]when.Clock{}
		for p, c := range d.Calls {
			calls[p] = c
		}
		if e.Call == nil {
			delete(calls, e.Person)
		} else {
			calls[e.Person] = *e.Call
		}
		d.Calls, d.Changed = calls, true
	})
}

type sheetPublish struct {
	Day    DayID `json:"day"`
	Number int   `json:"number"` // the number it is to get
}

// DraftPublished says that the draft is out as it stands.
type DraftPublished struct {
	Day DayID `json:"day"`
}

// SheetPublished is the call sheet that went out.
type SheetPublished struct{ Sheet }

func (a sheetPublish) decide(d *deciding) *Refusal {
	day, ok := d.s.Floor.Days[a.Day]
	if !ok {
		return unknown("day")
	}
	if d.s.Office == nil {
		return notHere()
	}
	draft := d.s.Office.Drafts[a.Day]
	switch {
	case a.Number != day.Published+1:
		r := refuse(CodeStale, "Somebody published meanwhile. Read the newest call sheet, then publish again if it is still needed.")
		r.Yours, r.Theirs = "version "+itoa(a.Number), "version "+itoa(day.Published)
		return r
	case draft.Version == 0 || len(draft.Calls) == 0:
		return refuse(CodeNothingToDo, "The call sheet has no place or calls nobody yet. Fill it in, then publish.")
	case !draft.Changed:
		return refuse(CodeNothingToDo, "Nothing has changed since version %d. There is nothing to publish.", day.Published)
	}
	next := Sheet{SheetText: draft.SheetText, Day: a.Day, Number: a.Number, At: d.at, By: d.in.Actor, Calls: map[PersonID]Call{}}
	resolve := func(c when.Clock) when.Instant {
		at, err := day.Zone.At(day.Date, c) // zone and date were checked when the day was set
		if err != nil {
			panic(err)
		}
		return at
	}
	next.General, next.Wrap = resolve(draft.GeneralCall), resolve(draft.PlannedWrap)
	for p, c := range draft.Calls {
		next.Calls[p] = Call{c, resolve(c)}
	}
	if day.Published > 0 {
		next.Changes = changes(d.s.Floor.Sheets[SheetOf(a.Day, day.Published)], next)
	}
	d.emit(DraftPublished{a.Day})
	d.emit(SheetPublished{next})
	return nil
}

// changes says for each person what is different between two versions.
func changes(old, now Sheet) map[PersonID][]Change {
	out := map[PersonID][]Change{}
	call := func(s Sheet, p PersonID) string {
		if c, ok := s.Calls[p]; ok {
			return c.Clock.String()
		}
		return "not called"
	}
	common := []Change{
		{"Place", old.Place.Name, now.Place.Name}, {"Address", old.Place.Address, now.Place.Address},
		{"General call", old.GeneralCall.String(), now.GeneralCall.String()}, {"Planned wrap", old.PlannedWrap.String(), now.PlannedWrap.String()},
		{"Emergency", old.Emergency, now.Emergency}, {"Safety", old.Safety, now.Safety}, {"Notes", old.Notes, now.Notes},
	}
	for _, calls := range []map[PersonID]Call{old.Calls, now.Calls} {
		for p := range calls {
			if _, done := out[p]; done {
				continue
			}
			list := []Change{}
			if a, b := call(old, p), call(now, p); a != b {
				list = append(list, Change{"Your call", a, b})
			}
			if _, called := now.Calls[p]; called {
				for _, c := range common {
					if c.From != c.To {
						list = append(list, c)
					}
				}
			}
			out[p] = list
		}
	}
	for p, list := range out {
		if len(list) == 0 {
			delete(out, p)
		}
	}
	return out
}

func (DraftPublished) kind() string { return "draft.published" }
func (DraftPublished) topic() Topic { return TopicOffice }
func (e DraftPublished) apply(s *State, _ Event) {
	s.draft(e.Day, func(d *Draft) { d.Changed = false })
}

func (SheetPublished) kind() string { return "sheet.published" }
func (SheetPublished) topic() Topic { return TopicFloor }
func (e SheetPublished) apply(s *State, _ Event) {
	s.Floor.Sheets = with(s.Floor.Sheets, SheetOf(e.Day, e.Number), e.Sheet)
	day := s.Floor.Days[e.Day]
	day.Published = e.Number
	s.Floor.Days = with(s.Floor.Days, e.Day, day)
}

// SheetNow is a day's newest published call sheet.
func (s *State) SheetNow(day DayID) (Sheet, bool) {
	sheet, ok := s.Floor.Sheets[SheetOf(day, s.Floor.Days[day].Published)]
	return sheet, ok
}

type sheetSeen struct {
	Day    DayID `json:"day"`
	Number int   `json:"number"`
}

// SheetSeen says that a person has read a version of the call sheet.
type SheetSeen struct {
	Day    DayID `json:"day"`
	Number int   `json:"number"`
}

func (a sheetSeen) decide(d *deciding) *Refusal {
	key := SheetOf(a.Day, a.Number)
	if _, ok := d.s.Floor.Sheets[key]; !ok {
		return unknown("call sheet")
	}
	if _, seen := d.s.Floor.Acks[AckOf(key, d.in.Actor)]; !seen {
		d.emit(SheetSeen(a))
	}
	return nil
}

func (SheetSeen) kind() string { return "sheet.seen" }
func (SheetSeen) topic() Topic { return TopicFloor }
func (e SheetSeen) apply(s *State, ev Event) {
	s.Floor.Acks = with(s.Floor.Acks, AckOf(SheetOf(e.Day, e.Number), ev.By), ev.At)
}

package view

import (
	"cmp"
	"encoding/json"
	"errors"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"fairday/domain/money"
	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/when"
)

// Maker is what every maker of a screen has: the shoot as one person knows it, that
// person, the day, and the words and buttons that are made of them.
type Maker struct {
	State  *shoot.State
	c      Context
	Me     shoot.Person
	Day    shoot.Day   // without an id where the shoot has none
	At     when.Reader // of the day's zone
	decide Rules
}

// choose finds the chosen day, or today: the day whose date it is where the day
// is shot, else the next one, else the last. A day that runs past midnight stays
// today until the last one has signed out, or half a day after its planned wrap.
func (m *Maker) choose() shoot.Day {
	if day, ok := m.State.Floor.Days[m.c.Day]; ok {
		return day
	}
	last := shoot.Day{Zone: "UTC", Date: m.DateIn("UTC")} // where the plan has none
	for _, day := range m.State.DaysInOrder() {
		if last = day; day.Date >= m.DateIn(day.Zone) || m.runsOn(day.ID) {
			break
		}
	}
	return last
}

func (m *Maker) runsOn(day shoot.DayID) bool {
	sheet, ok := m.State.SheetNow(day)
	if !ok || m.c.Now > sheet.Wrap+12*when.Hour {
		return false
	}
	for p := range m.State.Floor.People {
		if m.State.Floor.Hours[shoot.KeyOf(day, p)].Presence() != shoot.Away {
			return true
		}
	}
	return false
}

// DateIn is the present date in a zone.
func (m *Maker) DateIn(z when.Zone) when.Date {
	date, _ := z.Reader().Local(m.c.Now)
	return date
}

// Head names the day.
func (m *Maker) Head() DayHead {
	if m.Day.ID == "" {
		return DayHead{Name: "No day yet", Date: "The plan has no shoot day yet."}
	}
	return DayHead{ID: string(m.Day.ID), Name: m.Day.Name, Date: m.Day.Date.Long(), Zone: string(m.Day.Zone)}
}

// Clock reads an instant on the day's clock; "" for one that is not set.
func (m *Maker) Clock(i when.Instant) string {
	if i == 0 {
		return ""
	}
	return unbroken(m.At.ClockOn(m.Day.Date, i))
}

// Moment is a clock, with the date where it is not the day's.
func (m *Maker) Moment(i when.Instant) string {
	date, c := m.At.Local(i)
	if date == m.Day.Date {
		return m.Clock(i)
	}
	return date.Long() + ", " + c.String()
}

// Wall is a clock as forms take it: the next morning runs on after 24:00.
func (m *Maker) Wall(i when.Instant) string {
	date, c := m.At.Local(i)
	if date == m.Day.Date.Add(1) {
		c += 24 * 60
	}
	return c.String()
}

// DayTabs are the days to choose from.
func (m *Maker) DayTabs() (out []DayTab) {
	for _, day := range m.State.DaysInOrder() {
		word := "to come"
		switch today := m.DateIn(day.Zone); {
		case day.Date == today:
			word = "today"
		case day.Date < today:
			word = "past"
		}
		out = append(out, DayTab{ID: string(day.ID), Name: day.Name, Date: day.Date.Long(), Word: word, Chosen: day.ID == m.Day.ID})
	}
	return out
}

// Who names a person for a sentence.
func (m *Maker) Who(p shoot.PersonID) string { return nameOf(m.State, p) }

func nameOf(s *shoot.State, p shoot.PersonID) string {
	if who, ok := s.Floor.People[p]; ok {
		return Apart(who.Name)
	}
	if p == shoot.Desk {
		return "the plan"
	}
	return "somebody"
}

// Apart keeps a name that is written from right to left from reordering the words
// and times around it in a sentence: it goes between a first strong isolate and
// its end (Unicode Standard Annex 9, 2.4). Other names stay as they are.
func Apart(name string) string {
	for _, r := range name {
		if r >= 0x590 && r < 0x900 || r >= 0xFB1D && r < 0xFE00 || r >= 0xFE70 && r < 0xFF00 || r >= 0x10800 && r < 0x11000 || r >= 0x1E800 && r < 0x1F000 {
			return "\u2068" + name + "\u2069"
		}
	}
	return name
}

// Made tells when something happened, and when it arrived where that is more
// than two minutes off.
func (m *Maker) Made(happened, received when.Instant, by shoot.PersonID) Made {
	out := Made{Happened: m.Clock(happened)}
	if by != "" {
		out.By = m.WhoAt(by, happened)
	}
	if received != 0 && (received-happened > shoot.Skew || happened-received > shoot.Skew) {
		out.Received = "received " + m.Clock(received)
	}
	return out
}

// WhoAt names who reported something of an instant, and who delivered it where that
// was somebody else.
func (m *Maker) WhoAt(by shoot.PersonID, at when.Instant) string {
	if via := m.State.Floor.Delivered[shoot.DeliveryOf(by, at)]; via != "" {
		return m.Who(by) + ", delivered by " + m.Who(via)
	}
	return m.Who(by)
}

// Job is what a person does, in words.
func Job(p shoot.Person) string {
	if p.Job != "" {
		return p.Job
	}
	return p.Role.Label()
}

// Hours are a person's on the day.
func (m *Maker) Hours(p shoot.PersonID) shoot.Hours {
	return m.State.Floor.Hours[shoot.KeyOf(m.Day.ID, p)]
}

// Lead tells whether this person runs the day.
func (m *Maker) Lead() bool {
	return m.Me.Role == shoot.Producer || m.Me.Role == shoot.ArtDirector
}

// People lists everybody who is on the shoot, in the order of roles and names.
func (m *Maker) People() []shoot.Person {
	return m.which(func(p shoot.Person) bool { return !p.Revoked })
}

// There lists everybody who is on the shoot or was on the clock on the day: who
// was withdrawn after some hours has worked them.
func (m *Maker) There() []shoot.Person {
	return m.which(func(p shoot.Person) bool { return !p.Revoked || len(m.Hours(p.ID).Marks) > 0 })
}

func (m *Maker) which(is func(shoot.Person) bool) []shoot.Person {
	roles := shoot.Roles()
	all := sorting.Values(m.State.Floor.People, func(a, b shoot.Person) int {
		return cmp.Or(cmp.Compare(slices.Index(roles, a.Role), slices.Index(roles, b.Role)),
			cmp.Compare(a.Name, b.Name), cmp.Compare(a.ID, b.ID))
	})
	return slices.DeleteFunc(all, func(p shoot.Person) bool { return !is(p) })
}

// Fields is short for an intent's arguments.
type Fields map[string]any

// JSON gives the arguments as an action has them.
func (f Fields) JSON() json.RawMessage {
	b, err := json.Marshal(map[string]any(f))
	if err != nil { // only a clock out of its range, which no state holds
		panic(err)
	}
	return b
}

// Action is a button whose intent the rules would take as it stands; where they
// would not, it is off and says why in their words. Facts are never refused.
func (m *Maker) Action(label, name string, f Fields) Action {
	a := Action{Label: label, Name: name, Args: f.JSON(), Enabled: true}
	if shoot.IsFact(name) {
		return a
	}
	_, err := m.decide(m.State, shoot.Intent{ID: "view", Name: name, Version: shoot.Version(name), Args: a.Args,
		Actor: m.c.Me, Happened: m.c.Now, Received: m.c.Now})
	var r *shoot.Refusal
	if errors.As(err, &r) && r.Code != shoot.CodeNotKnownHere { // what is not known here, the server decides
		a.Enabled, a.Why = false, r.Say
	}
	return a
}

// Entry is a button with a form; the rules are asked once it is filled in.
func (m *Maker) Entry(label, name string, f Fields, fm Form) Action {
	fm.Date, fm.Zone = m.Day.Date, m.Day.Zone
	return Action{Label: label, Name: name, Args: f.JSON(), Enabled: true, Form: &fm}
}

// Off turns an action off for a reason, if there is one.
func (a Action) Off(why string) Action {
	if why != "" {
		a.Enabled, a.Why = false, why
	}
	return a
}

// Confirming asks a question before the action is done.
func (a Action) Confirming(question string) Action { a.Confirm = question; return a }

// Dangerous marks an action that is not easily taken back.
func (a Action) Dangerous() Action { a.Danger = true; return a }

// Form attaches a form to an action that the rules were asked about already.
func (m *Maker) Form(a Action, fm Form) Action {
	fm.Date, fm.Zone = m.Day.Date, m.Day.Zone
	a.Form = &fm
	return a
}

// Offer adds the actions that this person's role may use at all.
func (m *Maker) Offer(list *[]Action, actions ...Action) {
	for _, a := range actions {
		if shoot.MaySend(m.Me.Role, a.Name) {
			*list = append(*list, a)
		}
	}
}

// Note is the field for a remark.
func Note(hint string) Field {
	return Field{Key: "note", Label: "Note", Kind: KindLines, As: AsText, Hint: hint}
}

// NextMorning tells how to enter a time past midnight.
const NextMorning = "24:00 and later is the next morning."

// Sentence starts with a capital and ends with a full stop.
func Sentence(s string) string {
	if s == "" {
		return ""
	}
	r, n := utf8.DecodeRuneInString(s)
	s = string(unicode.ToUpper(r)) + s[n:]
	if strings.HasSuffix(s, ".") || strings.HasSuffix(s, "!") || strings.HasSuffix(s, "?") {
		return s
	}
	return s + "."
}

// Capital starts with a capital.
func Capital(s string) string { return strings.TrimSuffix(Sentence(s), ".") }

// Count writes a number with its thing: "1 guest", "3 guests".
func Count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// Lasts writes a length in minutes.
func Lasts(minutes int64) string { return unbroken(when.Elapsed(minutes)) }

// unbroken keeps what is read as one on one line.
func unbroken(s string) string { return strings.ReplaceAll(s, " ", "\u00a0") }

// Times writes a factor.
func Times(r money.Ratio) string { return unbroken("× " + r.String()) }

// Factors keeps the signs in a calculator's words with what follows them.
func Factors(s string) string { return strings.ReplaceAll(s, "× ", "×\u00a0") }

// List writes "a", "a and b", "a, b and c".
func List(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}

// natural compares numbers as people call them: 2 before 10, 2 before 2A.
func natural(a, b string) int {
	x, restA := Leading(a)
	y, restB := Leading(b)
	return cmp.Or(cmp.Compare(x, y), cmp.Compare(restA, restB))
}

// Leading takes the number off the front of what people call a number: 2 and "A" of "2A".
func Leading(s string) (int, string) {
	digits := strings.TrimLeft(s, "0123456789")
	n, _ := strconv.Atoi(s[:len(s)-len(digits)]) // "" is 0: words come first
	return n, digits
}

// Itoa writes a number.
func Itoa(n int) string { return strconv.Itoa(n) }

// Lower starts with a small letter, for words within a sentence; abbreviations
// stay.
func Lower(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if next, _ := utf8.DecodeRuneInString(s[n:]); unicode.IsUpper(next) || unicode.IsDigit(next) {
		return s
	}
	return string(unicode.ToLower(r)) + s[n:]
}

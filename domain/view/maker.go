package view

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/when"
)

// maker makes one screen.
type maker struct {
	s   *shoot.State
	c   Context
	me  shoot.Person
	day shoot.Day   // without an id where the shoot has none
	at  when.Reader // of the day's zone

	seen *outlook // the forecast, once it was made
}

// choose finds the chosen day, or today: the day whose date it is where the day
// is shot, else the next one, else the last. A day that runs past midnight stays
// today until the last one has signed out, or half a day after its planned wrap.
func (m *maker) choose() shoot.Day {
	if day, ok := m.s.Floor.Days[m.c.Day]; ok {
		return day
	}
	last := shoot.Day{Zone: "UTC", Date: m.dateIn("UTC")} // where the plan has none
	for _, day := range m.s.DaysInOrder() {
		if last = day; day.Date >= m.dateIn(day.Zone) || m.runsOn(day.ID) {
			break
		}
	}
	return last
}

func (m *maker) runsOn(day shoot.DayID) bool {
	sheet, ok := m.s.SheetNow(day)
	if !ok || m.c.Now > sheet.Wrap+12*when.Hour {
		return false
	}
	for p := range m.s.Floor.People {
		if m.s.Floor.Hours[shoot.KeyOf(day, p)].Presence() != shoot.Away {
			return true
		}
	}
	return false
}

// dateIn is the present date in a zone.
func (m *maker) dateIn(z when.Zone) when.Date {
	date, _ := z.Reader().Local(m.c.Now)
	return date
}

func (m *maker) head() DayHead {
	if m.day.ID == "" {
		return DayHead{Name: "No day yet", Date: "The plan has no shoot day yet."}
	}
	return DayHead{ID: string(m.day.ID), Name: m.day.Name, Date: m.day.Date.Long(), Zone: string(m.day.Zone)}
}

// clock reads an instant on the day's clock; "" for one that is not set.
func (m *maker) clock(i when.Instant) string {
	if i == 0 {
		return ""
	}
	return unbroken(m.at.ClockOn(m.day.Date, i))
}

// moment is a clock, with the date where it is not the day's.
func (m *maker) moment(i when.Instant) string {
	date, c := m.at.Local(i)
	if date == m.day.Date {
		return m.clock(i)
	}
	return date.Long() + ", " + c.String()
}

// who names a person for a sentence.
func (m *maker) who(p shoot.PersonID) string { return nameOf(m.s, p) }

func nameOf(s *shoot.State, p shoot.PersonID) string {
	if who, ok := s.Floor.People[p]; ok {
		return who.Name
	}
	if p == shoot.Desk {
		return "the plan"
	}
	return "somebody"
}

// made tells when something happened, and when it arrived where that is more
// than two minutes off.
func (m *maker) made(happened, received when.Instant, by shoot.PersonID) Made {
	out := Made{Happened: m.clock(happened)}
	if by != "" {
		out.By = m.whoAt(by, happened)
	}
	if received != 0 && (received-happened > shoot.Skew || happened-received > shoot.Skew) {
		out.Received = "received " + m.clock(received)
	}
	return out
}

// whoAt names who reported something of an instant, and who delivered it where that
// was somebody else.
func (m *maker) whoAt(by shoot.PersonID, at when.Instant) string {
	if via := m.s.Floor.Delivered[shoot.DeliveryOf(by, at)]; via != "" {
		return m.who(by) + ", delivered by " + m.who(via)
	}
	return m.who(by)
}

// job is what a person does, in words.
func job(p shoot.Person) string {
	if p.Job != "" {
		return p.Job
	}
	return p.Role.Label()
}

// lead tells whether this person runs the day.
func (m *maker) lead() bool {
	return m.me.Role == shoot.Producer || m.me.Role == shoot.ArtDirector
}

// people lists everybody who is on the shoot, in the order of roles and names.
func (m *maker) people() []shoot.Person {
	return m.which(func(p shoot.Person) bool { return !p.Revoked })
}

// there lists everybody who is on the shoot or was on the clock on the day: who
// was withdrawn after some hours has worked them.
func (m *maker) there() []shoot.Person {
	return m.which(func(p shoot.Person) bool { return !p.Revoked || len(m.hours(p.ID).Marks) > 0 })
}

func (m *maker) which(is func(shoot.Person) bool) []shoot.Person {
	roles := shoot.Roles()
	all := sorting.Values(m.s.Floor.People, func(a, b shoot.Person) int {
		return cmp.Or(cmp.Compare(slices.Index(roles, a.Role), slices.Index(roles, b.Role)),
			cmp.Compare(a.Name, b.Name), cmp.Compare(a.ID, b.ID))
	})
	return slices.DeleteFunc(all, func(p shoot.Person) bool { return !is(p) })
}

// fields is short for an intent's arguments.
type fields map[string]any

func (f fields) json() json.RawMessage {
	b, err := json.Marshal(map[string]any(f))
	if err != nil { // only a clock out of its range, which no state holds
		panic(err)
	}
	return b
}

// action is a button whose intent the rules would take as it stands; where they
// would not, it is off and says why in their words. Facts are never refused.
func (m *maker) action(label, name string, f fields) Action {
	a := Action{Label: label, Name: name, Args: f.json(), Enabled: true}
	if shoot.IsFact(name) {
		return a
	}
	_, err := shoot.Decide(m.s, shoot.Intent{ID: "view", Name: name, Version: shoot.Version(name), Args: a.Args,
		Actor: m.c.Me, Happened: m.c.Now, Received: m.c.Now})
	var r *shoot.Refusal
	if errors.As(err, &r) && r.Code != shoot.CodeNotKnownHere { // what is not known here, the server decides
		a.Enabled, a.Why = false, r.Say
	}
	return a
}

// entry is a button with a form; the rules are asked once it is filled in.
func (m *maker) entry(label, name string, f fields, fm Form) Action {
	fm.Date, fm.Zone = m.day.Date, m.day.Zone
	return Action{Label: label, Name: name, Args: f.json(), Enabled: true, Form: &fm}
}

// off turns an action off for a reason, if there is one.
func (a Action) off(why string) Action {
	if why != "" {
		a.Enabled, a.Why = false, why
	}
	return a
}

func (a Action) confirm(question string) Action { a.Confirm = question; return a }
func (a Action) danger() Action                 { a.Danger = true; return a }

// form attaches a form to an action that the rules were asked about already.
func (m *maker) form(a Action, fm Form) Action {
	fm.Date, fm.Zone = m.day.Date, m.day.Zone
	a.Form = &fm
	return a
}

// offer adds the actions that this person's role may use at all.
func (m *maker) offer(list *[]Action, actions ...Action) {
	for _, a := range actions {
		if shoot.MaySend(m.me.Role, a.Name) {
			*list = append(*list, a)
		}
	}
}

// note is the field for a remark.
func note(hint string) Field {
	return Field{Key: "note", Label: "Note", Kind: KindLines, As: AsText, Hint: hint}
}

// nextMorning tells how to enter a time past midnight.
const nextMorning = "24:00 and later is the next morning."

// sentence starts with a capital and ends with a full stop.
func sentence(s string) string {
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

// count writes a number with its thing: "1 guest", "3 guests".
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// lasts writes a length in minutes.
func lasts(minutes int64) string { return unbroken(when.Elapsed(minutes)) }

// unbroken keeps what is read as one on one line.
func unbroken(s string) string { return strings.ReplaceAll(s, " ", "\u00a0") }

// list writes "a", "a and b", "a, b and c".
func list(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}

// natural compares numbers as people call them: 2 before 10, 2 before 2A.
func natural(a, b string) int {
	x, restA := leading(a)
	y, restB := leading(b)
	return cmp.Or(cmp.Compare(x, y), cmp.Compare(restA, restB))
}

func leading(s string) (int, string) {
	digits := strings.TrimLeft(s, "0123456789")
	n, _ := strconv.Atoi(s[:len(s)-len(digits)]) // "" is 0: words come first
	return n, digits
}

func ask(format string, args ...any) string { return fmt.Sprintf(format, args...) }

func itoa(n int) string { return strconv.Itoa(n) }

// lower starts with a small letter, for words within a sentence; abbreviations
// stay.
func lower(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if next, _ := utf8.DecodeRuneInString(s[n:]); unicode.IsUpper(next) || unicode.IsDigit(next) {
		return s
	}
	return string(unicode.ToLower(r)) + s[n:]
}

package shoot

import (
	"encoding/json"
	"errors"
	"strings"
	"unicode"
	"unicode/utf8"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/sorting"
	"fairday/domain/when"
)

// MaxArgs is the largest size of an intent's arguments in bytes.
const MaxArgs = 16 << 10

// args are an intent's arguments, decoded. decide adds events to d or refuses.
type args interface {
	decide(d *deciding) *Refusal
}

// deciding is one run of Decide.
type deciding struct {
	s      *State
	in     Intent
	at     when.Instant // when it took place
	who    Person
	mayAll bool // may do this to anybody, not only to themselves
	review bool // a report for the producer to look at
	events []Event
	flag   *Flag
}

// emit adds an event. What the kitchen is told is the desk's word: whose doing led to it
// would tell whose plate it is.
func (d *deciding) emit(b Body) {
	by := d.in.Actor
	if b.topic() == TopicKitchen {
		by = Desk
	}
	d.events = append(d.events, Event{At: d.at, By: by, Body: b})
}

// note sets the flag; the first one stays.
func (d *deciding) note(code Code, say string, yours, theirs string) {
	if d.flag == nil {
		d.flag = &Flag{Code: code, Say: say, Yours: yours, Theirs: theirs}
	}
}

// Check tells what is wrong with an intent before its rule is asked: that nobody
// knows it, that it is not for this role, or that it is too large. A phone knows
// that much of an intent of a far kind. The error is always a *Refusal.
func Check(s *State, in Intent) error {
	if _, _, r := begin(s, in); r != nil {
		return r
	}
	return nil
}

// begin starts a run of Decide, up to the rule.
func begin(s *State, in Intent) (*deciding, *intentRow, *Refusal) {
	row := intents[in.Name]
	if row == nil || in.Version < 1 || in.Version > row.version() {
		return nil, nil, refuse(CodeUnknownIntent, "This server does not know %q in version %d. Reload the page to get the version that fits.", clip(in.Name), in.Version)
	}
	d := &deciding{s: s, in: in}
	if r := d.admit(row); r != nil {
		return nil, nil, r
	}
	if len(in.Args) > MaxArgs {
		return nil, nil, refuse(CodeBadArgs, "That is too much text for one edit (%d bytes, %d fit). Shorten it.", len(in.Args), MaxArgs)
	}
	if !utf8.Valid(in.Args) {
		return nil, nil, refuse(CodeBadArgs, "That edit is not readable text. Enter it again.")
	}
	return d, row, nil
}

// Decide works out what an intent leads to. The error is always a *Refusal.
func Decide(s *State, in Intent) (Decision, error) {
	return decide(s, in, func(row *intentRow) args {
		for _, of := range allFarRules {
			for _, rule := range *of {
				if rule.name == row.name {
					return rule.args
				}
			}
		}
		return row.args
	})
}

// DecideNear is Decide for a phone, which has no rules for far kinds: those it
// refuses with CodeNotKnownHere, unless Check finds something wrong with them.
func DecideNear(s *State, in Intent) (Decision, error) {
	return decide(s, in, func(row *intentRow) args { return row.args })
}

func decide(s *State, in Intent, ruleOf func(*intentRow) args) (Decision, error) {
	d, row, r := begin(s, in)
	if r != nil {
		return Decision{}, r
	}
	rule := ruleOf(row)
	if rule == nil {
		return Decision{}, refuse(CodeNotKnownHere, "This is worked out by the server. It goes out once there is a connection.")
	}
	a, err := row.read(rule, in.Version, in.Args)
	if err != nil {
		return Decision{}, refuse(CodeBadArgs, "That edit could not be read (%s). Enter it again.", clip(err.Error()))
	}
	var believed bool
	d.at, believed = in.at()
	if d.review {
		r = d.hold()
	} else {
		r = a.decide(d)
	}
	if r != nil {
		return Decision{}, r
	}
	if !believed && in.Happened != 0 && len(d.events) > 0 {
		d.note(FlagClock, "This phone's clock was too far off to be believed; the time it reached the server is used.", "", "")
	}
	d.recount()
	d.reslip()
	return Decision{Events: d.events, Flag: d.flag}, nil
}

// admit checks that the actor may send such an intent.
func (d *deciding) admit(row *intentRow) *Refusal {
	if d.in.Actor == Desk {
		d.who, d.mayAll = Person{ID: Desk, Role: Producer}, true
		return nil
	}
	who, ok := d.s.Floor.People[d.in.Actor]
	d.review = d.late(row, who)
	if !ok || who.Revoked && !d.review {
		return refuse(CodeNotAllowed, "Your access to this shoot was withdrawn. Speak to the producer.")
	}
	d.who = who
	d.mayAll = row.allows(who.Role)
	if !d.mayAll && !row.own {
		return refuse(CodeNotAllowed, "That is not for a %s to do. Ask %s.", strings.ToLower(who.Role.Label()), orList(row.who))
	}
	return nil
}

func orList(roles []Role) string {
	var words []string
	for _, r := range roles {
		words = append(words, "the "+strings.ToLower(r.Label()))
	}
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " or " + words[n-1]
	}
	return strings.Join(words, "")
}

// fresh refuses an edit that was based on another version than the one that
// stands, giving the values that differ.
func fresh(thing string, base, version int, yours, theirs any) *Refusal {
	if base == version {
		return nil
	}
	r := refuse(CodeStale, "Somebody changed %s meanwhile. Look at both and enter what should stand.", thing)
	r.Yours, r.Theirs = differ(yours, theirs)
	return r
}

// differ lists the fields in which two values of one type are not the same.
func differ(yours, theirs any) (string, string) {
	fields := func(v any) map[string]json.RawMessage {
		m := map[string]json.RawMessage{}
		if b, err := json.Marshal(v); err == nil {
			_ = json.Unmarshal(b, &m) // what is no object has no fields
		}
		return m
	}
	a, b := fields(yours), fields(theirs)
	var names, left, right []string
	for k := range a {
		names = append(names, k)
	}
	sorting.Up(names)
	for _, k := range names {
		if string(a[k]) != string(b[k]) && k != "base" {
			left = append(left, k+": "+strings.Trim(string(a[k]), `"`))
			right = append(right, k+": "+strings.Trim(string(b[k]), `"`))
		}
	}
	return strings.Join(left, "; "), strings.Join(right, "; ")
}

func unknown(what string) *Refusal {
	return refuse(CodeUnknownThing, "There is no such %s on this shoot. Reload to see what there is.", what)
}

// wrong turns a failed check of arguments into a refusal.
func wrong(err error) *Refusal {
	var r *Refusal
	if err == nil || errors.As(err, &r) {
		return r
	}
	return refuse(CodeBadArgs, "That cannot stand: %s.", err.Error())
}

// amount holds a sum to what somebody may be paid, and names it.
func amount(what string, a money.Amount) *Refusal {
	if err := a.Check(); err != nil {
		return refuse(CodeBadArgs, "The %s cannot stand: %v.", what, err)
	}
	if a.Minor > overtime.MostMinor {
		return refuse(CodeBadArgs, "The %s is more than anybody is paid: %s. Check it for a slip of the keyboard.", what, a.Format())
	}
	return nil
}

// Showable tells whether a text holds no control characters but line ends, nor those
// that turn the direction of what stands beside them (Bidi_Control in the Unicode
// Character Database).
func Showable(s string) bool {
	return !strings.ContainsFunc(s, func(r rune) bool { return unicode.IsControl(r) && r != '\n' || unicode.Is(unicode.Bidi_Control, r) })
}

// text checks what a person wrote: its length in characters and that it can be shown.
func text(what, s string, most int) *Refusal {
	if n := utf8.RuneCountInString(s); n > most {
		return refuse(CodeBadArgs, "The %s is too long: %d characters, %d fit.", what, n, most)
	}
	if !Showable(s) {
		return refuse(CodeBadArgs, "The %s holds characters that cannot be shown. Enter it again.", what)
	}
	return nil
}

// needed checks that a text is there and fits.
func needed(what, s string, most int) *Refusal {
	if strings.TrimSpace(s) == "" {
		return refuse(CodeBadArgs, "The %s is missing.", what)
	}
	return text(what, s, most)
}

// between checks a number.
func between(what string, n, least, most int) *Refusal {
	if n < least || n > most {
		return refuse(CodeBadArgs, "The %s must be from %d to %d, not %d.", what, least, most, n)
	}
	return nil
}

func idCheck[T ~string](id T) *Refusal {
	if !ValidID(id) {
		return refuse(CodeBadArgs, "%q is not an id. This is a fault of the app; reload and try again.", clip(string(id)))
	}
	return nil
}

// first gives the first refusal of a row of checks.
func first(checks ...*Refusal) *Refusal {
	for _, r := range checks {
		if r != nil {
			return r
		}
	}
	return nil
}

func clip(s string) string {
	if r := []rune(s); len(r) > 80 {
		return string(r[:80]) + "…"
	}
	return s
}

package shoot

import (
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"fairday/domain/sorting"
	"fairday/domain/when"
)

// MaxArgs is the largest size of an intent's arguments in bytes.
const MaxArgs = 16 << 10

// args are an intent's arguments, decoded. decide adds events to d or refuses.
type args interface {
	decide(d *deciding) *Refusal
}

// spec is what is fixed about an intent of one name.
type spec struct {
	version int
	fact    bool   // always kept once it is allowed and well-formed
	money   bool   // writes the money plane or people's own pay, and nothing else
	who     []Role // who may; nil is everybody, except as own says
	own     bool   // the others may too, for themselves: decide checks
	decode  func(json.RawMessage) (args, error)
	target  string // the arguments that name the row it edits; "-" for the only one
}

func form[A args](raw json.RawMessage) (args, error) {
	var a A
	err := strict(raw, &a)
	return a, err
}

var (
	lead    = []Role{Producer, ArtDirector}
	camera  = []Role{Producer, ArtDirector, Photographer, Digitech}
	kitchen = []Role{Producer, Caterer}
	readers = []Role{Producer, ArtDirector, PropStylist, FoodStylist, Client}
	movers  = []Role{Producer, ArtDirector, PropStylist, FoodStylist}
	office  = []Role{Producer}
)

// specs holds every intent there is. A name, once used, keeps its meaning; a
// change of arguments is a new version, with its upgrade in intentUpgrades.
var specs = map[string]spec{
	// The plan.
	"shoot.set":     {version: 1, who: office, decode: form[shootSet], target: "-"},
	"day.set":       {version: 1, who: office, decode: form[daySet], target: "id"},
	"person.set":    {version: 1, who: office, decode: form[personSet], target: "id"},
	"person.access": {version: 1, who: office, decode: form[personAccess], target: "person"},
	"setup.set":     {version: 1, who: lead, decode: form[setupSet], target: "id"},
	"shot.set":      {version: 1, who: lead, decode: form[shotSet], target: "id"},
	"shot.order":    {version: 1, who: lead, decode: form[shotOrder], target: "day"},
	"hero.set":      {version: 1, who: lead, decode: form[heroSet], target: "id"},
	"meal.set":      {version: 1, who: office, decode: form[mealSet], target: "id"},
	"meal.drop":     {version: 1, who: office, decode: form[mealDrop], target: "meal"},
	"diet.set":      {version: 1, who: office, own: true, decode: form[dietSet], target: "person"},
	"light.set":     {version: 1, who: lead, decode: form[lightSet], target: "day"},
	"shot.wishes":   {version: 1, who: lead, decode: form[shotWishes], target: "shot"},
	"stay.until":    {version: 1, who: lead, decode: form[stayUntil], target: "day,person"},
	"meal.range":    {version: 1, who: office, decode: form[mealRange], target: "meal"},
	// The call sheet.
	"sheet.set":     {version: 1, who: lead, decode: form[sheetSet], target: "day"},
	"call.set":      {version: 1, who: lead, decode: form[callSet], target: "day,person"},
	"sheet.publish": {version: 1, who: lead, decode: form[sheetPublish], target: "day"},
	"sheet.seen":    {version: 1, fact: true, decode: form[sheetSeen]},
	// The shots.
	"shot.open":     {version: 1, who: lead, decode: form[shotOpen], target: "shot"},
	"shot.start":    {version: 1, fact: true, who: camera, decode: form[shotStart]},
	"shot.capture":  {version: 1, fact: true, who: camera, decode: form[shotCapture]},
	"shot.frames":   {version: 1, fact: true, who: camera, decode: form[shotFrames]},
	"shot.cut":      {version: 1, who: lead, decode: form[shotCut], target: "shot"},
	"shot.reset":    {version: 1, who: lead, decode: form[shotReset], target: "shot"},
	"shot.fallback": {version: 1, who: lead, decode: form[shotFallback], target: "shot"},
	"shot.approve":  {version: 1, who: []Role{Client, Producer}, decode: form[shotApprove], target: "shot"},
	// The heroes.
	"hero.read":   {version: 1, fact: true, who: readers, decode: form[heroRead]},
	"hero.swap":   {version: 1, fact: true, who: movers, decode: form[heroSwap]},
	"hero.away":   {version: 1, fact: true, who: movers, decode: form[heroAway]},
	"hero.back":   {version: 1, fact: true, who: movers, decode: form[heroBack]},
	"hero.refuse": {version: 1, fact: true, who: []Role{Client, Producer}, decode: form[heroRefuse]},
	// Waiting.
	"pause.start": {version: 1, fact: true, who: lead, decode: form[pauseStart]},
	"pause.end":   {version: 1, fact: true, who: lead, decode: form[pauseEnd]},
	// Hours.
	"punch":         {version: 1, fact: true, who: lead, own: true, decode: form[punch]},
	"punch.undo":    {version: 1, fact: true, who: lead, own: true, decode: form[punchUndo]},
	"hours.sign":    {version: 1, fact: true, decode: form[hoursSign]},
	"hours.dispute": {version: 1, fact: true, decode: form[hoursDispute]},
	// Meals.
	"meal.guests": {version: 1, fact: true, who: []Role{Producer, ArtDirector, Client, Caterer}, decode: form[mealGuests]},
	"meal.count":  {version: 1, who: kitchen, decode: form[mealCount], target: "meal"},
	"meal.start":  {version: 1, who: kitchen, decode: form[mealStart], target: "meal"},
	"meal.serve":  {version: 1, fact: true, who: kitchen, decode: form[mealServe]},
	"meal.end":    {version: 1, who: kitchen, decode: form[mealEnd], target: "meal"},
	// Settling.
	"report.settle": {version: 1, who: office, decode: form[reportSettle], target: "report"},
	"query.settle":  {version: 1, who: lead, decode: form[querySettle], target: "query"},
	// Overtime that is asked for.
	"overtime.ask":    {version: 1, who: lead, decode: form[overtimeAsk], target: "id"},
	"overtime.answer": {version: 1, who: []Role{Client, Producer}, decode: form[overtimeAnswer], target: "ask"},
	"overtime.unask":  {version: 1, who: lead, decode: form[overtimeUnask], target: "ask"},
	// Money.
	"currency.set":     {version: 1, money: true, who: office, decode: form[currencySet], target: "-"},
	"terms.set":        {version: 2, money: true, who: office, decode: form[termsSet], target: "person"},
	"hire.set":         {version: 1, money: true, who: office, decode: form[hireSet], target: "id"},
	"overtime.approve": {version: 1, money: true, who: office, decode: form[overtimeApprove]},
	"pay.share":        {version: 1, money: true, who: office, decode: form[payShare]},
	"pay.sign":         {version: 1, money: true, fact: true, decode: form[paySign]},
	"pay.dispute":      {version: 1, money: true, fact: true, decode: form[payDispute]},
	"pay.settle":       {version: 1, money: true, who: office, decode: form[paySettle]},
}

// IsFact tells whether intents of that name report what happened.
func IsFact(name string) bool { return specs[name].fact }

// IsMoney tells whether intents of that name belong to the money plane.
func IsMoney(name string) bool { return specs[name].money }

// Allowed tells whether a role may send intents of that name at all; some are
// allowed to everybody only about themselves.
func Allowed(r Role, name string) bool {
	sp, ok := specs[name]
	return ok && (sp.who == nil || sp.own || slices.Contains(sp.who, r))
}

// Version is the newest version of an intent's arguments, 0 for an unknown name.
func Version(name string) int { return specs[name].version }

// Target names the row that an intent edits, so that a later edit of the same
// row can say that it depends on the earlier one; "" where nothing depends.
func Target(name string, raw json.RawMessage) string {
	sp := specs[name]
	if sp.target == "" {
		return ""
	}
	thing, _, _ := strings.Cut(name, ".")
	if sp.target == "-" {
		return thing
	}
	var fields map[string]json.RawMessage
	if json.Unmarshal(raw, &fields) != nil {
		return ""
	}
	for field := range strings.SplitSeq(sp.target, ",") {
		var id string
		if json.Unmarshal(fields[field], &id) != nil {
			return ""
		}
		thing += ":" + id
	}
	return thing
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

func (d *deciding) emit(b Body) {
	d.events = append(d.events, Event{At: d.at, By: d.in.Actor, Body: b})
}

// note sets the flag; the first one stays.
func (d *deciding) note(code Code, say string, yours, theirs string) {
	if d.flag == nil {
		d.flag = &Flag{Code: code, Say: say, Yours: yours, Theirs: theirs}
	}
}

// Decide works out what an intent leads to. The error is always a *Refusal.
func Decide(s *State, in Intent) (Decision, error) {
	sp, ok := specs[in.Name]
	if !ok || in.Version < 1 || in.Version > sp.version {
		return Decision{}, refuse(CodeUnknownIntent, "This server does not know %q in version %d. Reload the page to get the version that fits.", clip(in.Name), in.Version)
	}
	d := &deciding{s: s, in: in}
	if r := d.admit(sp); r != nil {
		return Decision{}, r
	}
	if len(in.Args) > MaxArgs {
		return Decision{}, refuse(CodeBadArgs, "That is too much text for one edit (%d bytes, %d fit). Shorten it.", len(in.Args), MaxArgs)
	}
	if !utf8.Valid(in.Args) {
		return Decision{}, refuse(CodeBadArgs, "That edit is not readable text. Enter it again.")
	}
	raw, err := newest(intentUpgrades[in.Name], in.Version, in.Args)
	var a args
	if err == nil {
		a, err = sp.decode(raw)
	}
	if err != nil {
		return Decision{}, refuse(CodeBadArgs, "That edit could not be read (%s). Enter it again.", clip(err.Error()))
	}
	var believed bool
	d.at, believed = in.at()
	decide := a.decide
	if d.review {
		decide = func(d *deciding) *Refusal { return d.hold() }
	}
	if r := decide(d); r != nil {
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
func (d *deciding) admit(sp spec) *Refusal {
	if d.in.Actor == Desk {
		d.who, d.mayAll = Person{ID: Desk, Role: Producer}, true
		return nil
	}
	who, ok := d.s.Floor.People[d.in.Actor]
	d.review = d.late(sp, who)
	if !ok || who.Revoked && !d.review {
		return refuse(CodeNotAllowed, "Your access to this shoot was withdrawn. Speak to the producer.")
	}
	d.who = who
	d.mayAll = sp.allows(who.Role)
	if !d.mayAll && !sp.own {
		return refuse(CodeNotAllowed, "That is not for a %s to do. Ask %s.", strings.ToLower(who.Role.Label()), orList(sp.who))
	}
	return nil
}

// allows tells whether a role may do it to anybody.
func (sp spec) allows(r Role) bool { return sp.who == nil || slices.Contains(sp.who, r) }

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

// text checks what a person wrote: its length in characters and that it holds
// no control characters but line ends.
func text(what, s string, most int) *Refusal {
	if n := utf8.RuneCountInString(s); n > most {
		return refuse(CodeBadArgs, "The %s is too long: %d characters, %d fit.", what, n, most)
	}
	if strings.ContainsFunc(s, func(r rune) bool { return unicode.IsControl(r) && r != '\n' }) {
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

// Package plan reads a plan file: the YAML that a producer writes before the
// shoot. It becomes the intents that set the shoot up, or a list of everything
// that is wrong with it, each with its line; nothing is loaded while there is a
// problem left.
//
// The file is plain YAML: no anchors, aliases or tags. People, set-ups, heroes
// and named terms have short keys that only the file uses; the loaded rows have
// UUIDv7 ids. What "fairday example" prints explains every part.
package plan

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"

	"fairday/domain/shoot"
	"fairday/domain/when"
)

// MaxBytes is the largest plan file that is read.
const MaxBytes = 256 << 10

// maxProblems is how many problems one answer lists.
const maxProblems = 100

// Plan is a shoot as the file has it, ready to be decided.
type Plan struct {
	Title   string
	Intents []shoot.Intent // by shoot.Desk, in an order that Decide accepts on a new state
	People  []Person       // as the file orders them
}

// Person is somebody of the plan, for whoever hands out join links.
type Person struct {
	ID   shoot.PersonID
	Name string
	Role shoot.Role
	Key  string // as the file calls them
}

// Problem is one thing to put right in the file.
type Problem struct {
	File string
	Line int // from 1; 0 where it is about no line
	Code Code
	Say  string // for a person, with what to do next
}

// String writes "shoot.yaml:12: The shot needs a title. (missing)".
func (p Problem) String() string {
	if p.Line == 0 {
		return fmt.Sprintf("%s: %s (%s)", p.File, p.Say, p.Code)
	}
	return fmt.Sprintf("%s:%d: %s (%s)", p.File, p.Line, p.Say, p.Code)
}

// Code is a stable name for a kind of problem.
type Code string

// The kinds of problem. They are only ever added to.
const (
	CodeUnreadable Code = "unreadable"        // the file could not be read at all
	CodeEmpty      Code = "empty"             // there is nothing in it
	CodeTooLarge   Code = "too_large"         // more than MaxBytes
	CodeYAML       Code = "bad_yaml"          // it is not YAML
	CodeNotPlain   Code = "not_plain"         // an anchor, an alias or a tag
	CodeUnknownKey Code = "unknown_key"       // a word that means nothing there
	CodeDuplicate  Code = "duplicate"         // the same key, number or name twice
	CodeMissing    Code = "missing"           // something needed is not there
	CodeType       Code = "wrong_type"        // a list for a text, or the like
	CodeValue      Code = "bad_value"         // a text that cannot be what it should be
	CodeReference  Code = "unknown_reference" // a key that nothing has
	CodeTooMany    Code = "too_many"          // more rows than a shoot can have
	CodeNoProducer Code = "no_producer"       // nobody could run the shoot
	CodeRefused    Code = "refused"           // the rules of the shoot refuse the row
	CodeMore       Code = "more"              // there are further problems than are listed
)

// Load reads a plan. Its name is for messages. With a date, that is day 1;
// without one the file must say. Ids are made from now, a millisecond apart so
// that rows sort as the file has them, and from the random bytes. Either the
// plan is whole or there are problems, ordered by line, never both.
func Load(file io.Reader, name string, date when.Date, now when.Instant, random io.Reader) (Plan, []Problem) {
	r := &reader{file: name, date: date, now: now, tick: now, random: random, spoiled: map[string]bool{}}
	if root := r.parse(file); root != nil {
		r.readShoot(root)
		r.run()
	}
	if r.fault != nil {
		r.complain(0, CodeUnreadable, "No ids could be made: %v. Try again.", r.fault)
	}
	if len(r.problems) > 0 {
		return Plan{}, r.sorted()
	}
	return r.plan, nil
}

// step is one intent and the row of the file it comes from.
type step struct {
	line   int
	what   string
	intent shoot.Intent
	makes  string   // what later steps need
	needs  []string // without these it would be refused for somebody else's mistake
}

// add puts an intent on the list, unless its row is bad.
func (r *reader) add(t *table, makes string, needs []string, name string, args any) {
	if t.bad {
		r.spoiled[makes] = true
		return
	}
	raw, err := json.Marshal(args)
	if err != nil {
		r.complain(t.line, CodeValue, "The %s could not be written down: %v. Enter it again.", t.what, err)
		r.spoiled[makes] = true
		return
	}
	in := shoot.Intent{ID: shoot.IntentID(r.newID()), Name: name, Version: shoot.Version(name), Args: raw,
		Actor: shoot.Desk, Happened: r.now, Received: r.now}
	r.steps = append(r.steps, step{t.line, t.what, in, makes, needs})
}

// run decides every step on a new shoot, as the desk will. What hangs on a row
// with a problem is passed over, so that one mistake is told once.
func (r *reader) run() {
	s := shoot.New()
	for _, st := range r.steps {
		if slices.ContainsFunc(st.needs, func(id string) bool { return r.spoiled[id] }) {
			r.spoiled[st.makes] = true
			continue
		}
		dec, err := shoot.Decide(s, st.intent)
		if err != nil {
			say := err.Error()
			if refusal := (*shoot.Refusal)(nil); errors.As(err, &refusal) {
				say = refusal.Say
			}
			r.complain(st.line, CodeRefused, "The %s is refused. %s", st.what, say)
			r.spoiled[st.makes] = true
			continue
		}
		for _, e := range dec.Events {
			shoot.Apply(s, e)
		}
		r.plan.Intents = append(r.plan.Intents, st.intent)
	}
}

// newID makes the next id.
func (r *reader) newID() string {
	var b [10]byte
	if _, err := io.ReadFull(r.random, b[:]); err != nil && r.fault == nil {
		r.fault = err
	}
	r.tick++
	return shoot.NewID(r.tick, b)
}

func (r *reader) complain(line int, code Code, format string, args ...any) {
	r.problems = append(r.problems, Problem{r.file, line, code, fmt.Sprintf(format, args...)})
}

// sorted gives the problems by line, and says so where there are too many.
func (r *reader) sorted() []Problem {
	slices.SortStableFunc(r.problems, func(a, b Problem) int { return cmp.Compare(a.Line, b.Line) })
	if n := len(r.problems) - maxProblems; n > 0 {
		last := Problem{r.file, r.problems[maxProblems].Line, CodeMore, fmt.Sprintf("There are %d more problems from here on. Put these right first, then load again.", n)}
		return append(r.problems[:maxProblems:maxProblems], last)
	}
	return r.problems
}
